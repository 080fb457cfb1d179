"""Steady throttle, idle creep, compass ramp, run-up, light on the legs: armed, at the throttle."""

from collections.abc import Iterator
from contextlib import contextmanager

from sim.bench.check import sticks
from sim.bench.checks.control import LIGHT_S, LISTEN_S, LOOK_S, SETTLE_S, STEADY, TAP, THROTTLE_STEP
from sim.bench.checks.instruments import IDLE_S, RAMP, RAMP_S
from sim.bench.checks.legs import CUT_DEG
from sim.bench.checks.pack import RUN_UP_S
from sim.bench.checks.stabiliser import CREEP_S, LEAN_DEG
from sim.keys import CheckKey
from sim.session import actions as act
from sim.trainees.byhand.hold import pose
from sim.trainees.byhand.routine import MORE_S, Routine, armed, still
from sim.trainees.driver import Hands
from sim.units import RAD_PER_DEG

RAMP_STEPS, RAMP_STEP_S = 20, 0.05  # 1, s; own: up within a second
FEEL_S = 0.05  # s; own: between two nudges of the stick
LIGHT = 0.06  # of the weight on the legs; own: they hardly spread any more
LEAST, MOST = 0.1, 0.9  # of throttle; own: nothing is lifted yet; nobody goes on from there
REACTION_S = 0.15  # s; own: of a thumb that waits for it


@contextmanager
def _throttled(hands: Hands) -> Iterator[None]:
    """Arm for a time that ends with the throttle down."""
    with armed(hands, MORE_S):
        yield
        hands.fly(sticks(), MORE_S)


def _raised(hands: Hands, throttle: float, seconds: float) -> None:
    """Raise the throttle within a second and hold it."""
    for k in range(1, RAMP_STEPS):
        hands.fly(sticks(throttle * k / RAMP_STEPS), RAMP_STEP_S)
    hands.fly(sticks(throttle), seconds)


def steady_throttle(hands: Hands) -> None:
    """Hold part throttle and listen."""
    with _throttled(hands):
        hands.fly(sticks(STEADY), SETTLE_S + LISTEN_S + MORE_S)


def idle_creep(hands: Hands) -> None:
    """Lean it a little, arm, and hold it so for twenty seconds."""
    pose(hands, LEAN_DEG, 0.0)
    with _throttled(hands):
        hands.fly(sticks(), 2.0 + CREEP_S + MORE_S)
    hands.do(act.Turn())


def compass_ramp(hands: Hands) -> None:
    """Idle, then run the motors up and hold them there."""
    with _throttled(hands):
        hands.fly(sticks(), IDLE_S)
        _raised(hands, RAMP, RAMP_S + MORE_S)


def run_up(hands: Hands) -> None:
    """Look at the meters, run up to the hover's throttle, hold it for six seconds."""
    still(hands, MORE_S)
    with _throttled(hands):
        _raised(hands, hands.sheet.hover_throttle, RUN_UP_S + MORE_S)


def _must_cut(hands: Hands) -> bool:
    seen = hands.see().aircraft
    return max(abs(seen.roll_rad), abs(seen.pitch_rad)) > CUT_DEG * RAD_PER_DEG


def light_on_legs(hands: Hands) -> None:
    """Raise the throttle until the legs unload, tap the stick, look and listen, down.

    Cut at once where it leans over.
    """
    still(hands, MORE_S)
    with _throttled(hands):
        throttle = LEAST
        while throttle < MOST and not _must_cut(hands):
            hands.fly(sticks(throttle), FEEL_S)
            if hands.see().aircraft.on_legs_share <= LIGHT:
                break
            throttle += THROTTLE_STEP
        looks = [sticks(throttle)] * round((LIGHT_S + MORE_S) / LOOK_S)
        for held in (sticks(throttle, roll=TAP), sticks(throttle, pitch=TAP), *looks):
            if _must_cut(hands):
                hands.fly(sticks(throttle), REACTION_S)
                break
            hands.fly(held, LOOK_S)


ROUTINES: dict[CheckKey, Routine] = {
    "steady-throttle": steady_throttle,
    "idle-creep": idle_creep,
    "compass-ramp": compass_ramp,
    "restrained-run-up": run_up,
    "light-on-legs": light_on_legs,
}
