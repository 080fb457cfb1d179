"""Columns of a recording on an even grid, and what in them moves with what.

Sizes of signals are cut at some times their usual size first, so that a crash or a knock on the
floor does not outweigh the flight.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sim.reproduce.importer.reading import Table
from sim.reproduce.recording import Stretch, Values

FASTEST_STEP_S = 0.005  # s; own: nothing looked for here is faster than some Hz
UP_SHARE = 0.85  # 1; own: of the way from rest to what is usual in flight: rotors carry the weight
SETTLE_S = 0.3  # s; own: after the rotors first carry it, and before they last do
CUT = 6.0  # 1; own: times the usual size of a signal, beyond which it is cut
LEAST_SAMPLES = 8  # 1; own: fewer go together by chance
MOST_PER_ROW = 4.0  # 1; own: samples per row where long gaps stretch the time
QUICK_S = (0.05, 1.0)  # s; band in which rates turn the attitude and the controller works
SLOW_S = (
    0.3,
    4.0,
)  # s; band in which leaning drives the aircraft sideways; reference run of a prototype

Mask = NDArray[np.bool_]


class Signals(NamedTuple):
    """A stretch of the table on an even grid.

    step_s : between samples; columns : name to values, holes bridged by straight lines; air : where
    the motors carry the weight.
    """

    step_s: float
    columns: dict[str, Values]
    air: Mask

    @property
    def air_s(self) -> float:
        """How long it is in the air, s."""
        return float(self.air.sum() * self.step_s)


def gridded(table: Table, times_s: Values, kept: Stretch) -> Signals:
    """Return the stretch on an even grid, at the usual step but no finer than 5 ms."""
    t = times_s[kept.rows]
    stretched = float(t[-1] - t[0]) / (MOST_PER_ROW * len(t))
    step = max(float(np.median(np.diff(t))), FASTEST_STEP_S, stretched)
    grid = np.arange(t[0], t[-1] + 0.5 * step, step)
    columns = {}
    for i, name in enumerate(table.names):
        x = table.values[kept.rows, i]
        seen = np.isfinite(x)
        if seen.sum() >= 2:
            columns[name] = np.interp(grid, t[seen], x[seen])
    return Signals(step, columns, np.zeros(len(grid), dtype=bool))


def in_the_air(signals: Signals, driven: list[Values]) -> Signals:
    """Return the signals with `air` told from the motor commands, or from the throttle."""
    if not driven:
        return signals
    effort = np.mean(driven, axis=0)
    low = float(np.percentile(effort, 1.0))
    running = effort > low + 0.3 * float(np.ptp(effort))
    if not running.any():
        return signals
    usual = float(np.median(effort[running]))
    air = effort > low + UP_SHARE * (usual - low)
    width = max(1, round(SETTLE_S / signals.step_s))
    up = np.flatnonzero(air)
    if up.size > 2 * width:
        air[: up[0] + width] = False
        air[up[-1] - width :] = False
    return signals._replace(air=air)


def smooth(x: Values, seconds: float, step_s: float) -> Values:
    """Return the running mean of a signal over a time, the ends held."""
    n = max(1, round(seconds / step_s))
    if n == 1:
        return x
    padded = np.concatenate([np.full(n // 2, x[0]), x, np.full(n - 1 - n // 2, x[-1])])
    total = np.cumsum(np.concatenate([[0.0], padded]))
    return np.asarray((total[n:] - total[:-n]) / n)


def band(x: Values, times_s: tuple[float, float], step_s: float) -> Values:
    """Return what of a signal is slower than the first time and faster than the second."""
    return smooth(x, times_s[0], step_s) - smooth(x, times_s[1], step_s)


def cut(x: Values) -> Values:
    """Return a signal about its middle, cut at some times its usual size."""
    about = x - np.median(x)
    size = CUT * 1.5 * float(np.median(np.abs(about)))
    return np.clip(about, -size, size) if size > 0.0 else about


class Relation(NamedTuple):
    """How one signal goes with another: correlation, and how much of it per unit of the other."""

    corr: float
    slope: float


def relation(y: Values, x: Values) -> Relation:
    """Return how y goes with x; zeros if either stands still."""
    if len(x) < LEAST_SAMPLES:
        return Relation(0.0, 0.0)
    y, x = cut(y), cut(x)
    xx, yy, xy = float(x @ x), float(y @ y), float(x @ y)
    if not (np.isfinite([xx, yy, xy]).all() and xx > 0.0 and yy > 0.0):
        return Relation(0.0, 0.0)
    return Relation(xy / float(np.sqrt(xx) * np.sqrt(yy)), xy / xx)


def without(x: Values, others: list[Values]) -> Values:
    """Return what of a signal does not go with some others, whatever their signs."""
    if not others:
        return x
    known = np.column_stack(others)
    return np.asarray(x - known @ np.linalg.lstsq(known, x, rcond=None)[0])


def turning(signals: Signals, angle: Values, rate: Values) -> Relation:
    """Return how the change of an angle goes with a rate, in the air."""
    step = signals.step_s
    change = np.gradient(angle, step)
    if step > QUICK_S[0]:  # a wide step: the change is a mean over two of them
        rate = smooth(rate, 3.0 * step, step)
    y, x = (band(s, QUICK_S, step)[signals.air] for s in (change, rate))
    return relation(y, x)


def drag(signals: Signals, force: Values, angle: Values) -> Relation:
    """Return how a sideways force goes with the way an angle has leaned the aircraft, in the air."""
    step = signals.step_s
    gone = np.cumsum(angle - np.mean(angle[signals.air] if signals.air.any() else angle)) * step
    y, x = (band(s, SLOW_S, step)[signals.air] for s in (force, gone))
    return relation(y, x)


def unwrapped(x: Values, turn: float) -> Values:
    """Return an angle without the leaps of a whole turn."""
    return np.unwrap(x, period=turn)
