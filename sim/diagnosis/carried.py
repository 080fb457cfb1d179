"""What faults do to the lines of one aircraft, carried over to another whose sound ones are measured.

A fault moves a line to the same side on every aircraft, and sizes of faults go with the aircraft as
the scatter of sound ones does. So a limit lies as many standard deviations out on the one as on the
other. That serves until the aircraft's own moves are measured (`dryhop study --detection`).
"""

from collections.abc import Iterable
from dataclasses import replace
from math import isinf

from sim.aircraft.airframe import Airframe
from sim.aircraft.design import world_of
from sim.bench.bands import Bands
from sim.bench.lines import WAY_ROUND
from sim.bench.moves import Move
from sim.diagnosis.distance import Scale, above, below
from sim.diagnosis.sound import rounded_out
from sim.faults.catalogue import CATALOGUE

FURTHEST = 6.0  # sigma; own: what lies further out is called as surely


def _limit(there: Scale, here: Scale, value: float) -> float:
    """Return the value as far out on one scale as a value on another; what is never called stays."""
    return value if isinf(value) else here.value(min(FURTHEST, there.z(value)))


def carried(moves: Iterable[Move], there: Bands, here: Bands, airframe: Airframe) -> list[Move]:
    """Return the moves of an airframe.

    moves, there : moves and bands of the aircraft measured; here : bands of the other, `airframe`,
    of which lines it does not have and faults that can't be on it are left out.
    """
    world = world_of(airframe)
    impossible = {name for name, fault in CATALOGUE.items() if fault.cannot(world)}
    found = []
    for move in moves:
        where = (move.check, move.measure)
        if move.fault in impossible or where not in there or where not in here:
            continue
        from_band, to_band = there[where], here[where]
        if move.measure.endswith(WAY_ROUND) and from_band.middle * to_band.middle < 0.0:
            move, from_band = move.scaled(-1.0), from_band.scaled(-1.0)
        ups, downs = (above(from_band), above(to_band)), (below(from_band), below(to_band))
        low, high = -_limit(*downs, -move.low), _limit(*ups, move.high)
        low, high = rounded_out(low, up=False), rounded_out(high, up=True)
        found.append(replace(move, low=low, high=high))
    return found
