"""Compass and accelerometer: what they show, what spoils it, and the fits that put it right."""

from collections.abc import Sequence
from dataclasses import replace
from math import degrees, radians
from typing import Any

import numpy as np

from sim.aircraft import library
from sim.aircraft.avionics import field_params
from sim.bench.accelerometer import solve_six_positions
from sim.bench.compass import fit_compass
from sim.kernel import estimator, sensors
from sim.kernel.frames import ZERO, Mat3, Vec3, from_angles, to_body, wrapped
from sim.qualify import row
from sim.qualify.parts import INSTRUMENTS

MICROTESLA_M3_PER_A_M2 = 0.1  # uT m3/(A m2), mu0/(4 pi)
FIELD = ("field_x_ut", "field_y_ut", "field_z_ut")
WORLD = ("north_ut", "east_ut", "down_ut")


def compass_error_deg(
    earth_ut: Vec3,
    attitude_rad: tuple[float, float, float],
    p: sensors.SensorParams,
    amps: float = 0.0,
) -> float:
    """Return shown minus true heading of a craft at (roll, pitch, heading), in degrees."""
    roll, pitch, heading = attitude_rad
    field = to_body(from_angles(roll, pitch, heading), earth_ut)
    read = sensors.mag_exact_ut(field, amps, p)
    shown = estimator.heading_of_field(read, roll, pitch, 0.0)
    return degrees(float(wrapped(shown - heading)))


def worst_turning_deg(line: dict[str, float]) -> float:
    """Return the worst error of a compass with hard iron over a full turn."""
    p = INSTRUMENTS._replace(mag_hard_iron_ut=Vec3(line["offset_ut"], 0.0, 0.0))
    earth = Vec3(line["horizontal_ut"], 0.0, 40.0)
    turn = [radians(0.25 * i) for i in range(1440)]
    return max(abs(compass_error_deg(earth, (0.0, 0.0, at), p)) for at in turn)


def compass() -> list[row.Row]:
    """Declination on a leaning craft, and the errors by hard iron and by a lead's current."""
    t, lead = row.table("earth_field"), row.table("wire_field")
    iron, printed = row.table("heading_error"), row.table("heading_error_printed")
    seen, led = [], []
    for line in t.lines:
        earth = Vec3(*(1e-3 * line[f"{axis}_nt"] for axis in ("north", "east", "down")))
        seen.append(-compass_error_deg(earth, (0.35, -0.17, 0.0), INSTRUMENTS))
    for line in lead.lines:
        per_amp = Vec3(*(line[f"per_amp_{axis}_ut"] for axis in "xyz"))
        p = INSTRUMENTS._replace(mag_per_amp_ut_a=per_amp)
        earth = Vec3(*(line[axis] for axis in WORLD))
        led.append(compass_error_deg(earth, (0.0, 0.0, 0.0), p, line["current_a"]))
    return [
        t.worst("compass of a craft pointing north", "declination_deg", seen),
        printed.worst(
            "compass with hard iron, printed", "error_deg", map(worst_turning_deg, printed.lines)
        ),
        iron.worst(
            "compass with hard iron, full turn", "error_deg", map(worst_turning_deg, iron.lines)
        ),
        lead.worst("compass above a lead", "error_deg", led),
    ]


def fields() -> list[row.Row]:
    """Field of the shipped garage and of a piece of steel."""
    copied, other = row.table("site_field"), row.table("site_field_igrf")
    garage = field_params(library.site("lockup-garage")).earth_ut
    t, found = row.table("dipole_field"), []
    for line in t.lines:
        moment = (MICROTESLA_M3_PER_A_M2 * line[f"moment_{axis}_a_m2"] for axis in "xyz")
        at = Vec3(line["north_m"], line["east_m"], line["down_m"])
        found.append(sensors.dipole_field_ut(at, sensors.Dipole(ZERO, Vec3(*moment))))
    return [
        copied.worst("earth field of the garage, copied", WORLD, [garage]),
        other.worst("earth field of the garage, other model", WORLD, [garage]),
        t.worst(
            "field of a dipole", [f"field_{axis}_ut" for axis in ("north", "east", "down")], found
        ),
    ]


def columns(t: row.Table, names: Sequence[str]) -> Any:
    """Return columns of a table as an array, one row a line."""
    return np.array([[line[name] for name in names] for line in t.lines])


def compass_fit() -> list[row.Row]:
    """Ellipsoid fit of a documented example, and of readings beside a magnet."""
    t, shape, magnet = (
        row.table("ellipsoid_fit"),
        row.table("ellipsoid_shape"),
        row.table("hard_iron_points"),
    )
    points = columns(row.table("ellipsoid_points"), FIELD)
    found = fit_compass(points, fit_compass(points, 1.0).fitted_ut)
    beside = fit_compass(columns(magnet, FIELD), 1.0)
    once = replace(magnet, lines=magnet.lines[:1])
    centre = [f"centre_{axis}_ut" for axis in "xyz"]
    return [
        t.worst("ellipsoid fit", "field_ut", [found.fitted_ut]),
        shape.worst("ellipsoid fit, centre", centre, [found.offset_ut]),
        shape.worst(
            "ellipsoid fit, stretch",
            [f"matrix_{axis}{axis}" for axis in "xyz"],
            [np.diag(found.matrix)],
        ),
        once.worst(
            "compass fit beside a magnet",
            [f"offset_{axis}_ut" for axis in "xyz"],
            [beside.offset_ut],
        ),
    ]


def six_positions() -> list[row.Row]:
    """Calibrate a crooked accelerometer in seven poses; then read it on a craft pushed about."""
    faces, fresh = row.table("accelerometer_faces"), row.table("accelerometer_fresh")
    true = [f"true_{axis}_m_s2" for axis in "xyz"]
    read = [f"read_{axis}_m_s2" for axis in "xyz"]
    offset, matrix = solve_six_positions(columns(faces, read), columns(faces, true))
    put_right = [
        estimator.calibrated(Vec3(*raw), Vec3(*offset.tolist()), Mat3(*matrix.ravel().tolist()))
        for raw in columns(fresh, read).tolist()
    ]
    return [fresh.worst("accelerometer after calibration", true, put_right)]
