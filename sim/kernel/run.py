"""The loop over time."""

import numpy as np

from sim.kernel import records, trees
from sim.kernel.history import HISTORY, write_history
from sim.kernel.jit import entry
from sim.kernel.radio import Sticks
from sim.kernel.step import step
from sim.kernel.vehicle import Craft, State

STATE_DTYPE = records.dtype_of(State)
CRAFT_DTYPE = records.dtype_of(Craft)
state_in = trees.reader(State, whole=True)
craft_in = trees.reader(Craft)
write_state = trees.writer(State)


@entry
def run(states, crafts, tables, sticks, ticks, history, every):
    """Advance vehicle 0 by `ticks` in place; return the rows of history written.

    states, crafts : structured arrays of one row; sticks : Sticks, held for all ticks;
    history : float64[rows, len(HISTORY)]; a row is written every `every` ticks of the clock.
    Lets go of Python's lock: threads may run vehicles side by side, each on rows of its own.
    """
    state, craft = state_in(states[0]), craft_in(crafts[0])
    rows = 0
    for _ in range(ticks):
        write_state(states[0], step(state, sticks, craft, tables))
        if state.tick % every == 0 and rows < history.shape[0]:
            write_history(history[rows], state, sticks)
            rows += 1
    return rows


NO_HISTORY = np.empty((0, len(HISTORY)))

__all__ = ["CRAFT_DTYPE", "NO_HISTORY", "STATE_DTYPE", "Sticks", "run"]
