"""How an aircraft will hover and what it has in hand, by the flight model itself."""

from typing import NamedTuple

import numpy as np

from sim.kernel import linear, motor, pack, rotor
from sim.kernel.roots import root
from sim.kernel.tables import Tables
from sim.kernel.vehicle import Craft

USED_SHARE = 0.8  # of the pack; trade experience: land with a fifth left
S_PER_H = 3600.0  # s/h; definition


class Full(NamedTuple):
    """All four motors at full command, standing still in the air."""

    speed_rad_s: float
    thrust_n: float  # of all four
    pack_a: float
    supply_v: float


class Reach(NamedTuple):
    """Speeds a propeller's table was measured at, against those of this aircraft, rad/s."""

    slowest: float
    fastest: float
    hover: float
    full: float

    @property
    def hover_measured(self) -> bool:
        """Whether the hover lies among the measured speeds."""
        return self.slowest <= self.hover <= self.fastest

    @property
    def full_measured(self) -> bool:
        """Whether full throttle does."""
        return self.full <= self.fastest


def full_throttle(craft: Craft, tables: Tables, cells: pack.PackState) -> Full:
    """Return what four motors do at full command on a pack as charged as `cells`.

    At a speed w each motor takes I = I0 + Q Kv and needs w/Kv + I R; the pack gives
    V - R_p (4 I + I_e). The speed is where both agree.
    """
    params, gas = craft.rotors[0].motor, craft.air.density_kg_m3
    volts, ohm = pack.sources(cells, tables, craft.pack)

    def drawn(speed: float) -> tuple[float, float, float]:
        thrust, torque = rotor.thrust_and_torque(tables, speed, 0.0, gas, craft.diameter_m)
        needed, amps = motor.operating_point(speed, torque, params)
        return float(thrust), float(needed), float(4.0 * amps + craft.pack.avionics_a)

    def left(speed: float) -> float:
        _, needed, amps = drawn(speed)
        return float(volts - ohm * amps - needed)

    slowest, _ = (tip / (0.5 * craft.diameter_m) for tip in linear.TIPS_M_S)
    speed = root(left, slowest, float(volts * params.kv_rad_s_v))
    thrust, needed, amps = drawn(speed)
    return Full(speed, 4.0 * thrust, amps, needed)


def flight_time_s(capacity_ah: float, current_a: float) -> float:
    """Return how long a pack carries a current: 0.8 C/I, a fifth is kept."""
    return USED_SHARE * capacity_ah * S_PER_H / current_a


def thrust_to_weight(craft: Craft, full: Full) -> float:
    """Return thrust at full throttle over weight."""
    return full.thrust_n / (craft.body.mass_kg * craft.body.gravity_m_s2)


def tip_speed_m_s(diameter_m: float, speed_rad_s: float) -> float:
    """Return the speed of the blade tips: w D/2."""
    return 0.5 * diameter_m * speed_rad_s


def hover_merit(craft: Craft, trim: linear.Trim) -> float:
    """Return ideal power by momentum theory, T sqrt(T/(2 rho A)), over the power at the shaft."""
    ideal = rotor.ideal_power_w(trim.thrust_n, craft.air.density_kg_m3, 0.5 * craft.diameter_m)
    return float(ideal / (trim.torque_n_m * trim.speed_rad_s))


def reach(tables: Tables, hover_rad_s: float, full_rad_s: float) -> Reach:
    """Return whether the propeller's table was measured where this aircraft needs it."""
    speeds = np.asarray(tables.rotor_speed_rad_s)
    return Reach(float(speeds[0]), float(speeds[-1]), hover_rad_s, full_rad_s)
