"""What a person's hands do at one moment: the sticks, the aircraft in the hands, the motor test."""

from math import hypot
from typing import Final, Literal, NamedTuple

from sim.aircraft.fields import PLACES, Place
from sim.kernel.frames import Vec3
from sim.kernel.radio import Sticks


class Turning(NamedTuple):
    """How fast hands turn the aircraft about its own axes, each -1..1 of the fastest they do.

    Right side down, nose up and nose right are positive; all together are no faster than one alone.
    """

    roll: float = 0.0
    pitch: float = 0.0
    yaw: float = 0.0

    def rate_rad_s(self, fastest_rad_s: float) -> Vec3:
        """Return the rate about the body's axes, rad/s."""
        k = fastest_rad_s / max(1.0, hypot(*self))
        return Vec3(k * self.roll, k * self.pitch, k * self.yaw)


ALL: Final = "all"  # the motor test drives every output at once


Output = Place | Literal["all"]


class Slider(NamedTuple):
    """The motor test of the set-up connection: one controller output, or all, and a command, 0..1."""

    output: Output
    command: float

    @property
    def outputs(self) -> tuple[Place, ...]:
        """The outputs it drives."""
        return PLACES if self.output == ALL else (self.output,)


class Inputs(NamedTuple):
    """The sticks, how the hands turn the aircraft, and the motor test; None: they do not."""

    sticks: Sticks
    turning: Turning | None = None
    motor: Slider | None = None
