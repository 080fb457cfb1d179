"""Checks of level, gyro, heading and magnetic field."""

import numpy as np

from sim.bench.check import Check, Line, sticks
from sim.bench.interlocks import field_strength_ut
from sim.bench.person import Subject, read_off, senses
from sim.bench.reading import Reading, Series
from sim.bench.rig import HANDS_OFF, History, Rig, degrees
from sim.kernel import estimator
from sim.kernel.frames import Quat, Vec3, apply, from_angles, multiply, to_angles

MARKS_DEG = {
    "north": 0.0,
    "east": 90.0,
    "south": 180.0,
    "west": -90.0,
}  # deg; the four cardinal points, own order
MARK_S = 1.0  # s; own: how long a heading is read
PAD_S = 2.0  # s; own: how long it is looked at on the pad once the heading has settled
STAND_S = 4.0  # s; own: long enough to see it creep
LOOK_S = 8.0  # s; own: the heading settles within this time after a turn
ANGLES = ("roll", "pitch")
LEVEL_DEG = 0.05  # deg; own: how level the plate is, and the display's last digit but one
RATE_DEG_S = 0.01  # deg/s; own: last digit of a rate, which flickers by one
HEADING_DEG = 0.3  # deg; own: that of a heading
MARK_DEG = 0.5  # deg; own: how well hands hold a nose over a mark
PLACE_UT = 0.35  # uT; own: what the field of a garage differs by over a hand's breadth
TURN_MARKS = 12  # own: a look every 30 degrees of the turn


def field_sizes_ut(rig: Rig, history: History) -> np.ndarray:
    """Return the size of the calibrated compass reading of each row, uT."""
    held = rig.craft.estimator
    rows = np.column_stack([history[f"field_{axis}_ut"] for axis in "xyz"])
    sizes = []
    for row in rows:
        raw = apply(held.mag_mounting, Vec3(*row))
        seen = estimator.calibrated(raw, held.mag_offset_ut, held.mag_matrix)
        sizes.append(np.sqrt(seen.x**2 + seen.y**2 + seen.z**2))
    return np.array(sizes)


def still_rate_deg_s(rig: Rig, seen: History) -> float:
    """Return the rate shown while nothing turns: the gyro on the axes told, less its zero."""
    told = rig.craft.estimator.mounting
    gyro = apply(told, Vec3(*(float(seen[f"gyro_{axis}_rad_s"].mean()) for axis in "xyz")))
    zero = [float(seen[f"zero_{axis}_rad_s"][-1]) for axis in "xyz"]
    return float(np.linalg.norm(np.array(gyro) - zero)) * 180.0 / np.pi


def set_down(rig: Rig, heading_rad: float) -> None:
    """Set it down with the nose this way; the controller has followed the turn by its gyro."""
    before = Quat(*(rig.value(f"body.attitude.{axis}") for axis in "wxyz"))
    rig.place(from_angles(0.0, 0.0, heading_rad))
    turn = from_angles(0.0, 0.0, heading_rad - float(to_angles(before).z))
    shown = Quat(*(rig.value(f"estimator.attitude.{axis}") for axis in "wxyz"))
    for axis, value in zip("wxyz", multiply(turn, shown), strict=True):
        rig.put(f"estimator.attitude.{axis}", value)


def level_told(rig: Rig, rng: np.random.Generator, name: str, seen: History) -> dict[str, float]:
    """Return what is said of one stand on the plate: level and rate."""
    values = {}
    for axis in ANGLES:
        shown = degrees(float(seen[f"shown_{axis}_rad"].mean()))
        values[f"{axis}_{name}_deg"] = read_off(rng, shown, LEVEL_DEG, LEVEL_DEG)
    rate = still_rate_deg_s(rig, seen)
    values[f"rate_{name}_deg_s"] = read_off(rng, rate, RATE_DEG_S, RATE_DEG_S, 0.0)
    return values


def crept_deg(rng: np.random.Generator, seen: History) -> float:
    """Return how far level has crept during a stand, deg."""
    crept = [np.ptp(np.unwrap(seen[f"shown_{angle}_rad"])) for angle in ANGLES]
    return read_off(rng, degrees(float(max(crept))), LEVEL_DEG, LEVEL_DEG, 0.0)


def level_and_still(rig: Rig) -> Reading:
    """Stand on a levelled plate, then turned half round: read level and rates."""
    rng = senses(rig, Subject.LEVEL)
    values: dict[str, float] = {}
    for name, heading in (("ahead", 0.0), ("turned", np.pi)):
        set_down(rig, heading)
        rig.run(sticks(), LOOK_S)
        seen = rig.run(sticks(), STAND_S)
        values |= level_told(rig, rng, name, seen)
    values["crept_deg"] = crept_deg(rng, seen)
    set_down(rig, 0.0)
    rig.run(sticks(), LOOK_S)
    return Reading("level-and-still", values)


def look_told(rig: Rig, seen: History) -> Reading:
    """Return what is read off while it stands alone on the pad."""
    rng, shown = senses(rig, Subject.STILL), {}
    for axis in (*ANGLES, "heading"):
        error = HEADING_DEG if axis == "heading" else LEVEL_DEG
        angle = degrees(float(np.unwrap(seen[f"shown_{axis}_rad"]).mean()))
        shown[f"{axis}_deg"] = read_off(rng, angle, error, LEVEL_DEG)
    rate = still_rate_deg_s(rig, seen)
    shown["rate_deg_s"] = read_off(rng, rate, RATE_DEG_S, RATE_DEG_S, 0.0)
    return Reading("pad-look", shown)


def pad_look(rig: Rig) -> Reading:
    """Stand back and wait: read level, heading and rate where it will lift off."""
    rig.run(sticks(), LOOK_S)
    return look_told(rig, rig.run(sticks(), PAD_S))


