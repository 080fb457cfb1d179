"""From a report to causes: how likely its words are after each fault, by simulated hops.

The chance of a report under a fault of one severity is the mean, over hops flown with it, of the
chance that somebody who was at that hop says just these words (`sim/reproduce/words/hearing.py`).
So what goes together in a hop counts once: a hop that flips also rolls, and the words "rolled,
flipped" are judged hop by hop, never as if each were news of its own.

A handful of hops are not all that a fault can do. Each symptom of a new hop is taken to be as in one
of the simulated hops with the chance `LIKE_ONE`, else drawn anew from all hops of that severity (its
share there with a beta prior). With `LIKE_ONE` at 0 this would be naive Bayes.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from math import log
from typing import cast

import numpy as np

from sim.faults.severity import LIMIT_AT
from sim.keys import CheckKey, FaultId
from sim.reproduce.causes import NONE, Cause, Causes
from sim.reproduce.words.changes import RAISED, concerned
from sim.reproduce.words.flight import Hands, Values
from sim.reproduce.words.hearing import INDEX, WHEN_TOLD, WHENS, likelihood
from sim.reproduce.words.observed import SYMPTOMS
from sim.reproduce.words.report import LET_GO, Report
from sim.reproduce.words.table import SOUND, Row

LIKE_ONE = 0.7  # 1; measured: hops not used for the table are told best so
CELL_HOPS = 2.0  # hops; own: weight of the fault's other severities in the shares of one
FAULT_HOPS = 1.0  # hops; own: weight of sound aircraft in the shares of a fault: beta prior
LET_GO_SHARE = 0.2  # 1; own: of reports that don't say, those where nobody moved the sticks
NOTICED = 0.9  # 1; own: of what a check shows, how much a person takes up
MADE_UP = 0.02  # 1; own: a check said to have shown it that showed nothing
CAME_SINCE = 0.15  # 1; own: faults that came after the checks that were passed
EDGES = (0.05, 0.5, 0.95)  # 1; definition: where a severity interval has its ends and middle

Called = Callable[[FaultId | None, CheckKey, float], float]
"""The chance that a check is called with a fault of a severity; None is the sound aircraft."""


def never_called(fault: FaultId | None, check: CheckKey, severity: float) -> float:
    """Know nothing of checks."""
    return 0.0


@dataclass(frozen=True)
class _Cell:
    """Hops with one fault of one severity, flown one way.

    there : chance of each symptom in a hop like it; when : of each phase; weight : of the hops, sum 1.
    """

    rows: tuple[Row, ...]
    there: Values
    when: Values
    weight: Values


@dataclass(frozen=True)
class _Fault:
    """All cells of a fault, by severity and hands, and the share of severities each stands for."""

    name: str
    severities: tuple[float, ...]
    bins: tuple[tuple[float, float], ...]
    cells: dict[tuple[float, Hands], _Cell]


def bins(severities: Sequence[float]) -> tuple[tuple[float, float], ...]:
    """Return for each severity measured the stretch it stands for, of all from the limit to 1."""
    middles = [(a + b) / 2.0 for a, b in pairwise(severities)]
    edges = [LIMIT_AT, *middles, 1.0]
    return tuple(pairwise(edges))


def _bits(rows: Sequence[Row]) -> Values:
    bits = np.zeros((len(rows), len(SYMPTOMS)))
    for n, row in enumerate(rows):
        bits[n, [INDEX[word] for word in row.shown]] = 1.0
    return bits


def _whens(rows: Sequence[Row]) -> Values:
    whens = np.zeros((len(rows), len(WHENS)))
    for n, row in enumerate(rows):
        whens[n, WHENS.index(row.when or "never")] = 1.0
    return whens


def _pulled(values: Values, hops: Values, towards: Values, weight: float) -> Values:
    """Return the shares of what is so, with a beta prior of so many hops."""
    share: Values = (hops @ values + weight * towards) / (hops.sum() + weight)
    return share


def _cell(rows: Sequence[Row], bits: Values, whens: Values) -> _Cell:
    """Return a cell. bits, whens : the shares of what its hops' shares are pulled towards."""
    hops = np.array([float(row.hops) for row in rows])
    own_bits, own_whens = _bits(rows), _whens(rows)
    redrawn = _pulled(own_bits, hops, bits, CELL_HOPS), _pulled(own_whens, hops, whens, CELL_HOPS)
    there = LIKE_ONE * own_bits + (1.0 - LIKE_ONE) * redrawn[0]
    when = LIKE_ONE * own_whens + (1.0 - LIKE_ONE) * redrawn[1]
    return _Cell(tuple(rows), there, when, hops / hops.sum())


def _even(count: int) -> Values:
    """Return the shares before anything is known: none of the symptoms is likely."""
    return np.full(count, 1.0 / (count + 1.0))


HANDS: tuple[Hands, ...] = ("steered", "let-go")


