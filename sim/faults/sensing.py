"""Faults of sensors and their calibration."""

from functools import lru_cache
from math import cos, pi, sin

import numpy as np

from sim.aircraft.changes import with_value
from sim.aircraft.world import World
from sim.faults.fault import Fault, Truth
from sim.kernel import estimator, sensors
from sim.kernel.estimator import EstimatorParams
from sim.kernel.frames import UPRIGHT, Vec3, apply, from_angles, to_body, wrapped
from sim.kernel.sensors import SensorParams

HEADING_LIMIT_RAD = 5.0 * pi / 180.0  # rad; design: worst heading error of a sound compass
LEVEL_LIMIT_RAD = 1.0 * pi / 180.0  # rad; design: 1 degree is 0.8 m of drift in 3 s
TURN_STEPS = 72  # own: every 5 degrees


def shown_heading_rad(
    heading_rad: float, earth_ut: Vec3, fitted: SensorParams, held: EstimatorParams
) -> float:
    """Return the heading a level aircraft would show in a clean field, without noise."""
    field = to_body(from_angles(0.0, 0.0, heading_rad), earth_ut)
    raw = apply(held.mag_mounting, sensors.mag_exact_ut(field, 0.0, fitted))
    seen = estimator.calibrated(raw, held.mag_offset_ut, held.mag_matrix)
    return float(estimator.heading_of_field(seen, 0.0, 0.0, held.declination_rad))


@lru_cache(maxsize=256)
def worst_heading_error_rad(earth_ut: Vec3, fitted: SensorParams, held: EstimatorParams) -> float:
    """Return the largest heading error over a full level turn in a clean field, rad."""
    errors = []
    for k in range(TURN_STEPS):
        heading = 2.0 * pi * k / TURN_STEPS
        shown = shown_heading_rad(heading, earth_ut, fitted, held)
        errors.append(abs(float(wrapped(shown - heading))))
    return max(errors)


def tilt_error_rad(truth: Truth) -> float:
    """Return how far from level the aircraft is when the controller believes it level, rad."""
    held, fitted = truth.craft.estimator, truth.craft.sensors
    up = Vec3(0.0, 0.0, -truth.craft.body.gravity_m_s2)
    raw = sensors.accel_reading(to_body(UPRIGHT, up), Vec3(0.0, 0.0, 0.0), fitted)
    seen = estimator.calibrated(
        apply(held.mounting, raw), held.accel_offset_m_s2, held.accel_matrix
    )
    roll = float(np.arctan2(-seen.y, -seen.z)) - truth.craft.controller.level_trim_roll_rad
    pitch = float(np.arctan2(seen.x, np.hypot(seen.y, seen.z)))
    pitch -= truth.craft.controller.level_trim_pitch_rad
    return float(np.hypot(roll, pitch))


def _iron(world: World, severity: float, rng: np.random.Generator) -> World:
    """Magnetise something near the compass after it was calibrated."""
    size = 5.0 + 7.0 * severity  # uT; heading error asin(size/B_h): 20 to 38 degrees at 19.5 uT
    turn = rng.uniform(0.0, 2.0 * pi)
    down = rng.uniform(-0.2, 0.2) * size
    x, y, z = world.build.sensors.mag_hard_iron_ut
    iron = (x + size * cos(turn), y + size * sin(turn), z + down)
    return with_value(world, "build.sensors.mag_hard_iron_ut", iron)


def _compass_wrong(truth: Truth) -> bool:
    if truth.world.setup.compass is None:
        return True
    craft = truth.craft
    error = worst_heading_error_rad(craft.field.earth_ut, craft.sensors, craft.estimator)
    return error > HEADING_LIMIT_RAD


def _tilted_calibration(world: World, severity: float, rng: np.random.Generator) -> World:
    size = 2.0 + 4.0 * severity  # deg; a bench out of level by 2 to 6 degrees
    turn = rng.uniform(0.0, 2.0 * pi)
    world = with_value(world, "setup.level_trim_roll_deg", size * cos(turn))
    return with_value(world, "setup.level_trim_pitch_deg", size * sin(turn))


FAULTS = (
    Fault(
        id="mag-hard-iron-offset",
        family="sensing",
        item="compass",
        hazard=3,
        inject=_iron,
        present=_compass_wrong,
        revealed_by=("heading-marks", "field-turn"),
        proved_by=("heading-marks",),
        fixes=("calibrate:compass",),
        in_the_air="Heading hold follows a compass that errs once per turn: the nose wanders.",
        explanation=(
            "Something magnetic sits near the compass and was not there when it was calibrated. "
            "It adds a fixed field to every reading, so the heading error swings once per turn and "
            "the size of the field changes as the nose goes round. Calibrate again, away from steel."
        ),
    ),
    Fault(
        id="level-trim-off",
        family="sensing",
        item="level",
        hazard=2,
        inject=_tilted_calibration,
        present=lambda truth: tilt_error_rad(truth) > LEVEL_LIMIT_RAD,
        revealed_by=("level-and-still", "light-on-legs"),
        proved_by=("level-and-still",),
        fixes=("calibrate:level",),
        in_the_air="It slides steadily to one side with the sticks let go.",
        explanation=(
            "The aircraft was calibrated on a surface that was not level, so it holds a lean it "
            "takes for level. Calibrate on a flat plate and turn it half round to prove it."
        ),
    ),
)
