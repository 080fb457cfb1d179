"""Symptom detectors: what the sticks did, as whoever held them tells it. Pure.

Of a flight with the sticks let go there is nothing to tell. Directions are the sticks' own: roll
right, pitch back (nose up), yaw right.
"""

from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from sim.reproduce.words.detectors import asked
from sim.reproduce.words.flight import ROW_S, Flight, Values
from sim.reproduce.words.sounds import in_the_air
from sim.units import RAD_PER_DEG

LEAST_S = 0.8  # s; own: from less nobody says what a stick does
LEAST_RAD = 0.7 * RAD_PER_DEG  # rad and rad/s, rms; own: a stick that hardly moved tells nothing
BACKWARDS = -0.35  # 1; own: of what was asked for, the other way; less is no answer
CROSSED = 0.5  # 1; own: of what was asked for, about the other axis
WEAK, WILD = (
    0.6,
    1.6,
)  # 1; own: of what was asked for; hands tell half as much, and half as much again
LIKE = 0.5  # 1, correlation; own: what goes with the stick so loosely is not laid to it
HELD = 0.1  # of stick; own: a tenth of the way is felt in the thumb; sound aircraft need a quarter
HIGH, LOW = 1.08, 0.92  # of the sheet's hover throttle; measured: sound ones lie within 4 in 100

Told = Callable[[Flight], bool]
AXES = {"roll": "roll_rad", "pitch": "pitch_rad", "yaw": "yaw_rate_rad_s"}


class Answer(NamedTuple):
    """How a motion goes with what a stick asked for: slope, and correlation; (1, 0) if it can't be told."""

    slope: float
    like: float


NO_ANSWER = Answer(1.0, 0.0)


def answer(flight: Flight, stick: str, motion: str) -> Answer:
    """Return how the motion about one axis goes with the stick of another or the same."""
    rows = in_the_air(flight)
    if flight.hands != "steered" or rows.sum() < LEAST_S / ROW_S:
        return NO_ANSWER
    known = flight.known
    full = known.yaw_limit_rad_s if stick == "yaw" else known.tilt_limit_rad
    wanted = asked(flight, f"stick_{stick}", full)[rows]
    wanted = wanted - wanted.mean()
    if np.sqrt(np.mean(wanted**2)) < LEAST_RAD:
        return NO_ANSWER
    moved = flight.track[AXES[motion]][rows]
    moved = moved - moved.mean()
    both = float(wanted @ moved)
    sizes = float(np.sqrt((wanted @ wanted) * (moved @ moved)))
    return Answer(both / float(wanted @ wanted), both / sizes if sizes > 0.0 else 0.0)


def _backwards(axis: str) -> Told:
    def told(flight: Flight) -> bool:
        found = answer(flight, axis, axis)
        return found.slope < BACKWARDS and found.like < -LIKE

    return told


def _crossed(flight: Flight) -> bool:
    pairs = (("roll", "pitch"), ("pitch", "roll"))
    found = [answer(flight, stick, motion) for stick, motion in pairs]
    return any(abs(one.slope) > CROSSED and abs(one.like) > LIKE for one in found if one.like)


def _wild(flight: Flight) -> bool:
    found = [answer(flight, axis, axis) for axis in AXES]
    return any(one.slope > WILD and one.like > LIKE for one in found)


def _weak(flight: Flight) -> bool:
    found = [answer(flight, axis, axis) for axis in AXES]
    return any(BACKWARDS < one.slope < WEAK for one in found)


def held(flight: Flight, stick: str) -> float:
    """Return where a stick was kept on the whole, -1..1; 0 if there was no time to keep it."""
    rows = in_the_air(flight) & flight.rows("hover")
    if flight.hands != "steered" or rows.sum() < LEAST_S / ROW_S:
        return 0.0
    return float(flight.track[f"stick_{stick}"][rows].mean())


def _held(stick: str, sign: float) -> Told:
    return lambda flight: sign * held(flight, stick) > HELD


def hover_ratio(flight: Flight) -> float:
    """Return the throttle of the hover over the sheet's; 1 if it did not hover."""
    rows = in_the_air(flight) & flight.rows("hover")
    if rows.sum() < LEAST_S / ROW_S:
        return 1.0
    throttle: Values = flight.track["stick_throttle"][rows]
    return float(throttle.mean()) / flight.known.hover_throttle


STICKS: dict[str, tuple[str, Told]] = {
    "roll-backwards": ("roll stick right rolled it left", _backwards("roll")),
    "pitch-backwards": ("pitch stick back put the nose down", _backwards("pitch")),
    "yaw-backwards": ("yaw stick right turned the nose left", _backwards("yaw")),
    "crossed": ("one stick moved it about another axis", _crossed),
    "wild": ("it answered far more than was asked for", _wild),
    "weak": ("it answered far less than was asked for", _weak),
    "held-right": ("roll stick held to the right all the time", _held("roll", 1.0)),
    "held-left": ("roll stick held to the left all the time", _held("roll", -1.0)),
    "held-back": ("pitch stick held back all the time", _held("pitch", 1.0)),
    "held-forward": ("pitch stick held forward all the time", _held("pitch", -1.0)),
    "held-yaw-right": ("yaw stick held to the right all the time", _held("yaw", 1.0)),
    "held-yaw-left": ("yaw stick held to the left all the time", _held("yaw", -1.0)),
    "throttle-high": ("it hovered with more throttle than it should", lambda f: hover_ratio(f) > HIGH),
    "throttle-low": ("it hovered with less throttle than it should", lambda f: hover_ratio(f) < LOW),
}  # fmt: skip
"""What the sticks did, by the word of the report: (in a sentence, detector)."""
