"""Faults of the compass: hard and soft iron, a turned mount, the field of the motor current."""

from collections.abc import Callable
from functools import lru_cache
from math import acos, asin, cos, hypot, pi, sin
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from sim.aircraft.changes import with_value
from sim.aircraft.world import World
from sim.faults.fault import Fault, Truth
from sim.kernel import estimator, sensors
from sim.kernel.estimator import EstimatorParams
from sim.kernel.frames import Mat3, Vec3, apply, from_angles, to_body, wrapped
from sim.kernel.sensors import SensorParams

Reals = NDArray[np.float64]
Part = Literal["iron", "soft", "turn"]

HEADING_LIMIT_RAD = 5.0 * pi / 180.0  # rad; design: worst heading error of a sound compass
TURN_STEPS = 72  # own: every 5 degrees
MOUNTS_DEG = (90.0, -90.0, 180.0)  # deg; trade experience: boards sit square to the frame


def matrix(m: Mat3) -> Reals:
    """Return a kernel matrix as an array."""
    return np.array(m, dtype=np.float64).reshape(3, 3)


def angle_rad(turn: Reals) -> float:
    """Return the angle of a rotation matrix, rad."""
    return acos(float(np.clip(0.5 * (np.trace(turn) - 1.0), -1.0, 1.0)))


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


def _worst_of(earth_ut: Vec3, distortion: Reals, offset_ut: Reals) -> float:
    """Return the largest heading error of distortion @ field + offset over a level turn, rad."""
    at = 2.0 * pi * np.arange(TURN_STEPS) / TURN_STEPS
    level = hypot(earth_ut.x, earth_ut.y)
    field = np.array([level * np.cos(at), -level * np.sin(at), np.full_like(at, earth_ut.z)])
    x, y, _ = distortion @ field + offset_ut[:, None]
    error = np.arctan2(-y, x) - at
    return float(np.abs((error + pi) % (2.0 * pi) - pi).max())


@lru_cache(maxsize=256)
def error_parts_rad(
    earth_ut: Vec3, fitted: SensorParams, held: EstimatorParams
) -> dict[Part, float]:
    """Return the worst heading error that each kind of distortion would make alone, rad.

    What the controller makes of a field f is A f + b. By polar decomposition A is a turn times a
    stretch: the turn is the mount, the stretch soft iron, and b, brought back to the field's own
    size, hard iron.
    """
    turn = matrix(held.mag_mounting) @ matrix(fitted.mag_mounting)
    correction = matrix(held.mag_matrix)
    whole = correction @ turn @ matrix(fitted.mag_soft_iron)
    offset = correction @ (turn @ np.array(fitted.mag_hard_iron_ut) - np.array(held.mag_offset_ut))
    left, sizes, right = np.linalg.svd(whole)
    stretch = right.T @ np.diag(sizes) @ right
    return {
        "iron": _worst_of(earth_ut, np.eye(3), np.linalg.solve(whole, offset)),
        "soft": _worst_of(earth_ut, stretch, np.zeros(3)),
        "turn": angle_rad(left @ right),
    }


def _wrong(part: Part) -> Callable[[Truth], bool]:
    def present(truth: Truth) -> bool:
        """Tell whether this part alone errs too much, or has the largest share of what does."""
        if part != "turn" and not truth.relies_on("compass"):
            return False
        craft = truth.craft
        key = (craft.field.earth_ut, craft.sensors, craft.estimator)
        parts = error_parts_rad(*key)
        if parts[part] > HEADING_LIMIT_RAD:
            return True
        largest = parts[part] == max(parts.values())
        return largest and worst_heading_error_rad(*key) > HEADING_LIMIT_RAD

    return present


def current_error_rad(truth: Truth) -> float:
    """Return how far the current of a hover can turn the heading shown, rad."""
    per_amp, earth = truth.craft.sensors.mag_per_amp_ut_a, truth.craft.field.earth_ut
    push = hypot(per_amp.x, per_amp.y) * truth.world.airframe.sheet.hover_current_a
    return asin(min(1.0, push / hypot(earth.x, earth.y)))


def _iron(world: World, severity: float, rng: np.random.Generator) -> World:
    """Magnetise something near the compass after it was calibrated."""
    size = 5.0 + 7.0 * severity  # uT; heading error asin(size/B_h): 15 to 38 degrees at 19.5 uT
    turn = rng.uniform(0.0, 2.0 * pi)
    down = rng.uniform(-0.2, 0.2) * size
    x, y, z = world.build.sensors.mag_hard_iron_ut
    iron = (x + size * cos(turn), y + size * sin(turn), z + down)
    return with_value(world, "build.sensors.mag_hard_iron_ut", iron)


