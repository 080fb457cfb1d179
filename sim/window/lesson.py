"""One thing to practise next after a run, and the drill to practise it in. Pure."""

from collections.abc import Sequence
from functools import cache
from typing import Any, NamedTuple

from sim.bench.checklist import CHECKS
from sim.faults.catalogue import CATALOGUE
from sim.keys import FaultId
from sim.scoring.knowable import Known, would_have_paid
from sim.session import scenario

STEPS = (
    ("proved", "After a change, do the check that showed it once more, before takeoff."),
    ("cleared", "Do not leave the bench with a fault that has a name."),
)
GRAVE = "Safety before speed: the same drill again, with a word aloud before power and propellers."
TWICE = (
    "Before a squawk, take the reading twice: what is outside once is outside by chance at times."
)
UP = "The next rung."


class Lesson(NamedTuple):
    """What to practise in a sentence; drill : a shipped one's name and title, empty if none serves."""

    words: str
    drill: str
    title: str


class Offered(NamedTuple):
    """A shipped drill as the choice needs it.

    faults : put in by name; families : of what is put in; needs : what is to be done before it.
    """

    name: str
    title: str
    rung: int
    faults: frozenset[str]
    families: frozenset[str]
    needs: frozenset[str] = frozenset()


@cache
def offered() -> tuple[Offered, ...]:
    """Return the shipped drills, the lowest rung first."""
    found = []
    for name, drill in scenario.shipped().items():
        faults: frozenset[str] = frozenset(fault.id for fault in drill.faults)
        families = {str(CATALOGUE[fault.id].family) for fault in drill.faults}
        drawn = () if drill.draw is None else drill.draw.families
        found.append(
            Offered(
                name,
                drill.title,
                drill.rung,
                faults,
                frozenset(families.union(drawn)),
                frozenset(drill.needs),
            )
        )
    return tuple(sorted(found, key=lambda one: (one.rung, one.name)))


def _with(fault: FaultId, done: str, rung: int, drills: Sequence[Offered]) -> Offered | None:
    """Return the drill in which to meet a fault again, never above the rung of the one done.

    One that has it by name comes before one of its family, and another drill before the same.
    """
    family = CATALOGUE[fault].family
    fits = [d for d in drills if d.rung <= rung and (fault in d.faults or family in d.families)]
    order = lambda d: (fault not in d.faults, d.name == done, -d.rung, d.name)  # noqa: E731
    return min(fits, key=order, default=None)


def _above(done: str, rung: int, drills: Sequence[Offered]) -> Offered | None:
    """Return a drill of the next rung there is, else another one; what needs nothing more comes first."""
    higher = [d for d in drills if d.rung > rung] or [d for d in drills if d.name != done]
    order = lambda d: (bool(d.needs - {done}), d.rung, d.name)  # noqa: E731
    return min(higher, key=order, default=None)


def _sound(done: str, drills: Sequence[Offered]) -> Offered | None:
    """Return a drill in which nothing is put in."""
    quiet = [d for d in drills if not d.families]
    return min(quiet, key=lambda d: (d.name == done, d.rung, d.name), default=None)


def _said(words: str, drill: Offered | None) -> Lesson:
    return Lesson(words, drill.name if drill else "", drill.title if drill else "")


def lesson(
    card: dict[str, Any], rung: int, stories: Sequence[Known], drills: Sequence[Offered]
) -> Lesson:
    """Return the one thing to practise next, what weighs most first.

    Parameters
    ----------
    card : dict
        The scorecard.
    rung : int
        Of the drill that was done.
    stories : Sequence[Known]
        Of its faults.
    drills : Sequence[Offered]
        Those there are.
    """
    done = card["scenario"]
    same = next((d for d in drills if d.name == done), None)
    if any(h["critical"] for h in card["hazards"]):
        return _said(GRAVE, same)
    over = next((one for one in stories if one.passed_over), None)
    if over is not None and over.first is not None:
        check = CHECKS[over.first.check].title
        words = f"Read each line of “{check}” against the build sheet before the next item."
        return _said(words, _with(over.fault, done, rung, drills))
    if (chance := would_have_paid(list(stories))) is not None:
        unseen = next(s.fault for s in stories if chance.check in {c.check for c in s.unread})
        title = CHECKS[chance.check].title
        takes = f"{chance.minutes:g} minute{'' if chance.minutes == 1.0 else 's'}"
        words = f"Make “{title}” part of every evening: {takes}."
        return _said(words, _with(unseen, done, rung, drills))
    for step, words in STEPS:
        left = next((one["id"] for one in card["faults"] if not one[step]), None)
        if left is not None:
            return _said(words, _with(left, done, rung, drills))
    if card["false_squawks"]:
        return _said(TWICE, _sound(done, drills))
    return _said(UP, _above(done, rung, drills))
