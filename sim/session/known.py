"""What the person at the bench knows of the aircraft, and what of it still holds."""

from typing import cast

from sim.aircraft.library import Design, Place
from sim.bench.check import Check
from sim.bench.evidence import measured
from sim.bench.reading import Reading
from sim.bench.rig import Rig
from sim.faults.catalogue import CATALOGUE
from sim.keys import CheckKey, FaultId
from sim.procedure import interruptions
from sim.procedure.facts import voided_by
from sim.procedure.rubric import shipped
from sim.session.actions import Action, Squawk
from sim.session.fixes import fix_of


class Known:
    """Keeps readings and squawks, and which checks are done, due again or ticked by nobody's doing.

    present : the faults that are there, by which cures are noticed.
    """

    def __init__(self, airframe: Design, place: Place) -> None:
        self.readings: dict[CheckKey, Reading] = {}
        self.squawks: dict[str, Squawk] = {}
        self.present: frozenset[FaultId] = frozenset()
        self._airframe, self._place = airframe, place
        self._done: set[CheckKey] = set()
        self._ticked: set[CheckKey] = set()  # on the card, but nobody did them
        self._current: set[CheckKey] = set()  # read, in part or whole, since it became due
        self._unproved: set[FaultId] = set()

    @property
    def facts(self) -> frozenset[CheckKey]:
        """The checks that are done and hold."""
        return frozenset(self._done)

    @property
    def on_cards(self) -> frozenset[CheckKey]:
        """The checks that the cards show as done."""
        return frozenset(self._done | self._ticked)

    @property
    def unproved(self) -> frozenset[FaultId]:
        """The dangerous faults cured since which no check has come out right."""
        return frozenset(self._unproved)

    def joined(self, reading: Reading) -> Reading:
        """Return a reading filled up with the lines read before since its check became due."""
        check = cast(CheckKey, reading.check)
        return reading.after(self.readings[check]) if check in self._current else reading

    def took(self, check: Check, reading: Reading, rig: Rig) -> None:
        """Keep a reading; the check is a fact once all its lines have been read."""
        self._ticked = interruptions.ticked_unread(self._ticked, check, rig)
        self.due_again(f"read:{check.key}")
        self._current.add(check.key)
        self.readings[check.key] = reading
        if not reading.missing:
            self._done.add(check.key)
            self._unproved = {f for f in self._unproved if not self._proves_gone(f, check.key)}

    def untick(self) -> None:
        """Begin the card anew: what nobody did is no longer ticked."""
        self._ticked.clear()

    def due_again(self, change: str) -> None:
        """Make due again what a change may have made untrue, lines read in part as well."""
        self._done -= voided_by(change)
        self._current -= voided_by(change)

    def due_again_after(self, action: Action) -> None:
        """Make due again what an action that is a fix may have made untrue."""
        fix = fix_of(action)
        if fix is not None:
            self.due_again(fix)

    def became(self, present: frozenset[FaultId]) -> None:
        """Take note of the faults that are there after a change; a dangerous one gone is unproved."""
        gone = self.present - present
        self.present = present
        self._unproved |= {fault for fault in gone if shipped().dangerous(fault)}
        self._unproved -= present

    def written(self, present: frozenset[FaultId]) -> bool:
        """Tell whether one of these faults is dangerous and was written down."""
        claimed = {squawk.cause for squawk in self.squawks.values()}
        return any(shipped().dangerous(fault) for fault in claimed & present)

    def _proves_gone(self, fault: FaultId, check: CheckKey) -> bool:
        """Tell whether a check as read last proves a fault gone: it can, and came out inside."""
        values = self.readings[check].values
        able = check in CATALOGUE[fault].proved_by
        return able and measured(self._airframe, self._place).proves_gone(fault, check, values)
