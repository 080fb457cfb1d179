"""The hop as a stand-in flies it: lift, nudge each axis, hover, land, disarm, unplug."""

from collections import deque
from collections.abc import Iterator
from math import hypot, pi
from typing import Protocol

from sim.aircraft.airframe import Airframe
from sim.kernel.radio import Sticks
from sim.session import actions as act
from sim.trainees.driver import Hands
from sim.trainees.pilot import PERIOD_S, Goal, InSight, Pilot

NUDGE_M = 0.35  # m; own: small, one axis at a time
NUDGE_RAD = 25.0 * pi / 180.0  # rad; own
SETTLE_S = 3.0  # s; own
LIFT_S = 5.0  # s; own: from spool-up to the hover height
LAND_S = 12.0  # s; own: patience with the landing
GIVE_UP_TILT_RAD = 25.0 * pi / 180.0  # rad; own abort rule: cut at this lean
GIVE_UP_AWAY_M = 1.5  # m; own abort rule: cut this far from the pad
SINK_M = 0.25  # m; own: height step asked for while landing
SHAKES_S = 2.0  # s; own: so long one looks and listens before one believes it
SHAKE_RAD = 0.1 * pi / 180.0  # rad, rms bend of a lean in a period; own: sound ones show 0.005 deg
ABOVE_LEGS_M = 0.08  # m; own: nearer than that to the floor the legs are about to touch
IDLE = Sticks(0.0, 0.0, 0.0, 0.0, 1.0, 1.0, 0.0)


class AtSticks(Protocol):
    """Whoever holds the sticks; `Hands` do."""

    @property
    def airframe(self) -> Airframe:
        """The aircraft as designed."""

    def see(self) -> InSight:
        """Return what can be perceived."""

    def fly(self, inputs: Sticks, seconds: float) -> None:
        """Keep the sticks as they are for a time."""


class Feel:
    """What somebody at the sticks makes of the aircraft in the air; this one never doubts."""

    doubtful = False

    def doubts(self, view: InSight) -> bool:
        """Tell, looking once a period, whether it should come down now."""
        return False


SURE = Feel()


class Lively(Feel):
    """Doubts an aircraft that shakes: its lean goes to and fro faster than hands could make it."""

    def __init__(self) -> None:
        self._leans: deque[tuple[float, float]] = deque(maxlen=3)
        self._shakes: deque[float] = deque(maxlen=round(SHAKES_S / PERIOD_S))

    def doubts(self, view: InSight) -> bool:
        """Tell whether it has shaken for a while; slow swings hardly count in a second difference."""
        self._leans.append((view.aircraft.roll_rad, view.aircraft.pitch_rad))
        if len(self._leans) < 3:
            return False
        first, middle, last = self._leans
        bends = (a - 2.0 * b + c for a, b, c in zip(first, middle, last, strict=True))
        self._shakes.append(sum(bend * bend for bend in bends))
        long_enough = len(self._shakes) == self._shakes.maxlen
        mean = sum(self._shakes) / len(self._shakes)
        self.doubtful = self.doubtful or (long_enough and mean > SHAKE_RAD**2)
        return self.doubtful


def plan(height_m: float, hover_s: float) -> Iterator[tuple[Goal, float]]:
    """Yield the goals of the hop and how long each is kept, s."""
    up = Goal(0.0, 0.0, height_m, 0.0)
    yield up, LIFT_S
    for nudge in (
        Goal(NUDGE_M, 0.0, height_m, 0.0),
        up,
        Goal(0.0, NUDGE_M, height_m, 0.0),
        up,
        Goal(0.0, 0.0, height_m, NUDGE_RAD),
        up,
    ):
        yield nudge, SETTLE_S
    yield up, hover_s + 5.0  # s; own: five to settle before the time counts


def must_cut(view: InSight) -> bool:
    """Tell whether the hop has to be cut now: far away, leaning, or it hit something."""
    seen = view.aircraft
    tilt = max(abs(seen.roll_rad), abs(seen.pitch_rad))
    away = hypot(seen.north_m, seen.east_m)
    return tilt > GIVE_UP_TILT_RAD or away > GIVE_UP_AWAY_M or bool(view.crash)


def keep(hands: AtSticks, pilot: Pilot, goal: Goal, seconds: float, feel: Feel = SURE) -> bool:
    """Fly to a goal and keep it for a time; return False as soon as the hop must be cut.

    An alarm or a doubt ends it too, and it is landed.
    """
    view = hands.see()
    for _ in range(round(seconds / PERIOD_S)):
        hands.fly(pilot.sticks(view, goal), PERIOD_S)
        view = hands.see()
        if must_cut(view):
            return False
        if view.alarm or feel.doubts(view):
            return True
    return True


def land(hands: AtSticks, pilot: Pilot) -> None:
    """Sink on to the pad and cut when the legs touch."""
    waited, floor_m = 0.0, hands.airframe.frame.foot_down_m + ABOVE_LEGS_M
    while waited < LAND_S:
        view = hands.see()
        seen = view.aircraft
        if must_cut(view) or (seen.height_m < floor_m and seen.loaded):
            return
        goal = Goal(0.0, 0.0, max(0.0, seen.height_m - SINK_M), 0.0)
        hands.fly(pilot.sticks(view, goal), PERIOD_S)
        waited += PERIOD_S


def hop(
    hands: Hands, height_m: float, hover_s: float, hover_throttle: float, feel: Feel = SURE
) -> bool:
    """Fly the whole hop from an armed aircraft on the pad; return False if it was cut."""
    setup = hands.sheet.setup
    pilot = Pilot(
        setup.tilt_limit_deg * pi / 180.0, setup.yaw_rate_limit_deg_s * pi / 180.0, hover_throttle
    )
    hands.fly(IDLE, 1.0)
    went_well = True
    for goal, seconds in plan(height_m, hover_s):
        went_well = keep(hands, pilot, goal, seconds, feel)
        if not went_well or hands.see().alarm or feel.doubtful:
            break
    if went_well:
        land(hands, pilot)
    hands.tries(act.Disarm())
    hands.fly(IDLE, 2.0)
    hands.tries(act.UnplugPack())
    return went_well
