"""The study of every fault against every check: readings with and without, over builds.

Each severity has scattered builds of its own, so that many axes and places are drawn. A few first
looks at the worst, on the very builds that were read without a fault, decide where more are worth
taking: a check that shows nothing of a fault in them is left at that. A fault that is so or not is
read without degrees and counts at each severity.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

import numpy as np

from sim.bench.bands import Bands
from sim.bench.checklist import CHECKS
from sim.bench.moves import Move
from sim.diagnosis.bandstudy import APART
from sim.diagnosis.detection import (
    Detection,
    Lines,
    stands_out,
    unmoved,
    worth,
)
from sim.diagnosis.moved import HARMLESS
from sim.diagnosis.pool import Mapper
from sim.diagnosis.readings import Batch, SoundEvening, Trial, drill, evening_shown, trials
from sim.diagnosis.sound import Shown
from sim.faults.catalogue import CATALOGUE
from sim.faults.severity import truth_of
from sim.keys import CheckKey, FaultId

MIDDLING = 0.5  # severity a check is judged at
WORST = 1.0  # severity; definition
SEVERITIES = (HARMLESS, 0.1, 0.2, 0.3, MIDDLING, 0.8, WORST)  # design
BUILDS_APART = 1000  # own: more than the builds of one severity; even, so that halves stay halves
PLAIN_SEVERITIES = (
    3  # definition: 0.5, 0.8 and 1; what has no degrees gets the builds of all of them
)
LOOKS = 3  # own: first looks at the worst
SAME_TWICE = 2  # looks; own: the same bits on two builds, and a fault does not reach a check
SOUND = 60  # own: sound builds against whose readings all are held
EVENINGS = 40  # own: sound evenings in which the careful's false calls are counted

Key = tuple[FaultId | None, float, CheckKey]


@dataclass
class Measured:
    """What a study has found out.

    detections : by fault, check and severity; moves : by fault and check measured, empty where a
    fault leaves no mark; evenings : what sound evenings showed; broken : what broke off.
    """

    detections: dict[tuple[FaultId, CheckKey, float], Detection] = field(default_factory=dict)
    moves: dict[tuple[FaultId, CheckKey], tuple[Move, ...]] = field(default_factory=dict)
    evenings: list[Shown] = field(default_factory=list)
    broken: list[str] = field(default_factory=list)


def graded(fault: FaultId, airframe: str) -> bool:
    """Tell whether a fault has degrees: whether its mildest and its worst differ on one build."""
    mild, worst = (drill(fault, s, airframe).world(np.random.default_rng(0)) for s in (0.0, 1.0))
    return mild != worst


def harmless(fault: FaultId, airframe: str) -> bool:
    """Tell whether severity 0 of a fault is a deviation that needs no cure."""
    mild = drill(fault, HARMLESS, airframe).world(np.random.default_rng(0))
    return not CATALOGUE[fault].present(truth_of(mild))


def seeds(severity: float, runs: int) -> range:
    """Return the seeds of a severity's builds; those of the worst are also read without a fault."""
    first = BUILDS_APART * SEVERITIES[::-1].index(severity)
    return range(first, first + runs)


