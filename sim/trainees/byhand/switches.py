"""Routines at the transmitter: sticks on the display and at the motors, link, arming, switches."""

from sim.bench.check import sticks
from sim.kernel.radio import Sticks
from sim.keys import CheckKey
from sim.session import actions as act
from sim.trainees.byhand.routine import PART_THROTTLE, Routine, armed, still, turned
from sim.trainees.driver import Hands

REST_S = 0.3  # s; own: long enough to read a bar
WAIT_S = 3.5  # s; own: patience with motors that should stop
ASKEW_DEG = 40.0  # deg; own: plainly not level


def stick_display(hands: Hands) -> None:
    """Take each stick to both its ends and the middle, one after the other."""
    for channel in ("roll", "pitch", "yaw"):
        for at in (-1.0, 1.0, 0.0):
            hands.fly(sticks(**{channel: at}), REST_S)
    for throttle in (0.0, 0.5, 1.0, 0.0):
        hands.fly(sticks(throttle), REST_S)


def stick_to_motor(hands: Hands) -> None:
    """Give a quarter of throttle and move each stick half way right or back."""
    with armed(hands):
        hands.fly(sticks(PART_THROTTLE), 1.0)
        for channel in ("roll", "pitch", "yaw"):
            hands.fly(sticks(PART_THROTTLE, **{channel: 0.5}), 0.5)
            hands.fly(sticks(PART_THROTTLE), 0.6)


def _cut(hands: Hands, cut: Sticks) -> None:
    """Turn the motors at part throttle, cut them some way and wait."""
    with armed(hands):
        hands.fly(sticks(PART_THROTTLE), 1.0)
        hands.fly(cut, WAIT_S)
        still(hands, REST_S)


def failsafe(hands: Hands) -> None:
    """Switch the transmitter off at part throttle and wait."""
    _cut(hands, sticks(PART_THROTTLE)._replace(transmitter_on=0.0))


def _tries_to_arm(hands: Hands, held: Sticks, seconds: float) -> None:
    hands.fly(held, seconds)
    if hands.tries(act.Arm()) is not None:
        hands.do(act.Disarm())
    still(hands, 1.0)


def switches(hands: Hands) -> None:
    """Try to arm where it must not, stop turning motors, move the mode switch."""
    hands.do(act.Turn())
    _tries_to_arm(hands, sticks(0.5), REST_S)
    _tries_to_arm(hands, sticks()._replace(stop=1.0), REST_S)
    _tries_to_arm(hands, sticks()._replace(transmitter_on=0.0), 1.5)  # s; own: the link is lost
    turned(hands, 1.0, roll=ASKEW_DEG)
    _tries_to_arm(hands, sticks(), REST_S)
    turned(hands, 1.0, roll=-ASKEW_DEG)
    hands.do(act.Turn())
    _cut(hands, sticks(PART_THROTTLE)._replace(stop=1.0))
    self_level = hands.see().conduct.self_level
    for position in (not self_level, self_level):
        hands.do(act.SetMode(self_level=position))
        still(hands, REST_S)


ROUTINES: dict[CheckKey, Routine] = {
    "stick-display": stick_display,
    "stick-to-motor": stick_to_motor,
    "failsafe": failsafe,
    "switches": switches,
}
