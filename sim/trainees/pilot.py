"""The pilot model: eyes with a delay, a crossover law per axis, hands that move the sticks.

Near crossover a trained pilot makes the whole loop look like w_c exp(-tau s)/s (McRuer and Krendel,
AGARDograph 188, 1974). Here position errors ask for speed, speed errors for a lean (or a climb, or
a turn), with the delay below; the gains put crossover near 2 rad/s for speed, the low end
of what trained hands reach (2-3 rad/s); less lets the room's own air carry it about.
"""

from collections import deque
from dataclasses import dataclass
from math import atan2, cos, hypot, pi, sin
from typing import Protocol

from sim.kernel.air import STANDARD_GRAVITY_M_S2
from sim.kernel.radio import Sticks
from sim.session.view import Seen

PERIOD_S = 0.02  # s; own: sticks move 50 times a second
DELAY_S = 0.16  # s; eye to hand, of the order of the model's tau_e (value from memory)
SPEED_PER_M = 0.8  # 1/s; own: speed asked for per metre off
FASTEST_M_S = 0.5  # m/s; own: a garage is small
LEAN_PER_M_S = 2.2  # 1/s; crossover of the speed loop
LEAN_LIMIT_RAD = 0.20  # rad; own: eleven degrees
CLIMB_PER_M = 0.9  # 1/s; own
CLIMB_LIMIT_M_S = 0.35  # m/s; own
THROTTLE_PER_M_S = (
    0.21  # of the hover's per m/s; own: thrust goes with its square, so 4 m/s2 per m/s
)
THROTTLE_TRIM_PER_S = 0.126  # of the hover's per m/s per s; own: finds the hover stick
LEAST_THROTTLE = 0.42  # of the hover's; own: it falls, but does not tumble
TURN_PER_RAD = 1.2  # 1/s; own
YAW_LIMIT = 0.5  # of stick; own


class InSight(Protocol):
    """What a pilot has in sight or hearing of a flight; a `View` has it."""

    @property
    def aircraft(self) -> Seen:
        """The aircraft as the eye sees it."""

    @property
    def crash(self) -> tuple[str, ...]:
        """What it has hit, in words."""

    @property
    def alarm(self) -> bool:
        """Whether the low-voltage alarm sounds."""


@dataclass(frozen=True)
class Goal:
    """Where the pilot wants to be: position (m), height (m), heading (rad)."""

    north_m: float
    east_m: float
    height_m: float
    heading_rad: float


def clip(x: float, limit: float) -> float:
    """Return x held within +-limit."""
    return min(limit, max(-limit, x))


class Pilot:
    """Flies by sight. `tilt_limit_rad` and `yaw_rate_rad_s` are what full sticks mean."""

    def __init__(
        self,
        tilt_limit_rad: float,
        yaw_rate_rad_s: float,
        hover_throttle: float,
        delay_s: float = DELAY_S,
    ) -> None:
        self._tilt_limit_rad = tilt_limit_rad
        self._yaw_rate_rad_s = yaw_rate_rad_s
        self.throttle = self._planned = hover_throttle
        self._seen: deque[Seen] = deque(maxlen=round(delay_s / PERIOD_S) + 1)

    def sticks(self, view: InSight, goal: Goal) -> Sticks:
        """Return where the sticks go now, from what was seen a delay ago."""
        self._seen.append(view.aircraft)
        seen = self._seen[0]
        forward, right = self._leans(seen, goal)
        climb = clip(CLIMB_PER_M * (goal.height_m - seen.height_m), CLIMB_LIMIT_M_S)
        slow = climb - seen.climb_m_s
        trimmed = self.throttle + THROTTLE_TRIM_PER_S * self._planned * slow * PERIOD_S
        self.throttle = min(0.95, max(LEAST_THROTTLE * self._planned, trimmed))
        error = atan2(
            sin(goal.heading_rad - seen.heading_rad), cos(goal.heading_rad - seen.heading_rad)
        )
        yaw = clip(TURN_PER_RAD * error / self._yaw_rate_rad_s, YAW_LIMIT)
        return Sticks(
            roll=clip(right / self._tilt_limit_rad, 1.0),
            pitch=clip(-forward / self._tilt_limit_rad, 1.0),
            throttle=min(1.0, max(0.0, self.throttle + THROTTLE_PER_M_S * self._planned * slow)),
            yaw=yaw if abs(error) > 3.0 * pi / 180.0 else 0.0,
            transmitter_on=1.0,
            self_level=1.0,
            stop=0.0,
        )

    def _leans(self, seen: Seen, goal: Goal) -> tuple[float, float]:
        """Return the lean wanted forward and to the right, rad."""
        north, east = goal.north_m - seen.north_m, goal.east_m - seen.east_m
        far = hypot(north, east)
        k = min(SPEED_PER_M, FASTEST_M_S / far) if far > 0.0 else 0.0
        push_north = LEAN_PER_M_S * (k * north - seen.north_m_s) / STANDARD_GRAVITY_M_S2
        push_east = LEAN_PER_M_S * (k * east - seen.east_m_s) / STANDARD_GRAVITY_M_S2
        c, s = cos(seen.heading_rad), sin(seen.heading_rad)
        forward, right = c * push_north + s * push_east, -s * push_north + c * push_east
        return clip(forward, LEAN_LIMIT_RAD), clip(right, LEAN_LIMIT_RAD)
