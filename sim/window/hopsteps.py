"""How far the hop has come: the steps of its card, ticked by what the pilot can see."""

from dataclasses import dataclass, field
from math import degrees, hypot

from sim.procedure.rubric import Band, shipped
from sim.session.scenario import HopPlan
from sim.session.view import Seen, View
from sim.units import RAD_PER_DEG

NUDGE_M = 0.2  # m; own: a nudge one sees from the pilot's place
NUDGE_DEG = 10.0  # deg; own: the nose seen to have come round
CLEAR_M = 0.05  # m; own: less air than this below the legs is a skip

Point = tuple[float, float]


@dataclass
class HopSteps:
    """What of the hop is done; the plan's height is over the floor.

    pad_m : north and east of where it stood at first; rest_m : how high it stands on its legs;
    air_s : time off the floor; still_s : how long it has kept still without a break, in the adequate
    bands of the rubric about the pad and the plan's height; most_still_s : the longest so far.
    """

    plan: HopPlan
    pad_m: Point | None = None
    rest_m: float = 0.0
    lifted: bool = False
    nudged: set[str] = field(default_factory=set)
    down: bool = False
    air_s: float = 0.0
    still_s: float = 0.0
    most_still_s: float = 0.0

    def see(self, view: View, dt_s: float) -> None:
        """Take a frame of so many seconds, pauses left out."""
        seen = view.aircraft
        if self.pad_m is None:
            self.pad_m, self.rest_m = (seen.north_m, seen.east_m), seen.height_m
        airborne = not seen.loaded and seen.height_m > self.rest_m + CLEAR_M and not view.crash
        band = shipped().hop.adequate
        if airborne:
            self.air_s += dt_s
            self.lifted |= seen.height_m >= self.plan.height_m - band.height_m
            self._nudges(seen, self.pad_m)
        still = airborne and self._inside(seen, band, self.pad_m)
        self.still_s = self.still_s + dt_s if still else 0.0
        self.most_still_s = max(self.most_still_s, self.still_s)
        self.down = self.lifted and seen.loaded and not view.armed

    @property
    def held(self) -> bool:
        """Tell whether it has kept still for as long as the plan asks."""
        return self.most_still_s >= self.plan.hover_s

    @property
    def done(self) -> tuple[bool, bool, bool, bool]:
        """Return which of the card's four steps are done."""
        return self.lifted, len(self.nudged) == 3, self.held, self.down

    def _nudges(self, seen: Seen, pad_m: Point) -> None:
        if abs(seen.north_m - pad_m[0]) >= NUDGE_M:
            self.nudged.add("forward")
        if abs(seen.east_m - pad_m[1]) >= NUDGE_M:
            self.nudged.add("right")
        if abs(seen.heading_rad) >= NUDGE_DEG * RAD_PER_DEG:
            self.nudged.add("nose")

    def _inside(self, seen: Seen, band: Band, pad_m: Point) -> bool:
        away_m = hypot(seen.north_m - pad_m[0], seen.east_m - pad_m[1])
        off_m, off_deg = seen.height_m - self.plan.height_m, degrees(seen.heading_rad)
        near = away_m <= band.away_m and abs(off_m) <= band.height_m
        return near and abs(off_deg) <= band.heading_deg
