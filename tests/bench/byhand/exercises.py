"""Checks worked by hand in the tests: what the hands do, frame by frame, and what is read of it."""

from collections.abc import Iterable
from typing import Literal

import numpy as np

from sim.bench.check import sticks
from sim.bench.checklist import CHECKS
from sim.bench.inputs import Inputs, Turning
from sim.bench.interlocks import reasons_not_to_arm
from sim.bench.reading import Reading
from sim.bench.recorded import Recorded, Tape
from sim.bench.rig import Rig
from sim.keys import CheckKey

FRAMES_S = (0.016, 0.017, 0.017)  # s; sixty a second, in whole ticks
Move = tuple[Inputs, float] | Literal["arm", "disarm"]
REST = Inputs(sticks())


def let(rig: Rig, inputs: Inputs, seconds: float) -> None:
    """Keep the hands as they are, frame by frame as a window does."""
    left, n = seconds, 0
    while left > 1e-9:
        frame = min(FRAMES_S[n % 3], round(left, 3))
        rig.advance(inputs, frame)
        left, n = left - frame, n + 1


def recorded(rig: Rig, moves: Iterable[Move]) -> Recorded:
    """Return what is recorded of some moves."""
    tape, held = Tape(rig), REST
    rig.tape = tape
    for move in moves:
        if move == "arm":
            refused = bool(reasons_not_to_arm(rig, held.sticks))
            tape.arm_try(held.sticks, refused)
            rig.put("armed", float(not refused))
        elif move == "disarm":
            rig.put("armed", 0.0)
        else:
            held, seconds = move
            let(rig, held, seconds)
    rig.tape = None
    return tape.recorded()


def read(check: CheckKey, rig: Rig, moves: Iterable[Move]) -> Reading:
    """Return what a check reads of some moves."""
    form = CHECKS[check].by_hand
    assert form is not None
    return form(rig, recorded(rig, moves))


def stick(channel: str, at: float, seconds: float = 0.3) -> list[Move]:
    """Return the move of one stick to -1..1 for a time, then back."""
    held = sticks(throttle=0.5 * (at + 1.0)) if channel == "throttle" else sticks(**{channel: at})
    return [(Inputs(held), seconds), (REST, seconds)]


def all_sticks(*at: float) -> list[Move]:
    """Return the moves of each stick to these places."""
    places = at or (-1.0, 0.0, 1.0)
    return [
        move
        for name in ("roll", "pitch", "throttle", "yaw")
        for x in places
        for move in stick(name, x)
    ]


FASTEST_DEG_S = 91.67  # deg/s; 1.6 rad/s, the fastest that hands turn it


def turn(
    roll: float = 0.0, pitch: float = 0.0, yaw: float = 0.0, hold_s: float = 1.5
) -> list[Move]:
    """Return the move of the hands that turns it by so much about one body axis, then holds it."""
    by = roll + pitch + yaw
    way = Turning(*(float(np.sign(angle)) for angle in (roll, pitch, yaw)))
    return [(Inputs(sticks(), way), round(abs(by) / FASTEST_DEG_S, 3)), (REST, hold_s)]


def there_and_back(hold_s: float = 1.5, **angle: float) -> list[Move]:
    """Return a turn about one axis, a hold, and the turn back."""
    back = {name: -deg for name, deg in angle.items()}
    return [*turn(**angle, hold_s=hold_s), *turn(**back, hold_s=hold_s)]


def at_throttle(seconds: float, **moved: float) -> Move:
    """Return a quarter of throttle held for a time, with a stick or switch moved."""
    return Inputs(sticks(0.25)._replace(**moved)), seconds


def stick_moves(far: float = 0.5) -> list[Move]:
    """Return the moves that show which motors answer which stick, armed."""
    moves: list[Move] = [(REST, 0.1), "arm", at_throttle(1.0)]
    for channel in ("roll", "pitch", "yaw"):
        moves += [at_throttle(0.5, **{channel: far}), at_throttle(0.6)]
    return [*moves, "disarm", (REST, 0.1)]


def tilts(tilt: float = 30.0, twist: float = 45.0, hold_s: float = 5.0) -> list[Move]:
    """Return the moves of the tilt by hand."""
    return [
        (REST, hold_s),
        *there_and_back(pitch=-tilt, hold_s=hold_s),
        *there_and_back(roll=tilt, hold_s=hold_s),
        *there_and_back(yaw=twist, hold_s=hold_s),
    ]


def armed_tilts(tilt: float = 15.0, twist: float = 20.0, hold_s: float = 1.2) -> list[Move]:
    """Return the same moves, armed and shorter."""
    return [(REST, 0.1), "arm", *tilts(tilt, twist, hold_s), "disarm", (REST, 0.1)]


def link_lost(wait_s: float = 3.2) -> list[Move]:
    """Return the moves that show what happens without a link."""
    gone = at_throttle(wait_s, transmitter_on=0.0)
    return [(REST, 0.1), "arm", at_throttle(1.0), gone, "disarm", (REST, 0.5)]


def forbidden() -> list[Move]:
    """Return a try at each case in which it must not arm."""
    no_link = Inputs(sticks()._replace(transmitter_on=0.0))
    return [
        *((Inputs(sticks(0.5)), 0.3), "arm", "disarm", (REST, 0.3)),
        *((Inputs(sticks()._replace(stop=1.0)), 0.3), "arm", "disarm", (REST, 0.3)),
        *((no_link, 1.2), "arm", "disarm", (REST, 0.5)),
        *(*turn(roll=40.0), "arm", "disarm", *turn(roll=-40.0)),
    ]


def stopped(wait_s: float = 3.2) -> list[Move]:
    """Return the moves that show whether the stop switch stops."""
    cut = at_throttle(wait_s, stop=1.0)
    return [(REST, 0.1), "arm", at_throttle(1.0), cut, "disarm", (REST, 0.1)]
