"""A flight by the pilot model with a logger aboard: hands at the sticks, no drill around them.

What is flown: standing, spool-up, then a manoeuvre. `hover` lifts, hovers and lands; `nudges` moves
each stick to and fro in the hover; `takeoff` lifts off briskly and comes down at once. A flight is
cut by the hop's own rule, so that one which flips is as short as it is with a person.
"""

from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from sim.aircraft.airframe import Airframe
from sim.aircraft.world import World
from sim.bench.rig import HANDS_OFF, Rig
from sim.kernel.clock import ticks
from sim.kernel.radio import Sticks
from sim.session.calibrating import START_UP_S
from sim.session.view import Seen, crash_words, look
from sim.trainees.hop import IDLE, LIFT_S, SETTLE_S, keep, land
from sim.trainees.pilot import Goal, Pilot
from sim.units import RAD_PER_DEG

Manoeuvre = Literal["hover", "nudges", "takeoff"]
HEIGHT_M = 1.0  # m; design: the hop planned
HOVER_S = 12.0  # s; own: as long as a short look takes
STANDING_S, IDLING_S = 1.0, 1.0  # s; own: before arming, and at idle before the throttle goes up
TAKEOFF_S = 3.0  # s; own: a hop that is to show the takeoff alone
AFTER_S = 1.0  # s; own: a logger runs on after disarming
NUDGE, NUDGE_S = 0.5, 0.25  # of stick, s; own: to one side, then as long to the other
APART_S = 2.0  # s; own: between nudges, for the aircraft to settle
PHASE = 4  # own: its stream of chance is no other's
NUDGED = ("roll", "pitch", "yaw", "roll", "pitch", "yaw")


@dataclass(frozen=True)
class Glance:
    """What is in sight of a flight."""

    aircraft: Seen
    crash: tuple[str, ...]
    alarm: bool = False


@dataclass
class Logger:
    """Hands at the sticks of an aircraft; a row is kept of every tick.

    nudges : (from, to, stick, way), s and share of stick, added to what the hands do.
    """

    rig: Rig
    nudges: list[tuple[float, float, str, float]] = field(default_factory=list)
    rows: list[NDArray[np.float64]] = field(default_factory=list)

    @property
    def airframe(self) -> Airframe:
        """The aircraft as designed."""
        return self.rig.world.airframe

    def see(self) -> Glance:
        """Return what the eye sees now."""
        return Glance(look(self.rig), crash_words(int(self.rig.value("crash"))))

    def fly(self, inputs: Sticks, seconds: float) -> None:
        """Keep the sticks as they are for a time, nudges apart."""
        now = self.rig.time_s
        for start, end, stick, way in self.nudges:
            if start <= now < end:
                moved = np.clip(getattr(inputs, stick) + way, -1.0, 1.0)
                inputs = inputs._replace(**{stick: float(moved)})
        self.rows.append(self.rig.run(inputs, seconds, 1).rows)

    def nudge_each(self) -> float:
        """Plan to move each stick to and fro from now on; return how long that takes, s."""
        start = self.rig.time_s
        for stick in NUDGED:
            for way in (NUDGE, -NUDGE):
                self.nudges.append((start, start + NUDGE_S, stick, way))
                start += NUDGE_S
            start += APART_S
        return start - self.rig.time_s


def logged(
    world: World, seed: int, manoeuvre: Manoeuvre, rate_hz: int, hover_s: float = HOVER_S
) -> NDArray[np.float64]:
    """Return a flight as rows of `sim.kernel.history.HISTORY`, (n, columns).

    world : the aircraft on the pad, power and transmitter on; rate_hz : rows a second, a divisor of
    the ticks in a second, the first anywhere between two moves of a hand; hover_s : how long it hovers,
    unless the manoeuvre says otherwise.
    """
    rig = Rig(world, seed)
    rig.place()
    rig.run(HANDS_OFF, START_UP_S)
    logger = Logger(rig)
    logger.fly(IDLE, STANDING_S)
    rig.put("armed", 1.0)
    logger.fly(IDLE, IDLING_S)
    pilot = _pilot(logger.airframe)
    if _flown(logger, pilot, manoeuvre, hover_s):
        land(logger, pilot)
    rig.put("armed", 0.0)
    logger.fly(IDLE, AFTER_S)
    every = ticks(1.0 / rate_hz)
    first = int(np.random.default_rng([seed, PHASE]).integers(every))
    return np.vstack(logger.rows)[first::every]


def _pilot(airframe: Airframe) -> Pilot:
    setup = airframe.sheet.setup
    limits = setup.tilt_limit_deg * RAD_PER_DEG, setup.yaw_rate_limit_deg_s * RAD_PER_DEG
    return Pilot(*limits, airframe.sheet.hover_throttle)


def _flown(logger: Logger, pilot: Pilot, manoeuvre: Manoeuvre, hover_s: float) -> bool:
    """Fly the manoeuvre; return False if it was cut."""
    goal = Goal(0.0, 0.0, HEIGHT_M, 0.0)
    if manoeuvre == "takeoff":
        return keep(logger, pilot, goal, TAKEOFF_S)
    if not keep(logger, pilot, goal, LIFT_S):
        return False
    hover_s = hover_s if manoeuvre == "hover" else logger.nudge_each() + SETTLE_S
    return keep(logger, pilot, goal, hover_s)
