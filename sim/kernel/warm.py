"""Compiling the kernel once, in steps that can be shown."""

from collections.abc import Callable, Iterator

import numpy as np

from sim.kernel import records
from sim.kernel.faces import Eye, Lit, Solid, fill, halve, seen
from sim.kernel.history import HISTORY
from sim.kernel.radio import Sticks
from sim.kernel.run import run
from sim.kernel.tables import Tables
from sim.kernel.vehicle import Craft, State

Step = tuple[str, Callable[[], object]]
STILL = Sticks(0.0, 0.0, 0.0, 0.0, 0.0, 1.0, 0.0)


def paint() -> None:
    """Compile what pictures are painted with: on one face that nobody sees."""
    none, way = np.zeros(1), np.zeros((1, 3))
    solid = Solid(np.zeros((1, 4, 3)), way, way, way, none, none, np.array([0, 1]))
    eye = Eye(np.zeros(3), np.zeros((3, 4)), 1.0, 0.0, 0.0)
    lit = Lit(np.zeros((2, 3)), np.zeros(3), np.zeros(3), np.zeros(3), 1.0)
    corners, colours, part = np.zeros((1, 4, 2)), np.zeros((1, 3), np.uint8), np.zeros(1, np.int64)
    seen(solid, np.array([0]), eye, lit, corners, colours, part)
    large, small = np.zeros((2, 2), np.uint32), np.zeros((1, 1), np.uint32)
    fill(large, corners, colours, 0, 0, 1)
    halve(large, small)


def steps(craft: Craft, state: State, tables: Tables, window: bool) -> Iterator[Step]:
    """Yield (what is compiled, function that compiles it).

    window : whether for one; without, nothing is painted.
    """

    def fly() -> None:
        states, crafts = records.to_row(State, state), records.to_row(Craft, craft)
        run(states, crafts, tables, STILL, 1, np.empty((1, len(HISTORY))), 1)

    yield "flight model", fly
    if window:
        yield "picture", paint
