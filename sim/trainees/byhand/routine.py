"""What a routine is made of: sticks held, the aircraft turned by hand, armed and disarmed."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from math import copysign, pi

from sim.aircraft.assemble import TURN_LIMIT_RAD_S
from sim.bench.check import sticks
from sim.bench.inputs import Inputs, Turning
from sim.session import actions as act
from sim.trainees.driver import Hands

Routine = Callable[[Hands], None]
FASTEST_DEG_S = TURN_LIMIT_RAD_S * 180.0 / pi  # deg/s; what hands do, from the model
ARM_S = 0.2  # s; own: the sticks have arrived by then
STAND_S = 2.0  # s; own: the motors stand, bare or with propellers
MORE_S = 0.3  # s; own: a count of seconds is a little long
PART_THROTTLE = 0.25  # share; own: a quarter, as the cards say


def still(hands: Hands, seconds: float) -> None:
    """Keep hands and sticks still, the throttle down."""
    hands.fly(sticks(), seconds)


@contextmanager
def armed(hands: Hands, first_s: float = ARM_S) -> Iterator[None]:
    """Arm for a time; raises Refusal where it will not arm. first_s : hands still before, s."""
    still(hands, first_s)
    hands.do(act.Arm())
    try:
        yield
    finally:
        hands.do(act.Disarm())
        still(hands, STAND_S)


def turned(
    hands: Hands, hold_s: float, roll: float = 0.0, pitch: float = 0.0, yaw: float = 0.0
) -> None:
    """Turn it about one of its axes by so many degrees, then hold it still."""
    by = roll + pitch + yaw
    way = Turning(*(copysign(1.0, angle) if angle else 0.0 for angle in (roll, pitch, yaw)))
    hands.fly(Inputs(sticks(), way), round(abs(by) / FASTEST_DEG_S, 3))
    still(hands, hold_s)


def there_and_back(
    hands: Hands, hold_s: float, roll: float = 0.0, pitch: float = 0.0, yaw: float = 0.0
) -> None:
    """Turn it about one axis, hold it, turn it back, hold it."""
    turned(hands, hold_s, roll, pitch, yaw)
    turned(hands, hold_s, -roll, -pitch, -yaw)
