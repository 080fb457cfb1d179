"""Checks of what the stabiliser does when the armed aircraft is moved by hand, propellers off."""

from typing import Literal

import numpy as np

from sim.aircraft.fields import PLACES
from sim.bench.changes import LOOP
from sim.bench.check import Check, Line, armed, disarmed
from sim.bench.checks.link import HEARD_RPM
from sim.bench.person import TACHOMETER_RPM, Subject, read_off, senses
from sim.bench.reading import Reading, Series
from sim.bench.rig import HANDS_OFF, History, Rig

TILT_DEG = 15.0  # deg; own: within the limit of self-level
TWIST_DEG = 20.0  # deg; own
HEARD_S = 0.4  # s; own: how long the ear listens
Move = Literal["right_down", "nose_down", "twist_right"]
RPM_PER_RAD_S = 60.0 / (2.0 * np.pi)  # rpm s/rad; a turn is 2 pi, a minute 60 s
LEAN_DEG = 4.0  # deg; own: a wedge under one side, so that the integrals have something to sum
CREEP_S = 18.0  # s; training practice: 20 s at idle


def rpm(history: History) -> dict[str, float]:
    """Return the mean speed of each motor over the last moment, rpm."""
    late = history.last(HEARD_S)
    return {p: float(late[f"speed_{p}_rad_s"].mean()) * RPM_PER_RAD_S for p in PLACES}


def tilt_while_armed(rig: Rig) -> Reading:
    """Arm with propellers off, tilt and twist it by hand, and see which motors speed up."""
    rig.turn(0.0, 0.0, 0.0)
    armed(rig)
    values: dict[str, float] = {}
    moves: dict[Move, tuple[float, float, float]] = {
        "right_down": (TILT_DEG, 0.0, 0.0),
        "nose_down": (0.0, -TILT_DEG, 0.0),
        "twist_right": (0.0, 0.0, TWIST_DEG),
    }
    for name, pose in moves.items():
        steady = rpm(rig.run(HANDS_OFF, 1.0))
        values |= changed_rpm(rig, name, steady, rpm(rig.turn(*pose)))
        rig.turn(0.0, 0.0, 0.0)
    disarmed(rig)
    rng = senses(rig, Subject.EAR)
    return tilt_reading(
        {key: read_off(rng, value, HEARD_RPM, TACHOMETER_RPM) for key, value in values.items()}
    )


def changed_rpm(
    rig: Rig, move: Move, steady: dict[str, float], moved: dict[str, float]
) -> dict[str, float]:
    """Return how much faster which motors turn after a move, rpm: each one, or each spin's pair."""
    change = {p: moved[p] - steady[p] for p in PLACES}
    if move != "twist_right":
        return {f"{move}_{p}_rpm": change[p] for p in PLACES}
    clockwise = rig.world.airframe.clockwise
    others = [p for p in PLACES if p not in clockwise]
    return {
        "twist_right_clockwise_rpm": float(np.mean([change[p] for p in clockwise])),
        "twist_right_others_rpm": float(np.mean([change[p] for p in others])),
    }


def tilt_reading(values: dict[str, float], missing: tuple[str, ...] = ()) -> Reading:
    """Return the reading of which motors sped up."""
    return Reading(
        "tilt-while-armed",
        values,
        notes=(
            "The low side should speed up; twisted nose right, the clockwise-spinning pair.",
            f"Tilted {TILT_DEG:g} and twisted {TWIST_DEG:g} degrees.",
        ),
        missing=missing,
    )


def _spread(history: History) -> float:
    means = [float(history[f"drive_{p}"].mean()) for p in PLACES]
    return max(means) - min(means)


def idle_creep(rig: Rig) -> Reading:
    """Hold it armed at idle with one side a little high, and see whether the motors creep apart."""
    rig.turn(LEAN_DEG, 0.0, 0.0)
    armed(rig)
    rig.run(HANDS_OFF, 1.0)
    early = rig.run(HANDS_OFF, 1.0)
    held = rig.run(HANDS_OFF, CREEP_S)
    disarmed(rig)
    rig.turn(0.0, 0.0, 0.0)
    return creep_reading(early, held)


def creep_reading(early: History, held: History | None) -> Reading:
    """Return how far the motors' commands lie apart early and at the end of the hold.

    held : all of it; None if it was too short to say how it ends.
    """
    values = {"early_spread_share": _spread(early)}
    if held is None:
        return Reading("idle-creep", values)
    trace = Series(
        "time_s",
        "drive_front_left",
        tuple(held["time_s"][::10].tolist()),
        tuple(held["drive_front_left"][::10].tolist()),
    )
    values["late_spread_share"] = _spread(held.last(1.0))
    return Reading("idle-creep", values, series={"one motor's command": trace})


CHECKS = (
    Check(
        "tilt-while-armed",
        "C15",
        "Armed, propellers off: tilt and twist it by hand and hear which motors speed up",
        2.0,
        ("powered", "linked", "props_off", "in_hands"),
        tilt_while_armed,
        "Does the low side speed up, on both axes, and does twist work against itself?",
        lines=(
            Line(
                "control", 10, "stabiliser", "Armed, tilted: say which side speeds up", killer=True
            ),
            Line("last-gate", 40, "sense", "Sense seen: say which side speeds up", killer=True),
        ),
        voided_by=(
            *LOOP,
            "setup.controller.board_turn_deg",
            "setup.controller.board_upside_down",
            "crash",
        ),
        caution="Propellers off. Hold the frame, fingers away from the bells.",
    ),
    Check(
        "idle-creep",
        "C16",
        "Armed at idle with one side high, propellers off: wait twenty seconds",
        1.0,
        ("powered", "linked", "props_off", "in_hands"),
        idle_creep,
        "Do the motors creep apart while it is still?",
        lines=(Line("control", 40, "creep", "Idle, one side high: say how far they part"),),
        voided_by=(*LOOP,),
        caution="Propellers off.",
    ),
)
