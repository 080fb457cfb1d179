"""Hops for the study of symptoms: light on the legs, then up; steered, and with the sticks let go.

Whoever flies has checked nothing and cured nothing. A hand cuts as late as hands do: some tenths of
a second after the cue.
"""

from dataclasses import dataclass
from math import hypot, pi

import numpy as np

from sim.bench.rig import History, Rig
from sim.diagnosis.readings import Unscored, drill, put_back
from sim.errors import Refusal
from sim.kernel.radio import Sticks
from sim.keys import FaultId
from sim.reproduce.words.flight import Flight, Hands, Known, NotFlown
from sim.session import actions as act
from sim.session.session import Session
from sim.session.view import Seen, look
from sim.session.watch import CUE_AWAY_M, CUE_TILT_RAD
from sim.trainees import driver
from sim.trainees.hop import ABOVE_LEGS_M, IDLE, LIFT_S, SINK_M, plan
from sim.trainees.others import to_the_pad
from sim.trainees.pilot import PERIOD_S, Goal, Pilot

IDLE_S = 1.0  # s; own: one looks at four turning rotors before the throttle goes up
RISE_PER_S = 0.4  # of throttle per second; own: a gentle hand
LIGHT_S = 2.0  # s; own: on anybody's count
LIGHT_LOAD = 0.2  # of the weight; own: the legs spread no more, and a loop with too much gain rings
MOST_LIGHT = 1.3  # of the sheet's hover throttle; own: nobody goes higher to make it light
HEIGHT_M = 1.0  # m; design: the hop
LET_GO_S = 2.5  # s; own: in a garage nobody lets the sticks go for longer
LAND_S = 12.0  # s; own: patience with the landing
HAND_S = (0.3, 0.8)  # s; own: from a cue to the cut, practised and not
FALL_S = 1.2  # s; physics: a fall from the hop takes half a second; then it lies


@dataclass(frozen=True)
class Asked:
    """A hop to be flown: with which fault, how bad, on which build."""

    fault: FaultId | None
    severity: float
    seed: int
    airframe: str


@dataclass(frozen=True)
class _View:
    """What the pilot model looks at."""

    aircraft: Seen
    crash: tuple[str, ...] = ()
    alarm: bool = False


class _Hop:
    """One flight under way: moves a rig by sticks and keeps what was recorded."""

    def __init__(self, rig: Rig, known: Known, hand_s: float) -> None:
        self.rig, self.known, self.hand_s = rig, known, hand_s
        self.rows: list[np.ndarray] = []
        self.cue_s: float | None = None
        self.light_s = 0.0
        self.lift_s: float | None = None
        self.land_s: float | None = None

    def fly(self, sticks: Sticks, seconds: float = PERIOD_S) -> Seen:
        """Keep the sticks for a time; return what is seen then."""
        self.rows.append(self.rig.run(sticks, seconds).rows)
        seen = look(self.rig)
        if self.cue_s is None and _cue(seen, self.rig):
            self.cue_s = self.rig.time_s
        return seen

    @property
    def over(self) -> bool:
        """Whether the hand has cut by now."""
        return self.cue_s is not None and self.rig.time_s >= self.cue_s + self.hand_s

    def ended(self, hands: Hands) -> Flight:
        """Stop the motors and return the flight; cut in earnest, it is seen to fall."""
        cut_s = self.rig.time_s
        warm = tuple(float(self.rig.value(f"rotors.{i}.motor.temperature_k")) for i in range(4))
        if self.cue_s is not None:
            self.rig.put("armed", 0.0)
            self.rows.append(self.rig.run(IDLE, FALL_S).rows)
        track = History(np.vstack(self.rows))
        moments = (self.light_s, self.lift_s, self.land_s, cut_s)
        return Flight(track, self.known, hands, *moments, warm, self.cue_s is not None)

    def forked(self) -> "_Hop":
        """Return an independent twin of it as it is now."""
        other = _Hop(self.rig.copy(), self.known, self.hand_s)
        other.rows, other.cue_s, other.light_s = list(self.rows), self.cue_s, self.light_s
        return other


