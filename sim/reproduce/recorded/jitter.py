"""How restless commands are by what no log tells in full: the gyro's noise, and rotors out of balance."""

from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sim.kernel.controller import GYRO_S, PERIOD_S
from sim.kernel.linear import low_pass
from sim.reproduce.recorded.mounts import transmitted
from sim.reproduce.recorded.passes import Vehicle
from sim.reproduce.recording import Values

Complex = NDArray[np.complexfloating]

YAW = 2  # which axis
POINTS = 64  # frequencies up to that of the rows; own: the integral holds to a thousandth


class Power(NamedTuple):
    """Power of commands of roll, pitch and yaw by the noise of the gyro, share squared, (3,) each.

    whole : of all of it; beyond : less that of a log's readings laid straight between its rows, which
    a pass has already; below zero where that, seldom and slow, moves more than the noise itself.
    """

    whole: Values
    beyond: Values


class _Way(NamedTuple):
    """How what a gyro reads comes through the filters to the rows, by how far it turns from row to row.

    turns : (POINTS,) from row to row; left : of its power when the mean over some rows is taken off; rate,
    slope : (POINTS, readings of a row) at all frequencies that turn so far, slope in 1/s2; logged_rate,
    logged_slope : (POINTS,) by way of the rows alone, laid straight between them.
    """

    turns: Values
    left: Values
    rate: Complex
    slope: Complex
    logged_rate: Complex
    logged_slope: Complex


@lru_cache(maxsize=512)
def _way(gyro_hz: float, slope_hz: float, rows: int, step_s: float) -> _Way:
    """Return the way through filters to rows so far apart, the mean over so many of them taken off."""
    count = max(1, round(step_s / GYRO_S))
    turns = (np.arange(POINTS) + 0.5) / POINTS
    half = np.pi * turns
    f = (turns[:, None] + np.arange(count)) / (count * GYRO_S)
    s = 2j * np.pi * f
    rate = low_pass(s, gyro_hz, GYRO_S) ** 2
    slope = rate * (1.0 - np.exp(-s * PERIOD_S)) / PERIOD_S * low_pass(s, slope_hz, PERIOD_S)
    beside = 0.5 * (1 - rows % 2)  # rows; the middle of an even number lies between two of them
    mean = np.sin(rows * half) / (rows * np.sin(half)) * np.exp(-2j * half * beside)
    straight = (np.sin(count * np.pi * f * GYRO_S) / np.sin(np.pi * f * GYRO_S)) ** 2 / count
    logged = (straight * rate).mean(axis=1), (straight * slope).mean(axis=1)
    return _Way(turns, np.abs(1.0 - mean) ** 2, rate, slope, *logged)


@lru_cache(maxsize=512)
def _shares(
    gyro_hz: float, slope_hz: float, rows: int, step_s: float
) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Return mean |rate|^2, |slope|^2 and Re(rate slope*) of noise through the filters, in both ways.

    The second is less what readings at the rows alone give.
    """
    way = _way(gyro_hz, slope_hz, rows, step_s)
    logged = _powers(way.left, way.logged_rate, way.logged_slope)
    whole = _powers(way.left[:, None], way.rate, way.slope)
    return whole, tuple(a - b for a, b in zip(whole, logged, strict=True))


def _powers(left: Values, rate: Complex, slope: Complex) -> tuple[float, ...]:
    """Return means over frequencies of what is left of |rate|^2, |slope|^2 and Re(rate slope*)."""
    powers = abs(rate) ** 2, abs(slope) ** 2, (rate * slope.conj()).real
    return tuple(float((left * power).mean()) for power in powers)


def _filters(vehicle: Vehicle) -> tuple[float, float]:
    craft = vehicle.craft
    return tuple(float(craft[f"controller__{name}_cutoff_hz"][0]) for name in ("gyro", "damping"))  # type: ignore[return-value]


def _gains(vehicle: Vehicle) -> list[tuple[float, float]]:
    craft, axes = vehicle.craft, ("roll", "pitch", "yaw")
    return [
        (float(craft[f"controller__{x}__p"][0]), float(craft[f"controller__{x}__d"][0]))
        for x in axes
    ]


def jitter(vehicle: Vehicle, rows: int, step_s: float, logged: bool) -> Power:
    """Return what the noise of the gyro, each reading on its own, makes of the commands.

    rows : over so many the mean is taken off, step_s apart; logged : whether the rates that force a
    pass are readings of that gyro.
    """
    filters, gains = _filters(vehicle), _gains(vehicle)
    whole, beyond = (
        vehicle.gyro_noise_rad_s**2
        * np.array([p * p * rate + d * d * slope + 2.0 * p * d * both for p, d in gains])
        for rate, slope, both in _shares(*filters, rows, step_s)
    )
    return Power(whole, beyond if logged else whole)


def swaying(
    vehicle: Vehicle, speeds_rad_s: Values, rows: int, step_s: float, logged: bool
) -> Values:
    """Return what unbalanced rotors, turning so fast, make of the commands: power, (n, 3), as `jitter`.

    speeds_rad_s : (n, 4). Where in their turn they are no log tells, so a pass leaves it out.
    """
    way, gains = _way(*_filters(vehicle), rows, step_s), _gains(vehicle)
    turns = speeds_rad_s / (2.0 * np.pi) * len(way.rate[0]) * GYRO_S  # from row to row
    at = way.turns[None, :] + np.arange(len(way.rate[0]))[:, None]
    found = np.zeros((len(turns), 3))
    for axis, (p, d) in enumerate(gains):
        whole = np.abs(p * way.rate + d * way.slope) ** 2 * way.left[:, None]
        comes = np.interp(turns, at.ravel(), whole.T.ravel(), period=float(at.shape[0]))
        if logged:
            has = np.abs(p * way.logged_rate + d * way.logged_slope) ** 2 * way.left
            comes = comes - np.interp(turns, way.turns, has, period=1.0)
        found[:, axis] = (0.5 * _sway(vehicle, speeds_rad_s, axis) ** 2 * comes).sum(axis=1)
    return found


def _sway(vehicle: Vehicle, speeds_rad_s: Values, axis: int) -> Values:
    """Return the amplitude of what a gyro reads of each rotor's turning, rad/s, (n, 4)."""
    craft = vehicle.craft
    hubs = np.array(
        [[float(craft[f"rotors__{i}__hub_m__{a}"][0]) for a in "xyz"] for i in range(4)]
    )
    lever = np.hypot(hubs[:, 0], hubs[:, 1]) if axis == YAW else np.abs(hubs[:, 2])
    heavy = np.array([float(craft[f"rotors__{i}__unbalance_kg_m"][0]) for i in range(4)])
    inertia = float(craft[f"body__inertia_kg_m2__{'xyz'[axis]}"][0])
    gain = float(craft["sensors__shake_gain"][0])
    through = transmitted(speeds_rad_s, vehicle.mount)
    return np.asarray(gain * heavy * speeds_rad_s * lever / inertia * through)
