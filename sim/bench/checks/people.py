"""Checks of people, area and what is fitted; looked at, not measured."""

from sim.bench.check import Check
from sim.bench.reading import Reading
from sim.bench.rig import Rig


def people(rig: Rig) -> Reading:
    """Look round: goggles, spotter, anyone inside the ring, room to walls and ceiling."""
    c, room = rig.world.conduct, rig.world.site.room
    return Reading(
        "people-and-room",
        {
            "goggles_on": float(c.goggles_on),
            "spotter_present": float(c.spotter_present),
            "people_in_ring": float(c.person_in_ring),
            "nearest_wall_m": min(room.north_m, -room.south_m, room.east_m, -room.west_m),
            "ceiling_m": room.ceiling_m,
        },
    )


def propellers(rig: Rig) -> Reading:
    """Count the propellers that are on, aloud."""
    return Reading("propellers", {"fitted": 4.0 if rig.world.conduct.props_fitted else 0.0})


CHECKS = (
    Check(
        "people-and-room",
        "C20",
        "Look round: people, goggles, room",
        1.0,
        (),
        people,
        "Who is where, and how much room is there?",
    ),
    Check(
        "propellers",
        "C02",
        "Count the propellers aloud",
        0.5,
        (),
        propellers,
        "How many are fitted?",
    ),
)
