"""From readings with and without a fault to how well a check tells the two apart. Pure.

Three judges of the same readings, none of whom knows the other:

- *called*: any line of the check lies past the limit from which the careful call this fault. Limits
  are learnt on every other build and tried on the builds left over, and the other way round.
- *doubtful* and *plain*: the one line of the check that carries most of the fault lies outside the
  inner or the outer edge of its band, on the side to which the fault moves it. The line is chosen
  on every other build, too; bands come from other builds altogether.

False alarms are the same shares of sound aircraft that no band and no limit was learnt on. The area
is the chance that the best line lies further out in a reading with the fault than in one without
(Mann-Whitney): against sound aircraft, and against deviations that need no cure.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import nan
from statistics import mean

from sim.bench.bands import Band
from sim.bench.moves import Move
from sim.diagnosis.moved import HARMLESS, Look, look, move
from sim.diagnosis.readings import Trial
from sim.diagnosis.sound import Z_INNER, Z_OUTER
from sim.keys import FaultId
from sim.scoring.detection import auc, wilson

ENOUGH = 6.0  # sigma; own: what lies further out is no plainer to anybody

Lines = dict[str, Band]  # the bands of one check by measure
BySeverity = Mapping[float, Sequence[Trial]]


@dataclass(frozen=True)
class Detection:
    """What a check is worth against a fault of one severity."""

    power: float
    power_low: float
    power_high: float
    false_alarm: float
    readings_n: int
    revealed_by_refusal: float
    best_line: str
    strength: float
    doubtful: float
    doubtful_false_alarm: float
    plain: float
    plain_false_alarm: float
    area: float
    area_to_harmless: float


def looks(trials: Sequence[Trial], band: Band) -> list[Look]:
    """Return the readings of one measure; those that do not have it are left out."""
    seen = ((t.seed, t.measures.get(band.measure)) for t in trials)
    return [look(band, seed, values) for seed, values in seen if values]


@dataclass(frozen=True)
class Half:
    """What was learnt of a fault at a check from some builds: its lines, and the strongest."""

    moves: tuple[Move, ...]
    best: Move | None
    strength: float


def strength(by_severity: Mapping[float, Sequence[Look]], to: Move) -> float:
    """Return how far out a line lies on average over the severities that are faults, in sigma."""
    each = [
        mean(min(one.z(to.side), ENOUGH) for one in seen)
        for severity, seen in by_severity.items()
        if severity > HARMLESS and seen
    ]
    return mean(each) if each else 0.0


def learnt(
    fault: FaultId,
    lines: Lines,
    sound: Sequence[Trial],
    faulty: BySeverity,
    harmless: bool,
) -> Half:
    """Return what some builds tell of a fault at a check."""
    found: list[tuple[float, Move]] = []
    for band in lines.values():
        seen = {severity: looks(trials, band) for severity, trials in faulty.items()}
        mark = move(fault, band, seen, looks(sound, band), harmless) if any(seen.values()) else None
        if mark is not None:
            found.append((strength(seen, mark), mark))
    found.sort(key=lambda one: -one[0])
    best = found[0] if found else None
    return Half(
        tuple(mark for _, mark in found), best[1] if best else None, best[0] if best else 0.0
    )


def called(half: Half, trial: Trial) -> bool:
    """Tell whether the careful would call the fault: by any line, or as the controller won't arm."""
    return trial.refused or any(
        mark.called(value) for mark in half.moves for value in trial.measures.get(mark.measure, ())
    )


def _distances(half: Half, trials: Sequence[Trial], lines: Lines) -> list[float]:
    """Return how far out the strongest line lies in each reading; 0 where it can't be seen."""
    if half.best is None:
        return [0.0] * len(trials)
    band, to = lines[half.best.measure], half.best.side
    by_seed = {one.seed: one.z(to) for one in looks(trials, band)}
    return [by_seed.get(t.seed, 0.0) for t in trials]


def halves(trials: Sequence[Trial]) -> tuple[list[Trial], list[Trial]]:
    """Return the trials of even builds, and of odd ones."""
    return [t for t in trials if t.seed % 2 == 0], [t for t in trials if t.seed % 2 == 1]


