"""Which band sound aircraft show on each measure, from their readings. Pure.

Readings come in groups: fresh aircraft, and the rounds of whole evenings, in which drives get warm
and the pack is used. The band of a measure holds all of them: a trainee may read at any time.

Edges of a group: the inner ones are its 2.5th and 97.5th percentiles. The outer ones are those of
z = 4: on each side the way from the median to the inner edge, stretched as that of a normal
distribution would be, for many lines are one-sided; never inside what was shown; and one step of
the instrument further out. Which way round a thing is has but two values: that it was once misread
makes no band of both, which could never tell, so there the outer edges are the inner ones.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import isfinite
from statistics import NormalDist
from typing import Annotated

import numpy as np
from pydantic import BeforeValidator, PlainSerializer

from sim.bench.bands import Band, Bands, Edge
from sim.bench.lines import WAY_ROUND, every_measure
from sim.keys import CheckKey

HELD = 0.95  # share; design: what the inner edges hold
Z_INNER = NormalDist().inv_cdf(0.5 + 0.5 * HELD)
Z_OUTER = 4.0  # design: lets out 0.25 lines of an evening's 355, where 3.29 lets out 1.25
COARSEST = 0.25  # of the range shown; own: what takes fewer than five values is no scale with steps
DIGITS = 6  # own: as many as the tables keep, and more than any instrument here shows

Where = tuple[CheckKey, str]  # check and measure
Shown = Annotated[
    dict[Where, list[float]],
    PlainSerializer(lambda shown: list(shown.items())),
    BeforeValidator(lambda pairs: {tuple(where): values for where, values in pairs}),
]
"""Values by check and measure; as plain data a list of pairs."""


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


def _inner(values: Sequence[float]) -> tuple[float, float, float]:
    """Return lower inner edge, median, and upper inner edge: of two values the outer, as shown."""
    seen, tail = np.array(values, dtype=np.float64), 0.5 - 0.5 * HELD
    low = float(np.quantile(seen, tail, method="lower"))
    high = float(np.quantile(seen, 1.0 - tail, method="higher"))
    return low, float(np.quantile(seen, 0.5, method="lower")), high


def _outer(values: Sequence[float], low: float, high: float) -> tuple[float, float]:
    """Return the outer edges of one group, whose inner edges lie at or inside `low` and `high`.

    A single false impression is the 97.5th percentile of a small group; of all groups it is not.
    """
    own_low, middle, own_high = _inner(values)
    more = step(values)
    return (
        min(_stretched(middle, max(own_low, low)), *values) - more,
        max(_stretched(middle, min(own_high, high)), *values) + more,
    )


def edges(fresh: Sequence[float], rounds: Sequence[Sequence[float]] = ()) -> Edges:
    """Return edges that hold what fresh aircraft show, and what those of an evening do.

    The inner edges hold 95 % of either. The outer edges are stretched for each round by itself: all
    rounds of an evening together have two humps, and no normal tails. The middle is that of all.
    ValueError without any values.
    """
    evening = [value for one in rounds for value in one]
    if not fresh and not evening:
        raise ValueError("needs values")
    whole = [_inner(group) for group in (fresh, evening) if group]
    low, high = min(one[0] for one in whole), max(one[2] for one in whole)
    outer = [_outer(group, low, high) for group in (fresh, *rounds) if group]
    return Edges(
        low_outer=rounded_out(min(low, *(one[0] for one in outer)), up=False),
        low_inner=rounded_out(low, up=False),
        middle=_inner([*fresh, *evening])[1],
        high_inner=rounded_out(high, up=True),
        high_outer=rounded_out(max(high, *(one[1] for one in outer)), up=True),
    )


def bands_of(
    fresh: Mapping[Where, list[float]],
    rounds: Sequence[Mapping[Where, list[float]]],
    builds: int,
    evenings: int,
) -> list[Band]:
    """Return the band of each measure that was shown, in the order of the readings."""
    found = []
    for where in dict.fromkeys(where for group in (fresh, *rounds) for where in group):
        e = edges(fresh.get(where, []), [group.get(where, []) for group in rounds])
        middle = min(max(float(f"{e.middle:.{DIGITS}g}"), e.low_inner), e.high_inner)
        if where[1].endswith(WAY_ROUND):
            e = replace(e, low_outer=e.low_inner, high_outer=e.high_inner)
        edge = (e.low_outer, e.low_inner, middle, e.high_inner, e.high_outer)
        found.append(Band(*where, *edge, builds=builds, evenings=evenings))
    return found


def outside(bands: Bands, evening: Shown, edge: Edge) -> list[Where]:
    """Return the measures of an evening that lie outside an edge of their band at least once."""
    return [
        where
        for where, values in evening.items()
        if where in bands and any(bands[where].side(v, edge) is not None for v in values)
    ]
