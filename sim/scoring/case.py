"""A run beside what it is marked by, and what a line that was pointed at showed."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import cast

from sim.bench.evidence import Measured
from sim.faults.catalogue import CATALOGUE
from sim.kernel.clock import TICK_S
from sim.keys import CheckKey, FaultId
from sim.procedure.rubric import Rubric
from sim.session.actions import Done, Read, Squawk, Withdraw
from sim.session.fixes import fix_of
from sim.session.hints import Hinted
from sim.session.record import Event, Record


@dataclass(frozen=True)
class Claim:
    """One squawk. `at`: its place among what was done; `sure`: the chance it states."""

    at: int
    cause: FaultId
    sure: float
    check: CheckKey | None
    line: str


def belongs(event: Event, cause: FaultId) -> bool:
    """Tell whether something was changed that is a fix of the cause."""
    return fix_of(event.action) in CATALOGUE[cause].fixes


def taken_back(squawk: Squawk, later: tuple[Event, ...]) -> bool:
    """Tell whether a claim was struck out before anything that belongs to it was changed."""
    for event in later:
        if belongs(event, squawk.cause):
            return False
        if isinstance(event.action, Withdraw) and event.action.item == squawk.item:
            return True
    return False


@dataclass(frozen=True)
class Case:
    """The record of a run, the rubric, and the measured tables of its airframe."""

    record: Record
    rubric: Rubric
    measured: Measured

    @cached_property
    def events(self) -> tuple[Event, ...]:
        """What was done, and not refused, before the aircraft left the floor."""
        return tuple(e for e in self.done if self.before_takeoff(e))

    @property
    def done(self) -> Iterator[Event]:
        """What was done all evening, and not refused."""
        return (e for e in self.record.events if e.refused is None)

    def before_takeoff(self, event: Event) -> bool:
        """Tell whether something was done before the aircraft first left the floor."""
        return self._by_takeoff(event.tick * TICK_S)

    def _by_takeoff(self, time_s: float) -> bool:
        return self.record.takeoff_s is None or time_s <= self.record.takeoff_s

    @cached_property
    def claims(self) -> tuple[Claim, ...]:
        """Every squawk that counts; one taken back in time earns and costs nothing."""
        sureness = self.rubric.sureness
        return tuple(
            Claim(i, s.cause, sureness[s.confidence - 1], s.check, s.line)
            for i, s in ((i, e.action) for i, e in enumerate(self.events))
            if isinstance(s, Squawk) and not taken_back(s, self.events[i:])
        )

    @cached_property
    def present_before(self) -> tuple[frozenset[FaultId], ...]:
        """Which faults there were before each event, and after the last."""
        return (self.record.present_at_start, *(e.present for e in self.events))

    @cached_property
    def hints(self) -> tuple[Hinted, ...]:
        """The hints given before the aircraft left the floor."""
        return tuple(h for h in self.record.hints if self._by_takeoff(h.time_s))

    @property
    def steps_told(self) -> dict[FaultId, int]:
        """How many steps of hints were given on each fault."""
        return {h.fault: h.step for h in self.hints if h.fault is not None}

    @property
    def asked_for_nothing(self) -> int:
        """How many hints were asked for where nothing was left to be told."""
        return sum(h.fault is None for h in self.hints)

    @property
    def deviations(self) -> frozenset[FaultId]:
        """What was put in so little that it is no fault: neither right nor wrong to claim or cure."""
        return self.record.hidden - self.record.present_at_start

    def was_there(self, cause: FaultId, at: int) -> bool:
        """Tell whether a fault was there at an event, or earlier and cured meanwhile."""
        return any(cause in present for present in self.present_before[: at + 2])

    @cached_property
    def readings(self) -> dict[int, tuple[CheckKey, dict[str, float]]]:
        """Check and values of every event that did one, in order."""
        return {
            at: (cast(CheckKey, event.reading.check), event.reading.values)
            for at, event in enumerate(self.events)
            if isinstance(event.action, Read | Done) and event.reading
        }

    def whole(self, at: int) -> bool:
        """Tell whether an event read every line of its check, not a part of them by hand."""
        reading = self.events[at].reading
        return reading is not None and not reading.missing

    def last_read(self, check: CheckKey, before: int, there: FaultId | None = None) -> int | None:
        """Return which event read a check last before another; with `there` while it was there."""
        for at in reversed(range(before)):
            read = at in self.readings and self.readings[at][0] == check
            if read and (there is None or there in self.events[at].present):
                return at
        return None

    def first_shown(self, fault: FaultId) -> int | None:
        """Return which event was the first to read a line that speaks for a fault that was there."""
        return next(
            (
                at
                for at, (check, values) in self.readings.items()
                if fault in self.events[at].present
                and any(self.measured.speaks_for(fault, check, values, line) for line in values)
            ),
            None,
        )
