"""Which drill comes next, and why. Pure functions.

In this order: a grave act is made good; what was never tried is tried, or it would wait for ever behind
what is due; what is due comes back; then what is least sure is practised. Drills whose needs are not
met wait. Among those that serve, one not yet cleared comes first, and then the one that is neither too
easy nor too hard. From the rung on where nobody is told what to look for, the reason does not tell
either.
"""

from collections import Counter
from collections.abc import Collection, Iterable, Sequence
from datetime import datetime
from functools import cache
from typing import NamedTuple

from sim.faults.catalogue import CATALOGUE
from sim.logbook import memory
from sim.logbook.skill import MIDDLE_RUNG, UNKNOWN, at_first, chance, difficulty, surely
from sim.logbook.standing import TOPICS, Standing, Standings, Topic
from sim.session import scenario
from sim.session.scenario import Scenario

EDGE = 0.75  # 1; own: the middle of 0.6..0.9, where practice teaches most
TOO_HARD = 0.35  # 1; own: below it a drill shows a person what they can't do, no more
TELLING_RUNGS = 2  # 1; the rungs on which one is told, or helped, what to look for
WORDS: dict[Topic, str] = {
    "airframe": "frame and propellers",
    "propulsion": "motors and drives",
    "power": "pack and power",
    "radio": "radio link and transmitter",
    "sensing": "sensors and their calibration",
    "control": "controller and its settings",
    "site": "the place",
    "conduct": "how one goes about it",
    "sound": "a sound aircraft left alone",
}


class Drill(NamedTuple):
    """A drill as the choice needs it."""

    name: str
    title: str
    rung: int
    topics: frozenset[Topic]
    needs: frozenset[str] = frozenset()

    def missing(self, standings: Standings, cleared: Collection[str]) -> tuple[str, ...]:
        """Return what should be done before and is not, by name.

        A drill is done when it is cleared, a family when a fault of it was ever proved. Whoever is ready
        for the rung below in every topic of this drill needs nothing first.
        """
        if all(t in standings and standings[t].ready_for >= self.rung - 1 for t in self.topics):
            return ()
        proved = {topic for topic, one in standings.items() if one.right_n}
        return tuple(sorted(self.needs - proved - set(cleared)))


class Next(NamedTuple):
    """The drill that comes next, and the reason in a sentence."""

    drill: Drill
    reason: str


def drill_from(name: str, found: Scenario) -> Drill:
    """Return what the choice needs of a drill."""
    topics: set[Topic] = {CATALOGUE[fault.id].family for fault in found.faults}
    if found.draw is not None:
        topics |= set(found.draw.families)
    return Drill(
        name, found.title, found.rung, frozenset(topics or {"sound"}), frozenset(found.needs)
    )


@cache
def shipped() -> tuple[Drill, ...]:
    """Return the shipped drills."""
    return tuple(drill_from(name, drill) for name, drill in scenario.shipped().items())


def expected(drill: Drill, standings: Standings) -> float:
    """Return the chance that a topic of a drill is proved, averaged over its topics."""
    unknown = at_first([one.skill for one in standings.values()])
    hard = difficulty(drill.rung)
    each = [chance(standings[t].skill if t in standings else unknown, hard) for t in drill.topics]
    return sum(each) / len(each)


def due(standings: Standings, now: datetime) -> list[Topic]:
    """Return the topics that want to come again, the longest due first."""
    waits = {t: memory.overdue(one.card, now) for t, one in standings.items()}
    late = [topic for topic, wait in waits.items() if wait.total_seconds() >= 0.0]
    return sorted(late, key=lambda topic: (-waits[topic], topic))


def least_sure(standings: Standings, now: datetime) -> list[Topic]:
    """Return the topics by how sure it is that they are mastered and not forgotten, the least sure first."""

    def sure(topic: Topic) -> float:
        if topic not in standings:
            return surely(UNKNOWN, difficulty(MIDDLE_RUNG))
        one = standings[topic]
        return surely(one.skill, difficulty(MIDDLE_RUNG)) * memory.kept(one.card, now)

    return sorted(TOPICS, key=lambda topic: (sure(topic), topic))


def best(drills: Iterable[Drill], standings: Standings, cleared: Collection[str]) -> Drill | None:
    """Return the drill to take among some, or None if none of them is within reach."""
    reach = [(drill, expected(drill, standings)) for drill in drills]
    reach = [one for one in reach if one[1] >= TOO_HARD or one[0].rung == 1]
    order = lambda one: (one[0].name in cleared, abs(one[1] - EDGE), one[0].name)  # noqa: E731
    return min(reach, key=order)[0] if reach else None


def _most_needed(every: Iterable[Drill], among: Iterable[Drill]) -> Drill | None:
    """Return the drill among some that most of all need, or None if none needs any."""
    count = Counter(name for drill in every for name in drill.needs)
    return max(
        (drill for drill in among if count[drill.name]), key=lambda d: count[d.name], default=None
    )


def _because(drill: Drill, told: str, untold: str) -> Next:
    return Next(drill, told if drill.rung <= TELLING_RUNGS else untold)


def _days(standing: Standing, now: datetime) -> str:
    days = memory.overdue(standing.card, now).days
    return "today" if days == 0 else f"{days} day{'s' if days > 1 else ''} ago"


def ahead(
    drills: Sequence[Drill],
    standings: Standings,
    cleared: Collection[str],
    now: datetime,
    grave_in: str | None = None,
) -> Next:
    """Return which drill comes next.

    Parameters
    ----------
    drills : Sequence[Drill]
        All there are; at least one.
    standings : Standings
        Where the person stands.
    cleared : Collection[str]
        Names of the drills cleared so far.
    now : datetime
        The time, with its zone.
    grave_in : str or None
        The drill of the last attempt, if a grave act was done in it.
    """
    again = next((drill for drill in drills if drill.name == grave_in), None)
    if again is not None:
        return Next(again, "Something grave was done in it last time. Once more, without haste.")
    every = drills
    drills = [one for one in drills if not one.missing(standings, cleared)] or drills
    if not standings and not cleared and (foot := _most_needed(every, drills)):
        return Next(foot, "The one to begin with: others build on it.")
    with_topic = {topic: [drill for drill in drills if topic in drill.topics] for topic in TOPICS}
    unmet = [drill for drill in drills if drill.topics - standings.keys()]
    if found := best(unmet, standings, cleared):
        topic = min(found.topics - standings.keys(), key=TOPICS.index)
        told = f"New: {WORDS[topic]}."
        return _because(found, told, "There is something in it that you have not met yet.")
    for topic in due(standings, now):
        if found := best(with_topic[topic], standings, cleared):
            since = _days(standings[topic], now)
            told = f"To be seen again: {WORDS[topic]}; it was due {since}."
            return _because(found, told, f"Something you could do was due to come back {since}.")
    for topic in least_sure(standings, now):
        if found := best(with_topic[topic], standings, cleared):
            told = f"To be made surer: {WORDS[topic]}."
            return _because(found, told, "It has what you are least sure of.")
    return Next(min(drills, key=lambda drill: (drill.rung, drill.name)), "One to begin with.")
