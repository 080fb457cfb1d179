"""Faults of the pack."""

import numpy as np

from sim.aircraft.changes import with_value
from sim.aircraft.world import World
from sim.faults import supply
from sim.faults.fault import Fault, Truth
from sim.faults.supply import CHARGED
from sim.kernel import pack
from sim.kernel.linear import hover_trim

LOADED_CELL_V = 3.5  # V; common practice: land at 3.5 V a cell under load
RETIRE_RATIO = 1.5  # 1; trade experience: a pack of half as much resistance again is worn
STEP_S = 5.0  # s; own: the hop is short against the slow RC pair, long against the fast one
REST_V = 4.0  # V; own: a hop and its reserve need 4.15 when taken up, 4.0 after the bench work
REST_SPREAD_V = 0.05  # V; trade experience: 0.03 is good, 0.05 is a weak cell
PACK_CELLS = (1, 6)  # cells; own: packs in the cupboard of people who fly small aircraft
LOADED_SPREAD_V = 0.15  # V; trade experience: the spread allowed under load


def after_hop(truth: Truth, cells: pack.PackState) -> tuple[float, float]:
    """Return (ordinary, weakest) cell at the end of the planned hop, hovering all the time, V."""
    params = truth.craft.pack
    left = truth.hop_s
    amps = 0.0
    while left > 0.0:
        amps = hover_trim(truth.craft, truth.tables, cells).pack_a
        cells = pack.drawn(cells, amps, params, min(STEP_S, left))
        left -= STEP_S
    loaded = cells._replace(current_a=amps)
    good, weak = pack.cell_voltages_v(loaded, truth.tables, params)
    return float(good), float(weak)


def at_rest(truth: Truth) -> tuple[float, float]:
    """Return (ordinary, weakest) cell with nothing drawn and all strain gone, V."""
    rested = pack.PackState(truth.cells.charge, truth.cells.weak_charge, 0.0, 0.0, 0.0)
    good, weak = pack.cell_voltages_v(rested, truth.tables, truth.craft.pack)
    return float(good), float(weak)


def _worn(world: World, severity: float, rng: np.random.Generator) -> World:
    """Age the pack: its resistance grows, some capacity goes, its rest voltage stays fine.

    The trade speaks of twice to five times the resistance; it retires a pack long before its cells
    fall below 3.5 V in a hop, for which it takes about five times with a pack that is just large enough.
    """
    world = with_value(world, "build.pack.resistance_factor", 4.6 + 2.4 * severity)
    return with_value(world, "build.pack.capacity_factor", 0.85 - 0.15 * severity)


def _worn_out(truth: Truth) -> bool:
    worn = truth.world.build.pack.resistance_factor > RETIRE_RATIO
    return worn or after_hop(truth, CHARGED)[0] < LOADED_CELL_V


def _half_empty(world: World, severity: float, rng: np.random.Generator) -> World:
    charge = 0.7 - 0.35 * severity + rng.uniform(-0.03, 0.03)  # share; trade experience 0.3-0.6
    return with_value(world, "build.pack.charge", min(world.build.pack.charge, charge))


def _undercharged(truth: Truth) -> bool:
    return at_rest(truth)[0] < REST_V


def _one_weak(world: World, severity: float, rng: np.random.Generator) -> World:
    """Weaken one cell: the trade's 0.6 of the capacity and thrice the resistance at the most."""
    world = with_value(world, "build.pack.weak_capacity_ratio", 0.85 - 0.25 * severity)
    world = with_value(world, "build.pack.weak_resistance_ratio", 1.6 + 1.4 * severity)
    return with_value(world, "build.pack.weak_charge_gap", 0.06 + 0.1 * severity)


def _alone(world: World) -> str:
    if world.airframe.cells > 1:
        return ""
    return (
        "Its pack is one cell, which has no siblings to be weaker than: worn, it is a pack of high "
        "resistance."
    )


def _uneven(truth: Truth) -> bool:
    if truth.craft.pack.cells < 2.0:
        return False
    good, weak = at_rest(truth)
    if good - weak > REST_SPREAD_V:
        return True
    loaded, low = after_hop(truth, truth.cells)
    return loaded - low > LOADED_SPREAD_V


