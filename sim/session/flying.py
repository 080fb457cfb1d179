"""The part of a session that watches the aircraft: takeoffs, crashes, landings, what was proved."""

from abc import ABC, abstractmethod

import numpy as np

from sim.bench.evidence import measured
from sim.bench.reading import Reading
from sim.bench.rig import History, Rig
from sim.bench.warming import Warming
from sim.faults.catalogue import CATALOGUE, present_faults
from sim.faults.fault import Truth
from sim.keys import CheckKey, FaultId, HazardKey
from sim.procedure import hazards
from sim.procedure.facts import voided_by
from sim.procedure.rubric import shipped
from sim.session import actions as act
from sim.session.hops import Hops
from sim.session.record import Logged
from sim.session.view import Seen
from sim.session.watch import FlightWatch
from sim.session.wreck import wrecked


class Flying(ABC):
    """Follows one aircraft on the pad and in the air, and keeps what a flight does to an evening.

    chance : of what breaks, of spare parts and of work.
    """

    def __init__(self, rig: Rig, airframe: str, chance: np.random.Generator) -> None:
        self.rig = rig
        self.phase = "bench"
        self.minutes = 0.0  # spent of the evening
        self._airframe = airframe
        self._chance = chance
        self._warming = Warming()
        self._facts: set[CheckKey] = set()
        self._readings: dict[CheckKey, Reading] = {}
        self._current: set[CheckKey] = set()  # read, in part or whole, since it became due
        self._squawks: dict[str, act.Squawk] = {}
        self._hazards: list[Logged] = []
        self._trace: list[np.ndarray] = []
        self._watch = FlightWatch()
        self._hops = Hops()
        self._unproved: set[FaultId] = set()
        self._present: frozenset[FaultId] = frozenset()

    @abstractmethod
    def truth(self) -> Truth:
        """Return what predicates look at."""

    @abstractmethod
    def _seen(self) -> Seen: ...

    @abstractmethod
    def _settle_phase(self) -> None: ...

    def _watch_flight(self) -> None:
        """Look up after a stretch of time: did it leave the floor, must it be cut, did it crash."""
        if self.phase == "pad" and self._watch.took_off(self.rig):
            self._take_off()
        self._watch.watch_alarm(self.rig)
        self._log_all(self._watch.unsafe(self.rig, self._seen()))
        if self.rig.value("crash") != 0.0:
            self._crash()
        if self._watch.came_down(self.rig, self._seen()):
            self._come_down()

    def _crash(self) -> None:
        """Take note of a crash at once, and of what it broke when the rotors stand still."""
        if not self._hops.crashed:
            self._hops.crashed = True
            self._log("crashed")
            self._due_again("crash")
        still = self.rig.value("armed") == 0.0 and not self._seen().rotors_turning
        if still and not self._hops.wrecked:
            self._hops.wrecked = True
            self.rig.change(wrecked(self.rig, self._chance))
            self._notice_change()

    def _take_off(self) -> None:
        self.phase = "hop"
        present = present_faults(self.truth())
        self._hops.began(self._watch.takeoff_s or 0.0, present)
        known = {s.cause for s in self._squawks.values()} & present
        if any(shipped().dangerous(cause) for cause in known):
            self._log("fly-known-fault")
        if self._unproved:
            self._log("fly-unproved-fix")
        self._log_all(hazards.on_takeoff(self.rig.world))

    def _come_down(self) -> None:
        """End the hop: the pack is warm, and what a hop may have changed is due again."""
        ended, track = self._hops.over(self.rig), History(np.vstack(self._trace))
        flown = track["time_s"] >= ended.takeoff_s
        self._warming.flown(self.rig, History(track.rows[flown]))
        self._due_again("hop")
        self._settle_phase()
        self._notice_change()

    def _notice_change(self) -> None:
        """Work out which faults are there after a change of build, setup, site or conduct."""
        before = self._present
        self._present = present_faults(self.truth())
        self._unproved |= {gone for gone in before - self._present if shipped().dangerous(gone)}
        self._unproved -= self._present

    def _due_again(self, change: str) -> None:
        """Make due again what a change may have made untrue, lines read in part as well."""
        self._facts -= voided_by(change)
        self._current -= voided_by(change)

    def _proves_gone(self, fault: FaultId, check: CheckKey) -> bool:
        """Tell whether a check as read last proves a fault gone: it can, and came out inside."""
        values = self._readings[check].values
        able = check in CATALOGUE[fault].proved_by
        return able and measured(self._airframe).proves_gone(fault, check, values)

    def _log(self, hazard: HazardKey) -> None:
        if hazard not in {h.id for h in self._hazards}:
            critical = hazards.HAZARDS[hazard].critical
            self._hazards.append(Logged(hazard, self.rig.time_s, critical, self.minutes))

    def _log_all(self, found: list[HazardKey]) -> None:
        for hazard in found:
            self._log(hazard)
