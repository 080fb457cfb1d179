"""Moments of inertia: from parts that are points, rods and boxes, or from a swing on two strings.

Axes forward, right and up through the centre of gravity. The formulas of rod and box and the
parallel-axis theorem are those of any mechanics book.
"""

from collections.abc import Iterable
from math import pi
from typing import NamedTuple

from sim.kernel.air import STANDARD_GRAVITY_M_S2

Sizes = tuple[float, float, float]  # forward, right, up, m


class Inertia(NamedTuple):
    """Moments about the roll, pitch and yaw axis, kg m2."""

    roll: float
    pitch: float
    yaw: float


class Part(NamedTuple):
    """A mass at a place, with moments of its own about its middle."""

    mass_kg: float
    place_m: Sizes
    own: Inertia = Inertia(0.0, 0.0, 0.0)


def box(mass_kg: float, place_m: Sizes, size_m: Sizes) -> Part:
    """Return an even box: m (b^2 + c^2)/12 about the axis along side a."""
    a, b, c = size_m
    twelfth = mass_kg / 12.0
    own = Inertia(twelfth * (b * b + c * c), twelfth * (a * a + c * c), twelfth * (a * a + b * b))
    return Part(mass_kg, place_m, own)


def rod(mass_kg: float, end_m: Sizes) -> Part:
    """Return an even thin rod from the centre of gravity to `end_m`."""
    # about its middle it is a line of length l: m l^2/12, of which each axis sees what is across it
    x, y, z = end_m
    twelfth = mass_kg / 12.0
    own = Inertia(twelfth * (y * y + z * z), twelfth * (x * x + z * z), twelfth * (x * x + y * y))
    return Part(mass_kg, (x / 2.0, y / 2.0, z / 2.0), own)


def of_parts(parts: Iterable[Part]) -> Inertia:
    """Return the moments of all parts about axes through (0, 0, 0): own + m d^2 (Steiner)."""
    roll = pitch = yaw = 0.0
    for part in parts:
        x, y, z = part.place_m
        roll += part.own.roll + part.mass_kg * (y * y + z * z)
        pitch += part.own.pitch + part.mass_kg * (x * x + z * z)
        yaw += part.own.yaw + part.mass_kg * (x * x + y * y)
    return Inertia(roll, pitch, yaw)


def of_swing(mass_kg: float, strings_apart_m: float, length_m: float, period_s: float) -> float:
    """Return the moment about the vertical from a swing on two strings: m g d^2 T^2/(16 pi^2 l).

    The strings hang straight down, d apart and of length l, the same distance to either side of the
    centre of gravity; T is one small twist to and fro (bifilar pendulum; M. W. Jardin and E. R.
    Mueller, AIAA 2007-6822).
    """
    twist = strings_apart_m * period_s / (4.0 * pi)
    return mass_kg * STANDARD_GRAVITY_M_S2 * twist * twist / length_m
