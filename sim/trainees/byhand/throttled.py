"""Steady throttle, idle creep, compass ramp, run-up, light on the legs: armed, at the throttle."""

from collections import deque
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from itertools import pairwise
from math import log2

from sim.bench.check import sticks
from sim.bench.checks.control import LIGHT_S, LISTEN_S, LOOK_S, SETTLE_S, STEADY, THROTTLE_STEP, tap
from sim.bench.checks.instruments import IDLE_S, RAMP, RAMP_S
from sim.bench.checks.legs import CUT_DEG
from sim.bench.checks.pack import RUN_UP_S
from sim.bench.checks.stabiliser import CREEP_S, LEAN_DEG
from sim.kernel.radio import Sticks
from sim.keys import CheckKey
from sim.session import actions as act
from sim.session.perceived import LEAST_RPM, SEMITONES
from sim.trainees.byhand.hold import pose
from sim.trainees.byhand.routine import MORE_S, Routine, armed, still
from sim.trainees.driver import Hands
from sim.units import RAD_PER_DEG

RAMP_STEPS, RAMP_STEP_S = 20, 0.05  # 1, s; own: up within a second
FEEL_S = 0.06  # s; own: between two nudges of the stick
EAR_S = 0.02  # s; own: an ear follows a motor that often
FLUTTER_S = 0.2  # s; own: three cycles of a ringing loop
FLUTTER = 12.0  # semitones; measured: a tap makes 2, a ringing loop goes 8 up and down three times
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


class _Watch:
    """Eyes on the legs and an ear on the motors while the throttle is up."""

    def __init__(self, hands: Hands) -> None:
        self._hands = hands
        self._heard: deque[list[float]] = deque(maxlen=round(FLUTTER_S / EAR_S))

    def goes_on(self, held: Sticks, seconds: float) -> bool:
        """Hold the sticks for a time; False once it has to be cut, as late as a thumb is."""
        for _ in range(round(seconds / EAR_S)):
            self._hands.fly(held, EAR_S)
            if self._must_cut():
                self._hands.fly(held, REACTION_S)
                return False
        return True

    def _must_cut(self) -> bool:
        view = self._hands.see()
        seen = view.aircraft
        self._heard.append([tone(motor.heard_rpm) for motor in view.motors.values()])
        leans = max(abs(seen.roll_rad), abs(seen.pitch_rad)) > CUT_DEG * RAD_PER_DEG
        return leans or max(map(flutter, zip(*self._heard, strict=True))) > FLUTTER


def tone(rpm: float) -> float:
    """Return how high a motor sounds, semitones above the least tone."""
    return SEMITONES * log2(rpm / LEAST_RPM) if rpm > 0.0 else 0.0


def flutter(tones: Iterable[float]) -> float:
    """Return how far a tone has gone up and come down again of late, semitones: the lesser of both."""
    steps = [after - before for before, after in pairwise(tones)]
    return min(sum(step for step in steps if step > 0.0), -sum(s for s in steps if s < 0.0))


def light_on_legs(hands: Hands) -> None:
    """Raise the throttle until the legs unload, tap the stick, look and listen, down.

    Cut at once where it leans over or rings.
    """
    still(hands, MORE_S)
    with _throttled(hands):
        watch, throttle = _Watch(hands), LEAST
        while throttle < MOST:
            if not watch.goes_on(sticks(throttle), FEEL_S):
                return
            if hands.see().aircraft.on_legs_share <= LIGHT:
                break
            throttle += THROTTLE_STEP
        looks = [sticks(throttle)] * round((LIGHT_S + MORE_S) / LOOK_S)
        tapped = tap(hands.airframe)
        for held in (sticks(throttle, roll=tapped), sticks(throttle, pitch=tapped), *looks):
            if not watch.goes_on(held, LOOK_S):
                return


ROUTINES: dict[CheckKey, Routine] = {
    "steady-throttle": steady_throttle,
    "idle-creep": idle_creep,
    "compass-ramp": compass_ramp,
    "restrained-run-up": run_up,
    "light-on-legs": light_on_legs,
}
