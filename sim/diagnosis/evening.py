"""An evening on a sound aircraft, as its readings come: drives get warm, the pack is used.

Nobody judges here: every card is read in order, then something is done to the aircraft that leaves
it sound, and every card is read again. So what was calibrated or came from the parts bin counts as
sound, too.
"""

from collections.abc import Callable
from contextlib import suppress

from sim.bench.parts import PARTS
from sim.errors import Refusal
from sim.keys import CheckKey
from sim.procedure.cards import CARDS
from sim.session import actions as act
from sim.trainees.craftwork import calibrate, ready, swap, take_precautions
from sim.trainees.driver import Hands

CALIBRATIONS = ("level", "faces", "compass", "sticks", "drives", "voltage")
ROUND = tuple(dict.fromkeys(item.check for card in CARDS for item in card.items))
BEFORE = len(CARDS[0].items)  # checks of the first card come before the precautions

Readings = list[tuple[CheckKey, dict[str, float]]]


def look(hands: Hands, checks: tuple[CheckKey, ...]) -> Readings:
    """Get ready for each check and do it; what is refused is left out."""
    found: Readings = []
    for check in checks:
        with suppress(Refusal):
            ready(hands, check)
            reading = hands.do(act.Read(check=check)).reading
            found += [(check, dict(reading.values))] if reading is not None else []
    return found


def calibrates(hands: Hands) -> None:
    """Do every calibration once."""
    for what in CALIBRATIONS:
        with suppress(Refusal):
            calibrate(hands, what)


def renews(hands: Hands) -> None:
    """Put in every part of the bin."""
    for part in PARTS:
        swap(hands, part)


BETWEEN: dict[str, Callable[[Hands], None]] = {
    "read again": lambda hands: None,
    "calibrated": calibrates,
    "renewed": renews,
}  # what is done between the rounds, on one evening in three each


def evening(hands: Hands, nth: int) -> dict[str, Readings]:
    """Read every card twice, and between do what is done on the nth evening; by round."""
    first = look(hands, ROUND[:BEFORE])
    take_precautions(hands)
    first += look(hands, ROUND[BEFORE:])
    name, does = list(BETWEEN.items())[nth % len(BETWEEN)]
    does(hands)
    return {"first round": first, name: look(hands, ROUND)}
