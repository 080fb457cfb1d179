"""Readings for the studies: each check done as a trainee would do it, by the session.

The aircraft is carried, held, powered and fitted with propellers as the check wants it. Chance is
paired: the sound aircraft and the one with a fault share build, seed and moment. A technical fault
that getting ready undoes (a start cures a moved gyro, and propellers are fitted without power) is
put back for the check: it could have come about at that very start, and the question is what the
check shows of it.
"""

from contextlib import suppress
from copy import deepcopy
from dataclasses import dataclass, field
from functools import cached_property
from math import inf

import numpy as np

from sim.aircraft import library
from sim.aircraft.changes import with_value
from sim.aircraft.library import Design
from sim.bench.checklist import CHECKS
from sim.bench.lines import every_measure
from sim.bench.rig import HANDS_OFF
from sim.diagnosis.evening import evening
from sim.diagnosis.sound import Shown, shown
from sim.errors import Refusal
from sim.faults.catalogue import CATALOGUE
from sim.kernel.clock import TICK_S
from sim.keys import CheckKey, FaultId
from sim.session import actions as act
from sim.session.flying import Flying
from sim.session.scenario import HiddenFault, Scenario
from sim.session.session import Session
from sim.session.severities import stated
from sim.trainees.craftwork import ready
from sim.trainees.driver import Hands

FRESH = "fresh"  # how readings of fresh aircraft are called beside the rounds of an evening
AIRFRAME = library.TRAINER
TECHNICAL = ("airframe", "propulsion", "power", "radio", "sensing", "control")
LONGEST_PAUSE = 400  # ticks; own: nobody starts a check on the same thousandth of a second


class Exactly(HiddenFault):
    """A fault just as bad as stated; in a drill each seed has it a little otherwise."""

    def drawn(self, rng: np.random.Generator) -> float:
        """Return the severity stated."""
        return stated(self.severity)


@dataclass(frozen=True)
class Batch:
    """Checks to be done, each on an aircraft of its own; fault None is the sound aircraft."""

    fault: FaultId | None
    severity: float
    seed: int
    checks: tuple[CheckKey, ...]
    airframe: Design = AIRFRAME


@dataclass(frozen=True)
class Trial:
    """One check done once. refused: the controller would not arm for it."""

    seed: int
    refused: bool = False
    values: dict[str, float] = field(default_factory=dict)

    @cached_property
    def measures(self) -> dict[str, list[float]]:
        """Return the values of each measure of the reading."""
        return every_measure(self.values)

    def same(self, other: "Trial") -> bool:
        """Tell whether both are the same to the last bit, so that nothing can tell them apart."""
        if self.refused != other.refused or list(self.values) != list(other.values):
            return False
        return all(
            a == b or (a != a and b != b)  # NaN is the same as NaN here
            for a, b in zip(self.values.values(), other.values.values(), strict=True)
        )


@dataclass(frozen=True)
class Done:
    """The trials of a batch by check, and what broke off with an error."""

    batch: Batch
    trials: dict[CheckKey, Trial]
    broken: tuple[str, ...] = ()


def drill(fault: FaultId | None, severity: float, airframe: Design = AIRFRAME) -> Scenario:
    """Return a drill with one fault, or none."""
    hidden = () if fault is None else (Exactly(id=fault, severity=severity),)
    return Scenario(
        title="One fault",
        purpose="Measuring",
        origin="invented",
        airframe=airframe,
        faults=hidden,
    )


class Unwatched(Flying):
    """Follows an aircraft without the bookkeeping of the score, which takes time."""

    def notice_change(self) -> None:
        """Ask nobody which faults are left."""

    def look_up(self) -> None:
        """Look up for no hazards."""


class Unscored(Session):
    """A session without the bookkeeping of the score: no reading depends on it."""

    follows = Unwatched

    @property
    def evening_min(self) -> float:
        """No end of the evening: some drills have twice the minutes of others."""
        return inf


def stance(check: CheckKey) -> tuple[object, ...]:
    """Return what has to be alike for two checks to start from the same preparation."""
    return CHECKS[check].follows or CHECKS[check].stance


def twin(session: Session) -> Session:
    """Return an independent copy of a session, down to its random numbers."""
    rig = session.rig
    fixed = (session.scenario, rig.world, rig.tables, rig.craft, rig.target)  # never changed
    return deepcopy(session, {id(thing): thing for thing in fixed})


def put_back(session: Session) -> None:
    """Put technical faults back that getting ready has undone, as bad as they were."""
    for hidden in session.scenario.faults:
        fault = CATALOGUE[hidden.id]
        if fault.family in TECHNICAL and not fault.present(session.truth()):
            start = session.scenario.world(np.random.default_rng(session.seed))
            session.rig.change(with_value(start, "conduct", session.rig.world.conduct))


def trial(session: Session, check: CheckKey) -> Trial:
    """Do one check on a prepared aircraft, after a pause that differs with the seed."""
    hands = Hands(session, session)
    pause = int(np.random.default_rng([session.seed, 1]).integers(1, LONGEST_PAUSE))
    try:
        ready(hands, check)
        put_back(session)
        hands.fly(HANDS_OFF, pause * TICK_S)
        reading = hands.do(act.Read(check=check)).reading
    except Refusal as refusal:
        return Trial(session.seed, refused="will_not_arm" in refusal.reasons)
    assert reading is not None
    return Trial(session.seed, values=dict(reading.values))


def prepared(batch: Batch, check: CheckKey) -> Session:
    """Return a fresh aircraft made ready for a check, as far as it lets itself be."""
    session = Unscored(drill(batch.fault, batch.severity, batch.airframe), batch.seed)
    hands = Hands(session, session)
    with suppress(Refusal):  # what is refused here the check meets too, or is done without
        for earlier in CHECKS[check].follows[-1:]:  # the last loads it most
            ready(hands, earlier)
            hands.do(act.Read(check=earlier))
        ready(hands, check)
    return session


def trials(batch: Batch) -> Done:
    """Do every check of a batch; an error in one is kept and does not stop the others."""
    done: dict[CheckKey, Trial] = {}
    broken: list[str] = []
    waiting: dict[tuple[object, ...], Session] = {}
    for check in batch.checks:
        try:
            if stance(check) not in waiting:
                waiting[stance(check)] = prepared(batch, check)
            done[check] = trial(twin(waiting[stance(check)]), check)
        except Exception as error:
            about = f"{batch.fault or 'no fault'} {batch.severity} seed {batch.seed}"
            broken.append(f"{about} {check}: {error!r}")
    return Done(batch, done, tuple(broken))


@dataclass(frozen=True)
class SoundEvening:
    """An evening on a sound aircraft; `nth` decides what is done between its rounds."""

    nth: int
    seed: int
    airframe: Design = AIRFRAME


def evening_shown(asked: SoundEvening) -> dict[str, Shown]:
    """Return all that an evening on a sound aircraft shows, by round."""
    session = Unscored(drill(None, 0.0, asked.airframe), asked.seed)
    rounds = evening(Hands(session, session), asked.nth)
    return {name: shown(readings) for name, readings in rounds.items()}


def fresh_shown(batch: Batch) -> dict[str, Shown]:
    """Return all that the readings of a batch show, on fresh aircraft."""
    return {FRESH: shown((check, one.values) for check, one in trials(batch).trials.items())}


def load_model() -> None:
    """Load the compiled flight model, so that a process's first batch is no slower than the rest."""
    trials(Batch(None, 0.0, 0, ("stick-display",)))
