"""Linear analysis of the roll and pitch loops from the same parameters the simulation runs on.

The loop is cut at the motor commands of one axis. With s = jw and z = exp(s T):
L = (P + I/s + D s F_d) (1 + K/s) correction of attitude on the P path only, times gyro filters,
delays, motor lag and the body, whose turning the air at the hubs damps: 1/(J s + c). Filters are taken in their sampled form, the hold of the output as
half a control period of delay; within a tick, sensing, control and the motor's response at the end
of the tick coincide, which is half a tick less.
"""

from collections.abc import Callable
from functools import partial
from math import fsum, pi
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from sim.kernel import motor, pack, rotor
from sim.kernel.clock import TICK_S
from sim.kernel.controller import GYRO_S, PERIOD_S, AxisGains, low_pass_share
from sim.kernel.frames import Vec3
from sim.kernel.roots import root
from sim.kernel.tables import Tables
from sim.kernel.vehicle import Craft

Complex = NDArray[np.complexfloating[Any, Any]]
Reals = NDArray[np.float64]


TIPS_M_S = (6.35, 190.5)  # m/s; own: no propeller hovers with slower or faster tips


class Trim(NamedTuple):
    """Hover of one rotor: speed, thrust, torque and the command, supply voltage and current."""

    speed_rad_s: float
    thrust_n: float
    torque_n_m: float
    command: float
    supply_v: float
    pack_a: float


class Plant(NamedTuple):
    """Torque on one axis from its command share, a first-order lag, and how the air damps turning."""

    gain_n_m: float
    lag_s: float
    damping_n_m_s: float


class Margins(NamedTuple):
    """Gain margin (1) at its frequency and phase margin (rad) at its frequency (rad/s)."""

    gain: float
    gain_at_rad_s: float
    phase_rad: float
    phase_at_rad_s: float

    @property
    def gain_db(self) -> float:
        """Gain margin in dB."""
        return float(20.0 * np.log10(self.gain))

    @property
    def phase_deg(self) -> float:
        """Phase margin in degrees."""
        return self.phase_rad * 180.0 / pi


def hover_trim(craft: Craft, tables: Tables, cells: pack.PackState) -> Trim:
    """Return the hover of a level aircraft out of ground effect on a pack as charged as `cells`."""
    each = craft.body.mass_kg * craft.body.gravity_m_s2 / 4.0

    def lift(speed: float) -> tuple[float, float]:
        thrust, torque = rotor.thrust_and_torque(
            tables, speed, 0.0, craft.air.density_kg_m3, craft.diameter_m
        )
        return float(thrust), float(torque)

    slowest, fastest = (tip / (0.5 * craft.diameter_m) for tip in TIPS_M_S)
    speed = root(lambda w: lift(w)[0] - each, slowest, fastest)
    thrust, torque = lift(speed)
    params = craft.rotors[0].motor
    motor_v, amps = motor.operating_point(speed, torque, params)
    volts, ohm = pack.sources(cells, tables, craft.pack)

    def shortfall(supply_v: float) -> float:
        drawn = 4.0 * amps * motor_v / supply_v + craft.pack.avionics_a
        return volts - ohm * drawn - supply_v

    middle = max(0.5 * volts, 0.1)
    supply_v = root(shortfall, middle, volts) if shortfall(middle) > 0.0 else middle
    duty = motor_v / supply_v
    command = (duty - params.offset) / params.gain
    return Trim(speed, thrust, torque, command, supply_v, (volts - supply_v) / ohm)


def axial_damping_n_s_m(craft: Craft, tables: Tables, trim: Trim) -> float:
    """Return the thrust one rotor loses for each m/s its hub climbs, N s/m, at a steady speed."""
    step = 0.1  # m/s; small against the inflow of 5 m/s

    def thrust(climb_m_s: float) -> float:
        found = rotor.thrust_and_torque(
            tables, trim.speed_rad_s, climb_m_s, craft.air.density_kg_m3, craft.diameter_m
        )
        return float(found[0])

    return (thrust(-step) - thrust(step)) / (2.0 * step)


def turn_damping(craft: Craft, tables: Tables, trim: Trim) -> Vec3:
    """Return the torque the air gives back for each rad/s about the body axes, N m s/rad.

    A hub at r moves with w x r: where it climbs thrust falls by a, where it slides sideways the
    lateral drag of its rotor holds it back by k. So c_x = sum of a y^2 + k z^2, c_y likewise with x,
    and c_z = sum of k (x^2 + y^2).
    """
    a = axial_damping_n_s_m(craft, tables, trim)
    k = craft.lateral_drag_n_s2_m * trim.speed_rad_s
    hubs = [place.hub_m for place in craft.rotors]
    return Vec3(
        sum(a * r.y**2 + k * r.z**2 for r in hubs),
        sum(a * r.x**2 + k * r.z**2 for r in hubs),
        sum(k * (r.x**2 + r.y**2) for r in hubs),
    )


