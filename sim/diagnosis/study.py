"""The study of every fault against every check: readings with and without, over seeds.

A check is done as a trainee would do it: through the session, with the aircraft carried, held,
powered and fitted with propellers as the check wants it. Chance is paired: the sound aircraft and
the one with the fault share seed and moment. A few first looks decide where more are worth taking:
a check that shows nothing of a fault in them is left at that. A technical fault that getting ready
undoes (a start cures a moved gyro, and propellers are fitted without power) is put back for the
check: it could have come about at that very start, and the question is what the check shows of it.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable
from contextlib import suppress
from copy import deepcopy
from dataclasses import dataclass

import numpy as np

from sim.aircraft.changes import with_value
from sim.bench.checklist import CHECKS
from sim.bench.rig import HANDS_OFF
from sim.diagnosis.detection import Detection, Trial, detect, stands_out, unmoved
from sim.diagnosis.pool import Mapper
from sim.errors import Refusal
from sim.faults.catalogue import CATALOGUE
from sim.kernel.clock import TICK_S
from sim.keys import CheckKey, FaultId
from sim.session import actions as act
from sim.session.scenario import HiddenFault, Scenario
from sim.session.session import Session
from sim.trainees.craftwork import ready
from sim.trainees.driver import Hands
from sim.trainees.judgement import judged

MIDDLING = 0.5  # severity a check is judged at
SEVERITIES = (0.3, MIDDLING, 0.8)  # 1; a drill spreads each by 0.1, as it does here
LOOKS = ((MIDDLING, 0), (0.8, 1), (MIDDLING, 2))  # (severity, seed) of the first looks
SAME_TWICE = 2  # looks; own: the same bits at two severities, and a fault does not reach a check
TECHNICAL = ("airframe", "propulsion", "power", "radio", "sensing", "control")
LONGEST_PAUSE = 400  # ticks; own: nobody starts a check on the same thousandth of a second


@dataclass(frozen=True)
class Batch:
    """Checks to be done, each on an aircraft of its own; fault None is the sound aircraft."""

    fault: FaultId | None
    severity: float
    seed: int
    checks: tuple[CheckKey, ...]


@dataclass(frozen=True)
class Done:
    """The trials of a batch by check, and what broke off with an error."""

    batch: Batch
    trials: dict[CheckKey, Trial]
    broken: tuple[str, ...] = ()


Key = tuple[FaultId | None, float, CheckKey]
Results = dict[tuple[FaultId, CheckKey, float], Detection]


def drill(fault: FaultId | None, severity: float) -> Scenario:
    """Return a drill with one fault, or none."""
    hidden = () if fault is None else (HiddenFault(id=fault, severity=severity),)
    return Scenario(title="One fault", purpose="Measuring", origin="invented", faults=hidden)


class Unscored(Session):
    """A session in which nobody asks after each action which faults are left: that takes time."""

    def _notice_change(self) -> None:
        """Leave the bookkeeping of the score alone; no reading depends on it."""


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
    findings = judged(reading, hands.sheet)
    return Trial(session.seed, flagged=bool(findings), values=dict(reading.values))


def prepared(batch: Batch, check: CheckKey) -> Session:
    """Return a fresh aircraft made ready for a check, as far as it lets itself be."""
    session = Unscored(drill(batch.fault, batch.severity), batch.seed)
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


def load_model() -> None:
    """Load the compiled flight model, so that a process's first batch is no slower than the rest."""
    trials(Batch(None, 0.0, 0, ("stick-display",)))


