"""Spares and fixes that are bad themselves: what was put right comes with a fault of that very part."""

import numpy as np

from sim.aircraft.changes import differing
from sim.aircraft.world import World
from sim.faults.catalogue import CATALOGUE
from sim.faults.fault import Fault
from sim.keys import PartKey

SEVERITY = 0.4  # 1; own: bad enough to be found, not the worst there is
DRAWS = (
    40  # own: a fault at one of four places comes to this one in that many, but for 1 in 100,000
)
MADE_WITH_A_METER: frozenset[PartKey] = frozenset({"lead-polarity"})  # own: nobody solders it blind


def spoilt(world: World, part: PartKey, keys: tuple[str, ...], rng: np.random.Generator) -> World:
    """Return the world with a fault in a part just swapped or seen to, if the part can have one.

    keys : the dotted keys of the build that belong to the part; nothing else is changed.
    """
    faults = [f for f in CATALOGUE.values() if f"swap:{part}" in f.fixes]
    if part in MADE_WITH_A_METER:
        return world
    for i in rng.permutation(len(faults)):
        found = _here(faults[int(i)], world, keys, rng)
        if found is not None:
            return found
    return world


def _here(
    fault: Fault, world: World, keys: tuple[str, ...], rng: np.random.Generator
) -> World | None:
    """Return the world with a fault that lies in these keys alone, or None if none came."""
    for _ in range(DRAWS):
        worse = fault.inject(world, SEVERITY, rng)
        changed = differing(world, worse)
        if changed and all(_below(key, keys) for key in changed):
            return worse
    return None


def _below(key: str, keys: tuple[str, ...]) -> bool:
    return any(f"{key}.".startswith(f"build.{above}.") for above in keys)