def _soft(world: World, severity: float, rng: np.random.Generator) -> World:
    """Put soft iron beside the compass: the field is stretched one way, squeezed the other."""
    size = 0.10 + 0.10 * severity  # 1; heading error asin(size): 6 to 12 degrees, twice a turn
    along = rng.uniform(0.0, 2.0 * pi)
    c, s = size * cos(along), size * sin(along)
    bent = ((1.0 + c, s, 0.0), (s, 1.0 - c, 0.0), (0.0, 0.0, 1.0))
    return with_value(world, "build.sensors.mag_soft_iron", bent)


def _turned(world: World, severity: float, rng: np.random.Generator) -> World:
    """Fit the compass turned, and tell nobody."""
    return with_value(world, "build.sensors.compass_turn_deg", float(rng.choice(MOUNTS_DEG)))


def _current(world: World, severity: float, rng: np.random.Generator) -> World:
    """Lay the motor leads past the compass."""
    push_ut = 3.7 + 7.4 * severity  # uT in hover; trade experience: 0.2-1 uT/A at 12 A
    size = push_ut / world.airframe.sheet.hover_current_a
    turn = rng.uniform(0.0, 2.0 * pi)
    push = (size * cos(turn), size * sin(turn), size * rng.uniform(-0.3, 0.3))
    return with_value(world, "build.sensors.mag_per_amp_ut_a", push)


FAULTS = (
    Fault(
        id="mag-hard-iron-offset",
        family="sensing",
        item="compass",
        hazard=3,
        opens="attitude-misjudged",
        inject=_iron,
        present=_wrong("iron"),
        revealed_by=("heading-marks", "field-turn"),
        proved_by=("heading-marks",),
        fixes=("calibrate:compass",),
        in_the_air=(
            "Heading hold follows a compass that errs once per turn: turned about, the nose does "
            "not stay where it was put."
        ),
        lucky="you hardly turned it, and over a whole turn the nose goes astray.",
        explanation=(
            "Something magnetic sits near the compass and was not there when it was calibrated. "
            "It adds a fixed field to every reading, so the heading error swings once per turn and "
            "the size of the field changes as the nose goes round. Calibrate again, away from steel."
        ),
    ),
    Fault(
        id="mag-soft-iron",
        family="sensing",
        item="compass",
        hazard=2,
        opens="attitude-misjudged",
        inject=_soft,
        present=_wrong("soft"),
        revealed_by=("field-turn", "heading-marks"),
        proved_by=("field-turn",),
        fixes=("calibrate:compass",),
        in_the_air=(
            "The heading errs twice per turn: turned about, the nose does not quite stay where it "
            "was put."
        ),
        lucky="you hardly turned it, and over a whole turn the nose goes astray twice.",
        explanation=(
            "Iron that is no magnet itself bends the earth's field at the compass, so the heading "
            "errs twice per turn and four marks can miss it. Watch the size of the field all "
            "round; a full calibration takes the bend out."
        ),
    ),
    Fault(
        id="mag-mount-rotated",
        family="sensing",
        item="compass mount",
        hazard=3,
        opens="attitude-misjudged",
        inject=_turned,
        present=_wrong("turn"),
        revealed_by=("heading-marks", "pad-look"),
        proved_by=("heading-marks",),
        fixes=("setup.controller.compass_turn_deg",),
        in_the_air=(
            "The heading shown is wrong by as much as the compass is turned, and so is whatever "
            "steers by it."
        ),
        explanation=(
            "The compass is fitted turned and the controller was not told, so every heading is off "
            "by the same angle. No calibration takes that out: tell the controller how it is fitted."
        ),
    ),
    Fault(
        id="mag-current-coupling",
        family="sensing",
        item="compass leads",
        hazard=4,
        opens="senses-led-astray",
        inject=_current,
        present=lambda truth: current_error_rad(truth) > HEADING_LIMIT_RAD,
        revealed_by=("compass-ramp", "restrained-run-up"),
        proved_by=("compass-ramp",),
        fixes=("swap:compass-lead",),
        in_the_air="The heading swings as the throttle rises, the more the stronger the current, and back.",
        explanation=(
            "The motor current flows past the compass and adds a field that grows with it. At rest "
            "all is well. Twist the leads, lay them elsewhere or raise the compass, then watch the "
            "field while the motors run up."
        ),
    ),
)
