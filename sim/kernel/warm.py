"""Compiling the flight model once, in steps that can be shown."""

from collections.abc import Callable, Iterator

import numpy as np

from sim.kernel import records
from sim.kernel.history import HISTORY
from sim.kernel.radio import Sticks
from sim.kernel.run import run
from sim.kernel.tables import Tables
from sim.kernel.vehicle import Craft, State

Step = tuple[str, Callable[[], object]]
STILL = Sticks(0.0, 0.0, 0.0, 0.0, 0.0, 1.0, 0.0)


def steps(craft: Craft, state: State, tables: Tables) -> Iterator[Step]:
    """Yield (what is compiled, function that compiles it)."""

    def fly() -> None:
        states, crafts = records.to_row(State, state), records.to_row(Craft, craft)
        run(states, crafts, tables, STILL, 1, np.empty((1, len(HISTORY))), 1)

    yield "flight model", fly
