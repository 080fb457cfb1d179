"""Which measured propeller is most like one that was not."""

from math import log

from sim.aircraft.library import Propeller, propellers


def apart(one: Propeller, diameter_m: float, pitch_m: float) -> tuple[float, float]:
    """Return how far (in logarithms) pitch over diameter and diameter lie from those asked for."""
    steeper = abs(log(one.pitch_m / one.diameter_m / (pitch_m / diameter_m)))
    return steeper, abs(log(one.diameter_m / diameter_m))


def nearest(diameter_m: float, pitch_m: float) -> Propeller:
    """Return the most alike measured propeller.

    Coefficients hang on the shape, told by pitch over diameter, and on the size by way of the
    Reynolds number; a difference in either counts alike (own).
    """
    return min(propellers(), key=lambda one: sum(apart(one, diameter_m, pitch_m)))
