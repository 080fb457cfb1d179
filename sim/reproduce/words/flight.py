"""One flight as somebody there could follow it: its trace, its moments, and what was known beforehand."""

from dataclasses import dataclass
from functools import cached_property
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from sim.aircraft.fields import PLACES
from sim.bench.rig import History

Values = NDArray[np.float64]
Mask = NDArray[np.bool_]
Hands = Literal["steered", "let-go"]
Phase = Literal["starting", "on-legs", "leaving", "hover", "landing"]
PHASES: tuple[Phase, ...] = ("starting", "on-legs", "leaving", "hover", "landing")
ROW_S = 0.01  # s; design: between rows of a flight's trace
CLEAR_S = 0.3  # s; design: off the floor for so long is a takeoff
LEAVING_S = (
    1.5  # s; own: what comes later comes in the hover, and nobody says "as it left the ground"
)


@dataclass(frozen=True)
class Known:
    """What is known of the aircraft as planned, by which one tells that it did not do as asked.

    Limits are what full sticks ask for, rad and rad/s; hover_throttle the sheet's; alarm_v the
    voltage of the whole pack below which the alarm is to sound; air_k the temperature of the room.
    """

    tilt_limit_rad: float
    yaw_limit_rad_s: float
    hover_throttle: float
    alarm_v: float
    air_k: float


@dataclass(frozen=True)
class Flight:
    """A flight from spool-up to the end.

    track : 100 rows a second; light_s, lift_s, land_s, cut_s : when the throttle went up to make it
    light, to lift it, when the landing began and when the motors were stopped, None where it did
    not come to that; rotors_k : how warm the motors were afterwards; had_to_cut : whether a cue to
    cut came.
    """

    track: History
    known: Known
    hands: Hands
    light_s: float
    lift_s: float | None
    land_s: float | None
    cut_s: float
    rotors_k: tuple[float, ...]
    had_to_cut: bool

    @cached_property
    def off_s(self) -> float | None:
        """When all feet had left the floor, s; None if they never did."""
        clear = (self.track["load_n"] <= 0.0) & self.armed
        need = round(CLEAR_S / ROW_S)
        if len(clear) < need:
            return None
        run = np.convolve(clear.astype(int), np.ones(need, dtype=int), "valid")
        first = np.flatnonzero(run == need)
        return float(self.track["time_s"][first[0]]) if first.size else None

    @cached_property
    def armed(self) -> Mask:
        """Whether the motors were armed, row by row."""
        mask: Mask = self.track["time_s"] < self.cut_s
        return mask

    def rows(self, phase: Phase) -> Mask:
        """Return which rows belong to a phase; the fall after a cut belongs to the phase of the cut."""
        t, last = self.track["time_s"], float(self.track["time_s"][-1]) + ROW_S
        lift = last if self.lift_s is None else self.lift_s
        off = self.off_s
        leave = lift if off is None else min(lift, off)
        hover = last if off is None else off + LEAVING_S
        land = last if self.land_s is None else max(self.land_s, hover)
        edges = (-np.inf, self.light_s, leave, hover, land, np.inf)
        n = PHASES.index(phase)
        mask: Mask = (t >= edges[n]) & (t < edges[n + 1])
        return mask

    def drives(self) -> Values:
        """Return the commands of the four motors, column by column."""
        return np.column_stack([self.track[f"drive_{place}"] for place in PLACES])

    def speeds(self) -> Values:
        """Return the speeds of the four rotors, rad/s."""
        return np.column_stack([self.track[f"speed_{place}_rad_s"] for place in PLACES])


@dataclass(frozen=True)
class NotFlown:
    """It never came to a flight: nothing came on, or the controller would not arm."""

    dark: bool
    hands: Hands = "steered"
