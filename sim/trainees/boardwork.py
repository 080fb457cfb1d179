"""How a stand-in sets up a board that knows nothing: loads it, connects, tells and teaches it."""

from collections.abc import Callable

from sim.aircraft.setup import Unset
from sim.bench.connection import RATE_BD, By
from sim.errors import Refusal
from sim.keys import CardKey, SettingKey
from sim.session import actions as act
from sim.trainees.craftwork import (
    calibrate,
    calibrate_level,
    plugged,
    props,
    unplugged,
)
from sim.trainees.driver import Hands
from sim.trainees.judges.finding import planned

LOADS = 5  # own: a load that fails more often than this is beyond the bench
TOLD: dict[Unset, SettingKey] = {
    "layout": "setup.controller.layout",
    "mode-switch": "setup.transmitter.mode_switch_right",
}
TAUGHT: dict[Unset, str] = {
    "drives": "drives",
    "sticks": "sticks",
    "accelerometer": "faces",
    "compass": "compass",
}  # what is wanted, by the calibration that teaches it, in the order of the card


def unset(hands: Hands) -> tuple[Unset, ...]:
    """Return what the controller still wants, as its display tells."""
    setup = hands.see().setup
    if setup is None:
        raise Refusal("The controller can't be reached.", "connected")
    return setup.unset


def cabled(hands: Hands, plugged_in: bool) -> None:
    """Put the cable in or pull it out; either way round is refused if it is so already."""
    hands.tries(act.Cable(plugged=plugged_in))


def connected(hands: Hands, by: By) -> None:
    """Open the connection at the rate that goes with what carries it."""
    hands.do(act.Connect(by=by, rate_bd=RATE_BD[by]))


def loaded(hands: Hands) -> None:
    """Load the software, nothing else connected; after a failure give the board fresh power."""
    props(hands, False)
    unplugged(hands)
    hands.tries(act.Disconnect())
    for _ in range(LOADS):
        cabled(hands, True)
        if "verified" in hands.do(act.LoadSoftware()).words:
            return
        cabled(hands, False)


def tell(hands: Hands) -> None:
    """Get the board running and connected, go over to the radio, choose what the sheet plans."""
    unplugged(hands)
    cabled(hands, True)
    if hands.tries(act.Connect(by="cable", rate_bd=RATE_BD["cable"])) is None:
        loaded(hands)
        connected(hands, "cable")
    hands.tries(act.Disconnect())
    cabled(hands, False)
    plugged(hands)
    connected(hands, "telemetry")
    for what, key in TOLD.items():
        if what in unset(hands):
            hands.do(act.Set(key=key, value=planned(hands.sheet, key)))


def teach(hands: Hands) -> None:
    """Calibrate what is wanted."""
    props(hands, False)
    plugged(hands)
    for what, calibration in TAUGHT.items():
        if what not in unset(hands):
            continue
        calibrate(hands, calibration)
        if what == "accelerometer":
            calibrate_level(hands)


WORK: dict[CardKey, Callable[[Hands], None]] = {"board": tell, "teach": teach}
"""What is done on a card before its items can be answered."""


def saw(hands: Hands, card: CardKey, item: str) -> str:
    """Return what was seen of an item that no line of the controller's list answers, else nothing."""
    view = hands.see()
    match card, item:
        case "board", "load":
            return "loaded and verified"
        case "board", "connect":
            return f"{view.board}, {RATE_BD['telemetry']} Bd"
        case "teach", "level" if view.setup is not None:
            setup = view.setup
            return f"trims {setup.level_trim_roll_deg:.1f}, {setup.level_trim_pitch_deg:.1f} deg"
    return ""
