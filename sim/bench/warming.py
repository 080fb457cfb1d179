"""A pack indoors takes on the temperature of the air, and a hop warms it by what it loses."""

from math import exp

import numpy as np

from sim.aircraft.changes import with_value
from sim.aircraft.world import World
from sim.bench.rig import History, Rig
from sim.kernel.pack import PackParams
from sim.units import C_PER_AH

PACK_J_K_AH = 27.0  # J/K per Ah of each cell; own: 27 g at 1 J/(g K)
PACK_MIN = 40.0  # min; own: so much heat goes at 0.08 W/K through skin, foam bag and strap
STEP_K = 0.5  # K; own: far less than a hand can tell


def pack_degc(pack_degc: float, air_degc: float, minutes: float) -> float:
    """Return a pack's temperature after some time in air, degC; Newton's law of cooling."""
    return air_degc + (pack_degc - air_degc) * exp(-minutes / PACK_MIN)


def pack_warmed(world: World, minutes: float) -> World:
    """Return the world after some time with the pack in the air of the room.

    It is the same world as long as the change is less than STEP_K.
    """
    pack = world.build.pack.temperature_degc
    now = pack_degc(pack, world.site.temperature_degc, minutes)
    if abs(now - pack) < STEP_K:
        return world
    return with_value(world, "build.pack.temperature_degc", now)


def heated_k(pack: PackParams, flown: History) -> float:
    """Return by how much a pack warms itself in a recording, K: the sum of I² R over its heat.

    The slow part of its resistance takes minutes to come up, and is left out.
    """
    if len(flown) < 2:
        return 0.0
    ohm = pack.cells * (pack.r0_ohm + pack.r1_ohm)
    square_a2_s = float(np.trapezoid(flown["pack_a"] ** 2, flown["time_s"]))
    heat_j_k = PACK_J_K_AH * pack.cells * pack.capacity_c / C_PER_AH
    return float(ohm * square_a2_s / heat_j_k)


class Warming:
    """Follows a rig's pack through the minutes of an evening."""

    def __init__(self) -> None:
        self._minutes = 0.0  # since its temperature was last followed

    def after(self, rig: Rig, minutes: float) -> None:
        """Let so much more time pass for the pack."""
        self._minutes += minutes
        world = pack_warmed(rig.world, self._minutes)
        if world is not rig.world:
            self._minutes = 0.0
            rig.change(world)

    def flown(self, rig: Rig, flown: History) -> None:
        """Warm the pack by what a hop drew from it."""
        pack = rig.world.build.pack
        warm = pack.temperature_degc + heated_k(rig.craft.pack, flown)
        rig.change(with_value(rig.world, "build.pack.temperature_degc", warm))
