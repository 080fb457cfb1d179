"""What a routine is made of: sticks held, the aircraft turned by hand, armed and disarmed."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from math import copysign, pi

from sim.bench.check import sticks
from sim.session import actions as act
from sim.session.inputs import Inputs, Turning
from sim.trainees.driver import Hands

Routine = Callable[[Hands], None]
FASTEST_DEG_S = 1.6 * 180.0 / pi  # deg/s; own: what a whole turn by hand amounts to, as felt
ARM_S = 0.2  # s; own: the sticks have arrived by then
PART_THROTTLE = 0.25  # share; own: a quarter, as the cards say


def still(hands: Hands, seconds: float) -> None:
    """Keep hands and sticks still, the throttle down."""
    hands.fly(sticks(), seconds)


@contextmanager
def armed(hands: Hands) -> Iterator[None]:
    """Arm for a time; raises Refusal where it will not arm."""
    still(hands, ARM_S)
    hands.do(act.Arm())
    try:
        yield
    finally:
        hands.do(act.Disarm())
        still(hands, 2.0)  # s; own: until the motors stand


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
