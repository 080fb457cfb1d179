"""What a crash breaks: parts that are then faulty, and have to be found like any other fault."""

import numpy as np

from sim.aircraft.changes import with_value
from sim.aircraft.fields import PLACES
from sim.aircraft.world import World
from sim.bench.rig import Rig
from sim.faults.catalogue import CATALOGUE
from sim.kernel.surroundings import BUMPED, HARD_LANDING, STRUCK, TIPPED
from sim.keys import FaultId

WORST = 0.8  # severity; own: what a fall from a metre does is seldom the worst there is
CHIPPED = 6.0  # times what balancing leaves; trade experience: a tip lost, 1-2 g mm on ten inches

BREAKS: dict[int, tuple[tuple[FaultId, float], ...]] = {
    STRUCK: (("motor-shaft-bent", 0.3),),
    TIPPED: (("leg-snag-or-bent", 0.4), ("arm-joint-loose", 0.3)),
    BUMPED: (("motor-mount-tilted", 0.3), ("arm-joint-loose", 0.2)),
    HARD_LANDING: (
        ("leg-snag-or-bent", 0.8),
        ("pack-strap-loose", 0.3),
        ("pack-swollen-or-dented", 0.15),
    ),
}  # chance that each kind of crash does each of these; own: after club crashes from a metre or less


def wrecked(rig: Rig, rng: np.random.Generator) -> World:
    """Return the world after the crash a rig has been through; rng : chance of what breaks."""
    world = _chipped(rig)
    bits = int(rig.value("crash"))
    for kind, breaks in BREAKS.items():
        for fault, chance in breaks:
            happens, severity = rng.random(2)
            if bits & kind and happens < chance:
                world = CATALOGUE[fault].inject(world, WORST * float(severity), rng)
    return world


def _chipped(rig: Rig) -> World:
    """Return the world with a chip gone from each propeller that struck something."""
    world = rig.world
    for i, place in enumerate(PLACES):
        if rig.value(f"rotors.{i}.broken") > 0.0:
            key = f"build.rotors.{place}.propeller"
            world = with_value(world, f"{key}.nicked", True)
            lost = CHIPPED * world.airframe.propeller.unbalance_g_mm
            world = with_value(world, f"{key}.extra_unbalance_g_mm", lost)
    return world
