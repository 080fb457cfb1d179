"""Compass, accelerometer and gyro: their readings, fits, noise and the attitude estimate."""

from collections.abc import Sequence
from dataclasses import replace
from math import atan2, degrees, radians, sqrt
from typing import Any

import numpy as np
from numba import njit

from sim.aircraft import library
from sim.aircraft.avionics import field_params
from sim.bench.accelerometer import solve_six_positions
from sim.bench.compass import fit_compass
from sim.kernel import estimator, noise, sensors
from sim.kernel.frames import IDENTITY, ZERO, Vec3, from_angles, to_body, wrapped
from sim.kernel.vehicle import TICK_S
from sim.qualify import row
from sim.qualify.parts import GRAVITY_M_S2, INSTRUMENTS

MICROTESLA_M3_PER_A_M2 = 0.1  # uT m3/(A m2), mu0/(4 pi)
FIELD = ("field_x_ut", "field_y_ut", "field_z_ut")


def compass_error_deg(
    earth_ut: Vec3, attitude_rad: tuple[float, float, float], p: sensors.SensorParams
) -> float:
    """Return shown minus true heading of a craft at (roll, pitch, heading), in degrees."""
    roll, pitch, heading = attitude_rad
    field = to_body(from_angles(roll, pitch, heading), earth_ut)
    read = sensors.mag_exact_ut(field, 0.0, p)
    shown = estimator.heading_of_field(read, roll, pitch, 0.0)
    return degrees(float(wrapped(shown - heading)))


def compass() -> list[row.Row]:
    """Declination on a leaning craft that points north, and the worst error of a hard iron."""
    t, iron = row.table("earth_field"), row.table("heading_error")
    seen, worst = [], []
    for line in t.lines:
        earth = Vec3(*(1e-3 * line[f"{axis}_nt"] for axis in ("north", "east", "down")))
        seen.append(-compass_error_deg(earth, (0.35, -0.17, 0.0), INSTRUMENTS))
    for line in iron.lines:
        p = INSTRUMENTS._replace(mag_hard_iron_ut=Vec3(line["offset_ut"], 0.0, 0.0))
        earth = Vec3(line["horizontal_ut"], 0.0, 40.0)
        turn = [radians(0.5 * i) for i in range(720)]
        worst.append(max(abs(compass_error_deg(earth, (0.0, 0.0, at), p)) for at in turn))
    site, garage = row.table("site_field"), field_params(library.site("lockup-garage")).earth_ut
    return [
        site.worst("earth field of the shipped garage", "north_ut", [garage.x]),
        site.worst("earth field of the shipped garage", "east_ut", [garage.y]),
        site.worst("earth field of the shipped garage", "down_ut", [garage.z]),
        t.worst("compass of a craft pointing north", "declination_deg", seen),
        iron.worst("compass with hard iron, full turn", "error_deg", worst),
    ]


def steel() -> list[row.Row]:
    """Field of a piece of steel."""
    t = row.table("dipole_field")
    fields = []
    for line in t.lines:
        moment = (MICROTESLA_M3_PER_A_M2 * line[f"moment_{axis}_a_m2"] for axis in "xyz")
        at = Vec3(line["north_m"], line["east_m"], line["down_m"])
        fields.append(sensors.dipole_field_ut(at, sensors.Dipole(ZERO, Vec3(*moment))))
    return [
        t.worst("field of a dipole", f"field_{axis}_ut", [field[i] for field in fields])
        for i, axis in enumerate(("north", "east", "down"))
    ]


def columns(t: row.Table, names: Sequence[str]) -> Any:
    """Return columns of a table as an array, one row a line."""
    return np.array([[line[name] for name in names] for line in t.lines])


def compass_fit() -> list[row.Row]:
    """Ellipsoid fit of a documented example, and of readings beside a magnet."""
    t, magnet = row.table("ellipsoid_fit"), row.table("hard_iron_points")
    points = columns(row.table("ellipsoid_points"), FIELD)
    found = fit_compass(points, fit_compass(points, 1.0).fitted_ut)
    beside = fit_compass(columns(magnet, FIELD), 1.0)
    once = replace(magnet, lines=magnet.lines[:1])
    rows = [t.worst("ellipsoid fit", "field_ut", [found.fitted_ut])]
    for i, axis in enumerate("xyz"):
        offset = beside.offset_ut[i]
        rows += [
            t.worst("ellipsoid fit", f"centre_{axis}_ut", [found.offset_ut[i]]),
            t.worst("ellipsoid fit", f"matrix_{axis}{axis}", [found.matrix[i, i]]),
            once.worst("compass fit beside a magnet", f"offset_{axis}_ut", [offset]),
        ]
    return rows


def six_positions() -> list[row.Row]:
    """Errors of an accelerometer found from six faces."""
    t, faces = row.table("accelerometer_errors"), row.table("accelerometer_faces")
    read, true = (
        columns(faces, [f"{kind}_{axis}_m_s2" for axis in "xyz"]) for kind in ("read", "true")
    )
    offset, matrix = solve_six_positions(read, true)
    gain = np.linalg.inv(matrix)
    item = "six-position calibration"
    return [
        t.worst(item, "offset_m_s2", offset),
        *(t.worst(item, f"gain_{axis}", gain[:, i]) for i, axis in enumerate("xyz")),
    ]


