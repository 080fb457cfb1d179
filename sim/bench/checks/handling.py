"""Checks done by turning the aircraft in the hands: six faces, and what the display shows."""

import numpy as np

from sim.bench.check import Check, Line
from sim.bench.person import Subject, read_off, senses
from sim.bench.reading import Reading
from sim.bench.rig import HANDS_OFF, History, Rig, degrees
from sim.kernel import estimator
from sim.kernel.frames import Vec3, apply

TILT_DEG = 30.0  # deg; own: plain to see, far from the display's ends
TWIST_DEG = 45.0  # deg; own
SETTLE_S = 5.0  # s; own: what the display needs to agree with gravity again
GRAVITY_M_S2 = 0.01  # m/s2; own: last digit of the display, which flickers by one
SHOWN_S = 0.5  # s; own: how long the display is looked at
FACE_S = 1.5  # s; own: how long a face is looked at
FACES: dict[str, tuple[float, float]] = {
    "level": (0.0, 0.0),
    "left_side": (-90.0, 0.0),
    "right_side": (90.0, 0.0),
    "nose_down": (0.0, -90.0),
    "nose_up": (0.0, 90.0),
    "on_its_back": (180.0, 0.0),
}  # roll and pitch, deg


def gravity_m_s2(rig: Rig, history: History) -> float:
    """Return the size of the mean calibrated accelerometer reading, m/s2."""
    held = rig.craft.estimator
    raw = Vec3(*(float(history[f"accel_{axis}_m_s2"].mean()) for axis in "xyz"))
    seen = estimator.calibrated(
        apply(held.mounting, raw), held.accel_offset_m_s2, held.accel_matrix
    )
    return float(np.sqrt(seen.x**2 + seen.y**2 + seen.z**2))


def face_told(rig: Rig, rng: np.random.Generator, name: str, seen: History) -> dict[str, float]:
    """Return what is said of one face: the size of gravity."""
    shown = gravity_m_s2(rig, seen)
    return {f"{name}_m_s2": read_off(rng, shown, GRAVITY_M_S2, GRAVITY_M_S2)}


def six_faces(rig: Rig) -> Reading:
    """Hold it on each of its six faces and read how large gravity is."""
    rng = senses(rig, Subject.FACES)
    values: dict[str, float] = {}
    for name, (roll, pitch) in FACES.items():
        rig.turn(roll, pitch, 0.0)
        values |= face_told(rig, rng, name, rig.run(HANDS_OFF, FACE_S))
    rig.turn(0.0, 0.0, 0.0)
    rig.run(HANDS_OFF, SETTLE_S)
    return Reading("six-faces", values)


def shown_deg(seen: History) -> tuple[float, float, float]:
    """Return roll, pitch and heading shown over a time, deg."""
    roll, pitch, heading = (
        float(np.unwrap(seen[f"shown_{name}_rad"]).mean()) for name in ("roll", "pitch", "heading")
    )
    return degrees(roll), degrees(pitch), degrees(heading)


def hand_tilt(rig: Rig) -> Reading:
    """Tilt it nose down, right side down, twist it right, and read what the display shows."""
    rig.turn(0.0, 0.0, 0.0)
    rig.run(HANDS_OFF, SETTLE_S)
    roll, pitch, before = shown_deg(rig.run(HANDS_OFF, SHOWN_S))
    values = {"level_roll_deg": roll, "level_pitch_deg": pitch}
    for name, pose in (("nose_down", (0.0, -TILT_DEG)), ("right_down", (TILT_DEG, 0.0))):
        rig.turn(*pose, 0.0)
        rig.run(HANDS_OFF, SETTLE_S)
        values[f"{name}_roll_deg"], values[f"{name}_pitch_deg"], _ = shown_deg(
            rig.run(HANDS_OFF, SHOWN_S)
        )
        rig.turn(0.0, 0.0, 0.0)
        rig.run(HANDS_OFF, SETTLE_S)
    before = shown_deg(rig.run(HANDS_OFF, SHOWN_S))[2]
    rig.turn(0.0, 0.0, TWIST_DEG)
    after = shown_deg(rig.run(HANDS_OFF, SHOWN_S))[2]
    values["twist_right_heading_deg"] = degrees(np.deg2rad(after - before))
    rig.turn(0.0, 0.0, 0.0)
    rig.run(HANDS_OFF, SETTLE_S)
    return hand_tilt_reading(rig, values)


def hand_tilt_reading(rig: Rig, values: dict[str, float], missing: tuple[str, ...] = ()) -> Reading:
    """Return the reading of what the display did, beside how far it was tilted and what is told."""
    told = rig.world.setup.controller
    known = {
        "tilt_deg": TILT_DEG,
        "twist_deg": TWIST_DEG,
        "board_turn_told_deg": told.board_turn_deg,
        "upside_down_told": float(told.board_upside_down),
    }
    return Reading(
        "hand-tilt",
        values | known,
        notes=("Right side down is roll up; nose down is pitch down.",),
        missing=missing,
    )


CHECKS = (
    Check(
        "six-faces",
        "C11",
        "Hold it on each of its six faces and read gravity",
        2.0,
        ("powered", "in_hands"),
        six_faces,
        "How large is gravity on each face?",
        lines=(Line("sensors", 30, "faces", "Six faces: say the largest and smallest"),),
        voided_by=(
            "setup.controller.board_turn_deg",
            "setup.controller.board_upside_down",
            "calibrate:faces",
            "swap:sensor-mount",
            "crash",
        ),
    ),
    Check(
        "hand-tilt",
        "C12",
        "Tilt it nose down, right side down, twist it right, and watch the display",
        1.0,
        ("powered", "props_off", "in_hands"),
        hand_tilt,
        "Does the display follow, about the right axis and the right way?",
        lines=(
            Line("sensors", 10, "tilt", "Tilt by hand: say what the display does", killer=True),
        ),
        voided_by=(
            "setup.controller.board_turn_deg",
            "setup.controller.board_upside_down",
            "swap:sensor-mount",
            "crash",
        ),
    ),
)
