"""What the gains of roll and pitch amount to: margins, crossover, noise, measured by the sheet."""

from dataclasses import dataclass
from functools import lru_cache
from math import pi, sqrt

import numpy as np

from sim.aircraft.airframe import Airframe
from sim.aircraft.setup import ControllerSetup
from sim.faults.fault import Truth
from sim.kernel.controller import GYRO_S, PERIOD_S
from sim.kernel.linear import Margins, craft_margins, low_pass
from sim.kernel.pack import PackState

RESTED = PackState(0.9, 0.9, 0.0, 0.0, 0.0)  # own: a fresh pack, not a sagging one
NOISE_BAND_HZ = (20.0, 240.0)  # Hz; own: above the loop, below half the control rate


def loop_margins(truth: Truth) -> tuple[Margins, Margins]:
    """Return gain and phase margins of roll and pitch in hover on a rested pack."""
    key = (truth.craft.controller, truth.craft.body, truth.craft.rotors, truth.craft.pack)
    return _margins(key, _Uncompared(truth))


@dataclass(frozen=True, eq=False)
class _Uncompared:
    """Carries the truth past the cache, which goes by the key alone."""

    truth: Truth

    def __hash__(self) -> int:
        return 0

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Uncompared)


@lru_cache(maxsize=64)
def _margins(key: object, carried: _Uncompared) -> tuple[Margins, Margins]:
    truth = carried.truth
    return craft_margins(truth.craft, truth.tables, RESTED)


def rate_gain_shares(truth: Truth) -> tuple[float, float]:
    """Return the rate gain of roll and of pitch over the sheet's.

    With all else as on the sheet the crossover of the rate loop goes with it.
    """
    now, sheet = truth.world.setup.controller, truth.world.airframe.sheet.setup
    return now.roll.p / sheet.roll.p, now.pitch.p / sheet.pitch.p


def damping_shares(truth: Truth) -> tuple[float, float]:
    """Return the damping gain of roll and of pitch over the sheet's."""
    now, sheet = truth.world.setup.controller, truth.world.airframe.sheet.setup
    return now.roll.d / sheet.roll.d, now.pitch.d / sheet.pitch.d


def filter_lag_s(control: ControllerSetup) -> float:
    """Return how late the filters make the gyro: two poles of the one, half of the other, s."""
    gyro, damping = control.gyro_cutoff_hz, control.damping_cutoff_hz
    return 2.0 / (2.0 * pi * gyro) + 0.5 / (2.0 * pi * damping)


def filter_noise(control: ControllerSetup, airframe: Airframe) -> float:
    """Return the gyro noise these filters let through to a motor, at the gains of the sheet."""
    sheet = airframe.sheet.setup.roll
    s = 2j * pi * np.linspace(*NOISE_BAND_HZ, 60)
    gyro = low_pass(s, control.gyro_cutoff_hz, GYRO_S) ** 2
    slope = (1.0 - np.exp(-s * PERIOD_S)) / PERIOD_S
    slope = slope * low_pass(s, control.damping_cutoff_hz, PERIOD_S)
    size = np.abs(gyro * (sheet.p + sheet.d * slope))
    return sqrt(float((size**2).mean()))