def _still_history(start: Any, gyro: Any, accel: Any, p: Any, dt_s: float, steps: int) -> Any:
    out = np.empty((steps + 1, 2))
    state, mag = start, Vec3(20.0, 0.0, 40.0)
    for i in range(steps + 1):
        if i > 0:
            state = estimator.updated(state, gyro, accel, mag, p, dt_s)
        out[i] = (2.0 * atan2(state.attitude.x, state.attitude.w), state.bias_rad_s.x)
    return out


still_history = njit(_still_history)


def estimator_params(bias_gain_per_s2: float) -> estimator.EstimatorParams:
    """Return a filter without heading correction and calibrations, k_P = 1/s."""
    return estimator.EstimatorParams(
        level_gain_per_s=1.0, heading_gain_per_s=0.0, bias_gain_per_s2=bias_gain_per_s2,
        accel_trust_m_s2=1.0, gravity_m_s2=GRAVITY_M_S2, accel_offset_m_s2=ZERO,
        accel_matrix=IDENTITY, mag_offset_ut=ZERO, mag_matrix=IDENTITY, mounting=IDENTITY,
        mag_mounting=IDENTITY, declination_rad=0.0,
    )  # fmt: skip


def estimated(roll_rad: float, gyro_rad_s: float, bias_gain: float, seconds: float) -> Any:
    """Return each tick's (roll in rad, gyro bias in rad/s) as estimated by a craft at rest."""
    start = estimator.EstimatorState(from_angles(roll_rad, 0.0, 0.0), ZERO)
    gyro, up = Vec3(gyro_rad_s, 0.0, 0.0), Vec3(0.0, 0.0, -GRAVITY_M_S2)
    steps = round(seconds / TICK_S)
    return still_history(start, gyro, up, estimator_params(bias_gain), TICK_S, steps)


def estimates() -> list[row.Row]:
    """Decay of an attitude error at rest, and the learning of a gyro bias."""
    decay, learnt = row.table("estimator_decay"), row.table("estimator_gyro_bias")
    one = estimated(radians(30.0), 0.0, 0.0, 5.0)
    two = estimated(0.0, 0.02, 0.3, 20.0)
    errors = [degrees(one[round(t / TICK_S), 0]) for t in decay.column("time_s")]
    at = [two[round(t / TICK_S)] for t in learnt.column("time_s")]
    item = "estimate with a gyro bias"
    return [
        decay.worst("attitude error at rest", "error_deg", errors),
        decay.worst("attitude error at rest, other filter", "library_deg", errors),
        learnt.worst(item, "bias_rad_s", [x[1] for x in at]),
        learnt.worst(item, "roll_deg", [degrees(x[0]) for x in at]),
        learnt.worst(f"{item}, other filter", "library_bias_rad_s", [x[1] for x in at]),
    ]


def _noise_means(random: Any, p: Any, seconds: int) -> Any:
    out = np.zeros((seconds, 6))
    for second in range(seconds):
        for _ in range(1000):
            random, gyro, accel = sensors.inertial_noise(random, p)
            turn = sensors.gyro_reading(ZERO, ZERO, gyro, p)
            push = sensors.accel_reading(ZERO, accel, p)
            out[second] += np.array((turn.x, turn.y, turn.z, push.x, push.y, push.z))
    return out / 1000.0


noise_means = njit(_noise_means)


def allan_deviation(means: Any, interval: int = 1) -> float:
    """Return the Allan deviation of frequency-like data averaged over `interval` samples."""
    count = len(means) // interval
    blocks = np.reshape(np.asarray(means)[: count * interval], (count, interval)).mean(axis=1)
    return float(sqrt(0.5 * np.mean(np.diff(blocks) ** 2)))


def instrument_noise() -> list[row.Row]:
    """Random walks of gyro and accelerometer: Allan deviation of their readings at one second."""
    t = row.table("instrument_noise")
    [line] = t.lines
    p = INSTRUMENTS._replace(
        gyro_noise_rad_s=radians(line["gyro_sample_deg_s"]),
        accel_noise_m_s2=line["accel_sample_m_s2"],
    )
    means = noise_means(np.uint64(7), p, 2000)
    found = [allan_deviation(means[:, i]) ** 2 for i in range(6)]
    gyro, accel = 60.0 * sqrt(sum(found[:3]) / 3.0), 60.0 * sqrt(sum(found[3:]) / 3.0)
    return [
        t.worst("gyro at rest", "angle_walk_deg_root_h", [degrees(gyro)]),
        t.worst("accelerometer at rest", "velocity_walk_m_s_root_h", [accel]),
    ]


def random_numbers() -> list[row.Row]:
    """First numbers of the source of chance."""
    t = row.table("random_numbers")
    state, drawn = np.uint64(1234567), []
    for _ in t.lines:
        state, number = noise.uniform(np.uint64(state))
        drawn.append(number)
    return [t.worst("random numbers", "number", drawn)]
