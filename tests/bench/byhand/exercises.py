"""Checks worked by hand in the tests: what the hands do, frame by frame, and what is read of it."""

from collections.abc import Iterable

from sim.bench.check import sticks
from sim.bench.checklist import CHECKS
from sim.bench.inputs import Inputs
from sim.bench.reading import Reading
from sim.bench.recorded import Recorded, Tape
from sim.bench.rig import Rig
from sim.keys import CheckKey

FRAMES_S = (0.016, 0.017, 0.017)  # s; sixty a second, in whole ticks
Move = tuple[Inputs, float]
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
    tape = rig.tape = Tape(rig)
    for inputs, seconds in moves:
        let(rig, inputs, seconds)
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
