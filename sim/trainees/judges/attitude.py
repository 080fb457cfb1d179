"""Judgements on level, gyro, faces, board, compass and barometer."""

from math import atan2, degrees, hypot

from sim.aircraft.airframe import BuildSheet
from sim.faults.compass import HEADING_LIMIT_RAD
from sim.faults.sensing import FACE_LIMIT, LEVEL_LIMIT_RAD, RATE_LIMIT_RAD_S
from sim.kernel.air import STANDARD_GRAVITY_M_S2
from sim.keys import CheckKey
from sim.session.actions import Set
from sim.trainees.judges.finding import Finding, Judge, Values, found
from sim.units import RAD_PER_DEG

HEADING_DEG = 8.0  # deg; below the 10 deg of 14 CFR 25.1327, above a hand-held reading's scatter
INVERTED_DEG = 90.0  # deg; a display that shows this on the bench sits upside down
BOARD_STEP_DEG = 45.0  # deg; own: boards sit square or cornerwise
AXIS_DEG = 10.0  # deg; own: hand and eye
MOUNT_DEG = 30.0  # deg; own: more than iron is likely to do, and the same all round
TWICE = 0.012  # share of the field; own: hand-held readings of a sound compass show 0.1 %
ONCE = 0.025  # share of the field; own: 5 degrees of heading are 1.4 %, steel near by adds some
LOOSE_MM, STIFF_MM = 3.0, 0.5  # mm; own: foam gives about a millimetre
BREATH_M = 0.25  # m; own


def _leans(roll_deg: float, pitch_deg: float) -> bool:
    return hypot(roll_deg, pitch_deg) * RAD_PER_DEG > LEVEL_LIMIT_RAD


def _turns(rate_deg_s: float) -> bool:
    return rate_deg_s * RAD_PER_DEG > RATE_LIMIT_RAD_S


def from_level(v: Values, sheet: BuildSheet) -> list[Finding]:
    """Judge rates first: a gyro that errs also shows a lean.

    Level is the mean of both ways round: that is the aircraft's own error, not the plate's.
    """
    if abs(v["roll_ahead_deg"]) > INVERTED_DEG:
        return [_inverted(0.0)]
    if _turns(v["rate_ahead_deg_s"]):  # the turn itself unsettles what comes after
        return [found("gyro-bias-moved")]
    roll = 0.5 * (v["roll_ahead_deg"] + v["roll_turned_deg"])
    pitch = 0.5 * (v["pitch_ahead_deg"] + v["pitch_turned_deg"])
    return [found("level-trim-off")] if _leans(roll, pitch) else []


def from_pad(v: Values, sheet: BuildSheet) -> list[Finding]:
    """Judge rate, level and heading of an aircraft that stands still with its nose on the mark."""
    if _turns(v["rate_deg_s"]):
        return [found("gyro-bias-moved")]
    if _leans(v["roll_deg"], v["pitch_deg"]):
        return [found("level-trim-off", 3)]
    if abs(wrapped_deg(v["heading_deg"])) > HEADING_DEG:  # it was right at the four marks
        return [found("floor-steel", 3)]
    return []


def from_faces(v: Values, sheet: BuildSheet) -> list[Finding]:
    """Judge the size of gravity on every face."""
    worst = max(abs(size / STANDARD_GRAVITY_M_S2 - 1.0) for size in v.values())
    return [found("accel-cal-bad")] if worst > FACE_LIMIT else []


def _board(setting: Set) -> Finding:
    return found("board-rotation-untold", settings=(setting,))


def _inverted(told: float) -> Finding:
    return _board(Set(key="setup.controller.board_upside_down", value=told == 0.0))


def wrapped_deg(angle: float) -> float:
    """Return an angle in -180 (left out) to 180 deg."""
    return 180.0 - (180.0 - angle) % 360.0


