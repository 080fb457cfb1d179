"""The times of a recording: their unit, and the rows with which time goes on.

A row whose time was there already is a copy; one that lies off while its neighbours agree is a
slip; both are left out. Where time goes back for good (a restart) or leaps, the recording falls into
stretches, and one of them is kept: what lies between can't be known. Shorter gaps stay gaps.
"""

import numpy as np
from numpy.typing import NDArray

from sim.reproduce.importer.units import UNITS
from sim.reproduce.recording import Stretch, Values

SLOWEST_S, FASTEST_S = 0.12, 0.0004  # s; 10 to 2000 Hz, with a fifth to spare
GAP_STEPS = 3.0  # 1; own: a step of three times the usual one has rows missing
LEAP_S = 5.0  # s; own: no hop is told by what lies around five seconds unseen
STIR = (
    0.05  # 1; own: share of its range by which a column must leave its first value to have stirred
)


def unit_of(times: Values) -> str | None:
    """Return the unit in which the usual step is one of 10 to 2000 Hz; None if there is none."""
    steps = np.diff(times[np.isfinite(times)])
    steps = steps[steps > 0.0]
    if steps.size < 2:
        return None
    usual = float(np.median(steps))
    fitting = [
        name
        for name, unit in UNITS["time"].items()
        if FASTEST_S <= usual * unit.factor <= SLOWEST_S
    ]
    return fitting[0] if len(fitting) == 1 else None


def _without_copies(times: Values, rows: NDArray[np.intp]) -> NDArray[np.intp]:
    """Return the rows less those that repeat the time of the row before."""
    keep = np.ones(len(rows), dtype=bool)
    keep[1:] = np.diff(times[rows]) != 0.0
    return rows[keep]


def _without_slips(times: Values, rows: NDArray[np.intp], leap: float) -> NDArray[np.intp]:
    """Return the rows less single ones that lie off while their neighbours are a leap or less apart."""
    t = times[rows]
    before, here, after = t[:-2], t[1:-1], t[2:]
    agree = (after > before) & (after - before < leap)
    slip = agree & ((here >= after) | (here <= before))
    slip[1:] &= ~slip[:-1]
    keep = np.ones(len(rows), dtype=bool)
    keep[1:-1] = ~slip
    if len(t) > 2:
        keep[0] = not (t[0] >= t[1] and t[2] > t[1])
    return rows[keep]


def stretch(times_s: Values, table: Values) -> Stretch:
    """Return the stretch of a recording in which most stirs.

    times_s : time of each row, s, NaN where missing; table : (rows, columns), by which what stirs
    is judged.
    """
    rows = np.flatnonzero(np.isfinite(times_s))
    all_rows = len(rows)
    rows = _without_copies(times_s, rows)
    copies = all_rows - len(rows)
    with_slips = len(rows)
    rows = _without_slips(times_s, rows, LEAP_S)
    rows = _without_copies(times_s, rows)
    slips = with_slips - len(rows)
    steps = np.diff(times_s[rows])
    cuts = np.flatnonzero((steps <= 0.0) | (steps > LEAP_S)) + 1
    stir = _stir(table[rows])
    parts = np.split(np.arange(len(rows)), cuts)
    best = max(parts, key=lambda part: (float(stir[part].sum()), len(part)))
    kept = rows[best]
    within = np.diff(times_s[kept])
    usual = float(np.median(within)) if within.size else 0.0
    gaps = within[within > GAP_STEPS * usual]
    return Stretch(
        kept, copies, slips, len(parts) - 1, gaps.size, float(gaps.max()) if gaps.size else 0.0
    )


def _stir(table: Values) -> Values:
    """Return how many columns of each row have left the value they began with."""
    total = np.zeros(len(table))
    for column in table.T:
        seen = np.isfinite(column)
        if seen.any():
            x = column[seen]
            total[seen] += np.abs(x - x[0]) > STIR * max(float(np.ptp(x)), 1e-12)
    return total
