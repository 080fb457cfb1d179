"""Stick modes: which stick of the transmitter carries which function, as the trade counts them.

Physical sticks are seen as drawn: right and up (away from the pilot) are positive, -1..1. Roll and
yaw go right with the stick, throttle goes up with it, and the nose goes up as the stick comes back.
"""

from typing import NamedTuple

from sim.aircraft.fields import ChannelName
from sim.window.sticks.positions import Positions

Stick = tuple[float, float]
DEFAULT_MODE = 2  # trade usage: the commonest


class Transmitter(NamedTuple):
    """The two sticks as they stand: each (x, y), -1..1, right and up positive."""

    left: Stick
    right: Stick


class Layout(NamedTuple):
    """The function each way of each stick carries."""

    left_x: ChannelName
    left_y: ChannelName
    right_x: ChannelName
    right_y: ChannelName


MODES: dict[int, Layout] = {
    1: Layout("yaw", "pitch", "roll", "throttle"),
    2: Layout("yaw", "throttle", "roll", "pitch"),
    3: Layout("roll", "pitch", "yaw", "throttle"),
    4: Layout("roll", "throttle", "yaw", "pitch"),
}


def _to_stick(function: ChannelName, value: float) -> float:
    if function == "throttle":
        return 2.0 * value - 1.0
    return -value if function == "pitch" else value


def _from_stick(function: ChannelName, travel: float) -> float:
    if function == "throttle":
        return 0.5 * (travel + 1.0)
    return -travel if function == "pitch" else travel


def on_sticks(positions: Positions, mode: int = DEFAULT_MODE) -> Transmitter:
    """Return how the two sticks stand for these functions."""
    lx, ly, rx, ry = (_to_stick(name, positions.of(name)) for name in MODES[mode])
    return Transmitter((lx, ly), (rx, ry))


def functions(transmitter: tuple[Stick, Stick], mode: int = DEFAULT_MODE) -> Positions:
    """Return the functions for two sticks as they stand."""
    travels = (*transmitter[0], *transmitter[1])
    values = {n: _from_stick(n, t) for n, t in zip(MODES[mode], travels, strict=True)}
    return Positions(**values)


def stick_of(function: ChannelName, mode: int = DEFAULT_MODE) -> tuple[str, str]:
    """Return the stick ("left" or "right") and the way ("x" or "y") that carry a function."""
    side, way = MODES[mode]._fields[MODES[mode].index(function)].split("_")
    return side, way
