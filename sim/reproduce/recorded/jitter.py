"""How restless commands are by the noise of the gyro alone: what gains and filters make of it."""

from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sim.kernel.controller import GYRO_S, PERIOD_S
from sim.kernel.linear import low_pass
from sim.reproduce.recorded.passes import Vehicle
from sim.reproduce.recording import Values

Complex = NDArray[np.complexfloating]

POINTS = 64  # frequencies up to that of the rows; own: the integral holds to a thousandth


class Power(NamedTuple):
    """Power of commands of roll, pitch and yaw by the noise of the gyro, share squared, (3,) each.

    whole : of all of it; beyond : less that of a log's readings laid straight between its rows, which
    a pass has already; below zero where that, seldom and slow, moves more than the noise itself.
    """

    whole: Values
    beyond: Values


@lru_cache(maxsize=512)
def _shares(
    gyro_hz: float, slope_hz: float, rows: int, step_s: float
) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Return mean |rate|^2, |slope|^2 and Re(rate slope*) of noise through the filters, in both ways.

    What is left when the mean over so many rows is taken off, rows so far apart. slope in 1/s2. The
    second is less what readings at the rows alone give, laid straight between them.
    """
    count = max(1, round(step_s / GYRO_S))
    turn = (
        np.pi * (np.arange(POINTS) + 0.5) / POINTS
    )  # half of what a frequency turns from row to row
    f = (turn[:, None] / np.pi + np.arange(count)) / (count * GYRO_S)
    s = 2j * np.pi * f
    rate = low_pass(s, gyro_hz, GYRO_S) ** 2
    slope = rate * (1.0 - np.exp(-s * PERIOD_S)) / PERIOD_S * low_pass(s, slope_hz, PERIOD_S)
    beside = 0.5 * (1 - rows % 2)  # rows; the middle of an even number lies between two of them
    mean = np.sin(rows * turn) / (rows * np.sin(turn)) * np.exp(-2j * turn * beside)
    left = np.abs(1.0 - mean) ** 2
    straight = (np.sin(count * np.pi * f * GYRO_S) / np.sin(np.pi * f * GYRO_S)) ** 2 / count
    logged = _powers(left, (straight * rate).mean(axis=1), (straight * slope).mean(axis=1))
    whole = _powers(left[:, None], rate, slope)
    return whole, tuple(a - b for a, b in zip(whole, logged, strict=True))


def _powers(left: Values, rate: Complex, slope: Complex) -> tuple[float, ...]:
    """Return means over frequencies of what is left of |rate|^2, |slope|^2 and Re(rate slope*)."""
    powers = abs(rate) ** 2, abs(slope) ** 2, (rate * slope.conj()).real
    return tuple(float((left * power).mean()) for power in powers)


def jitter(vehicle: Vehicle, rows: int, step_s: float, logged: bool) -> Power:
    """Return what the noise of the gyro, each reading on its own, makes of the commands.

    rows : over so many the mean is taken off, step_s apart; logged : whether the rates that force a
    pass are readings of that gyro.
    """
    craft = vehicle.craft
    filters = (float(craft[f"controller__{name}_cutoff_hz"][0]) for name in ("gyro", "damping"))
    gains = [
        tuple(float(craft[f"controller__{axis}__{part}"][0]) for part in "pd")
        for axis in ("roll", "pitch", "yaw")
    ]
    whole, beyond = (
        vehicle.gyro_noise_rad_s**2
        * np.array([p * p * rate + d * d * slope + 2.0 * p * d * both for p, d in gains])
        for rate, slope, both in _shares(*filters, rows, step_s)
    )
    return Power(whole, beyond if logged else whole)
