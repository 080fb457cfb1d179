"""Faults that sit at one of the four places of the frame."""

from collections.abc import Sequence
from typing import Literal, cast

import numpy as np

from sim.aircraft.fields import PLACES, Place
from sim.aircraft.world import World
from sim.keys import FixKey

PlacePart = Literal["propeller", "motor", "signal-lead", "phase-leads", "wire-tie"]


def any_place(rng: np.random.Generator, among: Sequence[Place] = PLACES) -> Place:
    """Return one of the four places, or of some of them, by chance."""
    return among[int(rng.integers(len(among)))]


def matched_places(world: World) -> tuple[Place, ...]:
    """Return the places where propeller and motor are as planned; all if none is.

    A reversed motor under a propeller of the wrong hand lifts: two faults that would be one.
    """
    rotors = {place: getattr(world.build.rotors, place) for place in PLACES}
    good = (p for p, r in rotors.items() if r.motor.spin_right and r.propeller.right_hand)
    return tuple(good) or PLACES


def swap_at(part: PlacePart, place: Place) -> FixKey:
    """Return the fix key that puts a part right at a place."""
    return cast(FixKey, f"swap:{part}-{place.replace('_', '-')}")


def swaps(part: PlacePart) -> tuple[FixKey, ...]:
    """Return the fix keys that put a part right, wherever it sits."""
    return tuple(swap_at(part, place) for place in PLACES)
