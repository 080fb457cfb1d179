"""Compiling the flight model once, in steps that can be shown."""

from collections.abc import Callable, Iterator

import numpy as np

from sim.kernel import linear, records
from sim.kernel.history import HISTORY
from sim.kernel.radio import Sticks
from sim.kernel.run import run
from sim.kernel.tables import Tables
from sim.kernel.vehicle import Craft, State

Step = tuple[str, Callable[[], object]]
STILL = Sticks(0.0, 0.0, 0.0, 0.0, 0.0, 1.0, 0.0)


def steps(craft: Craft, state: State, tables: Tables) -> Iterator[Step]:
    """Yield (what is compiled, function that compiles it), the longest last."""
    cells = state.pack

    def fly() -> None:
        states, crafts = records.to_row(State, state), records.to_row(Craft, craft)
        run(states, crafts, tables, STILL, 1, np.empty((1, len(HISTORY))), 1)

    yield "rotor and pack", lambda: linear.hover_trim(craft, tables, cells)
    yield "control loops", lambda: linear.craft_margins(craft, tables, cells)
    yield "flight model", fly
