"""Passes of the model over a recording: one for each vehicle, on all cores."""

import os
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor, as_completed
from math import cos, inf, sin
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sim.aircraft import library
from sim.aircraft.assemble import assemble
from sim.aircraft.changes import with_values
from sim.aircraft.powertrain import pack_at_rest
from sim.aircraft.world import World
from sim.kernel import hands, pack, records
from sim.kernel.controller import ControllerParams
from sim.kernel.forced import ANSWER, forced
from sim.kernel.frames import UPRIGHT
from sim.kernel.start import initial_state
from sim.kernel.tables import Tables
from sim.kernel.vehicle import Craft, State
from sim.reproduce.recorded.flight import ON_TIME, Flight, Lateness
from sim.reproduce.recording import Values
from sim.units import RAD_PER_DEG

CHUNK = (
    4  # vehicles of one job; own: seconds of work, so that progress moves and cores end together
)
GAIN_LEFT = 1e-3  # of the integral gains; recipe: open loop they would run away, so they measure
FREE_LIMIT = 1e9  # 1; as good as none
WALL_M = 30.0  # m; own: walls where nobody meets them, as where it stood is not known
EMPTY = 0.5  # share; own: a pack with less than half is another fault
LONGEST_DELAY = 7.0  # periods; the line holds eight, all of them filled
READY = {"conduct.props_fitted": True, "conduct.bare": (), "conduct.pack_plugged": True}
READY |= {"conduct.place": "pad", "conduct.hold": "standing"}

QUIET: dict[str, float] = {
    **dict.fromkeys(
        (
            "sensors__gyro_noise_rad_s",
            "sensors__gyro_walk_rad_s2",
            "sensors__accel_noise_m_s2",
            "sensors__mag_noise_ut",
            "sensors__baro_noise_m",
            "sensors__volt_noise_v",
            "sensors__sway_gain",
            "air__gust_m_s",
            "air__wash",
            "radio__jitter_us",
            "radio__loss_chance",
            *(f"rotors__{i}__motor__gap_rate_per_s" for i in range(4)),
            *(f"rotors__{i}__motor__command_noise" for i in range(4)),
        ),
        0.0,
    ),
    **{f"rotors__{i}__motor__desync_jump": inf for i in range(4)},
    "hold__kind": hands.FREE,
    "controller__delay_periods": LONGEST_DELAY,
    "controller__integral_limit": FREE_LIMIT,
    "estimator__accel_trust_m_s2": FREE_LIMIT,
    "room__north_m": WALL_M,
    "room__south_m": -WALL_M,
    "room__east_m": WALL_M,
    "room__west_m": -WALL_M,
}
"""What is set in every vehicle: chance off, walls away, the delay in the recording's hands.

The estimate trusts whatever is felt: a weight that is off a little must not switch it off.
"""


class Vehicle(NamedTuple):
    """One aircraft to be taken through a recording.

    craft, state : structured arrays of one row; law : 1 self-level, 0 rate control; mounting :
    (3, 3), board axes from body axes; compass_turn_rad : how far to the right the compass sits turned
    from where it is told to sit; integral_gains : of roll, pitch, yaw, as the pass has them;
    volt_scale : what the controller multiplies the pack's voltage by; noise : of readings of accelerometer
    and gyro; late_s : how much later what was logged comes; steer : (4, 3), drives of the
    sums of roll, pitch and yaw as the pass has them; lean : (roll, pitch) in rad in
    which it stands on its legs; trim : (roll, pitch) in rad the controller takes off what it shows; mount :
    natural frequency in rad/s, 0 if rigid, and damping of what the gyro sits on.
    """

    craft: NDArray[np.void]
    state: NDArray[np.void]
    law: float
    mounting: Values
    compass_turn_rad: float
    integral_gains: tuple[float, float, float]
    volt_scale: float
    accel_noise_m_s2: float
    gyro_noise_rad_s: float
    lean: tuple[float, float]
    trim: tuple[float, float]
    steer: Values
    mount: tuple[float, float]
    late_s: Lateness = ON_TIME


def lean_of(craft: Craft) -> tuple[float, float]:
    """Return (roll, pitch) in rad of an aircraft on its four legs, by the plane that fits their feet."""
    feet = np.array(craft.feet_m)
    slope = np.linalg.lstsq(np.column_stack([feet[:, :2], np.ones(4)]), feet[:, 2], rcond=None)[0]
    return float(-np.arctan(slope[1])), float(np.arctan(slope[0]))


def feet_of(vehicle: Vehicle) -> Values:
    """Return where the feet of a vehicle are, (4, 3), body axes from its centre, m."""
    craft = vehicle.craft
    return np.array([[float(craft[f"feet_m__{i}__{a}"][0]) for a in "xyz"] for i in range(4)])


def compass_turn_rad(world: World) -> float:
    """Return how far to the right the compass sits turned from where it is told to sit."""
    told_deg = world.setup.controller.compass_turn_deg
    return (world.build.sensors.compass_turn_deg - told_deg) * RAD_PER_DEG


def steer_of(control: ControllerParams) -> Values:
    """Return the (4, 3) matrix by which sums of roll, pitch and yaw error reach the four drives."""
    c, s = cos(control.layout_turn_rad), sin(control.layout_turn_rad)
    turned = np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]])
    return np.asarray(np.array(control.mix) @ turned @ np.diag(np.array(control.sense)))


