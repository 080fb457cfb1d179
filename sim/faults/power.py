"""Faults of pack, leads and supply."""

import numpy as np

from sim.aircraft.changes import with_value
from sim.aircraft.world import World
from sim.faults.fault import Fault, Truth
from sim.kernel import pack
from sim.kernel.linear import hover_trim

LOADED_CELL_V = 3.5  # V; common practice: land at 3.5 V a cell under load
STEP_S = 5.0  # s; own: the hop is short against the slow RC pair, long against the fast one


def loaded_cell_v(truth: Truth) -> float:
    """Return the weakest cell's voltage at the end of the planned hop, hovering all the time, V."""
    cells, params = truth.cells, truth.craft.pack
    left = truth.hop_s
    amps = 0.0
    while left > 0.0:
        amps = hover_trim(truth.craft, truth.tables, cells).pack_a
        cells = pack.drawn(cells, amps, params, min(STEP_S, left))
        left -= STEP_S
    return float(min(pack.cell_voltages_v(cells._replace(current_a=amps), truth.tables, params)))


def _worn(world: World, severity: float, rng: np.random.Generator) -> World:
    """Age the pack: its resistance grows, some capacity goes, its rest voltage stays fine."""
    world = with_value(world, "build.pack.resistance_factor", 4.6 + 2.4 * severity)
    return with_value(world, "build.pack.capacity_factor", 0.85 - 0.15 * severity)


FAULTS = (
    Fault(
        id="pack-high-resistance",
        family="power",
        item="pack",
        hazard=3,
        inject=_worn,
        present=lambda truth: loaded_cell_v(truth) < LOADED_CELL_V,
        revealed_by=("restrained-run-up", "light-on-legs"),
        proved_by=("restrained-run-up",),
        fixes=("swap:pack",),
        in_the_air="Throttle creeps up, the alarm sounds early, then it sinks.",
        explanation=(
            "The pack's inner resistance has grown with age. At rest each cell looks full; under "
            "the current of a hover its voltage falls away. Only a load shows it: retire the pack."
        ),
        caution="Never fly or charge a swollen, dented or hot pack; keep worn packs in a fire-safe box.",
    ),
)