def mark_told(
    rig: Rig, rng: np.random.Generator, name: str, nose_deg: float, seen: History
) -> dict[str, float]:
    """Return what is said of the nose over one mark: how far off the heading is, and the field.

    nose_deg : where the nose points by the marks.
    """
    turned = np.unwrap(seen["shown_heading_rad"]).mean()
    off = degrees(float(turned) - np.deg2rad(nose_deg))
    return {
        f"{name}_off_deg": read_off(rng, off, MARK_DEG, 0.1),
        f"{name}_field_ut": read_off(rng, float(field_sizes_ut(rig, seen).mean()), PLACE_UT, 0.1),
    }


def marks_reading(rig: Rig, values: dict[str, float]) -> Reading:
    """Return the reading of the marks told."""
    told = {"compass_turn_told_deg": rig.world.setup.controller.compass_turn_deg}
    note = "Marks laid out with a hand compass, true north."
    return Reading("heading-marks", values | told, notes=(note,))


def heading_marks(rig: Rig) -> Reading:
    """Hold the nose over four marks on the floor and read the heading at each."""
    rng = senses(rig, Subject.MARKS)
    values: dict[str, float] = {}
    for name, mark in MARKS_DEG.items():
        rig.turn(0.0, 0.0, mark)
        rig.run(HANDS_OFF, LOOK_S)
        values |= mark_told(rig, rng, name, mark, rig.run(HANDS_OFF, MARK_S))
    rig.turn(0.0, 0.0, 0.0)
    rig.run(HANDS_OFF, LOOK_S)
    return marks_reading(rig, values)


def _swing(sizes: list[float], times: int) -> float:
    """Return the amplitude of what comes back so many times a turn."""
    each = np.array(sizes[:TURN_MARKS])
    wave = np.exp(-2j * np.pi * times * np.arange(TURN_MARKS) / TURN_MARKS)
    return float(2.0 * np.abs((each * wave).mean()))


def field_told_ut(rig: Rig, rng: np.random.Generator, seen: History) -> float:
    """Return the size of the field as read off at one place of the turn, uT."""
    return read_off(rng, float(field_sizes_ut(rig, seen).mean()), PLACE_UT, 0.1)


def turn_reading(rig: Rig, headings: list[float], sizes: list[float]) -> Reading:
    """Return the reading of the field at headings of a turn; what needs it whole, if it is."""
    values = {
        "smallest_ut": min(sizes),
        "largest_ut": max(sizes),
        "site_ut": field_strength_ut(rig),
    }
    if len(sizes) >= TURN_MARKS:
        values["once_a_turn_ut"] = _swing(sizes, 1)
        values["twice_a_turn_ut"] = _swing(sizes, 2)
    trace = Series("heading_deg", "field_ut", tuple(headings), tuple(sizes))
    return Reading("field-turn", values, series={"field around the turn": trace})


def field_turn(rig: Rig) -> Reading:
    """Turn once round, level, and watch the size of the field."""
    sizes, rng = [], senses(rig, Subject.FIELD)
    headings = [360.0 * k / TURN_MARKS for k in range(TURN_MARKS + 1)]
    for heading in headings:
        rig.turn(0.0, 0.0, heading)
        sizes.append(field_told_ut(rig, rng, rig.run(HANDS_OFF, 0.3)))
    return turn_reading(rig, headings, sizes)


CHECKS = (
    Check(
        "level-and-still",
        "C11",
        "Stand it on a levelled plate, then turn it half round",
        2.0,
        ("powered", "standing"),
        level_and_still,
        "Does it read level both ways, and is it still?",
        lines=(Line("sensors", 20, "level", "Level plate, both ways: say roll and pitch"),),
        voided_by=(
            "wait",
            "setup.controller.board_turn_deg",
            "setup.controller.board_upside_down",
            "calibrate:faces",
            "calibrate:level",
            "swap:sensor-mount",
            "crash",
        ),
        touches=True,
    ),
    Check(
        "pad-look",
        "C21",
        "On the pad, hands off: wait and read level and heading",
        0.5,
        ("powered", "standing"),
        pad_look,
        "Is it level and still, and does the heading agree with the mark on the pad?",
        lines=(Line("last-gate", 50, "still", "Stand back, wait: say level, heading and rate"),),
        place="pad",
        voided_by=(
            "plug",
            "wait",
            "setup.controller.board_turn_deg",
            "setup.controller.board_upside_down",
            "setup.controller.compass_turn_deg",
            "calibrate:compass",
            "calibrate:faces",
            "calibrate:level",
            "prepare:bigger-room",
            "prepare:move-pad",
            "crash",
        ),
    ),
    Check(
        "heading-marks",
        "C13",
        "Hold the nose over the four marks and read the heading",
        2.0,
        ("powered", "in_hands"),
        heading_marks,
        "How far off is the heading at each mark?",
        lines=(Line("sensors", 50, "heading", "Four marks: say the largest error"),),
        place="open_floor",
        voided_by=(
            "setup.controller.compass_turn_deg",
            "calibrate:compass",
            "swap:compass-lead",
            "swap:sensor-mount",
            "prepare:bigger-room",
            "crash",
        ),
        caution="Away from steel; take off watches and put down tools.",
    ),
    Check(
        "field-turn",
        "C13",
        "Turn once round and watch the size of the field",
        1.0,
        ("powered", "in_hands"),
        field_turn,
        "Does the size of the field stay the same all round?",
        lines=(Line("sensors", 60, "field", "One turn: say smallest and largest field"),),
        place="open_floor",
        voided_by=(
            "setup.controller.compass_turn_deg",
            "calibrate:compass",
            "prepare:bigger-room",
            "crash",
        ),
        caution="Away from steel.",
    ),
)
