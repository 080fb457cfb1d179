"""The search for what was wrong: what each check was expected to tell, and which would have told most a minute.

The chance of every set of faults is carried along from reading to reading; see `sim/scoring/sights.py`
for what a reading says. Pure.
"""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sim.aircraft.conduct import Conduct
from sim.bench.check import Stance
from sim.bench.checklist import CHECKS
from sim.bench.evidence import Measured
from sim.faults.catalogue import CATALOGUE
from sim.keys import CheckKey, FaultId
from sim.scoring.case import Case
from sim.scoring.faultsets import FaultSets, fault_sets
from sim.scoring.information import WORTH_BITS
from sim.scoring.sights import INSIDE, PLAIN, Outcomes, Sights, after, sights_of, states
from sim.scoring.way import ready_for, way_min
from sim.session.actions import Action
from sim.session.fixes import fix_of

PAIRS = (
    2  # faults; own: sets of more hardly change what a check is worth, and are thirty times as many
)
HALF = 0.5  # 1; more likely than not
WEIGHED = 1500  # sets; own: the likeliest of 100 000
GOOD_FIX = 0.85  # 1; own: so often a fix of something takes
NEW_FAULT = 0.02  # 1; own: so often a change brings a fault of its own
SURE = 0.8  # 1; own: a fault this likely counts as known


class Gain(NamedTuple):
    """A check that may be done: what it is expected to tell, bit, and what it takes with the way there, min."""

    check: CheckKey
    bits: float
    minutes: float

    @property
    def a_minute(self) -> float:
        """Bits for each minute."""
        return self.bits / self.minutes


@dataclass(frozen=True)
class Step:
    """A check that was read.

    at : its event; minutes : of the evening; done : what it was worth; best : what was worth most a
    minute then; due : it had not been read, or something was changed since; clean : it was not due, and
    nothing was outside when it was read before; chances : of each fault afterwards.
    """

    at: int
    minutes: float
    done: Gain
    best: Gain
    due: bool
    clean: bool
    chances: NDArray[np.float64]

    @property
    def regret(self) -> float:
        """By how much the best check then would have told more, bit a minute; 0 if it was the best."""
        return max(0.0, self.best.a_minute - self.done.a_minute)


class Weighing:
    """What a search is weighed by: the faults, the sights of each check, and all sets before anything is read."""

    def __init__(self, measured: Measured) -> None:
        moved = {move.fault for moves in measured.moves.values() for move in moves}
        self.measured = measured
        self.faults: tuple[FaultId, ...] = tuple(f for f in CATALOGUE if f in moved)
        self.sights: Sights = sights_of(measured, self.faults)
        self.sets = fault_sets(self.faults)
        few = np.flatnonzero(self.sets.sizes <= PAIRS)
        self._outcomes = Outcomes(self.sets, self.sights, few)

    def index(self, faults: Iterable[FaultId]) -> list[int]:
        """Return which of the faults weighed these are; those that move no line left out."""
        return [self.faults.index(fault) for fault in faults if fault in self.faults]

    def bits(self, sets: FaultSets) -> dict[CheckKey, float]:
        """Return what each check is expected to tell, bit.

        By the sets of up to two faults; where these are together less likely than not, by the likeliest.
        """
        by = self._outcomes
        if by.share(sets) < HALF:
            by = Outcomes(sets, self.sights, sets.heaviest(WEIGHED))
        return by.gains(sets)


class Searching:
    """What is known at a moment of a search.

    sets : every fault set with its chance; read : how far out each check had its sights when it was
    read last, of those that still hold.
    """

    def __init__(self, by: Weighing) -> None:
        self.by = by
        self.sets = by.sets
        self.read: dict[CheckKey, tuple[int | None, ...]] = {}

    def gains(self, stance: Stance) -> dict[CheckKey, Gain]:
        """Return what each check is worth now; one that still holds tells nothing."""
        found = {}
        for key, bits in self.by.bits(self.sets).items():
            minutes = CHECKS[key].minutes + way_min(CHECKS[key], stance)
            found[key] = Gain(key, 0.0 if key in self.read else bits, minutes)
        return found

    def took(self, check: CheckKey, now: tuple[int | None, ...]) -> None:
        """Weigh a reading. now : how far out it has each sight of its check."""
        before = self.read.get(check)
        self.sets = after(self.sets, self.by.sights[check], before, now)
        self.read[check] = now if before is None else _further(before, now)

    def keep(self, holding: Collection[CheckKey]) -> None:
        """Forget the readings that do not hold any more."""
        self.read = {check: seen for check, seen in self.read.items() if check in holding}

    def saw(self, check: CheckKey, values: dict[str, float]) -> None:
        """Weigh a reading as it was read."""
        self.took(check, states(check, values, self.by.sights[check], self.by.measured))

    def did(self, action: Action) -> bool:
        """Weigh a change; tell whether it is a fix of anything weighed."""
        fix = fix_of(action)
        cures = [fault for fault in self.by.faults if fix in CATALOGUE[fault].fixes]
        if cures:
            self.changed(cures)
        return bool(cures)

    def changed(self, faults: Sequence[FaultId]) -> None:
        """Weigh a change that is a fix of these faults."""
        cured = self.sets.cured(self.by.index(faults), GOOD_FIX)
        self.sets = cured.unsettled(self.by.sets, NEW_FAULT)


