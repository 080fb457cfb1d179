"""Judgements on level, gyro, faces, board, compass and barometer."""

from math import atan2, degrees, hypot

from sim.aircraft.airframe import BuildSheet
from sim.session.actions import Set
from sim.trainees.judges import first
from sim.trainees.judges.finding import Finding, Judge, claim

GRAVITY_M_S2 = 9.81  # m/s2; what the card says
FACE = 0.02  # share; own: gravity on each face within 2 %
RATE_DEG_S = 0.5  # deg/s; common practice
INVERTED_DEG = 90.0  # deg; a display that shows this on the bench sits upside down
BOARD_STEP_DEG = 45.0  # deg; own: boards sit square or cornerwise
AXIS_DEG = 10.0  # deg; own: hand and eye
MOUNT_DEG = 30.0  # deg; own: more than iron is likely to do, and the same all round
TWICE = 0.012  # share of the field; own: hand-held readings of a sound compass show 0.1 %
ONCE = 0.025  # share of the field; own: 5 degrees of heading are 1.4 %, steel near by adds some
WARM_DEG_S = 0.5  # deg/s; as for rates
HOVER_HEADING_DEG = 5.0  # deg; common practice: heading from idle to the hover's current
LOOSE_MM, STIFF_MM = 3.0, 0.5  # mm; own: foam gives about a millimetre
BREATH_M = 0.25  # m; own
NEW_MOUNT = "swap:sensor-mount"


def from_level(v: dict[str, float], sheet: BuildSheet) -> list[Finding]:
    """Judge rates first: a gyro that errs also shows a lean."""
    if abs(v["roll_ahead_deg"]) > INVERTED_DEG:
        return [_inverted(0.0)]
    if v["rate_ahead_deg_s"] > RATE_DEG_S:  # the turn itself unsettles what comes after
        return [Finding(claim("gyro", "gyro-bias-moved"), "still")]
    return first.from_level(v, sheet)


def from_pad(v: dict[str, float], sheet: BuildSheet) -> list[Finding]:
    """Judge rate, level and heading of an aircraft that stands still with its nose on the mark."""
    if v["rate_deg_s"] > RATE_DEG_S:
        return [Finding(claim("gyro", "gyro-bias-moved"), "still")]
    if hypot(v["roll_deg"], v["pitch_deg"]) > first.LEVEL_DEG:
        return [Finding(claim("level", "level-trim-off", 3), "level")]
    if abs(wrapped_deg(v["heading_deg"])) > first.HEADING_DEG:  # it was right at the four marks
        return [Finding(claim("floor", "floor-steel", 3), "prepare:move-pad")]
    return []


def from_faces(v: dict[str, float], sheet: BuildSheet) -> list[Finding]:
    """Judge the size of gravity on every face."""
    worst = max(abs(size / GRAVITY_M_S2 - 1.0) for size in v.values())
    if worst <= FACE:
        return []
    return [Finding(claim("accelerometer", "accel-cal-bad"), "faces")]


def _board(setting: Set) -> Finding:
    return Finding(claim("controller mount", "board-rotation-untold"), "remount", (setting,))


def _inverted(told: float) -> Finding:
    return _board(Set(key="setup.controller.board_upside_down", value=told == 0.0))


def wrapped_deg(angle: float) -> float:
    """Return an angle in -180 (left out) to 180 deg."""
    return 180.0 - (180.0 - angle) % 360.0


def from_tilt(v: dict[str, float], sheet: BuildSheet) -> list[Finding]:
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


def from_heading(v: dict[str, float], sheet: BuildSheet) -> list[Finding]:
    """Judge the four errors, then the four sizes: the same all round, once or twice a turn."""
    marks = [v[f"{mark}_off_deg"] for mark in ("north", "east", "south", "west")]
    off = [marks[0] + wrapped_deg(mark - marks[0]) for mark in marks]
    mean = sum(off) / 4.0
    if abs(mean) > MOUNT_DEG:
        step = BOARD_STEP_DEG * round(mean / BOARD_STEP_DEG)
        told = wrapped_deg(v["compass_turn_told_deg"] + step)
        setting = Set(key="setup.controller.compass_turn_deg", value=told)
        return [Finding(claim("compass mount", "mag-mount-rotated"), "remount", (setting,))]
    if max(abs(x) for x in off) <= first.HEADING_DEG:
        north, east, south, west = (v[f"{m}_field_ut"] for m in ("north", "east", "south", "west"))
        uneven = abs(north - east + south - west) / (north + east + south + west)
        return [Finding(claim("compass", "mag-soft-iron", 3), "compass")] if uneven > TWICE else []
    once = hypot(0.5 * (off[0] - off[2]), 0.5 * (off[1] - off[3]))
    twice = 0.25 * abs(off[0] - off[1] + off[2] - off[3])
    cause = "mag-soft-iron" if twice > once else "mag-hard-iron-offset"
    return [Finding(claim("compass", cause), "compass")]


def from_field(v: dict[str, float], sheet: BuildSheet) -> list[Finding]:
    """Judge how the size of the field changes round a turn."""
    if v["once_a_turn_ut"] > ONCE * v["site_ut"]:
        return [Finding(claim("compass", "mag-hard-iron-offset", 3), "compass")]
    if v["twice_a_turn_ut"] > TWICE * v["site_ut"]:
        return [Finding(claim("compass", "mag-soft-iron", 3), "compass")]
    return []


def from_warm(v: dict[str, float], sheet: BuildSheet) -> list[Finding]:
    """Judge how far the gyro's zero moved while it warmed up."""
    if v["change_deg_s"] <= WARM_DEG_S:
        return []
    return [Finding(claim("gyro", "gyro-warmup-drift"), "warm")]


def from_ramp(v: dict[str, float], sheet: BuildSheet) -> list[Finding]:
    """Judge what the hover's current would do to the heading."""
    if v["hover_heading_deg"] <= HOVER_HEADING_DEG:
        return []
    return [Finding(claim("compass leads", "mag-current-coupling"), "swap:compass-lead")]


def from_touch(v: dict[str, float], sheet: BuildSheet) -> list[Finding]:
    """Judge how far the board gives under a finger."""
    if v["give_mm"] > LOOSE_MM:
        return [Finding(claim("controller mount", "sensor-mount-loose"), NEW_MOUNT)]
    if v["give_mm"] < STIFF_MM:
        return [Finding(claim("controller mount", "sensor-mount-stiff"), NEW_MOUNT)]
    return []


def from_breath(v: dict[str, float], sheet: BuildSheet) -> list[Finding]:
    """Judge how far a breath moves the height shown."""
    if abs(v["height_change_m"]) <= BREATH_M:
        return []
    return [Finding(claim("barometer", "baro-uncovered"), "swap:barometer-cover")]


JUDGES: dict[str, Judge] = {
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