class Study:
    """Readings gathered stage by stage.

    runs : builds on which each check is done with each fault and severity; sound, evenings : how
    many of each are read without a fault. begins : told how many batches a stage has and its name;
    done : told after each batch.
    """

    def __init__(
        self,
        spread: Mapper,
        bands: Bands,
        airframe: str,
        runs: int,
        *,
        sound: int = SOUND,
        evenings: int = EVENINGS,
        begins: Callable[[str, int], None] = lambda name, batches: None,
        done: Callable[[], None] = lambda: None,
    ) -> None:
        self._spread, self._airframe, self._runs = spread, airframe, runs
        self._sound, self._evenings = max(sound, runs), evenings
        self._begins, self._done = begins, done
        self._lines: dict[CheckKey, Lines] = defaultdict(dict)
        for (check, measure), band in bands.items():
            self._lines[check][measure] = band
        self._trials: dict[Key, dict[int, Trial]] = defaultdict(dict)
        self._found = Measured()

    def measured(self, faults: Iterable[FaultId], checks: Iterable[CheckKey]) -> Measured:
        """Return what each check is worth against each fault at each severity, and the lines."""
        chosen, every = tuple(faults), tuple(checks)
        self._gather(
            "Sound aircraft", [self._batch(None, 0.0, n, every) for n in range(self._sound)]
        )
        self._live_evenings()
        reached = self._look_first(chosen, every)
        degrees = {fault: graded(fault, self._airframe) for fault in chosen}
        rest = [
            self._batch(fault, severity, seed, left)
            for fault in chosen
            for severity in (SEVERITIES if degrees[fault] else (WORST,))
            for seed in seeds(severity, self._runs * (1 if degrees[fault] else PLAIN_SEVERITIES))
            if (left := self._left(fault, severity, seed, reached[fault]))
        ]
        self._gather("Readings", rest)
        for fault in chosen:
            for check in every:
                self._weigh(fault, check, check in reached[fault], degrees[fault])
        return self._found

    def _batch(
        self, fault: FaultId | None, severity: float, seed: int, checks: tuple[CheckKey, ...]
    ) -> Batch:
        return Batch(fault, severity, seed, checks, self._airframe)

    def _live_evenings(self) -> None:
        """Take evenings on sound builds of which no band has heard."""
        asked = [SoundEvening(n, 2 * APART + n, self._airframe) for n in range(self._evenings)]
        self._begins("Sound evenings", len(asked))
        for rounds in self._spread(evening_shown, asked, self._done):
            self._found.evenings += [rounds["first round"]]

    def _left(
        self, fault: FaultId, severity: float, seed: int, checks: tuple[CheckKey, ...]
    ) -> tuple[CheckKey, ...]:
        """Return the checks not yet done with this fault, severity and seed."""
        return tuple(c for c in checks if seed not in self._trials[fault, severity, c])

    def _look_first(
        self, faults: tuple[FaultId, ...], checks: tuple[CheckKey, ...]
    ) -> dict[FaultId, tuple[CheckKey, ...]]:
        """Take the first looks, each only where it is still open; return what each fault reaches."""
        for n in range(LOOKS):
            open_yet = {f: tuple(c for c in checks if self._open(f, c)) for f in faults}
            batches = [self._batch(f, WORST, n, left) for f, left in open_yet.items() if left]
            self._gather(f"First looks, {n + 1} of {LOOKS}", batches)
        return {f: tuple(c for c in checks if self._reaches(f, c)) for f in faults}

    def _open(self, fault: FaultId, check: CheckKey) -> bool:
        """Tell whether a further look is wanted: nothing seen yet, and not the same bits twice."""
        sound, first = self._trials[None, 0.0, check], self._looks(fault, check)
        if len(first) >= SAME_TWICE and all(
            one.seed in sound and one.same(sound[one.seed]) for one in first
        ):
            return False
        return not first or not self._reaches(fault, check)

    def _gather(self, name: str, batches: list[Batch]) -> None:
        self._begins(name, len(batches))
        for result in self._spread(trials, batches, self._done):
            self._found.broken += result.broken
            for check, one in result.trials.items():
                key = (result.batch.fault, result.batch.severity, check)
                self._trials[key][result.batch.seed] = one

    def _looks(self, fault: FaultId, check: CheckKey) -> list[Trial]:
        return _in_order(self._trials[fault, WORST, check])

    def _reaches(self, fault: FaultId, check: CheckKey) -> bool:
        """Tell whether the first looks showed anything of a fault, or all broke off."""
        first = self._looks(fault, check)
        refused = any(t.refused for t in self._trials[None, 0.0, check].values())
        return not first or stands_out(self._lines[check], first, refused)

    def _weigh(self, fault: FaultId, check: CheckKey, reached: bool, degrees: bool) -> None:
        """Put what a check is worth against a fault into what was found."""
        sound = _in_order(self._trials[None, 0.0, check])
        worst = _in_order(self._trials[fault, WORST, check])
        faulty = {
            s: _in_order(self._trials[fault, s, check]) if degrees else worst for s in SEVERITIES
        }
        if not sound or not worst:
            return
        if not reached:
            self._found.moves[fault, check] = ()
            self._found.detections[fault, check, WORST] = unmoved(sound, worst)
            return
        mild = degrees and harmless(fault, self._airframe)
        by_severity, marks = worth(fault, self._lines[check], sound, faulty, mild)
        self._found.moves[fault, check] = marks
        self._found.detections |= {(fault, check, s): one for s, one in by_severity.items()}


def _in_order(by_seed: dict[int, Trial]) -> list[Trial]:
    return [by_seed[seed] for seed in sorted(by_seed)]


def everything() -> tuple[tuple[FaultId, ...], tuple[CheckKey, ...]]:
    """Return all faults and all checks."""
    return tuple(CATALOGUE), tuple(CHECKS)