def charge_at(world: World, tables: Tables, shown_v: float) -> float:
    """Return the charge at which a pack at rest, drives still, shows a voltage."""
    craft = assemble(with_values(world, READY), UPRIGHT)
    scale = world.setup.controller.volt_scale * craft.sensors.volt_scale
    charges = np.linspace(EMPTY, 1.0, 200)
    shown = []
    for charge in charges:
        volts, ohm = pack.sources(pack.PackState(charge, charge, 0.0, 0.0, 0.0), tables, craft.pack)
        shown.append((volts - ohm * craft.pack.avionics_a) * scale)
    return float(charges[int(np.argmin(np.abs(np.array(shown) - shown_v)))])


def vehicle_of(world: World, aboard: bool) -> Vehicle:
    """Return the vehicle of a world as a pass needs it: quiet, its integrals only measuring.

    aboard : whether the controller is given the attitude it logged, trim taken off, and what its gyro read.
    """
    ready = with_values(world, READY)
    craft = assemble(ready, UPRIGHT)
    row = records.to_row(Craft, craft)
    for path, value in QUIET.items():
        row[path] = value
    for axis in ("roll", "pitch", "yaw"):
        row[f"controller__{axis}__i"] *= GAIN_LEFT
    control = craft.controller
    trim = control.level_trim_roll_rad, control.level_trim_pitch_rad
    if aboard:
        row["controller__level_trim_roll_rad"] = row["controller__level_trim_pitch_rad"] = 0.0
        row["sensors__mount_rad_s"] = 0.0  # readings were logged behind it
    cells = pack_at_rest(world.build.pack)
    start = initial_state(craft, UPRIGHT, world.build.pack.charge, 0)._replace(pack=cells)
    m = craft.sensors.mounting
    return Vehicle(
        craft=row,
        state=records.to_row(State, start),
        law=1.0 if world.setup.transmitter.mode_switch_right else 0.0,
        mounting=np.array(m).reshape(3, 3),
        compass_turn_rad=compass_turn_rad(world),
        integral_gains=tuple(g.i * GAIN_LEFT for g in (control.roll, control.pitch, control.yaw)),  # type: ignore[arg-type]
        volt_scale=world.setup.controller.volt_scale,
        accel_noise_m_s2=craft.sensors.accel_noise_m_s2,
        gyro_noise_rad_s=craft.sensors.gyro_noise_rad_s,
        lean=lean_of(craft),
        trim=trim,
        steer=steer_of(control) / GAIN_LEFT,
        mount=(craft.sensors.mount_rad_s, craft.sensors.mount_damping),
    )


def tables_of(world: World) -> Tables:
    """Return the propeller and cell tables of a world."""
    return library.tables(world.airframe.propeller.table)


Extract = Callable[[Values, Vehicle], Values]


def _job(
    flight: Flight, vehicles: Sequence[Vehicle], tables: Tables, extract: Extract
) -> list[Values]:
    """Take some vehicles through one flight; return what is extracted of each."""
    states = np.concatenate([v.state for v in vehicles])
    crafts = np.concatenate([v.craft for v in vehicles])
    laws = np.array([v.law for v in vehicles])
    answers = np.zeros((len(vehicles), len(flight.ends), len(ANSWER)))
    forced(states, crafts, tables, flight.forcing, laws, flight.told, answers)
    return [extract(answer, vehicle) for answer, vehicle in zip(answers, vehicles, strict=True)]


def _variant(flight: Flight, vehicle: Vehicle) -> Flight:
    found = flight if vehicle.late_s == ON_TIME else flight.late(vehicle.late_s)
    if not np.array_equal(vehicle.mounting, np.eye(3)):
        found = found.turned(vehicle.mounting)
    return found if vehicle.compass_turn_rad == 0.0 else found.headed(vehicle.compass_turn_rad)


def _alike(vehicles: Sequence[Vehicle]) -> list[list[int]]:
    """Return the numbers of vehicles in jobs that share what forces them."""
    by_key: dict[tuple[Lateness, bytes, float], list[int]] = {}
    for i, v in enumerate(vehicles):
        by_key.setdefault((v.late_s, v.mounting.tobytes(), v.compass_turn_rad), []).append(i)
    return [some[k : k + CHUNK] for some in by_key.values() for k in range(0, len(some), CHUNK)]


def passes(
    flight: Flight,
    vehicles: Sequence[Vehicle],
    tables: Tables,
    extract: Extract,
    done: Callable[[int], None] = lambda _: None,
) -> Values:
    """Return what is extracted of a pass of each vehicle over a flight, (vehicles, values).

    done : called with how many more vehicles are through. Threads: compiled code lets go of the lock.
    """
    found: list[Values | None] = [None] * len(vehicles)

    def work(some: list[int]) -> list[int]:
        chosen = [vehicles[i] for i in some]
        results = _job(_variant(flight, chosen[0]), chosen, tables, extract)
        for i, result in zip(some, results, strict=True):
            found[i] = result
        return some

    with ThreadPoolExecutor(os.cpu_count()) as pool:
        for job in as_completed([pool.submit(work, some) for some in _alike(vehicles)]):
            done(len(job.result()))
    return np.array(found)
