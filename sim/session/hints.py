"""The helper: where a fault shows best, worked out from what is measured, and told in three steps.

First the check, then the line and to which side it lies, then what that means. Nothing of it looks
at a reading: the helper knows what is hidden, and where such a thing shows on aircraft of this kind.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from sim.bench.evidence import Measured
from sim.bench.moves import Way
from sim.errors import Refusal
from sim.faults.catalogue import CATALOGUE
from sim.keys import CheckKey, FaultId
from sim.session.scenario import HINT_STEPS, Scenario

WHERE, LINE, MEANING = range(1, HINT_STEPS + 1)  # 1; the steps by name
SURE = 0.8  # share; own: a line that shows a fault so often is pointed at without a second thought


class Cue(NamedTuple):
    """Where a fault shows: at which check, on which measure of it, to which side.

    measure, side : empty where it moves no line; then it is to be seen where the check looks.
    sure : it shows there almost always; else it may be on another line of the check, much like it.
    """

    check: CheckKey
    measure: str = ""
    side: Way | None = None
    sure: bool = True


@dataclass(frozen=True)
class Pointer:
    """What the helper has told of one fault. cue : only what is told of it; fault : from step 3."""

    cue: Cue
    step: int
    fault: FaultId | None = None


@dataclass(frozen=True)
class Hinted:
    """One hint given: on which fault, which step, when.

    fault : None where nothing was left to point at, which tells something as well (step 0).
    """

    fault: FaultId | None
    step: int
    cue: Cue | None
    time_s: float
    minutes: float


def cue(fault: FaultId, tables: Measured) -> Cue:
    """Return where a fault of the catalogue shows best on aircraft of this kind.

    That is the first of the checks that are to reveal it on a line that shows it surely; where none
    is sure, the line that shows it most often.
    """
    order = (*CATALOGUE[fault].revealed_by, *CATALOGUE[fault].proved_by)
    found = [
        (move.power < SURE, move.power < SURE or order.index(check), -move.power, check, move)
        for (check, _), moves in tables.moves.items()
        for move in moves
        if move.fault == fault and check in order
    ]
    if not found:
        return Cue(order[0])
    *_, check, move = min(found, key=lambda one: one[:3])
    return Cue(check, move.measure, move.side, move.power >= SURE)


def pointer(fault: FaultId, step: int, tables: Measured) -> Pointer:
    """Return what is told of a fault by a step, and nothing beyond it."""
    whole = cue(fault, tables)
    told = whole if step >= LINE else Cue(whole.check)
    return Pointer(told, step, fault if step >= MEANING else None)


class Helper:
    """Who helps at one attempt: tells, gives hints if asked, or keeps still, as the drill says.

    faults : what is there to be told of, once the attempt has begun.
    """

    def __init__(self, scenario: Scenario) -> None:
        self.given: list[Hinted] = []
        self.faults: frozenset[FaultId] = frozenset()
        self._scenario = scenario
        self._steps: dict[FaultId, int] = {}  # in the order in which they were first told
        self._pointers: tuple[Pointer, ...] | None = None

    def begin(self, faults: frozenset[FaultId]) -> None:
        """Learn which faults there are at the start."""
        self.faults = faults
        if self._scenario.helping == "shown":
            self._steps = dict.fromkeys((f for f in CATALOGUE if f in faults), MEANING)

    @cached_property
    def _tables(self) -> Measured:
        return self._scenario.tables

    @property
    def pointers(self) -> tuple[Pointer, ...]:
        """What has been told so far, a pointer for each fault."""
        if self._pointers is None:
            told = self._steps.items()
            self._pointers = tuple(pointer(fault, step, self._tables) for fault, step in told)
        return self._pointers

    def hint(
        self, present: frozenset[FaultId], named: Iterable[FaultId], time_s: float, minutes: float
    ) -> Hinted:
        """Give the next hint, on what is there still and not named; raises Refusal where there is none.

        The fault in hand comes first, then the most dangerous.
        """
        if self._scenario.helping != "hints":
            raise Refusal("Nobody gives hints at this drill.", "not_tonight")
        left = (self.faults & present) - set(named)
        if not left:
            return self._give(Hinted(None, 0, None, time_s, minutes))
        fault = next(iter(self._open(left)), None)
        if fault is None:
            told = all(self._steps.get(one, 0) >= MEANING for one in left)
            raise Refusal(
                "The helper has told all there is to tell."
                if told
                else "The helper leaves the rest to you: you have shown that you can find it.",
                "already",
            )
        step = self._steps.get(fault, 0) + 1
        self._steps[fault], self._pointers = step, None
        told_of = pointer(fault, step, self._tables).cue
        return self._give(Hinted(fault, step, told_of, time_s, minutes))

    def _open(self, left: frozenset[FaultId]) -> list[FaultId]:
        """Return the faults on which there are hints left, in the order in which they are given."""
        steps = self._steps
        some = [f for f in CATALOGUE if f in left and steps.get(f, 0) < self._scenario.hints_on(f)]
        return sorted(some, key=lambda f: (not steps.get(f), -CATALOGUE[f].hazard))

    def _give(self, hint: Hinted) -> Hinted:
        self.given.append(hint)
        return hint
