"""Faults of board, level, gyro, accelerometer, barometer and their mount."""

from math import cos, pi, sin

import numpy as np

from sim.aircraft.changes import with_value
from sim.aircraft.world import World
from sim.faults import compass
from sim.faults.compass import angle_rad, matrix
from sim.faults.fault import Fault, Truth
from sim.kernel import estimator, sensors
from sim.kernel.frames import IDENTITY, UPRIGHT, Vec3, apply, norm, to_body
from sim.units import RAD_PER_DEG

LEVEL_LIMIT_RAD = 1.0 * RAD_PER_DEG  # rad; design: 1 degree is 0.8 m of drift in 3 s
BOARD_LIMIT_RAD = 5.0 * RAD_PER_DEG  # rad; own: a board askew by more is not askew but turned
RATE_LIMIT_RAD_S = 0.5 * RAD_PER_DEG  # rad/s; common practice: rates of a still aircraft
FACE_LIMIT = 0.02  # 1; own: gravity on each face within 2 %
JUMP_LIMIT_M = 0.3  # m; own: false height at the hover
STIFF = 2.5  # 1; own: times the shake that good foam lets through
NO_NOISE = Vec3(0.0, 0.0, 0.0)
BOARDS: tuple[tuple[float, bool], ...] = (
    (90.0, False),
    (-90.0, False),
    (180.0, False),
    (0.0, True),
)  # deg, upside down; trade experience: boards sit square to the frame


def untold_turn_rad(truth: Truth) -> float:
    """Return the turn between how the board sits and how the controller believes it sits, rad."""
    held, fitted = truth.craft.estimator, truth.craft.sensors
    return angle_rad(matrix(held.mounting) @ matrix(fitted.mounting))


def seen_force(force: Vec3, truth: Truth) -> Vec3:
    """Return the calibrated accelerometer reading of a force in body axes, without noise.

    A board turned untold is another fault; it is left out here.
    """
    held, fitted = truth.craft.estimator, truth.craft.sensors
    if untold_turn_rad(truth) > BOARD_LIMIT_RAD:
        held, fitted = held._replace(mounting=IDENTITY), fitted._replace(mounting=IDENTITY)
    raw = apply(held.mounting, sensors.accel_reading(force, NO_NOISE, fitted))
    seen: Vec3 = estimator.calibrated(raw, held.accel_offset_m_s2, held.accel_matrix)
    return seen


def tilt_error_rad(truth: Truth) -> float:
    """Return how far from level the aircraft is when the controller believes it level, rad."""
    up = Vec3(0.0, 0.0, -truth.craft.body.gravity_m_s2)
    seen = seen_force(to_body(UPRIGHT, up), truth)
    roll = float(np.arctan2(-seen.y, -seen.z)) - truth.craft.controller.level_trim_roll_rad
    pitch = float(np.arctan2(seen.x, np.hypot(seen.y, seen.z)))
    pitch -= truth.craft.controller.level_trim_pitch_rad
    return float(np.hypot(roll, pitch))


def worst_face_share(truth: Truth) -> float:
    """Return how far gravity is off on the worst of the six faces, as a share of it."""
    g = truth.craft.body.gravity_m_s2
    faces = [Vec3(s * g * (i == 0), s * g * (i == 1), s * g * (i == 2)) for i in range(3) for s in (1, -1)]  # fmt: skip
    return max(abs(float(norm(seen_force(face, truth))) / g - 1.0) for face in faces)


def false_height_m(truth: Truth) -> float:
    """Return how far the wash of a hover falsifies the barometer's height, m."""
    weight = truth.world.airframe.mass_kg * truth.craft.body.gravity_m_s2
    return abs(truth.craft.sensors.baro_wash_m_n) * weight


def _gyro_moved(truth: Truth) -> bool:
    return float(norm(truth.craft.sensors.gyro_moved_rad_s)) > RATE_LIMIT_RAD_S


def _mount_loose(truth: Truth) -> bool:
    """Tell whether the mount rings below the filter of the damping: inside the loop."""
    below = truth.world.airframe.sheet.setup.damping_cutoff_hz
    return 0.0 < truth.world.build.sensors.loose_mount_hz < below


def _board(world: World, severity: float, rng: np.random.Generator) -> World:
    """Fit the controller turned or upside down, and do not tell it."""
    turn, inverted = BOARDS[int(rng.integers(len(BOARDS)))]
    world = with_value(world, "build.sensors.board_turn_deg", turn)
    return with_value(world, "build.sensors.board_upside_down", inverted)


