"""The aircraft as designed: in the shipped garage, and what its rotors do when it hovers."""

from functools import lru_cache
from math import pi
from typing import Any

from sim.aircraft import library
from sim.aircraft.airframe import Airframe
from sim.aircraft.assemble import assemble
from sim.aircraft.build import Build
from sim.aircraft.conduct import Conduct
from sim.aircraft.setup import Setup
from sim.aircraft.world import World
from sim.kernel.frames import UPRIGHT
from sim.kernel.linear import Trim, craft_margins, hover_trim
from sim.kernel.pack import PackState
from sim.kernel.vehicle import Craft

SITE = "lockup-garage"
AS_DESIGNED = Build()
CHARGED_CELL_V = 4.16  # V; lithium cells, charged, at rest
CHARGED = PackState(0.97, 0.97, 0.0, 0.0, 0.0)  # a pack off the charger, as drills begin


def world_of(
    airframe: Airframe, site: library.Place = SITE, build: Build = AS_DESIGNED, **conduct: Any
) -> World:
    """Return the aircraft as designed, in the shipped garage or at another site."""
    return World(
        airframe=airframe,
        pack_spec=library.pack(airframe.pack),
        build=build,
        setup=Setup(controller=airframe.sheet.setup),
        site=library.site(site),
        conduct=Conduct(**conduct),
    )


def flying(airframe: Airframe) -> Craft:
    """Return the flight model's parameters of the aircraft as designed, propellers on."""
    return assemble(world_of(airframe, props_fitted=True, place="pad", hold="standing"), UPRIGHT)


@lru_cache(maxsize=16)
def hover(airframe: Airframe) -> Trim:
    """Return the hover of one rotor of the aircraft as designed, its pack charged."""
    return hover_trim(flying(airframe), library.tables(airframe.propeller.table), CHARGED)


@lru_cache(maxsize=16)
def ringing_hz(airframe: Airframe) -> float:
    """Return how fast the slower of the loops of roll and pitch rings once it has too much gain, Hz."""
    tables = library.tables(airframe.propeller.table)
    found = craft_margins(flying(airframe), tables, CHARGED)
    return min(margin.gain_at_rad_s for margin in found) / (2.0 * pi)


def full_rpm(airframe: Airframe) -> float:
    """Return the speed of a bare motor at full command on a charged pack, rpm."""
    return airframe.motor.kv_rpm_v * CHARGED_CELL_V * airframe.cells


def reach_m(airframe: Airframe) -> float:
    """Return half the distance between neighbouring rotors: how far they stand from its middle."""
    return 0.5 * airframe.frame.rotors_m.spacing_m
