"""Where what a line can show ends: no play is below zero, no share of lost frames above one.

The outer edges of a band are reckoned with tails that know no such end, and lie beyond it. That a
line ends somewhere is told by the shipped bands: of all measured airframes together, 95 of 100
sound aircraft never show anything beyond.
"""

from functools import cache

from sim.aircraft import library
from sim.bench.bands import Band, bands
from sim.bench.lines import OFF_FOUR
from sim.keys import CheckKey

NOTHING = 0.0  # 1; own: sizes, counts, times and parts of a whole end here
WHOLE = 1.0  # 1; own: where parts of a whole end, and the bars of the sticks to both sides
SHARES = ("_share", "_darkness")  # how keys end of what is a part of a whole

Line = tuple[CheckKey, str]
Span = tuple[float, float]


@cache
def _shown() -> dict[Line, Span]:
    """Return between what 95 of 100 sound aircraft of each shipped airframe show each line."""
    found: dict[Line, Span] = {}
    for name in library.names("airframes"):
        for line, band in bands(name).items():
            low, high = found.get(line, (band.low_inner, band.high_inner))
            found[line] = min(low, band.low_inner), max(high, band.high_inner)
    return found


def limits(band: Band) -> tuple[float | None, float | None]:
    """Return the outer edges of a band; None on a side where the line ends before it gets there.

    What is read against the middle of the four ends nowhere.
    """
    low, high = band.low_outer, band.high_outer
    if band.measure.endswith(OFF_FOUR):
        return low, high
    first, last = _shown().get((band.check, band.measure), (band.low_inner, band.high_inner))
    first, last = min(first, band.low_inner), max(last, band.high_inner)
    share = band.measure.endswith(SHARES)
    bottoms, tops = ((-WHOLE, NOTHING), (NOTHING, WHOLE)) if share else ((NOTHING,), ())
    over = any(low <= end <= first for end in bottoms)
    under = any(last <= end <= high for end in tops)
    return None if over else low, None if under else high
