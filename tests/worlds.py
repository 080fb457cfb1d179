"""The sound aircraft of the tests: the shipped trainer as designed, in the shipped garage."""

from typing import Any

from sim.aircraft import library
from sim.aircraft.build import Build
from sim.aircraft.conduct import Conduct
from sim.aircraft.setup import Setup
from sim.aircraft.world import World


def sound_world(**conduct: Any) -> World:
    """Return the sound aircraft, with the conduct given."""
    airframe = library.airframe("club-trainer-450")
    return World(
        airframe=airframe,
        pack_spec=library.pack(airframe.pack),
        build=Build(),
        setup=Setup(controller=airframe.sheet.setup),
        site=library.site("lockup-garage"),
        conduct=Conduct(**conduct),
    )