def _cue(seen: Seen, rig: Rig) -> bool:
    tilt = max(abs(seen.roll_rad), abs(seen.pitch_rad))
    far = hypot(seen.north_m, seen.east_m) > CUE_AWAY_M
    return tilt > CUE_TILT_RAD or far or rig.value("crash") != 0.0


def flights(asked: Asked) -> tuple[Flight | NotFlown, ...]:
    """Return the same aircraft flown steered and with the sticks let go."""
    return flown(Unscored(drill(asked.fault, asked.severity, asked.airframe), asked.seed))


def flown(session: Session) -> tuple[Flight | NotFlown, ...]:
    """Return the aircraft of a drill flown steered and with the sticks let go, nothing checked."""
    hands = driver.Hands(session, session)
    try:
        to_the_pad(hands)
        put_back(session)
        hands.do(act.Arm())
    except Refusal as refusal:
        dark = "powered" in refusal.reasons
        return NotFlown(dark, "steered"), NotFlown(dark, "let-go")
    rig = session.rig
    rig.listener, rig.watch_ticks = None, 0
    hand_s = float(np.random.default_rng([session.seed, 2]).uniform(*HAND_S))
    hop = _Hop(rig, _known(rig), hand_s)
    _on_the_legs(hop)
    other = hop.forked()
    for one, lifts in ((hop, _steered), (other, _let_go)):
        if not one.over:
            known, one.lift_s = one.known, one.rig.time_s
            lifts(one, Pilot(known.tilt_limit_rad, known.yaw_limit_rad_s, known.hover_throttle))
    return hop.ended("steered"), other.ended("let-go")


def _known(rig: Rig) -> Known:
    sheet, control = rig.world.airframe.sheet, rig.world.setup.controller
    return Known(
        sheet.setup.tilt_limit_deg * pi / 180.0,
        sheet.setup.yaw_rate_limit_deg_s * pi / 180.0,
        sheet.hover_throttle,
        control.low_cell_alarm_v * control.alarm_cells,
        rig.craft.air.temperature_k,
    )


def _on_the_legs(hop: _Hop) -> None:
    """Idle, then take most of the weight off the legs."""
    hop.fly(IDLE, IDLE_S)
    hop.light_s = hop.rig.time_s
    most, throttle, seen = MOST_LIGHT * hop.known.hover_throttle, 0.0, look(hop.rig)
    while throttle < most and seen.on_legs_share > LIGHT_LOAD and not hop.over:
        throttle += RISE_PER_S * PERIOD_S
        seen = hop.fly(IDLE._replace(throttle=throttle))
    for _ in range(round(LIGHT_S / PERIOD_S)):
        if hop.over:
            return
        hop.fly(IDLE._replace(throttle=throttle))
    hop.lift_s = hop.rig.time_s


def _steered(hop: _Hop, pilot: Pilot) -> None:
    """Lift, nudge each axis, hover and land, by sight."""
    seen = look(hop.rig)
    for goal, seconds in plan(HEIGHT_M, 0.0):
        for _ in range(round(seconds / PERIOD_S)):
            seen = hop.fly(pilot.sticks(_View(seen), goal))
            if hop.over:
                return
        if seen.loaded and seconds == LIFT_S:
            return  # it did not lift: nobody pulls at it for longer
    hop.land_s = hop.rig.time_s
    floor_m = hop.rig.world.airframe.frame.foot_down_m + ABOVE_LEGS_M
    for _ in range(round(LAND_S / PERIOD_S)):
        if seen.height_m < floor_m and seen.loaded:
            return
        goal = Goal(0.0, 0.0, max(0.0, seen.height_m - SINK_M), 0.0)
        seen = hop.fly(pilot.sticks(_View(seen), goal))
        if hop.over:
            return


def _let_go(hop: _Hop, pilot: Pilot) -> None:
    """Lift with the throttle alone; the other sticks are let go."""
    seen, up, free = look(hop.rig), Goal(0.0, 0.0, HEIGHT_M, 0.0), 0
    for _ in range(round((LIFT_S + LET_GO_S) / PERIOD_S)):
        throttle = pilot.sticks(_View(seen), up).throttle
        seen = hop.fly(IDLE._replace(throttle=throttle))
        free = 0 if seen.loaded else free + 1
        if free * PERIOD_S >= LET_GO_S or hop.over:
            return
