"""Judgements on level, gyro, faces, board, compass and barometer."""

from math import atan2, degrees, hypot, isnan

from sim.keys import CheckKey, FaultId
from sim.session.actions import Set
from sim.trainees.judges.finding import Finding, Judge, Look, Signs, first, found

INVERTED_DEG = 90.0  # deg; a display that shows this on the bench sits upside down
BOARD_STEP_DEG = 45.0  # deg; own: boards sit square or cornerwise
AXIS_DEG = 10.0  # deg, of four lines; own: a board turned by a step shows far more, or nothing
MOUNT_DEG = 30.0  # deg, of four lines; own: more than iron is likely to do, and the same all round
MARKS = ("north", "east", "south", "west")


def from_level(v: Look) -> list[Finding]:
    """Judge rates first: a gyro that errs also shows a lean.

    Level is the mean of both ways round: that is the aircraft's own error, not the plate's.
    """
    if abs(v["roll_ahead_deg"]) > INVERTED_DEG:
        return [_inverted("roll_ahead_deg", 0.0)]
    turns = v.past("gyro-bias-moved", "rate_ahead_deg_s")
    if turns:  # the turn itself unsettles what comes after
        return [found("gyro-bias-moved", turns)]
    both = [
        axis
        for axis in ("roll", "pitch")
        if all(v.past("level-trim-off", f"{axis}_{way}_deg") for way in ("ahead", "turned"))
    ]
    leans = v.past("level-trim-off", *(f"{axis}_ahead_deg" for axis in both))
    return [found("level-trim-off", leans)] if leans else []


def from_pad(v: Look) -> list[Finding]:
    """Judge rate, level and heading of an aircraft that stands still with its nose on the mark."""
    signs: Signs = {
        "gyro-bias-moved": v.past("gyro-bias-moved", "rate_deg_s"),
        "level-trim-off": v.past("level-trim-off", "roll_deg", "pitch_deg"),
        "floor-steel": v.past("floor-steel", "heading_deg"),  # it was right at the four marks
    }
    wrong = first(signs)
    return [found(*wrong, 4 if wrong[0] == "gyro-bias-moved" else 3)] if wrong else []


def from_faces(v: Look) -> list[Finding]:
    """Judge the size of gravity on every face."""
    face = v.past("accel-cal-bad", *v.values)
    return [found("accel-cal-bad", face)] if face else []


def _inverted(line: str, told: float) -> Finding:
    setting = Set(key="setup.controller.board_upside_down", value=told == 0.0)
    return found("board-rotation-untold", line, settings=(setting,))


def _turned(cause: FaultId, line: str, v: Look, part: str, turn_deg: float) -> Finding:
    """Return the finding of a part that sits turned, with what to tell of it if that was read."""
    told = v[f"{part}_turn_told_deg"] + BOARD_STEP_DEG * round(turn_deg / BOARD_STEP_DEG)
    if isnan(told):
        return found(cause, line)
    setting = Set(key=f"setup.controller.{part}_turn_deg", value=wrapped_deg(told))
    return found(cause, line, settings=(setting,))


def wrapped_deg(angle: float) -> float:
    """Return an angle in -180 (left out) to 180 deg."""
    return 180.0 - (180.0 - angle) % 360.0


def from_tilt(v: Look) -> list[Finding]:
    """Judge whether the display follows the hand; work out how the board sits if it does not."""
    if abs(v["level_roll_deg"]) > INVERTED_DEG:
        return [_inverted("level_roll_deg", v["upside_down_told"])]
    off: dict[str, float] = {}
    turns: list[float] = []
    for move, roll, pitch in (
        ("nose_down", 0.0, -v["tilt_deg"]),
        ("right_down", v["tilt_deg"], 0.0),
    ):
        lines = f"{move}_roll_deg", f"{move}_pitch_deg"
        shown = v[lines[0]], v[lines[1]]
        if hypot(shown[0] - roll, shown[1] - pitch) > AXIS_DEG:
            off |= {lines[0]: abs(shown[0] - roll), lines[1]: abs(shown[1] - pitch)}
            turns.append(degrees(atan2(pitch, roll) - atan2(shown[1], shown[0])))
    if not off:
        return []
    line = max(off, key=lambda key: off[key])
    return [_turned("board-rotation-untold", line, v, "board", turns[0])]


def from_heading(v: Look) -> list[Finding]:
    """Judge the four errors, then the four sizes: the same all round, once or twice a turn."""
    marks = [v[f"{mark}_off_deg"] for mark in MARKS]
    off = [marks[0] + wrapped_deg(mark - marks[0]) for mark in marks]
    mean = sum(off) / 4.0
    if abs(mean) > MOUNT_DEG:
        worst = f"{MARKS[max(range(4), key=lambda n: abs(off[n]))]}_off_deg"
        return [_turned("mag-mount-rotated", worst, v, "compass", mean)]
    angles = tuple(f"{mark}_off_deg" for mark in MARKS)
    sizes = tuple(f"{mark}_field_ut" for mark in MARKS)
    for lines, around in ((angles, off), (sizes, [v[line] for line in sizes])):
        if any(isnan(value) for value in around):
            continue  # only all four tell once round a turn from twice
        cause = _iron(around)
        line = v.past(cause, *lines)
        if line:
            return [found(cause, line, 4 if lines == angles else 3)]
    return []


def _iron(around: list[float]) -> FaultId:
    """Return what changes as four values do round a turn: hard iron once, soft iron twice."""
    north, east, south, west = around
    once = hypot(0.5 * (north - south), 0.5 * (east - west))
    twice = 0.25 * abs(north - east + south - west)
    return "mag-soft-iron" if twice > once else "mag-hard-iron-offset"


def from_field(v: Look) -> list[Finding]:
    """Judge how the size of the field changes round a turn."""
    signs: Signs = {
        "mag-hard-iron-offset": v.past("mag-hard-iron-offset", "once_a_turn_ut"),
        "mag-soft-iron": v.past("mag-soft-iron", "twice_a_turn_ut"),
    }
    wrong = first(signs)
    return [found(*wrong, 3)] if wrong else []


def _one(cause: FaultId, line: str) -> Judge:
    """Return the judge of a check that shows one cause on one line."""

    def judge(v: Look) -> list[Finding]:
        past = v.past(cause, line)
        return [found(cause, past)] if past else []

    return judge


def from_touch(v: Look) -> list[Finding]:
    """Judge how far the board gives under a finger."""
    signs: Signs = {
        "sensor-mount-loose": v.past("sensor-mount-loose", "give_mm"),
        "sensor-mount-stiff": v.past("sensor-mount-stiff", "give_mm"),
    }
    wrong = first(signs)
    return [found(*wrong)] if wrong else []


JUDGES: dict[CheckKey, Judge] = {
    "level-and-still": from_level,
    "pad-look": from_pad,
    "six-faces": from_faces,
    "hand-tilt": from_tilt,
    "heading-marks": from_heading,
    "field-turn": from_field,
    "warm-creep": _one("gyro-warmup-drift", "change_deg_s"),
    "compass-ramp": _one("mag-current-coupling", "hover_heading_deg"),
    "board-touch": from_touch,
    "breath-and-torch": _one("baro-uncovered", "height_change_m"),
}
