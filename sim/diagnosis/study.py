"""The study of every fault against every check: readings with and without, over builds.

Each severity has scattered builds of its own, so that many axes and places are drawn. A few first
looks at the worst, on the very builds that were read without a fault, decide where more are worth
taking: a check that shows nothing of a fault in them is left at that. A fault that is so or not is
read without degrees and counts at each severity.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from itertools import groupby

import numpy as np

from sim.aircraft.library import Design
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
from sim.diagnosis.held import Held
from sim.diagnosis.moved import HARMLESS
from sim.diagnosis.pool import Mapper, no_matter
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


def graded(fault: FaultId, airframe: Design) -> bool:
    """Tell whether a fault has degrees: whether its mildest and its worst differ on one build."""
    mild, worst = (drill(fault, s, airframe).world(np.random.default_rng(0)) for s in (0.0, 1.0))
    return mild != worst


def harmless(fault: FaultId, airframe: Design) -> bool:
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
        airframe: Design,
        runs: int,
        *,
        sound: int = SOUND,
        evenings: int = EVENINGS,
        begins: Callable[[str, int], None] = lambda name, batches: None,
        done: Callable[[], None] = no_matter,
    ) -> None:
        self._spread, self._airframe, self._runs = spread, airframe, runs
        self._sound, self._evenings = max(sound, runs), evenings
        self._begins, self._done = begins, done
        self._lines: dict[CheckKey, Lines] = defaultdict(dict)
        for (check, measure), band in bands.items():
            self._lines[check][measure] = band
        self._held = Held()
        self._found = Measured()

    def measured(self, faults: Iterable[FaultId], checks: Iterable[CheckKey]) -> Measured:
        """Return what each check is worth against each fault at each severity, and the lines."""
        chosen, every = tuple(faults), tuple(checks)
        sound = [self._batch(None, 0.0, n, every) for n in range(self._sound)]
        self._gather("Sound aircraft", sound)
        self._live_evenings()
        reached = self._look_first(chosen, every)
        degrees = {fault: graded(fault, self._airframe) for fault in chosen}
        self._begins("Readings", sum(1 for _ in self._rest(reached, degrees)))
        coming = self._spread(trials, self._rest(reached, degrees), self._done)
        unread = dict.fromkeys(chosen)
        for fault, results in groupby(coming, lambda one: one.batch.fault):
            self._found.broken += self._held.put(results)
            if fault is not None:
                del unread[fault]
                self._weigh(fault, every, reached[fault], degrees[fault])
        for fault in unread:  # what the first looks showed is all there is
            self._weigh(fault, every, reached[fault], degrees[fault])
        return self._found

    def _rest(
        self, reached: dict[FaultId, tuple[CheckKey, ...]], degrees: dict[FaultId, bool]
    ) -> Iterator[Batch]:
        """Give what is left to be read after the first looks, fault by fault."""
        for fault, checks in reached.items():
            times = 1 if degrees[fault] else PLAIN_SEVERITIES
            for severity in SEVERITIES if degrees[fault] else (WORST,):
                for seed in seeds(severity, self._runs * times):
                    if left := self._left(fault, severity, seed, checks):
                        yield self._batch(fault, severity, seed, left)

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
        return tuple(c for c in checks if not self._held.has((fault, severity, c), seed))

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
        first = self._looks(fault, check)
        sound = {one.seed: one for one in self._without_fault(check)}
        if len(first) >= SAME_TWICE and all(
            one.seed in sound and one.same(sound[one.seed]) for one in first
        ):
            return False
        return not first or not self._reaches(fault, check)

    def _gather(self, name: str, batches: list[Batch]) -> None:
        self._begins(name, len(batches))
        self._found.broken += self._held.put(self._spread(trials, batches, self._done))

    def _looks(self, fault: FaultId, check: CheckKey) -> list[Trial]:
        return self._held.trials((fault, WORST, check))

    def _without_fault(self, check: CheckKey) -> list[Trial]:
        return self._held.trials((None, 0.0, check))

    def _reaches(self, fault: FaultId, check: CheckKey) -> bool:
        """Tell whether the first looks showed anything of a fault, or all broke off."""
        first = self._looks(fault, check)
        refused = any(t.refused for t in self._without_fault(check))
        return not first or stands_out(self._lines[check], first, refused)

    def _weigh(
        self,
        fault: FaultId,
        checks: tuple[CheckKey, ...],
        reached: tuple[CheckKey, ...],
        degrees: bool,
    ) -> None:
        """Put what each check is worth against a fault into what was found; let its readings go."""
        mild = degrees and harmless(fault, self._airframe)
        for check in checks:
            sound, worst = self._without_fault(check), self._looks(fault, check)
            if not sound or not worst:
                continue
            if check not in reached:
                self._found.moves[fault, check] = ()
                self._found.detections[fault, check, WORST] = unmoved(sound, worst)
                continue
            faulty = {
                s: self._held.trials((fault, s, check)) if degrees else worst for s in SEVERITIES
            }
            by_severity, marks = worth(fault, self._lines[check], sound, faulty, mild)
            self._found.moves[fault, check] = marks
            self._found.detections |= {(fault, check, s): one for s, one in by_severity.items()}
        self._held.drop(fault)


def everything() -> tuple[tuple[FaultId, ...], tuple[CheckKey, ...]]:
    """Return all faults and all checks."""
    return tuple(CATALOGUE), tuple(CHECKS)