@dataclass(frozen=True)
class _Tried:
    """Readings judged by what was learnt on the other half."""

    called: tuple[bool, ...]
    distance: tuple[float, ...]

    def share(self, z: float) -> float:
        return sum(d > z for d in self.distance) / len(self.distance)


def _tried(learnt_on: tuple[Half, Half], trials: Sequence[Trial], lines: Lines) -> _Tried:
    marks: list[bool] = []
    distances: list[float] = []
    for half, rest in zip(learnt_on, reversed(halves(trials)), strict=True):
        marks += [called(half, t) for t in rest]
        distances += _distances(half, rest, lines)
    return _Tried(tuple(marks), tuple(distances))


def _area(faulty: _Tried, without: _Tried | None) -> float:
    return nan if without is None else auc(faulty.distance, without.distance)


def worth(
    fault: FaultId,
    lines: Lines,
    sound: Sequence[Trial],
    faulty: BySeverity,
    harmless: bool,
) -> tuple[dict[float, Detection], tuple[Move, ...]]:
    """Return what a check is worth at each severity, and the fault's lines learnt on all builds.

    harmless : whether severity 0 is a deviation that needs no cure. ValueError without readings.
    """
    if not sound or not any(faulty.values()):
        raise ValueError("needs trials with the fault and without")
    split = {severity: halves(trials) for severity, trials in faulty.items()}
    quiet = halves(sound)
    on = tuple(
        learnt(fault, lines, quiet[n], {s: both[n] for s, both in split.items()}, harmless)
        for n in range(2)
    )
    whole = learnt(fault, lines, sound, faulty, harmless)
    pair = (on[0], on[1])
    still = _tried(pair, sound, lines)
    tried = {s: _tried(pair, trials, lines) for s, trials in faulty.items() if trials}
    small = tried.get(HARMLESS) if harmless else None
    found = {
        severity: _detection(whole, faulty[severity], one, still, small)
        for severity, one in tried.items()
    }
    return found, whole.moves


def _detection(
    whole: Half, trials: Sequence[Trial], seen: _Tried, still: _Tried, small: _Tried | None
) -> Detection:
    n, told = len(seen.called), sum(seen.called)
    low, high = wilson(told, n)
    best = whole.best
    return Detection(
        power=told / n,
        power_low=low,
        power_high=high,
        false_alarm=sum(still.called) / len(still.called),
        readings_n=n,
        revealed_by_refusal=sum(t.refused for t in trials) / n,
        best_line=f"{best.measure} {best.side}" if best else "",
        strength=whole.strength,
        doubtful=seen.share(Z_INNER),
        doubtful_false_alarm=still.share(Z_INNER),
        plain=seen.share(Z_OUTER),
        plain_false_alarm=still.share(Z_OUTER),
        area=_area(seen, still),
        area_to_harmless=_area(seen, small),
    )


def stands_out(lines: Lines, first: Sequence[Trial], refused_sound: bool = False) -> bool:
    """Tell whether a few looks with a fault show anything worth more of them.

    That is: the controller will not arm, one value is plainly outside its band, or the same measure
    is doubtful on the same side in two looks.
    """
    if any(t.refused for t in first) and not refused_sound:
        return True
    return any(_shows(looks(first, band)) for band in lines.values())


def _shows(seen: Sequence[Look]) -> bool:
    for side in ("below", "above"):
        out = sorted((one.z(side) for one in seen), reverse=True)
        if (out and out[0] > Z_OUTER) or (len(out) > 1 and out[1] > Z_INNER):
            return True
    return False


def unmoved(sound: Sequence[Trial], first: Sequence[Trial]) -> Detection:
    """Return the worth of a check in which a few looks showed nothing of a fault: none."""
    refused = sum(t.refused for t in sound) / len(sound)
    low, high = wilson(0, len(first))
    return Detection(
        power=refused,
        power_low=low,
        power_high=max(high, refused),
        false_alarm=refused,
        readings_n=len(first),
        revealed_by_refusal=refused,
        best_line="",
        strength=0.0,
        doubtful=0.0,
        doubtful_false_alarm=0.0,
        plain=0.0,
        plain_false_alarm=0.0,
        area=0.5,
        area_to_harmless=nan,
    )
