"""Where the four functions stand, and how a stick's travel is shaped."""

from dataclasses import dataclass
from math import copysign

from sim.aircraft.fields import ChannelName


@dataclass(frozen=True)
class Positions:
    """Functions -1..1 (throttle 0..1): roll right, nose up (stick back), yaw right positive."""

    roll: float
    pitch: float
    throttle: float
    yaw: float

    def of(self, function: ChannelName) -> float:
        """Return one function by its name."""
        value: float = getattr(self, function)
        return value


SAFE = Positions(roll=0.0, pitch=0.0, throttle=0.0, yaw=0.0)


def clipped(value: float, low: float = -1.0, high: float = 1.0) -> float:
    """Return the value, kept between two ends."""
    return min(high, max(low, value))


def shape(value: float, dead_band: float, expo: float) -> float:
    """Return a stick's travel with a dead band and a softer middle.

    Parameters
    ----------
    value : float
        Stick travel, -1..1; beyond the ends counts as the end.
    dead_band : float
        Travel around the middle that counts as nothing, 0 to below 1; the rest is stretched.
    expo : float
        Share of the cube in the blend of line and cube, 0..1.
    """
    away = (min(abs(value), 1.0) - dead_band) / (1.0 - dead_band)
    if away <= 0.0:
        return 0.0
    return copysign(away * (1.0 - expo * (1.0 - away * away)), value)