def from_tilt(v: Values, sheet: BuildSheet) -> list[Finding]:
    """Judge whether the display follows the hand; work out how the board sits if it does not."""
    if abs(v["level_roll_deg"]) > INVERTED_DEG:
        return [_inverted(v["upside_down_told"])]
    down = (v["nose_down_roll_deg"], v["nose_down_pitch_deg"])
    side = (v["right_down_roll_deg"], v["right_down_pitch_deg"])
    misses = hypot(down[0], down[1] + v["tilt_deg"]), hypot(side[0] - v["tilt_deg"], side[1])
    if max(misses) <= AXIS_DEG:
        return []
    turn = BOARD_STEP_DEG * round(degrees(atan2(-down[0], -down[1])) / BOARD_STEP_DEG)
    told = wrapped_deg(v["board_turn_told_deg"] + turn)
    return [_board(Set(key="setup.controller.board_turn_deg", value=told))]


def from_heading(v: Values, sheet: BuildSheet) -> list[Finding]:
    """Judge the four errors, then the four sizes: the same all round, once or twice a turn."""
    marks = [v[f"{mark}_off_deg"] for mark in ("north", "east", "south", "west")]
    off = [marks[0] + wrapped_deg(mark - marks[0]) for mark in marks]
    mean = sum(off) / 4.0
    if abs(mean) > MOUNT_DEG:
        step = BOARD_STEP_DEG * round(mean / BOARD_STEP_DEG)
        told = wrapped_deg(v["compass_turn_told_deg"] + step)
        setting = Set(key="setup.controller.compass_turn_deg", value=told)
        return [found("mag-mount-rotated", settings=(setting,))]
    if max(abs(x) for x in off) <= HEADING_DEG:
        north, east, south, west = (v[f"{m}_field_ut"] for m in ("north", "east", "south", "west"))
        uneven = abs(north - east + south - west) / (north + east + south + west)
        return [found("mag-soft-iron", 3)] if uneven > TWICE else []
    once = hypot(0.5 * (off[0] - off[2]), 0.5 * (off[1] - off[3]))
    twice = 0.25 * abs(off[0] - off[1] + off[2] - off[3])
    return [found("mag-soft-iron" if twice > once else "mag-hard-iron-offset")]


def from_field(v: Values, sheet: BuildSheet) -> list[Finding]:
    """Judge how the size of the field changes round a turn."""
    if v["once_a_turn_ut"] > ONCE * v["site_ut"]:
        return [found("mag-hard-iron-offset", 3)]
    if v["twice_a_turn_ut"] > TWICE * v["site_ut"]:
        return [found("mag-soft-iron", 3)]
    return []


def from_warm(v: Values, sheet: BuildSheet) -> list[Finding]:
    """Judge how far the gyro's zero moved while it warmed up."""
    return [found("gyro-warmup-drift")] if _turns(v["change_deg_s"]) else []


def from_ramp(v: Values, sheet: BuildSheet) -> list[Finding]:
    """Judge what the hover's current would do to the heading."""
    off = v["hover_heading_deg"] * RAD_PER_DEG > HEADING_LIMIT_RAD
    return [found("mag-current-coupling")] if off else []


def from_touch(v: Values, sheet: BuildSheet) -> list[Finding]:
    """Judge how far the board gives under a finger."""
    if v["give_mm"] > LOOSE_MM:
        return [found("sensor-mount-loose")]
    if v["give_mm"] < STIFF_MM:
        return [found("sensor-mount-stiff")]
    return []


def from_breath(v: Values, sheet: BuildSheet) -> list[Finding]:
    """Judge how far a breath moves the height shown."""
    return [found("baro-uncovered")] if abs(v["height_change_m"]) > BREATH_M else []


JUDGES: dict[CheckKey, Judge] = {
    "level-and-still": from_level,
    "pad-look": from_pad,
    "six-faces": from_faces,
    "hand-tilt": from_tilt,
    "heading-marks": from_heading,
    "field-turn": from_field,
    "warm-creep": from_warm,
    "compass-ramp": from_ramp,
    "board-touch": from_touch,
    "breath-and-torch": from_breath,
}
