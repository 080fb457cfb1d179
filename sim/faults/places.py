"""Faults that sit at one of the four places of the frame."""

import numpy as np

from sim.aircraft.fields import PLACES, Place
from sim.aircraft.world import World


def any_place(rng: np.random.Generator) -> Place:
    """Return one of the four places by chance."""
    return PLACES[int(rng.integers(len(PLACES)))]


def swaps(part: str) -> tuple[str, ...]:
    """Return the fix keys that put a part right, wherever it sits."""
    return tuple(f"swap:{part}-{place.replace('_', '-')}" for place in PLACES)


def spin_signs(world: World) -> tuple[float, ...]:
    """Return +1 (clockwise seen from above) or -1 of each place on the build sheet."""
    return tuple(1.0 if place in world.airframe.clockwise else -1.0 for place in PLACES)
