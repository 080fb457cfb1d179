"""By hand: tilt and twist it, disarmed with an eye on the display, armed with an ear to the motors.

What answers a tilt in proportion is told for the tilt that the check asks for. The hand that holds
it knows the tilt to a fifth of a degree: five degrees tell six times less surely than thirty.
"""

import itertools
from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

import numpy as np

from sim.aircraft.fields import PLACES
from sim.bench.byhand.poses import Pose, by_eye_deg, poses, settled, twists
from sim.bench.checks import handling, stabiliser
from sim.bench.checks.link import HEARD_RPM
from sim.bench.person import TACHOMETER_RPM, Subject, read_off, senses
from sim.bench.reading import Reading, not_read
from sim.bench.recorded import Form, Recorded, longest
from sim.bench.rig import Rig, degrees
from sim.errors import Refusal
from sim.keys import CheckKey

LEAST_TWIST_DEG, MOST_TWIST_DEG = 5.0, 150.0  # deg; own: less is a wobble, more may be either way
LAG_S = 0.3  # s; own: until the display stands after a twist, and before it goes after the compass
TILTS: dict[Literal["nose_down", "right_down"], Callable[[Pose], float]] = {
    "nose_down": lambda pose: pose.nose_down_deg,
    "right_down": lambda pose: pose.right_down_deg,
}


def _between(deg: float, than: float) -> float:
    """Return how far one angle is from another, -180..180 deg."""
    return degrees(np.deg2rad(deg - than))


def _furthest(held: list[Pose], tilt: Callable[[Pose], float]) -> Pose | None:
    """Return the hold tilted furthest one way; None if it was never tilted so."""
    best = max(held, key=tilt, default=None)
    return best if best is not None and tilt(best) > 0.0 else None


def _twisted(held: list[Pose]) -> tuple[Pose, Pose, float] | None:
    """Return the widest twist to the right; None if there is none."""
    wide = [t for t in twists(held) if LEAST_TWIST_DEG <= t[2] <= MOST_TWIST_DEG]
    return max(wide, key=lambda twist: twist[2], default=None)


def hand_tilt(rig: Rig, recorded: Recorded) -> Reading:
    """Read the display at the furthest tilt nose down and right side down, and across a twist."""
    held = poses(recorded)
    rng = senses(rig, Subject.OWN_HANDS)
    values: dict[str, float] = {}
    level = (0.0, 0.0)
    flat = longest(pose.span for pose in held if pose.level)
    if flat is not None:
        level = handling.shown_deg(flat.history.last(handling.SHOWN_S))[:2]
        values["level_roll_deg"], values["level_pitch_deg"] = level
    for name, tilt in TILTS.items():
        pose = _furthest(held, tilt)
        if pose is None:
            continue
        share = by_eye_deg(rng, tilt(pose)) / handling.TILT_DEG
        shown = handling.shown_deg(pose.span.history.last(handling.SHOWN_S))
        for axis, was, is_now in zip(("roll", "pitch"), level, shown, strict=False):
            told = was + _between(is_now, was) / share
            values[f"{name}_{axis}_deg"] = _between(told, 0.0)
    twist = _twisted(held)
    if twist is not None:
        before = handling.shown_deg(twist[0].span.history.last(handling.SHOWN_S))[2]
        after = handling.shown_deg(settled(twist[1], LAG_S, handling.SHOWN_S))[2]
        share = by_eye_deg(rng, twist[2]) / handling.TWIST_DEG
        values["twist_right_heading_deg"] = _between(after, before) / share
    every = ["level_roll_deg", "level_pitch_deg", "twist_right_heading_deg"]
    every += [f"{name}_{axis}_deg" for name in TILTS for axis in ("roll", "pitch")]
    missing = not_read(every, values)
    if set(values) <= {"level_roll_deg", "level_pitch_deg"}:
        raise Refusal(
            "It has not been tilted: hold it level, then nose down, right side down and twisted "
            "right, each still for a second or more.",
            "moved",
        )
    return handling.hand_tilt_reading(rig, values, missing)


@dataclass(frozen=True)
class _Heard:
    """What was heard in one armed hold after another: the move, and its share of the one asked."""

    move: stabiliser.Move
    steady: Pose
    moved: Pose
    turned_deg: float

    @property
    def asked_deg(self) -> float:
        return stabiliser.TWIST_DEG if self.move == "twist_right" else stabiliser.TILT_DEG


def _heard(held: list[Pose]) -> dict[stabiliser.Move, _Heard]:
    """Return each move made from a level hold to the next hold, the furthest of each kind."""
    found: list[_Heard] = []
    for before, after in itertools.pairwise(held):
        if not before.level:
            continue
        found += [_Heard(name, before, after, tilt(after)) for name, tilt in TILTS.items()]
        if after.level:
            turned = after.heading_deg - before.heading_deg
            wide = turned if LEAST_TWIST_DEG <= turned <= MOST_TWIST_DEG else 0.0
            found.append(_Heard("twist_right", before, after, wide))
    moves: dict[stabiliser.Move, _Heard] = {}
    for one in found:
        best = moves.get(one.move)
        if one.turned_deg > 0.0 and (best is None or one.turned_deg > best.turned_deg):
            moves[one.move] = one
    return moves


def tilt_while_armed(rig: Rig, recorded: Recorded) -> Reading:
    """Hear which motors speed up in the first half second of each tilt and twist, while armed."""
    armed = recorded.whole["armed"] > 0.0
    moves = _heard(poses(recorded, armed))
    if not moves:
        raise Refusal(
            "Nothing was to be heard: arm, hold it level and still for a second, then tilt it right "
            "side down or nose down, or twist it right, and hold it there.",
            "moved",
        )
    rng = senses(rig, Subject.OWN_HANDS)
    values: dict[str, float] = {}
    for move in ("right_down", "nose_down", "twist_right"):
        if move not in moves:
            continue
        one = moves[move]
        share = by_eye_deg(rng, one.turned_deg) / one.asked_deg
        steady = stabiliser.rpm(one.steady.span.history)
        moved = stabiliser.rpm(
            settled(one.moved, 0.1, stabiliser.HEARD_S)
        )  # s; own: it has come to rest
        for line, change in stabiliser.changed_rpm(rig, move, steady, moved).items():
            values[line] = read_off(rng, change / share, HEARD_RPM / share, TACHOMETER_RPM)
    every = [f"{move}_{p}_rpm" for move in ("right_down", "nose_down") for p in PLACES]
    every += [f"twist_right_{pair}_rpm" for pair in ("clockwise", "others")]
    return stabiliser.tilt_reading(values, not_read(every, values))


FORMS: dict[CheckKey, Form] = {"hand-tilt": hand_tilt, "tilt-while-armed": tilt_while_armed}
