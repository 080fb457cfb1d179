"""Judgements on level, gyro, faces, board, compass and barometer."""

from math import atan2, degrees, hypot

from sim.faults.compass import HEADING_LIMIT_RAD
from sim.faults.sensing import FACE_LIMIT, LEVEL_LIMIT_RAD, RATE_LIMIT_RAD_S
from sim.kernel.air import STANDARD_GRAVITY_M_S2
from sim.keys import CheckKey
from sim.session.actions import Set
from sim.trainees.judges.finding import Finding, Judge, Look, found
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
MARKS = ("north", "east", "south", "west")


def _leans(roll_deg: float, pitch_deg: float) -> bool:
    return hypot(roll_deg, pitch_deg) * RAD_PER_DEG > LEVEL_LIMIT_RAD


def _turns(rate_deg_s: float) -> bool:
    return rate_deg_s * RAD_PER_DEG > RATE_LIMIT_RAD_S


def from_level(v: Look) -> list[Finding]:
    """Judge rates first: a gyro that errs also shows a lean.

    Level is the mean of both ways round: that is the aircraft's own error, not the plate's.
    """
    if abs(v["roll_ahead_deg"]) > INVERTED_DEG:
        return [_inverted("roll_ahead_deg", 0.0)]
    if _turns(v["rate_ahead_deg_s"]):  # the turn itself unsettles what comes after
        return [found("gyro-bias-moved", "rate_ahead_deg_s")]
    roll = 0.5 * (v["roll_ahead_deg"] + v["roll_turned_deg"])
    pitch = 0.5 * (v["pitch_ahead_deg"] + v["pitch_turned_deg"])
    axis = "roll" if abs(roll) > abs(pitch) else "pitch"
    return [found("level-trim-off", f"{axis}_ahead_deg")] if _leans(roll, pitch) else []


def from_pad(v: Look) -> list[Finding]:
    """Judge rate, level and heading of an aircraft that stands still with its nose on the mark."""
    if _turns(v["rate_deg_s"]):
        return [found("gyro-bias-moved", "rate_deg_s")]
    if _leans(v["roll_deg"], v["pitch_deg"]):
        return [found("level-trim-off", v.furthest(("roll_deg", "pitch_deg")), 3)]
    if abs(wrapped_deg(v["heading_deg"])) > HEADING_DEG:  # it was right at the four marks
        return [found("floor-steel", "heading_deg", 3)]
    return []


def from_faces(v: Look) -> list[Finding]:
    """Judge the size of gravity on every face."""
    face = v.furthest(v.values, STANDARD_GRAVITY_M_S2)
    off = abs(v[face] / STANDARD_GRAVITY_M_S2 - 1.0) > FACE_LIMIT
    return [found("accel-cal-bad", face)] if off else []


def _board(line: str, setting: Set) -> Finding:
    return found("board-rotation-untold", line, settings=(setting,))


def _inverted(line: str, told: float) -> Finding:
    return _board(line, Set(key="setup.controller.board_upside_down", value=told == 0.0))


def wrapped_deg(angle: float) -> float:
    """Return an angle in -180 (left out) to 180 deg."""
    return 180.0 - (180.0 - angle) % 360.0


def from_tilt(v: Look) -> list[Finding]:
    """Judge whether the display follows the hand; work out how the board sits if it does not."""
    if abs(v["level_roll_deg"]) > INVERTED_DEG:
        return [_inverted("level_roll_deg", v["upside_down_told"])]
    down = (v["nose_down_roll_deg"], v["nose_down_pitch_deg"])
    side = (v["right_down_roll_deg"], v["right_down_pitch_deg"])
    off = {
        "nose_down_roll_deg": abs(down[0]),
        "nose_down_pitch_deg": abs(down[1] + v["tilt_deg"]),
        "right_down_roll_deg": abs(side[0] - v["tilt_deg"]),
        "right_down_pitch_deg": abs(side[1]),
    }
    misses = (
        hypot(off["nose_down_roll_deg"], off["nose_down_pitch_deg"]),
        hypot(off["right_down_roll_deg"], off["right_down_pitch_deg"]),
    )
    if max(misses) <= AXIS_DEG:
        return []
    turn = BOARD_STEP_DEG * round(degrees(atan2(-down[0], -down[1])) / BOARD_STEP_DEG)
    told = wrapped_deg(v["board_turn_told_deg"] + turn)
    line = max(off, key=lambda key: off[key])
    return [_board(line, Set(key="setup.controller.board_turn_deg", value=told))]


def from_heading(v: Look) -> list[Finding]:
    """Judge the four errors, then the four sizes: the same all round, once or twice a turn."""
    marks = [v[f"{mark}_off_deg"] for mark in MARKS]
    off = [marks[0] + wrapped_deg(mark - marks[0]) for mark in marks]
    mean = sum(off) / 4.0
    worst = f"{MARKS[max(range(4), key=lambda n: abs(off[n]))]}_off_deg"
    if abs(mean) > MOUNT_DEG:
        step = BOARD_STEP_DEG * round(mean / BOARD_STEP_DEG)
        told = wrapped_deg(v["compass_turn_told_deg"] + step)
        setting = Set(key="setup.controller.compass_turn_deg", value=told)
        return [found("mag-mount-rotated", worst, settings=(setting,))]
    if max(abs(x) for x in off) <= HEADING_DEG:
        north, east, south, west = sizes = [v[f"{mark}_field_ut"] for mark in MARKS]
        uneven = abs(north - east + south - west) / sum(sizes)
        line = v.furthest((f"{mark}_field_ut" for mark in MARKS), sum(sizes) / 4.0)
        return [found("mag-soft-iron", line, 3)] if uneven > TWICE else []
    once = hypot(0.5 * (off[0] - off[2]), 0.5 * (off[1] - off[3]))
    twice = 0.25 * abs(off[0] - off[1] + off[2] - off[3])
    return [found("mag-soft-iron" if twice > once else "mag-hard-iron-offset", worst)]


def from_field(v: Look) -> list[Finding]:
    """Judge how the size of the field changes round a turn."""
    if v["once_a_turn_ut"] > ONCE * v["site_ut"]:
        return [found("mag-hard-iron-offset", "once_a_turn_ut", 3)]
    if v["twice_a_turn_ut"] > TWICE * v["site_ut"]:
        return [found("mag-soft-iron", "twice_a_turn_ut", 3)]
    return []


def from_warm(v: Look) -> list[Finding]:
    """Judge how far the gyro's zero moved while it warmed up."""
    drifts = _turns(v["change_deg_s"])
    return [found("gyro-warmup-drift", "change_deg_s")] if drifts else []


def from_ramp(v: Look) -> list[Finding]:
    """Judge what the hover's current would do to the heading."""
    off = v["hover_heading_deg"] * RAD_PER_DEG > HEADING_LIMIT_RAD
    return [found("mag-current-coupling", "hover_heading_deg")] if off else []


def from_touch(v: Look) -> list[Finding]:
    """Judge how far the board gives under a finger."""
    if v["give_mm"] > LOOSE_MM:
        return [found("sensor-mount-loose", "give_mm")]
    if v["give_mm"] < STIFF_MM:
        return [found("sensor-mount-stiff", "give_mm")]
    return []


def from_breath(v: Look) -> list[Finding]:
    """Judge how far a breath moves the height shown."""
    jumps = abs(v["height_change_m"]) > BREATH_M
    return [found("baro-uncovered", "height_change_m")] if jumps else []


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