class Study:
    """Readings gathered stage by stage.

    runs : readings of each check with each fault and severity, and on the sound aircraft.
    begins : told how many batches a stage has and its name; done : told after each batch.
    """

    def __init__(
        self,
        spread: Mapper,
        runs: int,
        begins: Callable[[str, int], None] = lambda name, batches: None,
        done: Callable[[], None] = lambda: None,
    ) -> None:
        self._spread, self._runs, self._begins, self._done = spread, runs, begins, done
        self._trials: dict[Key, dict[int, Trial]] = defaultdict(dict)
        self.broken: list[str] = []

    def detections(self, faults: Iterable[FaultId], checks: Iterable[CheckKey]) -> Results:
        """Return what each check is worth against each fault at each severity."""
        chosen, every = tuple(faults), tuple(checks)
        self._gather("Sound aircraft", [Batch(None, 0.0, s, every) for s in range(self._runs)])
        reached = self._look_first(chosen, every)
        rest = [
            Batch(fault, severity, seed, left)
            for fault in chosen
            for severity in SEVERITIES
            for seed in range(self._runs_at(severity))
            if (left := self._left(fault, severity, seed, reached[fault]))
        ]
        self._gather("Readings", rest)
        return {
            (fault, check, severity): found
            for fault in chosen
            for check in every
            for severity in SEVERITIES
            if (found := self._worth(fault, check, severity, check in reached[fault])) is not None
        }

    def _runs_at(self, severity: float) -> int:
        """Return how many seeds: all at the severity checks are judged at, else half of them."""
        return self._runs if severity == MIDDLING else (self._runs + 1) // 2

    def _left(
        self, fault: FaultId, severity: float, seed: int, checks: tuple[CheckKey, ...]
    ) -> tuple[CheckKey, ...]:
        """Return the checks not yet done with this fault, severity and seed."""
        return tuple(c for c in checks if seed not in self._trials[fault, severity, c])

    def _look_first(
        self, faults: tuple[FaultId, ...], checks: tuple[CheckKey, ...]
    ) -> dict[FaultId, tuple[CheckKey, ...]]:
        """Take the first looks, each only where it is still open; return what each fault reaches."""
        for n, (severity, seed) in enumerate(LOOKS, start=1):
            open_yet = {f: tuple(c for c in checks if self._open(f, c)) for f in faults}
            batches = [Batch(f, severity, seed, left) for f, left in open_yet.items() if left]
            self._gather(f"First looks, {n} of {len(LOOKS)}", batches)
        return {f: tuple(c for c in checks if self._reaches(f, c)) for f in faults}

    def _open(self, fault: FaultId, check: CheckKey) -> bool:
        """Tell whether a further look is wanted: nothing seen yet, and not the same bits twice."""
        sound, looks = self._trials[None, 0.0, check], self._looks(fault, check)
        if not looks:
            return True
        if len(looks) >= SAME_TWICE and all(
            one.seed in sound and one.same(sound[one.seed]) for one in looks
        ):
            return False
        return not stands_out(_in_order(sound), looks)

    def _gather(self, name: str, batches: list[Batch]) -> None:
        self._begins(name, len(batches))
        for result in self._spread(trials, batches, self._done):
            self.broken += result.broken
            for check, one in result.trials.items():
                key = (result.batch.fault, result.batch.severity, check)
                self._trials[key][result.batch.seed] = one

    def _looks(self, fault: FaultId, check: CheckKey) -> list[Trial]:
        seen = (self._trials[fault, severity, check].get(seed) for severity, seed in LOOKS)
        return [one for one in seen if one is not None]

    def _reaches(self, fault: FaultId, check: CheckKey) -> bool:
        """Tell whether the first looks showed anything of a fault, or all broke off."""
        looks = self._looks(fault, check)
        return not looks or stands_out(_in_order(self._trials[None, 0.0, check]), looks)

    def _worth(
        self, fault: FaultId, check: CheckKey, severity: float, reached: bool
    ) -> Detection | None:
        sound = _in_order(self._trials[None, 0.0, check])
        if not sound:
            return None
        if not reached:
            return unmoved(sound, self._looks(fault, check))
        faulty = _in_order(self._trials[fault, severity, check])
        return detect(sound, faulty) if faulty else None


def _in_order(by_seed: dict[int, Trial]) -> list[Trial]:
    return [by_seed[seed] for seed in sorted(by_seed)]


def everything() -> tuple[tuple[FaultId, ...], tuple[CheckKey, ...]]:
    """Return all faults and all checks."""
    return tuple(CATALOGUE), tuple(CHECKS)