def _tilted_calibration(world: World, severity: float, rng: np.random.Generator) -> World:
    size = 2.0 + 4.0 * severity  # deg; a bench out of level by 2 to 6 degrees
    turn = rng.uniform(0.0, 2.0 * pi)
    world = with_value(world, "setup.level_trim_roll_deg", size * cos(turn))
    return with_value(world, "setup.level_trim_pitch_deg", size * sin(turn))


def direction(rng: np.random.Generator) -> np.ndarray:
    """Return a random unit vector."""
    v = rng.standard_normal(3)
    unit: np.ndarray = v / np.linalg.norm(v)
    return unit


def _moved(world: World, severity: float, rng: np.random.Generator) -> World:
    """Pick the aircraft up while the controller starts; it has power already."""
    size = 1.5 + 3.5 * severity  # deg/s; trade experience 1-5
    world = with_value(world, "conduct.transmitter_on", True)
    world = with_value(world, "conduct.pack_plugged", True)
    return with_value(world, "build.sensors.gyro_moved_deg_s", tuple(size * direction(rng)))


def _warms(world: World, severity: float, rng: np.random.Generator) -> World:
    size = 2.0 + 3.0 * severity  # deg/s; trade experience: 0.02-0.1 deg/s per K, over 30 to 50 K
    return with_value(world, "build.sensors.gyro_warm_deg_s", tuple(size * direction(rng)))


def _faces_off(world: World, severity: float, rng: np.random.Generator) -> World:
    """Spoil the accelerometer: the part itself has shifted, or its calibration was botched."""
    bias = (0.3 + 0.7 * severity) * rng.choice((-1.0, 1.0), 3)  # m/s2; trade experience 0.3-1
    scale = (0.03 + 0.02 * severity) * rng.choice((-1.0, 1.0), 3)  # 1; trade experience 3-5 %
    bent = tuple(tuple(float(x) for x in line) for line in np.diag(1.0 + scale))
    if rng.random() < 0.5:  # own: as many shifted parts as botched calibrations
        world = with_value(world, "build.sensors.accel_matrix", bent)
        return with_value(world, "build.sensors.accel_bias_m_s2", tuple(bias))
    world = with_value(world, "setup.accelerometer.matrix", bent)
    return with_value(world, "setup.accelerometer.offset_m_s2", tuple(bias))


def _uncovered(world: World, severity: float, rng: np.random.Generator) -> World:
    return with_value(world, "build.sensors.baro_uncovered", True)


def _loose(world: World, severity: float, rng: np.random.Generator) -> World:
    share = 0.5 - 0.3 * severity  # 1; trade experience: 5-20 Hz where damping is filtered at 40 Hz
    hz = share * world.airframe.sheet.setup.damping_cutoff_hz
    return with_value(world, "build.sensors.loose_mount_hz", hz)


def _stiff(world: World, severity: float, rng: np.random.Generator) -> World:
    gain = 6.0 + 12.0 * severity  # 1; own: without foam the board shakes as the frame does
    return with_value(world, "build.sensors.shake_gain", gain)