def _further(a: tuple[int | None, ...], b: tuple[int | None, ...]) -> tuple[int | None, ...]:
    return tuple(
        y if x is None else x if y is None else max(x, y) for x, y in zip(a, b, strict=True)
    )


def best_of(gains: dict[CheckKey, Gain]) -> Gain:
    """Return the check worth most a minute: one without propellers as long as such a one is worth doing."""
    bare = [one for one in gains.values() if not CHECKS[one.check].stance.props]
    worth = [one for one in bare if one.bits >= WORTH_BITS]
    return max(worth or list(gains.values()), key=lambda one: one.a_minute)


@dataclass(frozen=True)
class Search:
    """The search of one run.

    steps : the checks read before takeoff, in order; believed : the chance of each fault before each
    event, and after the last.
    """

    case: Case
    by: Weighing
    steps: tuple[Step, ...]
    believed: tuple[NDArray[np.float64], ...]

    @cached_property
    def minutes(self) -> float:
        """What the checks took with the way there, min."""
        return sum(step.done.minutes for step in self.steps)

    def belief(self, fault: FaultId, at: int) -> float | None:
        """Return the chance of a fault by what had been read before an event; None if it is not weighed."""
        places = self.by.index([fault])
        return float(self.believed[at][places[0]]) if places else None

    def known_at(self, fault: FaultId) -> int | None:
        """Return the first step after which a fault that was there was as good as known; None if none."""
        places = self.by.index([fault])
        for n, step in enumerate(self.steps):
            there = fault in self.case.events[step.at].present
            if there and places and step.chances[places[0]] >= SURE:
                return n
        return None

    def minutes_until(self, step: int) -> float:
        """Return what the checks took up to a step and with it, min."""
        return sum(one.done.minutes for one in self.steps[: step + 1])


def searched(case: Case, by: Weighing) -> Search:
    """Return how the search of a run went. by : of its measured tables."""
    now = Searching(by)
    stance = stance_at_start(case)
    steps: list[Step] = []
    belief = by.sets.marginals()
    beliefs = [belief]
    for at, event in enumerate(case.events):
        holding = case.events[at - 1].facts if at else frozenset()
        now.keep(holding)
        check, values = case.readings.get(at, (None, {}))
        if check in by.sights:
            before, gains = now.read.get(check), now.gains(stance)
            now.saw(check, values)
            clean = before is not None and not any(before)
            belief = now.sets.marginals()
            weighed = (gains[check], best_of(gains), before is None, clean, belief)
            steps.append(Step(at, event.minutes, *weighed))
            stance = stance_of(event.conduct)
        if now.did(event.action):
            belief = now.sets.marginals()
        beliefs.append(belief)
    return Search(case, by, tuple(steps), tuple(beliefs))


def stance_of(conduct: Conduct) -> Stance:
    """Return how the aircraft stands."""
    return Stance(conduct.place, conduct.hold, conduct.props_fitted, conduct.pack_plugged)


def stance_at_start(case: Case) -> Stance:
    """Return how the aircraft stands before anything is done."""
    return stance_of(case.record.scenario.designed().conduct)


# --- the best way --------------------------------------------------------------------------------


@dataclass(frozen=True)
class IdealPath:
    """The checks that tell most a minute, one after the other, and the minutes they take with the way there.

    whole : whether all that was hidden is as good as known at its end.
    """

    checks: tuple[Gain, ...]
    whole: bool

    @property
    def minutes(self) -> float:
        """What it takes, min."""
        return sum(one.minutes for one in self.checks)


LONGEST = 30  # checks; own: no evening has more


def ideal_path(case: Case, by: Weighing) -> IdealPath:
    """Return the way of who always takes the check expected to tell most a minute.

    Each check is taken to read what is likeliest with the faults there were at the start; nothing is
    cured on the way.
    """
    now = Searching(by)
    hidden = by.index(sorted(case.record.present_at_start))
    stance = stance_at_start(case)
    taken: list[Gain] = []
    while len(taken) < LONGEST and not _all_known(now, hidden):
        best = best_of(now.gains(stance))
        if best.bits < WORTH_BITS:
            break
        taken.append(best)
        stance = ready_for(CHECKS[best.check], stance)
        now.took(best.check, _likeliest(now, best.check, hidden))
    return IdealPath(tuple(taken), _all_known(now, hidden))


def _all_known(now: Searching, hidden: Sequence[int]) -> bool:
    chances = now.sets.marginals()
    return all(chances[n] >= SURE for n in hidden)


def _likeliest(now: Searching, check: CheckKey, hidden: Sequence[int]) -> tuple[int | None, ...]:
    found: list[int | None] = []
    for sight in now.by.sights[check]:
        inside = (1.0 - sight.false_alarm) * float(np.prod(1.0 - sight.powers[list(hidden)]))
        found.append(INSIDE if inside >= HALF else PLAIN)
    return tuple(found)
