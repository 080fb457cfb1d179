"""Simulated trainees who learn and forget, to see what the choice of the next drill is worth.

Each has an ability of their own in every topic, on the scale of log odds. Practice closes a share of
what is left to learn, a pass more than a miss; what was learnt is half lost after a time that doubles
with each pass that came after a gap. None of that is the model by which the logbook traces skill, nor
that by which it says what is due: it is told outcomes alone. The numbers are ours: people are not
like this, and how much they gain is not known.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from math import exp2, inf
from statistics import fmean, median
from typing import Any, Literal, NamedTuple, get_args

import numpy as np

from sim.logbook.ahead import Drill, ahead, due, shipped
from sim.logbook.memory import LONGEST_DAYS
from sim.logbook.skill import difficulty, odds
from sim.logbook.standing import READY, TOPICS, Standing, Topic, Trial, standing
from sim.session import scenario
from sim.session.scenario import ALONE

Choice = Literal["logbook", "random"]

BEGINS, BEGINS_SPREAD = -0.8, 0.6  # log odds; own: proves 30 % at the middle rung, give or take
MOST, MOST_SPREAD = 2.6, 0.4  # log odds; own: with practice 93 % at the middle rung
PASS_SHARE = 0.25  # of what is left to learn; own: a dozen tries come near the end
MISS_SHARE = 0.15  # of what is left to learn; own: likewise, and less is learnt of a miss
HALF_LIFE_DAYS = 14.0  # days; own: after one pass, as the design of the forgetting model begins
APART_DAYS = 1.0  # days; own: a pass sooner than this after the last is no spaced one
EVENING_DAYS = 3.5  # days; own: two evenings a week, a drill each
PACES = (0.5, 1.0, 2.0)  # 1; own: slow, usual and quick
LONGEST = 600  # drills; own: some times what anybody needs
FIRST_EVENING = datetime(2026, 1, 5, 20, 0, tzinfo=UTC)  # any


@dataclass
class Held:
    """What a trainee has in one topic. Ability: log odds; last : when practised last."""

    at_first: float
    at_most: float
    learnt: float = 0.0
    half_life_days: float = HALF_LIFE_DAYS
    last: datetime | None = None

    def ability(self, now: datetime) -> float:
        """Return the ability at a time."""
        if self.last is None:
            return self.at_first
        gone_days = (now - self.last) / timedelta(days=1)
        return self.at_first + self.learnt * exp2(-gone_days / self.half_life_days)

    def practise(self, right: bool, now: datetime, pace: float) -> None:
        """Learn from an attempt."""
        there = self.ability(now)
        spaced = self.last is not None and now - self.last >= timedelta(days=APART_DAYS)
        if right and spaced:
            self.half_life_days = min(float(LONGEST_DAYS), 2.0 * self.half_life_days)
        share = pace * (PASS_SHARE if right else MISS_SHARE)
        self.learnt = there - self.at_first + share * (self.at_most - there)
        self.last = now


@dataclass
class Learner:
    """A simulated trainee: truth by topic, and the chance of all that happens to it.

    pace : how much is learnt of what is left, as a multiple of the usual.
    """

    rng: np.random.Generator
    pace: float = 1.0
    held: dict[Topic, Held] = field(init=False)

    def __post_init__(self) -> None:
        """Draw what it begins with and how far it can come."""
        n = len(TOPICS)
        first = self.rng.normal(BEGINS, BEGINS_SPREAD, n)
        most = self.rng.normal(MOST, MOST_SPREAD, n)
        pairs = zip(TOPICS, first, most, strict=True)
        self.held = {t: Held(float(a), max(float(a), float(b))) for t, a, b in pairs}

    def chance(self, topic: Topic, rung: int, now: datetime) -> float:
        """Return the true chance to prove a topic at a rung."""
        return odds(self.held[topic].ability(now) - difficulty(rung))

    def tries(self, drill: Drill, now: datetime) -> dict[Topic, bool]:
        """Try a drill, learn from it, and return which topics were proved."""
        topics = sorted(drill.topics)
        right = {t: bool(self.rng.random() < self.chance(t, drill.rung, now)) for t in topics}
        for topic, one in right.items():
            self.held[topic].practise(one, now, self.pace)
        return right

    def ready(self, now: datetime) -> bool:
        """Tell whether every topic would be proved as often as the logbook asks for, without help."""
        return all(self.chance(topic, ALONE, now) >= READY for topic in TOPICS)


class Tried(NamedTuple):
    """A drill that was tried: its name, rung; whether anything was due, and came back in it."""

    drill: str
    rung: int
    was_due: bool
    came_back: bool


@dataclass(frozen=True)
class Life:
    """A trainee to be simulated, with the drills there are and minutes for each."""

    seed: int
    choice: Choice
    pace: float
    drills: tuple[Drill, ...]
    minutes: tuple[float, ...]


@dataclass(frozen=True)
class Lived:
    """What became of one: minutes until ready (None: never), and each drill until then."""

    seed: int
    choice: Choice
    pace: float
    minutes: float | None
    tried: tuple[Tried, ...]


def lived(life: Life) -> Lived:
    """Let a trainee practise, an evening at a time, until ready."""
    own, by_chance = (np.random.default_rng([life.seed, stream]) for stream in (0, 1))
    learner = Learner(own, life.pace)
    lasts = dict(zip((drill.name for drill in life.drills), life.minutes, strict=True))
    standings: dict[Topic, Standing] = {}
    cleared: set[str] = set()
    tried: list[Tried] = []
    now, spent_min = FIRST_EVENING, 0.0
    while not learner.ready(now):
        if len(tried) == LONGEST:
            return Lived(life.seed, life.choice, life.pace, None, tuple(tried))
        late = due(standings, now)
        if life.choice == "logbook":
            drill = ahead(life.drills, standings, cleared, now).drill
        else:
            drill = life.drills[int(by_chance.integers(len(life.drills)))]
        right = learner.tries(drill, now)
        standings = standing(
            [Trial(t, drill.rung, one, now) for t, one in right.items()], standings
        )
        if all(right.values()):
            cleared.add(drill.name)
        spent_min += lasts[drill.name]
        back = bool(drill.topics & set(late))
        tried.append(Tried(drill.name, drill.rung, bool(late), back))
        now += timedelta(days=EVENING_DAYS)
    return Lived(life.seed, life.choice, life.pace, spent_min, tuple(tried))


def lives(seeds: Sequence[int], paces: Sequence[float] = PACES) -> list[Life]:
    """Return each trainee at each pace twice: with drills by the logbook and with drills at random."""
    drills = shipped()
    minutes = tuple(scenario.shipped()[drill.name].careful_min for drill in drills)
    choices: tuple[Choice, ...] = ("logbook", "random")
    return [
        Life(seed, choice, pace, drills, minutes)
        for pace in paces
        for seed in seeds
        for choice in choices
    ]


def compared(found: Sequence[Lived]) -> dict[str, Any]:
    """Return what both ways come to at one pace, as plain data; who never is ready counts as last."""
    by_choice = {c: [one for one in found if one.choice == c] for c in get_args(Choice)}
    both = zip(by_choice["logbook"], by_choice["random"], strict=True)
    sooner = sum((a.minutes or inf) < (b.minutes or inf) for a, b in both)
    return {
        "trainees": len(by_choice["logbook"]),
        "sooner_by_logbook": sooner,
        **{choice: _one_way(some) for choice, some in by_choice.items()},
    }


def _one_way(some: Sequence[Lived]) -> dict[str, Any]:
    middle = median(inf if one.minutes is None else one.minutes for one in some)
    due_n = sum(one.was_due for life in some for one in life.tried)
    back_n = sum(one.came_back for life in some for one in life.tried)
    thirds = [_rungs(some, third) for third in range(3)]
    return {
        "ready": sum(one.minutes is not None for one in some),
        "median_minutes": None if middle == inf else round(middle),
        "median_drills": median(len(one.tried) for one in some),
        "rung_by_thirds": [round(fmean(third), 2) for third in thirds if third],
        "due_came_back": round(back_n / due_n, 3) if due_n else None,
    }


def _rungs(some: Sequence[Lived], third: int) -> list[int]:
    """Return the rungs of the drills in one third of each way to being ready."""
    ways = [[one.rung for one in life.tried] for life in some]
    return [r for way in ways for r in way[third * len(way) // 3 : (third + 1) * len(way) // 3]]