FAULTS = (
    *compass.FAULTS,
    Fault(
        id="board-rotation-untold",
        family="sensing",
        item="controller mount",
        hazard=5,
        opens="attitude-misjudged",
        inject=_board,
        present=lambda truth: untold_turn_rad(truth) > BOARD_LIMIT_RAD,
        revealed_by=("hand-tilt", "tilt-while-armed", "light-on-legs"),
        proved_by=("hand-tilt", "tilt-while-armed"),
        fixes=("setup.controller.board_turn_deg", "setup.controller.board_upside_down"),
        in_the_air="It corrects about the wrong axis or the wrong way and flips at takeoff.",
        explanation=(
            "The controller is fitted turned or upside down and was not told, so nose down shows "
            "as something else. Tell it how it sits, then tilt the aircraft by hand about all "
            "three axes and watch the display follow."
        ),
        caution="Propellers off until tilt and stabiliser have been seen to be right.",
    ),
    Fault(
        id="level-trim-off",
        family="sensing",
        item="level",
        hazard=2,
        opens="attitude-misjudged",
        inject=_tilted_calibration,
        present=lambda t: t.relies_on("accelerometer") and tilt_error_rad(t) > LEVEL_LIMIT_RAD,
        revealed_by=("level-and-still", "pad-look", "light-on-legs"),
        proved_by=("level-and-still",),
        fixes=("calibrate:level",),
        in_the_air="It slides steadily to one side with the sticks let go.",
        explanation=(
            "The aircraft was calibrated on a surface that was not level, so it holds a lean it "
            "takes for level. Calibrate on a flat plate and turn it half round to prove it."
        ),
    ),
    Fault(
        id="gyro-bias-moved",
        family="sensing",
        item="gyro",
        hazard=3,
        opens="attitude-misjudged",
        inject=_moved,
        present=_gyro_moved,
        revealed_by=(
            "level-and-still",
            "pad-look",
            "heading-marks",
            "restrained-run-up",
            "light-on-legs",
        ),
        proved_by=("level-and-still", "pad-look"),
        fixes=("plug",),
        in_the_air="In rate control it leans slowly and the nose creeps round.",
        lucky="level and compass made up for the gyro, which rate control would not.",
        explanation=(
            "The aircraft was moved while the controller started, and it took that motion for "
            "standing still. Unplug, set it down, plug in and leave it alone for ten seconds."
        ),
    ),
    Fault(
        id="accel-cal-bad",
        family="sensing",
        item="accelerometer",
        hazard=3,
        opens="attitude-misjudged",
        inject=_faces_off,
        present=lambda t: t.relies_on("accelerometer") and worst_face_share(t) > FACE_LIMIT,
        revealed_by=("six-faces", "level-and-still", "pad-look", "heading-marks", "light-on-legs"),
        proved_by=("six-faces",),
        fixes=("calibrate:faces",),
        in_the_air=(
            "Level is not where it should be: it leans and slides, by another amount in each "
            "attitude."
        ),
        explanation=(
            "The accelerometer does not measure gravity as the same size on every face, so what it "
            "calls level depends on how the aircraft leans. Calibrate it on all six faces."
        ),
        also=("level-trim-off",),
    ),
    Fault(
        id="gyro-warmup-drift",
        family="sensing",
        item="gyro",
        hazard=2,
        opens="senses-led-astray",
        inject=_warms,
        present=lambda t: float(norm(t.craft.sensors.gyro_warm_rad_s)) > RATE_LIMIT_RAD_S,
        revealed_by=("warm-creep",),
        proved_by=("warm-creep",),
        fixes=("wait", "plug"),
        in_the_air="Sound at first; after some minutes it leans and the nose creeps.",
        lucky="the hop was over before the gyro was warm.",
        explanation=(
            "The gyro's zero moves as the board warms up, and it was taken cold. Leave the aircraft "
            "powered for five minutes, then unplug, plug in again and keep it still."
        ),
        also=("gyro-bias-moved",),  # what has drifted is left over until the next start
    ),
    Fault(
        id="baro-uncovered",
        family="sensing",
        item="barometer",
        hazard=2,
        opens="senses-led-astray",
        inject=_uncovered,
        present=lambda truth: false_height_m(truth) > JUMP_LIMIT_M,
        revealed_by=("breath-and-torch", "light-on-legs"),
        proved_by=("breath-and-torch", "light-on-legs"),
        fixes=("swap:barometer-cover",),
        in_the_air=(
            "The height shown jumps as the motors spin up; whatever holds height by it bobs."
        ),
        explanation=(
            "The barometer feels the wash of the propellers and the light because nothing covers "
            "it. A piece of open foam over it cures both."
        ),
    ),
    Fault(
        id="sensor-mount-loose",
        family="sensing",
        item="controller mount",
        hazard=4,
        opens="shakes-or-slack",
        inject=_loose,
        present=_mount_loose,
        revealed_by=("board-touch", "look-and-tug", "steady-throttle", "light-on-legs"),
        proved_by=("board-touch",),
        fixes=("swap:sensor-mount",),
        in_the_air=(
            "A violent shake as soon as it lifts, which no gain setting cures; within seconds it "
            "is out of hand."
        ),
        explanation=(
            "The controller can move on its mount, so it feels the frame late and rings itself. "
            "Press it with a finger: there should be no play."
        ),
    ),
    Fault(
        id="sensor-mount-stiff",
        family="sensing",
        item="controller mount",
        hazard=3,
        opens="shakes-or-slack",
        inject=_stiff,
        present=lambda truth: truth.craft.sensors.shake_gain > STIFF,
        revealed_by=("board-touch", "light-on-legs"),
        proved_by=("board-touch", "light-on-legs"),
        fixes=("swap:sensor-mount",),
        in_the_air=(
            "The shake of the rotors reaches the board: its readings are rough, and with one bad "
            "propeller level goes astray."
        ),
        explanation=(
            "The controller sits hard on the frame, so the shake of every propeller reaches its "
            "sensors. Put it on soft pads and balance the propellers."
        ),
    ),
)
