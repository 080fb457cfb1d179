"""Measured tables the flight model reads, as arrays that all vehicles share."""

from typing import NamedTuple

import numpy as np

from sim.kernel.jit import compiled


class Tables(NamedTuple):
    """Look-up tables; each pair of arrays is a piecewise linear curve, clamped at its ends.

    Fields (1-D float64 arrays): rotor speed in rad/s against thrust and power coefficient at rest;
    advance ratio against the share of those coefficients that is left; state of charge 0..1
    against open-circuit voltage of one cell in V.
    """

    rotor_speed_rad_s: np.ndarray
    thrust_coefficient: np.ndarray
    power_coefficient: np.ndarray
    advance_ratio: np.ndarray
    thrust_share: np.ndarray
    power_share: np.ndarray
    charge: np.ndarray
    cell_v: np.ndarray


@compiled
def locate(x, xs):
    """Return (index i, share f) so that x lies a share f of the way from xs[i] to xs[i + 1]."""
    last = xs.size - 1
    if x <= xs[0]:
        return 0, 0.0
    for i in range(last):
        if x < xs[i + 1]:
            return i, (x - xs[i]) / (xs[i + 1] - xs[i])
    return last - 1, 1.0


@compiled
def between(ys, i, f):
    """Return the value a share f of the way from ys[i] to ys[i + 1]."""
    return ys[i] + f * (ys[i + 1] - ys[i])


@compiled
def interpolate(x, xs, ys):
    """Return the piecewise linear value of the curve (xs rising, ys) at x, clamped at the ends."""
    i, f = locate(x, xs)
    return between(ys, i, f)
