"""Watching the aircraft in the air: takeoff, the voltage alarm, cues to cut, and where it may be."""

from math import hypot, pi

from sim.aircraft.site import Room, Site
from sim.bench.rig import Rig
from sim.kernel.clock import TICK_S
from sim.kernel.surroundings import TAKEOFF_TICKS
from sim.keys import HazardKey
from sim.session.view import Seen

CUE_TILT_RAD = 25.0 * pi / 180.0  # rad; own: further than any small correction in a garage
CUE_AWAY_M = 1.5  # m; own: half way to the wall
ABORT_S = 2.0  # s; own: a rehearsed hand cuts in under a second
ALARM_AFTER_S = 0.5  # s; own: the alarm waits out a short dip
CALLED_S = 0.5  # s; own: a spotter who watches sees it and has called by then
LOWER_M = 0.05  # m; own: an eye sees that it comes down by so much
HIGHEST_M = 1.5  # m; own: half as much again as the hop, and a fall from there breaks things
CEILING_CLEAR = 2.0  # rotor diameters; own: nearer than that a ceiling pulls
CUT, NOT_AGREED = "Cut!", "Hey! Off, down ... stop it!"
PERSON, TOWARDS, HIGH = "Somebody in the ring: cut!", "It comes at you!", "Too high!"
TOWARDS_SHARE = 1.0 / 3.0  # of the way to the pilot; own: at 1 m/s two seconds are left


def too_high(seen: Seen, room: Room, diameter_m: float) -> bool:
    """Tell whether it is higher than a first hop ever needs, or near the ceiling."""
    return seen.height_m > min(HIGHEST_M, room.ceiling_m - CEILING_CLEAR * diameter_m)


def at_pilot(seen: Seen, site: Site) -> bool:
    """Tell whether it has come too far from the pad towards the pilot, who stands south of it."""
    pad_m, pilot_m = site.places.pad.north_m, site.room.pilot_north_m
    return pad_m - seen.north_m > TOWARDS_SHARE * (pad_m - pilot_m)


class FlightWatch:
    """Follows one aircraft after each stretch of time."""

    def __init__(self) -> None:
        self.takeoff_tick: int | None = None  # of the hop under way
        self.alarm = False
        self._flown = False
        self._cue_since_s: float | None = None
        self._low_since_s: float | None = None
        self._lowest: tuple[float, float] | None = None  # since the alarm: height m, when s

    @property
    def takeoff_s(self) -> float | None:
        """When the aircraft left the floor for the hop under way; None if none is."""
        return None if self.takeoff_tick is None else self.takeoff_tick * TICK_S

    def took_off(self, rig: Rig) -> bool:
        """Tell whether the aircraft has just been found to have left the floor.

        After a hop it may lie with no foot on the floor; only one that is armed takes off again.
        """
        clear = int(rig.value("clear_ticks"))
        if self.takeoff_tick is not None or clear < TAKEOFF_TICKS:
            return False
        if self._flown and rig.value("armed") == 0.0:
            return False
        self.takeoff_tick = rig.tick - clear
        return True

    def came_down(self, rig: Rig, seen: Seen) -> bool:
        """Tell whether the hop under way has just ended: it is disarmed and its rotors stand still."""
        over = rig.value("armed") == 0.0 and not seen.rotors_turning
        if self.takeoff_tick is None or not over:
            return False
        self.takeoff_tick, self._flown = None, True
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

    def unsafe(self, rig: Rig, seen: Seen) -> list[HazardKey]:
        """Return the hazards of flying as it does now; none before takeoff or once it is cut."""
        if self.takeoff_tick is None or rig.value("armed") == 0.0:
            self._cue_since_s = self._lowest = None
            return []
        site = rig.world.site
        signs: dict[HazardKey, bool] = {
            "no-abort-within-2s": self._overdue(rig, seen),
            "flew-on-past-alarm": self._flies_on(rig, seen),
            "flew-too-high": too_high(seen, site.room, rig.world.airframe.propeller.diameter_m),
            "flew-at-pilot": at_pilot(seen, site),
        }
        return [hazard for hazard, there in signs.items() if there]

    def shout(self, rig: Rig, seen: Seen) -> str:
        """Return what the spotter calls out now; nothing without a spotter, or while it is disarmed.

        As of the last stretch watched; words that were not agreed and tried are others each time.
        """
        conduct = rig.world.conduct
        if rig.value("armed") == 0.0 or not conduct.spotter_present:
            return ""
        if conduct.person_in_ring:
            return PERSON
        if self.takeoff_tick is None:
            return ""
        since_s = self._cue_since_s
        if since_s is not None and rig.time_s - since_s >= CALLED_S:
            return CUT if conduct.abort_late_s == 0.0 else NOT_AGREED
        if at_pilot(seen, rig.world.site):
            return TOWARDS
        high = too_high(seen, rig.world.site.room, rig.world.airframe.propeller.diameter_m)
        return HIGH if high else ""

    def _flies_on(self, rig: Rig, seen: Seen) -> bool:
        """Tell whether, off the floor with the alarm on, it has not come lower in the time to cut.

        A landing takes longer than a cut, so each bit lower begins the time anew.
        """
        if not self.alarm or seen.loaded:
            self._lowest = None
            return False
        if self._lowest is None or seen.height_m <= self._lowest[0] - LOWER_M:
            self._lowest = seen.height_m, rig.time_s
        return rig.time_s - self._lowest[1] >= ABORT_S

    def _overdue(self, rig: Rig, seen: Seen) -> bool:
        """Tell whether a clear cue to cut has stood for longer than a hand needs."""
        pad = rig.world.site.places.pad
        away = hypot(seen.north_m - pad.north_m, seen.east_m - pad.east_m)
        tilt = max(abs(seen.roll_rad), abs(seen.pitch_rad))
        cue = tilt > CUE_TILT_RAD or away > CUE_AWAY_M or rig.value("crash") != 0.0
        if not cue:
            self._cue_since_s = None
        elif self._cue_since_s is None:
            self._cue_since_s = rig.time_s
        else:
            return rig.time_s - self._cue_since_s >= ABORT_S
        return False
