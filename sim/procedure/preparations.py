"""What sets people and room to rights, and which values of the world that changes."""

import numpy as np

from sim.aircraft.scatter import renewed
from sim.aircraft.world import World
from sim.keys import Preparation

ORDINARY: frozenset[Preparation] = frozenset(
    {
        "goggles",
        "spotter",
        "clear-ring",
        "brief-abort",
        "hands-rule",
        "sweep",
        "mark-nose",
        "shut-door",
    }
)  # precautions anybody takes before a hop, needed or not

PREPARATIONS: dict[Preparation, tuple[str, dict[str, object]]] = {
    "goggles": (
        "Goggles on, for everybody here.",
        {"conduct.goggles_on": True, "conduct.others_ungoggled": 0},
    ),
    "spotter": (
        "The spotter stands ready to call the abort.",
        {"conduct.spotter_present": True, "conduct.helper_here": True},
    ),
    "clear-ring": (
        "Nobody is inside the ring, and the barrier is across the way in.",
        {"conduct.person_in_ring": False, "conduct.strays": 0},
    ),
    "brief-abort": (
        "The abort word and its sign are agreed and tried.",
        {"conduct.abort_late_s": 0.0},
    ),
    "hands-rule": (
        "Agreed, and said back: disarmed, unplugged, standing still, and only then a hand.",
        {"conduct.reaches_per_min": 0.0},
    ),
    "restart-card": (
        "The phone is off and lies in the car; the card starts again from its head.",
        {"conduct.rings_per_min": 0.0},
    ),
    "retest-repairs": (
        "Every repair in the log is tried by the check that would show it, and signed.",
        {"conduct.repairs_untried": 0},
    ),
    "sweep": ("Three metres round the pad are swept.", {"conduct.loose_pieces": 0}),
    "mark-nose": ("A bright mark shows the nose.", {"conduct.nose_marked": True}),
    "shut-door": (
        "Door shut, fan off.",
        {"site.wind_north_m_s": 0.0, "site.wind_east_m_s": 0.0, "site.gust_m_s": 0.03},
    ),
    "move-pad": (
        "The pad lies where the heading stays the same when lifted.",
        {"site.pad_steel": 0.0},
    ),
    "watch-charge": ("Somebody stays with the charger.", {"conduct.charge_watched": True}),
    "warm-pack": ("The pack has come to room temperature.", {"build.pack.temperature_degc": 20.0}),
    "bigger-room": (
        "Moved to the big end of the hall.",
        {
            "site.room.ceiling_m": 4.0,
            "site.room.north_m": 6.0,
            "site.room.south_m": -6.0,
            "site.room.east_m": 4.0,
            "site.room.west_m": -4.0,
        },
    ),
}


def prepared(world: World, what: Preparation, rng: np.random.Generator) -> World:
    """Return the world with one thing prepared; rng : chance in how well, as far as it scatters."""
    return renewed(world, PREPARATIONS[what][1], rng)