def axis_plant(
    craft: Craft, tables: Tables, trim: Trim, lever_m: float, damping_n_m_s: float = 0.0
) -> Plant:
    """Return gain and lag from command share to torque about roll or pitch.

    lever_m : see `levers`; damping_n_m_s : see `turn_damping`.
    """
    params = craft.rotors[0].motor
    kt = motor.torque_constant_n_m_a(params.kv_rad_s_v)
    step = 1.0  # rad/s; small against the hover speed, slopes are smooth there

    def slopes(w: float) -> tuple[float, float]:
        high = rotor.thrust_and_torque(
            tables, w + step, 0.0, craft.air.density_kg_m3, craft.diameter_m
        )
        low = rotor.thrust_and_torque(
            tables, w - step, 0.0, craft.air.density_kg_m3, craft.diameter_m
        )
        return (high[0] - low[0]) / (2.0 * step), (high[1] - low[1]) / (2.0 * step)

    thrust_slope, torque_slope = slopes(trim.speed_rad_s)
    damping = kt * kt / params.resistance_ohm + params.braking_n_m_s + torque_slope
    speed_gain = kt * trim.supply_v * params.gain / params.resistance_ohm / damping
    gain = 4.0 * lever_m * thrust_slope * speed_gain
    return Plant(gain, params.inertia_kg_m2 / damping, damping_n_m_s)


def loop(w: Reals, gains: AxisGains, plant: Plant, inertia_kg_m2: float, craft: Craft) -> Complex:
    """Return the open-loop response of one axis at angular frequencies w (rad/s)."""
    c = craft.controller
    s = 1j * w
    gyro = low_pass(s, c.gyro_cutoff_hz, GYRO_S) ** 2
    slope = (1.0 - np.exp(-s * PERIOD_S)) / PERIOD_S * low_pass(s, c.damping_cutoff_hz, PERIOD_S)
    rate = gains.p + gains.i / s
    control = gyro * (rate + gains.d * slope) + rate * c.attitude_gain_per_s / s
    delay = np.exp(-s * (c.delay_periods * PERIOD_S + 0.5 * PERIOD_S - 0.5 * TICK_S))
    actuator = plant.gain_n_m / (1.0 + plant.lag_s * s)
    return np.asarray(control * delay * actuator / (inertia_kg_m2 * s + plant.damping_n_m_s))


def low_pass(s: Complex, cutoff_hz: float, step_s: float) -> Complex:
    """Return the response of the sampled first-order filter y += a (x - y)."""
    share = low_pass_share(cutoff_hz, step_s)
    return np.asarray(share / (1.0 - (1.0 - share) * np.exp(-s * step_s)))


def _falls_through_zero(f: Callable[[Reals], Reals], grid: Reals) -> list[float]:
    """Return every place in the band where f goes from above zero to zero or below."""
    values = f(grid)
    down = np.flatnonzero((values[:-1] > 0.0) & (values[1:] <= 0.0))
    at = lambda w: float(f(np.array([w]))[0])  # noqa: E731
    return [root(at, float(grid[i]), float(grid[i + 1])) for i in down]


def margins(response: Callable[[Reals], Complex], low_rad_s: float, high_rad_s: float) -> Margins:
    """Return gain and phase margin of an open-loop response over a band of frequencies.

    response : function of an array of angular frequencies (rad/s). The smallest margin counts; one
    that does not occur in the band is infinite, at frequency nan.
    """
    grid = np.geomspace(low_rad_s, high_rad_s, 600)

    def at(w: float) -> complex:
        return complex(response(np.array([w]))[0])

    # where -L has a positive imaginary part, L lags less than half a turn
    falls = _falls_through_zero(lambda w: np.imag(-response(w)), grid)
    reversals = [w for w in falls if at(w).real < 0.0]
    unity = _falls_through_zero(lambda w: np.abs(response(w)) - 1.0, grid)
    gain, gain_at = min(((1.0 / abs(at(w)), w) for w in reversals), default=(np.inf, np.nan))
    phase, phase_at = min(((float(np.angle(-at(w))), w) for w in unity), default=(np.inf, np.nan))
    return Margins(float(gain), float(gain_at), float(phase), float(phase_at))


def levers(craft: Craft) -> tuple[float, float]:
    """Return how far off the roll and the pitch axis a rotor works in the mean, m.

    One share of command on an axis gives each rotor its mix m of it, hence the torque 4 k lever with
    lever = sum of m r / 4 and k thrust per command.
    """
    places = list(zip(craft.controller.mix, (r.hub_m for r in craft.rotors), strict=True))
    return (
        fsum(-share.x * hub.y for share, hub in places) / 4.0,
        fsum(share.y * hub.x for share, hub in places) / 4.0,
    )


LOWEST_RAD_S, HIGHEST_RAD_S = 0.5, 1500.0  # rad/s; own: well below the attitude loop, near Nyquist


def craft_margins(craft: Craft, tables: Tables, cells: pack.PackState) -> tuple[Margins, Margins]:
    """Return the margins of the roll and the pitch loop in hover."""
    trim = hover_trim(craft, tables, cells)
    inertia, c = craft.body.inertia_kg_m2, craft.controller
    across, along = levers(craft)
    turning = turn_damping(craft, tables, trim)
    axes = (
        (c.roll, across, inertia.x, turning.x),
        (c.pitch, along, inertia.y, turning.y),
    )
    found = []
    for gains, lever, moment, damping in axes:
        plant = axis_plant(craft, tables, trim, lever, damping)
        response = partial(_axis_loop, gains, plant, moment, craft)
        found.append(margins(response, LOWEST_RAD_S, HIGHEST_RAD_S))
    return found[0], found[1]


def _axis_loop(gains: AxisGains, plant: Plant, moment: float, craft: Craft, w: Reals) -> Complex:
    return loop(w, gains, plant, moment, craft)
