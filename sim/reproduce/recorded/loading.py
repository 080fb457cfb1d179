"""Vehicles to be taken through a recording, with the charge and the mass that it tells of."""

import numpy as np

from sim.aircraft import library
from sim.aircraft.airframe import Airframe
from sim.aircraft.changes import value_at, with_value
from sim.aircraft.design import world_of
from sim.aircraft.world import World
from sim.keys import FaultId
from sim.reproduce.recorded.flight import Flight
from sim.reproduce.recorded.hypotheses import Hypothesis
from sim.reproduce.recorded.nuisance import NUISANCES, moved
from sim.reproduce.recorded.passes import Vehicle, charge_at, tables_of, vehicle_of

CHARGE = 0.88  # share; own: packs of an evening that one takes off with
LEAST_CHARGE = 0.72  # share; own: with less nobody takes off who has looked
USUAL = 0.15  # share; own: nearer than this to the usual charge a pack is an ordinary one
MASS = "build.frame.mass_factor"
OVER_MASS: FaultId = "over-mass"


def sound_world(airframe: Airframe) -> World:
    """Return the aircraft as designed, on an ordinary evening's pack, where there is room for it."""
    return with_value(
        world_of(airframe, library.roomy_site(airframe.name)), "build.pack.charge", CHARGE
    )


def charged(vehicle: Vehicle, charge: float) -> Vehicle:
    """Return a vehicle whose pack, if it is the evening's usual one, has another charge."""
    state = vehicle.state
    away = charge - CHARGE
    if abs(float(state["pack__charge"][0]) - CHARGE) > USUAL:
        return vehicle
    state = state.copy()
    for cell in ("pack__charge", "pack__weak_charge"):
        state[cell] = np.clip(state[cell] + away, 0.0, 1.0)
    return vehicle._replace(state=state)


def told_charge(flight: Flight, world: World) -> float:
    """Return the charge that the voltage at rest tells of, as far as an evening's pack goes."""
    volts = flight.recording["pack_v"][flight.rest]
    if not np.isfinite(volts).any():
        return CHARGE
    told = charge_at(world, tables_of(world), float(np.nanmean(volts)))
    return min(1.0, max(LEAST_CHARGE, told))


MOUNT = "build.sensors.loose_mount_hz"
LOOSE_HZ = (
    8.0,
    12.0,
    18.0,
    26.0,
    36.0,
)  # Hz; own: what mounts and arms that are loose have, from worst to mildest


class Loader:
    """Makes vehicles with the charge and the mass that a recording tells of."""

    def __init__(self, flight: Flight, world: World, charge: float, mass: float) -> None:
        self.flight, self.charge, self.mass = flight, charge, mass
        self.world = self._heavy(world)

    def _heavy(self, world: World) -> World:
        return with_value(world, MASS, value_at(world, MASS) * self.mass)

    def sound(self) -> Vehicle:
        """Return the vehicle of the sound aircraft."""
        return charged(vehicle_of(self.world, self.flight.aboard), self.charge)

    def unknown(self) -> list[Vehicle]:
        """Return a vehicle for each value that is not known, moved by one sigma."""
        aboard = self.flight.aboard
        return [charged(moved(self.world, n, 1.0, aboard), self.charge) for n in NUISANCES]

    def loose(self) -> list[Vehicle]:
        """Return sound vehicles but for the gyro's mount, for readings logged aboard; else none."""
        worlds = (with_value(self.world, MOUNT, hz) for hz in LOOSE_HZ)
        aboard = self.flight.aboard
        return [charged(vehicle_of(x, aboard), self.charge) for x in worlds] if aboard else []

    def of(self, hypothesis: Hypothesis) -> Vehicle:
        """Return the vehicle of a hypothesis with a world of its own.

        What is shown of a pack of another kind, or by another scale, tells of another charge; how
        heavy a too heavy one is says the hypothesis.
        """
        world = hypothesis.world
        if world is None:
            raise ValueError("a shift along columns has no vehicle")
        charge = self.charge
        if world.build.pack.cells is not None or world.build.sensors.volt_scale != 1.0:
            charge = told_charge(self.flight, world)
        if hypothesis.fault != OVER_MASS:
            world = self._heavy(world)
        return charged(vehicle_of(world, self.flight.aboard), charge)