@cache
def weighed(rows: tuple[Row, ...]) -> tuple[_Fault, ...]:
    """Return a table made ready for weighing, sound aircraft first."""
    by_fault: dict[str, list[Row]] = {}
    for row in rows:
        by_fault.setdefault(row.fault, []).append(row)
    names = [SOUND, *(name for name in by_fault if name != SOUND)]
    base = {hands: (_even(len(SYMPTOMS)), _even(len(WHENS))) for hands in HANDS}
    found = []
    for name in names:
        severities = tuple(sorted({row.severity for row in by_fault[name]}))
        cells: dict[tuple[float, Hands], _Cell] = {}
        for hands in HANDS:
            mine = [row for row in by_fault[name] if row.hands == hands]
            hops = np.array([float(row.hops) for row in mine])
            bits = _pulled(_bits(mine), hops, base[hands][0], FAULT_HOPS)
            whens = _pulled(_whens(mine), hops, base[hands][1], FAULT_HOPS)
            if name == SOUND:
                base[hands] = (bits, whens)
            for severity in severities:
                some = [row for row in mine if row.severity == severity]
                cells[severity, hands] = _cell(some, bits, whens)
        found.append(_Fault(name, severities, bins(severities), cells))
    return tuple(found)


def _of_hops(report: Report, cell: _Cell) -> Values:
    """Return how likely the words about a flight are, hop by hop, times the hop's weight."""
    chance = cell.weight * likelihood(cell.there, report.told)
    if report.when is not None:
        chance = chance * (cell.when @ WHEN_TOLD[:, WHENS.index(report.when)])
    return chance


def _of_checks(report: Report, fault: FaultId | None, severity: float, called: Called) -> float:
    """Return how likely it is that the checks named came out as is said."""
    chance = 1.0
    if report.check is not None:
        chance = MADE_UP + (1.0 - MADE_UP) * NOTICED * called(fault, report.check, severity)
    passed = 1.0
    for check in dict.fromkeys(report.worked or ()):
        passed *= 1.0 - NOTICED * called(fault, check, severity)
    since = 0.0 if fault is None else CAME_SINCE
    return chance * (since + (1.0 - since) * passed)


def hands_of(report: Report) -> dict[Hands, float]:
    """Return how the flight was flown, with chances."""
    if report.sticks is None:
        return {"steered": 1.0 - LET_GO_SHARE, "let-go": LET_GO_SHARE}
    return {"let-go": 1.0} if report.sticks == (LET_GO,) else {"steered": 1.0}


def quantiles(
    stretches: Sequence[tuple[float, float]], weights: Sequence[float]
) -> tuple[float, float, float]:
    """Return 5 %, 50 % and 95 % of a severity spread evenly within stretches of these weights."""
    sums = np.concatenate(([0.0], np.cumsum(weights))) / sum(weights)
    ends = [stretches[0][0], *(high for _, high in stretches)]
    low, middle, high = (round(float(np.interp(edge, sums, ends)), 3) for edge in EDGES)
    return low, middle, high


def _cause(report: Report, fault: _Fault, called: Called) -> Cause:
    name = None if fault.name == SOUND else cast(FaultId, fault.name)
    flown = report.when != "at-the-bench"
    flown_as: dict[Hands, float] = hands_of(report) if flown else {"steered": 1.0}
    by_severity: list[float] = []
    places: dict[str, float] = {}
    best: dict[str, tuple[float, int]] = {}
    for severity, (low, high) in zip(fault.severities, fault.bins, strict=True):
        share = (high - low) * _of_checks(report, name, severity, called) / (1.0 - LIMIT_AT)
        total = 0.0
        for hands, chance in flown_as.items():
            cell = fault.cells[severity, hands]
            mine = share * chance * (_of_hops(report, cell) if flown else cell.weight)
            total += float(mine.sum())
            for row, weight in zip(cell.rows, mine.tolist(), strict=True):
                places[row.place] = places.get(row.place, 0.0) + weight
                best[row.place] = max(best.get(row.place, (-1.0, 0)), (weight, row.variation))
        by_severity.append(total)
    evidence = log(sum(by_severity))
    if name is None:
        return Cause(NONE, evidence)
    if any(name in concerned(change) for change in report.changed or ()):
        evidence += log(RAISED)
    place = max(places, key=lambda one: places[one])
    degrees = len(fault.severities) > 1
    severity_of = quantiles(fault.bins, by_severity) if degrees else (1.0, 1.0, 1.0)
    return Cause((name,), evidence, place or None, severity_of, best[place][1])


def causes(report: Report, rows: tuple[Row, ...], called: Called = never_called) -> Causes:
    """Return what a report says of what was wrong.

    rows : the table of symptoms; called : the measured chance that a check is called. Evidence is
    in nats and of words alone; what was changed raises the faults concerned by ln `RAISED`.
    """
    return Causes(tuple(_cause(report, fault, called) for fault in weighed(rows)))
