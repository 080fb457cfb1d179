"""Rate and attitude gains with margins in hand, by the loop analysis of the flight model.

The shape of the loops is fixed by the lags of the aircraft; one factor is left, and it is as large as
the margins allow. D over P is the lag of the motors, whose pole it meets; the attitude gain is a
share of the crossover of the rate loop, I over P a share of the attitude gain.
"""

from collections.abc import Callable
from math import pi
from typing import NamedTuple

from sim.kernel import linear
from sim.kernel.controller import AxisGains
from sim.kernel.pack import PackState
from sim.kernel.roots import root
from sim.kernel.tables import Tables
from sim.kernel.vehicle import Craft

LEAST_DB, LEAST_DEG = 8.0, 50.0  # dB, deg; own: 2 and 5 above the customary 6 and 45
RESERVE_DB, RESERVE_DEG = 2.0, 5.0  # dB, deg; own: what scatter of sound parts may take
ATTITUDE_SHARE = 1.0 / 7.0  # of the crossover; own: level law slow beside the rate loop
ATTITUDE_PER_S = (2.0, 6.0)  # 1/s; own: a hand can follow it
INTEGRAL_SHARE = 0.1  # of the attitude gain; own: trims in a few seconds
YAW_SHARE = 0.18  # of the crossover of roll; own: yaw has little torque
FILTER_LAGS = 13.0  # 1; own: the gyro filter is so much faster than the motors
FILTER_HZ = (40.0, 120.0)  # Hz; own: below it noise stays, above it vibration
DAMPING_SHARE = 2.0 / 3.0  # of the gyro's cutoff; own
FULL = PackState(1.0, 1.0, 0.0, 0.0, 0.0)  # the strongest pack leaves the least margin
YAW_INTEGRAL_PER_S = 0.5  # 1/s; own: trims in two seconds
ROUNDS, SETTLED = 8, 0.01  # 1; own: the attitude gain follows the crossover to a hundredth
SMALLEST, LARGEST = 1e-4, 2.0  # of command per rad/s; own: any small aircraft lies between
STEP = 1.3  # 1; own: finer than the width of what is wanted
PLENTY = 100.0  # dB or deg; own: what has no limit counts as this


class Designed(NamedTuple):
    """Gains of the three axes (SI, as in the kernel), the attitude gain and the margins found."""

    roll: AxisGains
    pitch: AxisGains
    yaw: AxisGains
    attitude_per_s: float
    roll_margins: linear.Margins
    pitch_margins: linear.Margins


def cutoff_hz(motor_lag_s: float) -> float:
    """Return the cutoff of the gyro filter for motors with a lag: 13/(2 pi lag), within limits."""
    low, high = FILTER_HZ
    return min(high, max(low, FILTER_LAGS / (2.0 * pi * motor_lag_s)))


def yaw_gain_n_m(craft: Craft, tables: Tables, trim: linear.Trim) -> float:
    """Return the torque about yaw for one share of command, at rest: sum of mix times dQ/du."""
    plant = linear.axis_plant(craft, tables, trim, 0.25)  # 4 x 0.25: thrust for one command
    thrust_per_torque = trim.thrust_n / trim.torque_n_m
    share = sum(abs(place.z) for place in craft.controller.mix)
    return float(share * plant.gain_n_m / thrust_per_torque)


def _tuned(craft: Craft, p: float, attitude_per_s: float, lag_s: float) -> Craft:
    """Return the craft with these gains on roll and pitch."""
    gains = AxisGains(p, INTEGRAL_SHARE * attitude_per_s * p, lag_s * p)
    control = craft.controller._replace(roll=gains, pitch=gains, attitude_gain_per_s=attitude_per_s)
    return craft._replace(controller=control)


def _largest(in_hand: Callable[[float], float]) -> float:
    """Return the largest gain with nothing less in hand than wanted.

    With little gain the integrals lack phase and with much the lags do, so the search comes from
    above: ValueError if there is none.
    """
    gain = LARGEST
    while in_hand(gain) < 0.0:
        gain /= STEP
        if gain < SMALLEST:
            raise ValueError("no gain has the margins wanted: the lags are too long")
    return root(in_hand, gain, gain * STEP)


def _axis(
    craft: Craft, tables: Tables, axis: int, attitude_per_s: float, lag_s: float
) -> tuple[AxisGains, linear.Margins]:
    """Return the largest gains of one axis with the margins wanted, and those margins."""

    def margins(p: float) -> linear.Margins:
        return linear.craft_margins(_tuned(craft, p, attitude_per_s, lag_s), tables, FULL)[axis]

    def in_hand(p: float) -> float:
        m = margins(p)
        spare = min(m.gain_db - LEAST_DB - RESERVE_DB, m.phase_deg - LEAST_DEG - RESERVE_DEG)
        return max(-PLENTY, min(PLENTY, spare))

    p = _largest(in_hand)
    return _tuned(craft, p, attitude_per_s, lag_s).controller.roll, margins(p)


def safe_gains(craft: Craft, tables: Tables) -> Designed:
    """Return gains with at least 8 dB and 50 degrees on roll and pitch, and some more in hand.

    Filters and delay are those of the craft's controller. ValueError if no gain has the margins.
    """
    trim = linear.hover_trim(craft, tables, FULL)
    lag_s = linear.axis_plant(craft, tables, trim, 1.0).lag_s
    attitude = ATTITUDE_PER_S[1]
    for _ in range(ROUNDS):
        roll, rolling = _axis(craft, tables, 0, attitude, lag_s)
        pitch, pitching = _axis(craft, tables, 1, attitude, lag_s)
        crossover = min(rolling.phase_at_rad_s, pitching.phase_at_rad_s)
        before = attitude
        attitude = min(ATTITUDE_PER_S[1], max(ATTITUDE_PER_S[0], ATTITUDE_SHARE * crossover))
        if abs(attitude - before) < SETTLED * before:
            break
    yaw_p = YAW_SHARE * crossover * craft.body.inertia_kg_m2.z / yaw_gain_n_m(craft, tables, trim)
    yaw = AxisGains(yaw_p, YAW_INTEGRAL_PER_S * yaw_p, 0.0)
    return Designed(roll, pitch, yaw, attitude, rolling, pitching)
