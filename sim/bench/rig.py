"""The simulated aircraft as something a person can handle: put down, turn, power, record.

A rig owns the truth of one aircraft: the world it is in, the flight model's parameters made from
it, and the state. Everything above (checks, session, stand-ins) moves it through these few calls.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from math import pi

import numpy as np
from numpy.typing import NDArray

from sim.aircraft import library
from sim.aircraft.assemble import assemble
from sim.aircraft.fields import PLACES, Place
from sim.aircraft.world import World
from sim.bench.driven_outputs import driving_only
from sim.bench.transmitter import transmitted
from sim.kernel import linear, pack, records
from sim.kernel.body import BodyState
from sim.kernel.clock import TICK_S, ticks
from sim.kernel.frames import UPRIGHT, Quat, from_angles
from sim.kernel.history import HISTORY
from sim.kernel.radio import Sticks
from sim.kernel.run import run
from sim.kernel.start import anchored_feet, body_at, initial_state
from sim.kernel.vehicle import Craft, State
from sim.units import RAD_PER_DEG

COLUMN = {name: i for i, name in enumerate(HISTORY)}
POSITION = {
    name.replace(records.SEPARATOR, "."): i for i, (name, _) in enumerate(records.fields(State))
}
ROW_TICKS = ticks(0.01)  # own: a recording holds 100 rows a second unless asked for more
WHOLE = tuple(i for i, (_, kind) in enumerate(records.fields(State)) if kind is not np.float64)
HANDS_OFF = Sticks(0.0, 0.0, 0.0, 0.0, 1.0, 1.0, 0.0)
SETTLED_RAD = 2.0 * RAD_PER_DEG  # rad; own: near enough to a pose asked for
TURN_TIMEOUT_S = 6.0  # s; own: longer than any turn takes


@dataclass(frozen=True)
class History:
    """A recording: one row per sample, columns named in `sim.kernel.history.HISTORY`."""

    rows: NDArray[np.float64]

    def __getitem__(self, name: str) -> NDArray[np.float64]:
        """Return one column."""
        return self.rows[:, COLUMN[name]]

    def __len__(self) -> int:
        return len(self.rows)

    def last(self, seconds: float) -> "History":
        """Return the part recorded in the last `seconds`."""
        return History(self.rows[self["time_s"] > self["time_s"][-1] - seconds])


class Rig:
    """One aircraft in its world. `seed` fixes all chance in it."""

    def __init__(self, world: World, seed: int) -> None:
        self.world = world
        self.tables = library.tables(world.airframe.propeller.table)
        self.target: Quat = UPRIGHT
        self._craft = assemble(world, self.target)
        self._crafts = records.to_row(Craft, self._craft)
        self.listener: Callable[[History], None] | None = None
        self.watch_ticks = 0  # how often the listener looks up; 0: after each stretch of time
        start = initial_state(self._craft, self.target, world.build.pack.charge, seed)
        self._hold(records.to_row(State, start))
        weak = max(0.0, world.build.pack.charge - world.build.pack.weak_charge_gap)
        self.put("pack.weak_charge", weak)

    def _hold(self, states: NDArray[np.void]) -> None:
        """Take the state as one row; its numbers are read by position, which is quickest."""
        self._states = states
        self._numbers, self._wholes = states.view(np.float64), states.view(np.int64)

    @property
    def craft(self) -> Craft:
        """The flight model's parameters now."""
        return self._craft

    @property
    def tick(self) -> int:
        """The clock, in ticks."""
        return int(self._wholes[POSITION["tick"]])
