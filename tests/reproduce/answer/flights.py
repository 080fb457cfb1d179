"""Recordings of simulated hops, in our own columns, for tests."""

from functools import cache

import numpy as np

from sim.aircraft import library
from sim.diagnosis.flown import Asked, flights
from sim.keys import FaultId
from sim.reproduce.channels import COLUMNS
from sim.reproduce.recorded.flight import Flight as Forced
from sim.reproduce.recorded.flight import flight_of
from sim.reproduce.recording import Recording, Stretch
from sim.reproduce.words.flight import Flight
from tests.worlds import TRAINER

STANDING_M, DELAY_S = 0.1, 0.006  # m, s; own: any aircraft of this size
FEET_M = 0.1 * np.array([[1, -1, 1], [1, 1, 1], [-1, 1, 1], [-1, -1, 1]])  # the same


@cache
def flown(fault: FaultId | None, severity: float = 0.7, seed: int = 3) -> Flight:
    flight = flights(Asked(fault, severity, seed, TRAINER))[0]
    assert isinstance(flight, Flight)
    return flight


def recorded(flight: Flight, without: tuple[str, ...] = (), every: int = 1) -> Recording:
    """Return a flight as a recording, some columns left out, one of so many rows."""
    track = flight.track
    rows = np.column_stack(
        [np.full(len(track), np.nan) if n in without else track[n] for n in COLUMNS]
    )
    rows[:, 0] -= rows[0, 0]
    rows[:, COLUMNS.index("armed")] = flight.armed
    rows = rows[::every]
    return Recording(rows, "outside", TRAINER, Stretch(np.arange(len(rows)), 0, 0, 0, 0, 0.0))


def forced(recording: Recording) -> Forced:
    return flight_of(recording, STANDING_M, DELAY_S, FEET_M)


AIRFRAME = library.airframe(TRAINER)
