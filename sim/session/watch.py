"""Watching the aircraft in the air: takeoff, the voltage alarm, and cues to cut."""

from math import hypot, pi

from sim.bench.rig import Rig
from sim.kernel.clock import TICK_S
from sim.kernel.surroundings import TAKEOFF_TICKS
from sim.session.view import Seen

CUE_TILT_RAD = 25.0 * pi / 180.0  # rad; own: further than any small correction in a garage
CUE_AWAY_M = 1.5  # m; own: half way to the wall
ABORT_S = 2.0  # s; own: a rehearsed hand cuts in under a second
ALARM_AFTER_S = 0.5  # s; own: the alarm waits out a short dip


class FlightWatch:
    """Follows one aircraft after each stretch of time."""

    def __init__(self) -> None:
        self.takeoff_tick: int | None = None
        self.alarm = False
        self._cue_since_s: float | None = None
        self._low_since_s: float | None = None

    @property
    def takeoff_s(self) -> float | None:
        """When the aircraft left the floor, or None."""
        return None if self.takeoff_tick is None else self.takeoff_tick * TICK_S

    def took_off(self, rig: Rig) -> bool:
        """Tell whether the aircraft has just been found to have left the floor."""
        clear = int(rig.value("clear_ticks"))
        if self.takeoff_tick is not None or clear < TAKEOFF_TICKS:
            return False
        self.takeoff_tick = rig.tick - clear
        return True

    def watch_alarm(self, rig: Rig) -> None:
        """Sound the alarm when an armed aircraft's cells stay below the threshold set."""
        if rig.value("armed") == 0.0:
            return
        control = rig.world.setup.controller
        if rig.shown_pack_v / control.alarm_cells >= control.low_cell_alarm_v:
            self._low_since_s = None
        elif self._low_since_s is None:
            self._low_since_s = rig.time_s
        elif rig.time_s - self._low_since_s >= ALARM_AFTER_S:
            self.alarm = True

    def silence(self) -> None:
        """Silence the alarm, as another pack does."""
        self.alarm, self._low_since_s = False, None

    def overdue(self, rig: Rig, seen: Seen) -> bool:
        """Tell whether, in the air, a clear cue to cut has stood for longer than a hand needs."""
        if self.takeoff_tick is None:
            return False
        pad = rig.world.site.places.pad
        away = hypot(seen.north_m - pad.north_m, seen.east_m - pad.east_m)
        tilt = max(abs(seen.roll_rad), abs(seen.pitch_rad))
        cue = tilt > CUE_TILT_RAD or away > CUE_AWAY_M or rig.value("crash") != 0.0
        if not cue or rig.value("armed") == 0.0:
            self._cue_since_s = None
        elif self._cue_since_s is None:
            self._cue_since_s = rig.time_s
        else:
            return rig.time_s - self._cue_since_s >= ABORT_S
        return False
