"""Which band sound aircraft show on each measure, from their readings. Pure.

Readings come in groups: fresh aircraft, and the rounds of whole evenings, in which drives get warm
and the pack is used. The band of a measure holds each group: a trainee may read at any time.

Edges of a group: the inner ones are its 2.5th and 97.5th percentiles. The outer ones are those of
z = 4: on each side the way from the median to the inner edge, stretched as that of a normal
distribution would be, for many lines are one-sided; never inside what was shown; and one step of
the instrument further out.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import isfinite
from statistics import NormalDist

import numpy as np

from sim.bench.bands import Band, Bands, Edge
from sim.bench.lines import every_measure
from sim.keys import CheckKey

HELD = 0.95  # share; design: what the inner edges hold
Z_INNER = NormalDist().inv_cdf(0.5 + 0.5 * HELD)
Z_OUTER = 4.0  # design: lets out 0.25 lines of an evening's 355, where 3.29 lets out 1.25
COARSEST = 0.25  # of the range shown; own: what takes fewer than five values is no scale with steps
DIGITS = 6  # own: as many as the tables keep, and more than any instrument here shows

Shown = dict[tuple[CheckKey, str], list[float]]


@dataclass(frozen=True)
class Edges:
    """Edges of one measure, rising."""

    low_outer: float
    low_inner: float
    middle: float
    high_inner: float
    high_outer: float


def shown(readings: Iterable[tuple[CheckKey, dict[str, float]]]) -> Shown:
    """Return all values shown on each measure of some readings."""
    found: Shown = {}
    for check, values in readings:
        for measure, seen in every_measure(values).items():
            found.setdefault((check, measure), []).extend(seen)
    return found


def rounded_out(value: float, up: bool) -> float:
    """Return a value with the digits a table keeps, not nearer than it is: an edge may not cut."""
    if not isfinite(value) or value == 0.0:
        return value
    near = float(f"{value:.{DIGITS}g}")
    if (near >= value) if up else (near <= value):
        return near
    exponent = int(f"{value:.{DIGITS - 1}e}".partition("e")[2]) - DIGITS + 1
    unit = float(f"1e{exponent}")
    return float(f"{near + (unit if up else -unit):.{DIGITS}g}")


def step(values: Sequence[float]) -> float:
    """Return the step of the instrument: the smallest gap between different values shown.

    At most a quarter of their range, and 0 where they are all alike.
    """
    different = sorted({float(f"{v:.{DIGITS + 3}g}") for v in values if isfinite(v)})
    gaps = [high - low for low, high in pairwise(different)]
    return min(*gaps, COARSEST * (different[-1] - different[0])) if gaps else 0.0


def _stretched(middle: float, inner: float) -> float:
    """Return where z = 4 lies on the side of an inner edge."""
    if inner == middle or not isfinite(middle):
        return inner
    return middle + (inner - middle) * Z_OUTER / Z_INNER


def edges(values: Sequence[float]) -> Edges:
    """Return the edges of one group's values; ValueError without any.

    Percentiles are values that were shown, the outer of two between which they fall.
    """
    if not values:
        raise ValueError("needs values")
    seen = np.array(values, dtype=np.float64)
    tail = 0.5 - 0.5 * HELD
    low = float(np.quantile(seen, tail, method="lower"))
    high = float(np.quantile(seen, 1.0 - tail, method="higher"))
    middle = float(np.quantile(seen, 0.5, method="lower"))
    more = step(values)
    return Edges(
        low_outer=min(_stretched(middle, low), float(seen.min())) - more,
        low_inner=low,
        middle=middle,
        high_inner=high,
        high_outer=max(_stretched(middle, high), float(seen.max())) + more,
    )


def holding(groups: Sequence[Sequence[float]]) -> Edges:
    """Return edges that hold each group as its own would; the middle is that of all values."""
    each = [edges(group) for group in groups if group]
    everything = [value for group in groups for value in group]
    return Edges(
        low_outer=rounded_out(min(e.low_outer for e in each), up=False),
        low_inner=rounded_out(min(e.low_inner for e in each), up=False),
        middle=edges(everything).middle,
        high_inner=rounded_out(max(e.high_inner for e in each), up=True),
        high_outer=rounded_out(max(e.high_outer for e in each), up=True),
    )


def bands_of(groups: Sequence[Shown], builds: int, evenings: int) -> list[Band]:
    """Return the band of each measure that was shown, in the order of the readings."""
    found = []
    for where in dict.fromkeys(where for group in groups for where in group):
        e = holding([group.get(where, []) for group in groups])
        middle = min(max(float(f"{e.middle:.{DIGITS}g}"), e.low_inner), e.high_inner)
        edge = (e.low_outer, e.low_inner, middle, e.high_inner, e.high_outer)
        found.append(Band(*where, *edge, builds=builds, evenings=evenings))
    return found


def outside(bands: Bands, evening: Shown, edge: Edge) -> list[tuple[CheckKey, str]]:
    """Return the measures of an evening that lie outside an edge of their band at least once."""
    return [
        where
        for where, values in evening.items()
        if where in bands and any(bands[where].side(v, edge) is not None for v in values)
    ]
