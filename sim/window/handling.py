"""Whose the hands are: at the sticks, at the aircraft, at the motor test; and what has been shown.

The same sticks move the transmitter or, while a key or a pad's button is held, turn the aircraft in
the hands; so does a pull by the pointer.
"""

from dataclasses import fields
from math import pi, sqrt

import numpy as np
from numpy.typing import NDArray

from sim.aircraft.assemble import TURN_LIMIT_RAD_S
from sim.bench.inputs import Turning
from sim.session.display import Display
from sim.session.view import View
from sim.window.canvas import Point
from sim.window.sticks.positions import Positions

DRAG_DEG_UNIT = 0.5  # deg per unit; own: across the picture is once round
FASTEST_DEG_S = TURN_LIMIT_RAD_S * 180.0 / pi  # deg/s; what hands do, from the model
OWED_DEG = 120.0  # deg; own: a pull further ahead of the hands than this is let go
AT_REST = 0.02  # 1; own: a stick this near its rest is at rest
STIR_S = 1.5  # s; own: after the last move the display has caught up and the hands have settled
KEPT = 600  # own: ten seconds of frames, at sixty a second

SHOWN = tuple(f.name for f in fields(Display) if f.name not in ("by", "age_s", "messages"))


class Pull:
    """A pull by the pointer: the aircraft follows as fast as hands turn it."""

    def __init__(self) -> None:
        self._owed_deg = [0.0, 0.0, 0.0]
        self._last: Point | None = None

    def drag(self, pointer: Point, unit: float, nose: bool) -> None:
        """Pull on to where the pointer is. unit : px; nose : sideways turns the nose, not the roll."""
        if self._last is not None:
            dx, dy = (
                (a - b) / unit * DRAG_DEG_UNIT for a, b in zip(pointer, self._last, strict=True)
            )
            for axis, more in ((2 if nose else 0, dx), (1, dy)):
                owed = self._owed_deg[axis] + more
                self._owed_deg[axis] = min(OWED_DEG, max(-OWED_DEG, owed))
        self._last = pointer

    def rest(self) -> None:
        """Let go."""
        self._owed_deg, self._last = [0.0, 0.0, 0.0], None

    def turning(self, dt_s: float) -> Turning | None:
        """Return how the hands turn it over a frame; None: they keep it still."""
        reach = FASTEST_DEG_S * dt_s
        size = sqrt(sum(owed * owed for owed in self._owed_deg))
        if reach <= 0.0 or size < 1e-6:
            return None
        share = min(1.0, reach / size)
        moved = [owed * share for owed in self._owed_deg]
        self._owed_deg = [owed - by for owed, by in zip(self._owed_deg, moved, strict=True)]
        roll, pitch, yaw = (min(1.0, max(-1.0, by / reach)) for by in moved)
        return Turning(roll, pitch, yaw)


def let_go(positions: Positions) -> Positions:
    """Return the sticks as they stand when the hands leave them: sprung back, the throttle as it was."""
    return Positions(0.0, 0.0, positions.throttle, 0.0)


def turning_of(positions: Positions) -> Turning | None:
    """Return how the hands turn the aircraft when the sticks are theirs."""
    turn = Turning(positions.roll, positions.pitch, positions.yaw)
    return turn if any(abs(x) > AT_REST for x in turn) else None


def moved(positions: Positions) -> bool:
    """Tell whether a stick is out of its rest."""
    sprung = (positions.roll, positions.pitch, positions.yaw)
    return positions.throttle > AT_REST or any(abs(x) > AT_REST for x in sprung)


def heard(view: View) -> bool:
    """Tell whether what the sticks do arrives anywhere."""
    return view.conduct.transmitter_on and view.conduct.pack_plugged


class ShownTape:
    """The last ten seconds of every line of the display, a row for each set that came."""

    def __init__(self) -> None:
        self.times_s: NDArray[np.float64] = np.empty(0)
        self._rows: NDArray[np.float64] = np.empty((0, len(SHOWN)))

    def take(self, view: View) -> None:
        """Take down what is shown now; with nothing shown the paper is taken off."""
        if view.display is None:
            self.times_s, self._rows = np.empty(0), np.empty((0, len(SHOWN)))
            return
        row = [getattr(view.display, name) for name in SHOWN]
        self.times_s = np.append(self.times_s, view.time_s)[-KEPT:]
        self._rows = np.vstack([self._rows, row])[-KEPT:]

    def line(self, name: str) -> NDArray[np.float64]:
        """Return one line by the name of its field."""
        column = self._rows[:, SHOWN.index(name)]
        return np.unwrap(column, period=360.0) if name == "heading_deg" else column