def _other_count(world: World, severity: float, rng: np.random.Generator) -> World:
    """Put in a pack with a cell more, or now and then one with a cell less; there are those of 1 to 6."""
    more = 1 if rng.random() < 0.7 else -1  # own: the bigger pack is the commoner mistake
    fewest, most = PACK_CELLS
    if not fewest <= world.pack_spec.cells + more <= most:
        more = -more
    return with_value(world, "build.pack.cells", world.pack_spec.cells + more)


def _swollen(world: World, severity: float, rng: np.random.Generator) -> World:
    warm = 1.0 + 5.0 * severity  # K; own: a cell that leaks inside warms itself
    there = world.build.pack.temperature_degc
    world = with_value(world, "build.pack.temperature_degc", there + warm)
    return with_value(world, "build.pack.swollen", True)


PACK_CAUTION = (
    "Never fly or charge a swollen, dented or hot pack; keep worn packs in a fire-safe box."
)

PACKS = (
    Fault(
        id="pack-undercharged",
        family="power",
        item="pack",
        hazard=3,
        opens="pack-not-up-to-it",
        inject=_half_empty,
        present=_undercharged,
        revealed_by=("pack-at-rest", "voltage-and-alarm", "restrained-run-up"),
        proved_by=("pack-at-rest",),
        fixes=("swap:pack",),
        in_the_air=(
            "It sags early: the cells are low well before the planned end, and a longer hop ends "
            "with the alarm."
        ),
        explanation=(
            "The pack was put in half empty. A lithium cell is full at 4.15 to 4.20 V at rest; "
            "below 3.9 V most of its charge is gone, though it still lifts the aircraft."
        ),
    ),
    Fault(
        id="pack-cell-weak",
        family="power",
        item="pack",
        hazard=4,
        opens="hurt-pack",
        inject=_one_weak,
        cannot=_alone,
        present=_uneven,
        revealed_by=("pack-at-rest",),
        proved_by=("pack-at-rest",),
        fixes=("swap:pack",),
        in_the_air=(
            "One cell empties before the others and takes the thrust with it, while the total "
            "still looks fine."
        ),
        lucky="the weak cell just held to the end of so short a hop.",
        explanation=(
            "One cell holds less and resists more than its siblings. The total hides it; the cell "
            "meter shows it: more than 0.05 V apart at rest is a weak cell."
        ),
        caution=PACK_CAUTION,
    ),
    Fault(
        id="pack-high-resistance",
        family="power",
        item="pack",
        hazard=3,
        opens="pack-not-up-to-it",
        inject=_worn,
        present=_worn_out,
        revealed_by=("restrained-run-up", "light-on-legs", "rails"),
        proved_by=("restrained-run-up",),
        fixes=("swap:pack",),
        in_the_air=(
            "It sags with every ampere and the throttle creeps up; the worse it is, the sooner "
            "the alarm sounds."
        ),
        explanation=(
            "The pack's inner resistance has grown with age. At rest each cell looks full; under "
            "the current of a hover its voltage falls away. Only a load shows it: retire the pack."
        ),
        caution=PACK_CAUTION,
    ),
    Fault(
        id="pack-cell-count-wrong",
        family="power",
        item="pack",
        hazard=4,
        opens="pack-not-up-to-it",
        inject=_other_count,
        present=lambda truth: round(truth.craft.pack.cells) != truth.world.airframe.cells,
        revealed_by=("pack-at-rest", "voltage-and-alarm", "light-on-legs"),
        proved_by=("pack-at-rest",),
        fixes=("swap:pack",),
        in_the_air=(
            "With a cell too many it leaps off the floor; with one too few it will not lift."
        ),
        explanation=(
            "The pack has another number of cells than the build sheet asks for. Thrust at the same "
            "stick goes with the square of the voltage: four cells for three give 1.8 times, two for "
            "one give four times."
        ),
        also=("rate-gain-high",),
    ),
    Fault(
        id="pack-swollen-or-dented",
        family="power",
        item="pack",
        hazard=5,
        opens="hurt-pack",
        inject=_swollen,
        present=lambda truth: truth.world.build.pack.swollen,
        revealed_by=("pack-at-rest",),
        proved_by=("pack-at-rest",),
        fixes=("swap:pack",),
        in_the_air="It sags twice as far as it should, and it may burn.",
        explanation=(
            "Gas in a swollen cell means its layers have come apart or been crushed. It can take "
            "fire without warning, in flight or on the shelf. It is not a matter of volts."
        ),
        caution=(
            "Touch it as little as you can: take it outside in a fire-safe box and have it disposed of."
        ),
    ),
)

FAULTS = PACKS + supply.FAULTS
