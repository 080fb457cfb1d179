"""One motor, ramp and snap: at the slider of the motor test, and chops with the stick."""

from sim.aircraft.fields import PLACES
from sim.bench.check import sticks
from sim.bench.checks.motors import (
    CHOP_S,
    CHOPS,
    COAST_S,
    COMMAND_STEP,
    FIRST_COMMAND,
    HOLD_COMMAND,
    HOLD_S,
    LAST_COMMAND,
    REST_S,
    RUN_COMMAND,
    RUN_S,
    SETTLE_S,
    SNAP_HIGH,
    SNAP_LOW,
    SNAP_S,
    SNAPS,
)
from sim.bench.inputs import ALL, Inputs, Slider
from sim.keys import CheckKey
from sim.session import actions as act
from sim.trainees.byhand.routine import Routine, still
from sim.trainees.driver import Hands

PUSH_S = 0.15  # s; own: a look at the flag after each push of the slider
UP_S = 0.3  # s; own: the motors up before each chop
JUST_S = 0.02  # s; own: a chop is up again at once
MORE_S = 0.1  # s; own: a count of seconds is a little long


def slide(hands: Hands, slider: Slider, seconds: float) -> None:
    """Keep a slider of the motor test where it is."""
    hands.fly(Inputs(sticks(), None, slider), seconds)


def one_motor(hands: Hands) -> None:
    """Push each slider up until a bell turns, run it brisk, let it run down."""
    still(hands, 0.5)
    for output in PLACES:
        command = FIRST_COMMAND
        while command < LAST_COMMAND:
            slide(hands, Slider(output, command), PUSH_S)
            if hands.see().aircraft.rotors_turning:
                break
            command += COMMAND_STEP
        slide(hands, Slider(output, RUN_COMMAND), SETTLE_S + RUN_S + MORE_S)
        still(hands, COAST_S + MORE_S)


def ramp_and_snap(hands: Hands) -> None:
    """Chop ten times, hold all four at one command, snap them twenty times."""
    still(hands, MORE_S)
    hands.do(act.Arm())
    for _ in range(CHOPS):
        hands.fly(sticks(HOLD_COMMAND), UP_S)
        hands.fly(sticks(), CHOP_S + JUST_S)
    hands.do(act.Disarm())
    still(hands, COAST_S)
    slide(hands, Slider(ALL, HOLD_COMMAND), SETTLE_S + HOLD_S + MORE_S)
    for _ in range(SNAPS):
        slide(hands, Slider(ALL, SNAP_LOW), REST_S)
        slide(hands, Slider(ALL, SNAP_HIGH), SNAP_S + MORE_S)
    still(hands, COAST_S)


ROUTINES: dict[CheckKey, Routine] = {
    "one-motor": one_motor,
    "ramp-and-snap": ramp_and_snap,
}
