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
from sim.reproduce.words.report import AT_THE_BENCH, LET_GO, Report
from sim.reproduce.words.table import SOUND, Row

LIKE_ONE = 0.7  # 1; own: from 0.5 to 0.85 hops no table has seen are told alike, within 0.04 nat
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
class _Fault:
    """Where the hops of a fault are in the table, by severity and hands; which severities each stands for."""

    name: str
    severities: tuple[float, ...]
    bins: tuple[tuple[float, float], ...]
    hops: dict[tuple[float, Hands], list[int]]


@dataclass(frozen=True)
class _Weighed:
    """A table made ready for weighing, a row for each of its lines.

    there : chance of each symptom in a hop like it; when : of each phase; weight : of the line among
    those of its fault, severity and hands, sum 1.
    """

    rows: tuple[Row, ...]
    faults: tuple[_Fault, ...]
    there: Values
    when: Values
    weight: Values


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


def _even(count: int) -> Values:
    """Return the shares before anything is known: none of the symptoms is likely."""
    return np.full(count, 1.0 / (count + 1.0))


HANDS: tuple[Hands, ...] = ("steered", "let-go")


@cache
def weighed(rows: tuple[Row, ...]) -> _Weighed:
    """Return a table made ready for weighing, sound aircraft first."""
    hops = np.array([float(row.hops) for row in rows])
    own = (_bits(rows), _whens(rows))
    soft, weight = tuple(one.copy() for one in own), hops.copy()
    cells: dict[str, dict[tuple[float, Hands], list[int]]] = {SOUND: {}}
    for n, row in enumerate(rows):
        of_fault = cells.setdefault(row.fault, {})
        of_fault.setdefault((row.severity, cast(Hands, row.hands)), []).append(n)
    base = {hands: tuple(_even(one.shape[1]) for one in own) for hands in HANDS}
    for name, of_fault in cells.items():
        for hands in HANDS:
            mine = [n for (_, flown), some in of_fault.items() if flown == hands for n in some]
            before = zip(own, base[hands], strict=True)
            shares = tuple(_pulled(one[mine], hops[mine], to, FAULT_HOPS) for one, to in before)
            if name == SOUND:
                base[hands] = shares
            for some in (of for (_, flown), of in of_fault.items() if flown == hands):
                weight[some] = hops[some] / hops[some].sum()
                for whole, one, to in zip(soft, own, shares, strict=True):
                    redrawn = _pulled(one[some], hops[some], to, CELL_HOPS)
                    whole[some] = LIKE_ONE * one[some] + (1.0 - LIKE_ONE) * redrawn
    faults = (_fault(name, of_fault) for name, of_fault in cells.items())
    return _Weighed(rows, tuple(faults), soft[0], soft[1], weight)


def _fault(name: str, cells: dict[tuple[float, Hands], list[int]]) -> _Fault:
    severities = tuple(sorted({severity for severity, _ in cells}))
    return _Fault(name, severities, bins(severities), cells)


def _of_hops(report: Report, known: _Weighed) -> Values:
    """Return how likely the words about a flight are, line by line, times the line's weight."""
    if report.when == AT_THE_BENCH:
        return known.weight
    chance = known.weight * likelihood(known.there, report.told)
    if report.when is not None:
        chance = chance * (known.when @ WHEN_TOLD[:, WHENS.index(report.when)])
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
    """Return how the flight was flown, with chances; of one that was not, it does not matter."""
    if report.when == AT_THE_BENCH:
        return {"steered": 1.0}
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


def _cause(
    report: Report, fault: _Fault, rows: Sequence[Row], chances: Sequence[float], called: Called
) -> Cause:
    """Return one cause. chances : of the report, line by line."""
    name = None if fault.name == SOUND else cast(FaultId, fault.name)
    by_severity: list[float] = []
    places: dict[str, float] = {}
    best: dict[str, tuple[float, int]] = {}
    for severity, (low, high) in zip(fault.severities, fault.bins, strict=True):
        share = (high - low) * _of_checks(report, name, severity, called) / (1.0 - LIMIT_AT)
        total = 0.0
        for hands, chance in hands_of(report).items():
            for n in fault.hops[severity, hands]:
                mine, row = share * chance * chances[n], rows[n]
                total += mine
                places[row.place] = places.get(row.place, 0.0) + mine
                best[row.place] = max(best.get(row.place, (-1.0, 0)), (mine, row.variation))
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
    known = weighed(rows)
    chances = _of_hops(report, known).tolist()
    return Causes(tuple(_cause(report, fault, rows, chances, called) for fault in known.faults))
