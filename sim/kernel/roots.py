"""Where a function of one number is zero: false position with the Illinois halving.

Dowell and Jarratt, BIT 11 (1971) 168-174: the end that stays twice in a row counts half, which
keeps the bracket and makes the order 1.44.
"""

from collections.abc import Callable
from math import copysign

CLOSE = (
    2e-13  # 1; own: width of the bracket over the root's size at which no digit that counts is open
)
TRIES = 200  # own: a dozen do; one for each halving where the ends differ by many powers of two


def root(f: Callable[[float], float], low: float, high: float) -> float:
    """Return where f is zero between low and high; ValueError unless its sign differs there."""
    kept, last = low, high
    at_kept, at_last = f(kept), f(last)
    if at_kept == 0.0:
        return kept
    if at_kept * at_last > 0.0:
        raise ValueError(f"no change of sign between {low} and {high}")
    for _ in range(TRIES):
        width, least = last - kept, CLOSE * abs(last)
        if at_last == 0.0 or abs(width) <= least:
            break
        step = at_last * width / (at_last - at_kept)
        if abs(step) < least:  # look just beyond: if the sign changes there, it is found
            step = copysign(min(least, 0.5 * abs(width)), width)
        new = last - step
        at_new = f(new)
        if at_new * at_last < 0.0:
            kept, at_kept = last, at_last
        else:
            at_kept *= 0.5
        last, at_last = new, at_new
    return last
