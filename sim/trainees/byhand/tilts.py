"""Routines of tilting and twisting, with the display in sight and with armed motors."""

from sim.bench.checks import handling, stabiliser
from sim.keys import CheckKey
from sim.session import actions as act
from sim.trainees.byhand.routine import Routine, armed, still, there_and_back
from sim.trainees.driver import Hands

SETTLE_S = 5.0  # s; own: the display agrees with gravity again by then
LISTEN_S = 1.2  # s; own: long enough to hear, short enough that the motors do not creep apart


def hand_tilt(hands: Hands) -> None:
    """Hold it level, nose down, right side down, then twist it right and back."""
    hands.do(act.Turn())
    still(hands, SETTLE_S)
    there_and_back(hands, SETTLE_S, pitch=-handling.TILT_DEG)
    there_and_back(hands, SETTLE_S, roll=handling.TILT_DEG)
    there_and_back(hands, LISTEN_S, yaw=handling.TWIST_DEG)
    hands.do(act.Turn())


def tilt_while_armed(hands: Hands) -> None:
    """Do the same armed, with smaller angles and without waiting."""
    hands.do(act.Turn())
    with armed(hands):
        still(hands, LISTEN_S)
        there_and_back(hands, LISTEN_S, roll=stabiliser.TILT_DEG)
        there_and_back(hands, LISTEN_S, pitch=-stabiliser.TILT_DEG)
        there_and_back(hands, LISTEN_S, yaw=stabiliser.TWIST_DEG)
    hands.do(act.Turn())


ROUTINES: dict[CheckKey, Routine] = {
    "hand-tilt": hand_tilt,
    "tilt-while-armed": tilt_while_armed,
}
