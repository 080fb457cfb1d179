"""Loops over time and over vehicles."""

import numpy as np
from numba import njit, prange

from sim.kernel import records
from sim.kernel.history import HISTORY, write_history
from sim.kernel.radio import Sticks
from sim.kernel.step import step
from sim.kernel.vehicle import Craft, State

STATE_DTYPE = records.dtype_of(State)
CRAFT_DTYPE = records.dtype_of(Craft)
read_state = records.reader(State)
write_state = records.writer(State)
read_craft = records.reader(Craft)


@njit(cache=True)
def run(states, crafts, tables, sticks, ticks, history, every):
    """Advance vehicle 0 by `ticks` in place; return the rows of history written.

    states, crafts : structured arrays of one row; sticks : Sticks, held for all ticks;
    history : float64[rows, len(HISTORY)]; a row is written every `every` ticks of the clock.
    """
    state, craft = read_state(states[0]), read_craft(crafts[0])
    rows = 0
    for _ in range(ticks):
        state = step(state, sticks, craft, tables)
        if state.tick % every == 0 and rows < history.shape[0]:
            write_history(history[rows], state, sticks)
            rows += 1
    write_state(states[0], state)
    return rows


@njit(cache=True, parallel=True)
def run_batch(states, crafts, tables, sticks, ticks):
    """Advance every vehicle by `ticks` in place on all cores, all with the same sticks."""
    for i in prange(states.shape[0]):
        state, craft = read_state(states[i]), read_craft(crafts[i])
        for _ in range(ticks):
            state = step(state, sticks, craft, tables)
        write_state(states[i], state)


NO_HISTORY = np.empty((0, len(HISTORY)))

__all__ = ["CRAFT_DTYPE", "NO_HISTORY", "STATE_DTYPE", "Sticks", "run", "run_batch"]
