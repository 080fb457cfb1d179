"""Trainees whose rung is planted: they know the one fault there is, and stop at a rung on purpose.

What such a one set out to do and did is the truth; the scorer is told nothing of it and reads the
journal's record like any other. How far both agree, rung by rung, is the scorer's agreement with
planted truth. A plan that could not be carried out is left out, and why is counted.
"""

from dataclasses import dataclass
from typing import Any

from sim.bench.reading import Reading
from sim.diagnosis.readings import drill
from sim.errors import Refusal
from sim.faults.catalogue import CATALOGUE
from sim.keys import CheckKey, FaultId
from sim.procedure.rubric import shipped
from sim.scoring.scorecard import scorecard
from sim.session import actions as act
from sim.session.session import Session
from sim.trainees.craftwork import claim, cure, read
from sim.trainees.driver import Hands
from sim.trainees.judges.finding import Finding

RUNGS = ("noticed", "named", "cleared", "proved")  # of a fault, in their order
SEVERITY = 0.8  # 1; own: bad enough for a careful eye, short of the worst
TRIES = 3  # own: as often as the careful try a cure
NOT_SHOWN, NO_TWIN, NOT_CURED, REFUSED = (
    "no check showed the fault",
    "nothing else could be named by the same line",
    "the cure did not cure it",
    "something was refused",
)


class LeftOut(Exception):
    """A plan that could not be carried out."""


@dataclass(frozen=True)
class Plan:
    """A fault, and how many of its rungs are climbed."""

    fault: FaultId
    rungs: int
    seed: int


@dataclass(frozen=True)
class Climbed:
    """A plan, and which rungs the scorer gave for it; `left_out` says why it was not carried out."""

    fault: FaultId
    rungs: int
    scored: tuple[bool, ...] = ()
    left_out: str = ""

    @property
    def planned(self) -> tuple[bool, ...]:
        """Which rungs were climbed."""
        return tuple(n < self.rungs for n in range(len(RUNGS)))


class Climber:
    """One trainee at one fault."""

    def __init__(self, plan: Plan) -> None:
        self.fault = CATALOGUE[plan.fault]
        self.session = Session(drill(plan.fault, SEVERITY), plan.seed)
        self.hands = Hands(self.session, self.session)

    def climbs(self, rungs: int) -> None:
        """Climb so many rungs and end on the bench; LeftOut if it can't be done."""
        check, finding = self._seen()
        if rungs == 1:
            self.hands.do(self._twin(check, finding))
        if rungs >= 2:
            claim(self.hands, finding)
        if rungs >= 3:
            self._cures(finding)
        if rungs >= 4:
            self._proves()

    def card(self) -> dict[str, Any]:
        """Return the scorecard."""
        scenario = self.session.scenario
        record = self.session.record()
        return scorecard(record, "planted", scenario.title, shipped(), scenario.tables)

    def _checks(self) -> tuple[CheckKey, ...]:
        return tuple(dict.fromkeys((*self.fault.revealed_by, *self.fault.proved_by)))

    def _finding(self, reading: Reading) -> Finding | None:
        found = (f for f in self.hands.suspects(reading) if f.squawk.cause == self.fault.id)
        return next(found, None)

    def _seen(self) -> tuple[CheckKey, Finding]:
        """Return the first check that shows the fault to a careful eye, and what it shows."""
        for check in self._checks():
            try:
                reading = read(self.hands, check)
            except Refusal:
                continue
            if finding := self._finding(reading):
                return check, finding
        raise LeftOut(NOT_SHOWN)

    def _twin(self, check: CheckKey, finding: Finding) -> act.Squawk:
        """Return a claim of another cause, akin, that the same line speaks for."""
        there = self.session.record().present_at_start
        squawk = finding.squawk
        values = self.hands.see().readings[check].values
        spoken = self.hands.measured.spoken_for(check, values, squawk.line)
        if self.fault.id in spoken:
            for cause in sorted(spoken - there):
                other = CATALOGUE[cause]
                if other.family == self.fault.family or other.item == self.fault.item:
                    return squawk.model_copy(update={"cause": cause, "item": other.item})
        raise LeftOut(NO_TWIN)

    def _cures(self, finding: Finding) -> None:
        for _ in range(TRIES):
            cure(self.hands, finding)
            if self.fault.id not in self.session.record().present_now:
                return
            _, finding = self._seen()
        raise LeftOut(NOT_CURED)

    def _proves(self) -> None:
        """Do a check that proves it gone; look twice where the first look still shows it."""
        for _ in range(2):
            if self._finding(read(self.hands, self.fault.proved_by[0])) is None:
                return


def climbed(plan: Plan) -> Climbed:
    """Carry a plan out and have it scored."""
    one = Climber(plan)
    try:
        one.climbs(plan.rungs)
    except LeftOut as why:
        return Climbed(plan.fault, plan.rungs, left_out=str(why))
    except Refusal:
        return Climbed(plan.fault, plan.rungs, left_out=REFUSED)
    one.hands.tries(act.UnplugPack())
    one.hands.do(act.Declare(verdict="stay on the bench", reason="that was the plan"))
    row = next(row for row in one.card()["faults"] if row["id"] == plan.fault)
    named = row["named"] == 1.0
    return Climbed(plan.fault, plan.rungs, (row["noticed"], named, row["cleared"], row["proved"]))


def plans() -> list[Plan]:
    """Return plans for every fault that a check can show, each number of rungs from none to all."""
    faults = [name for name, fault in CATALOGUE.items() if not fault.only_in_the_air]
    return [
        Plan(fault, rungs, seed=n * (1 + len(RUNGS)) + rungs)
        for n, fault in enumerate(faults)
        for rungs in range(1 + len(RUNGS))
    ]
