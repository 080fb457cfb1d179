"""The cards: at most seven items each, the ones that can kill first, answered with values seen."""

from dataclasses import dataclass
from typing import Literal

from sim.keys import CheckKey

LONGEST_CARD = 7  # items; own rule from checklist research: longer lists get skipped


@dataclass(frozen=True)
class Item:
    """One line of a card: what to do, which check answers it, whether a slip can hurt."""

    key: str
    asks: str
    check: CheckKey
    killer: bool = False


@dataclass(frozen=True)
class Card:
    """A chunk of the procedure with its completion call."""

    key: str
    phase: Literal["bench", "pad"]
    title: str
    items: tuple[Item, ...]
    call: str

    def __post_init__(self) -> None:
        """Refuse a card that is too long or hides a killer item below others."""
        ranks = [item.killer for item in self.items]
        if len(ranks) > LONGEST_CARD or ranks != sorted(ranks, reverse=True):
            raise ValueError(f"card {self.key}: at most {LONGEST_CARD} items, killer items first")


CARDS = (
    Card(
        "arrival",
        "bench",
        "Before you touch anything",
        (
            Item("people", "People, room, floor: say who is where", "people-and-room", True),
            Item("propellers-off", "Propellers: say how many are fitted", "propellers", True),
        ),
        "Arrival complete",
    ),
    Card(
        "before-power",
        "bench",
        "Before any power",
        (
            Item("pack-cells", "Pack: say looks, cells and spread", "pack-at-rest", True),
            Item("lead", "Lead on the meter: say the sign, then first power", "first-power", True),
            Item("airframe", "Look and tug: say what moves", "look-and-tug"),
            Item("balance", "Scale and two points: say mass and balance", "weigh-and-balance"),
            Item("blades", "Propellers in hand: say hand, face, edge", "propellers-in-hand"),
            Item("board", "Press the board: say how it gives", "board-touch"),
        ),
        "Before power complete",
    ),
    Card(
        "power",
        "bench",
        "First minutes of power",
        (
            Item("rails", "Five-volt rail: say the lowest", "rails"),
            Item("voltage", "Meter and display: say both, hear the alarm", "voltage-and-alarm"),
        ),
        "Power complete",
    ),
    Card(
        "link",
        "bench",
        "Sticks and switches",
        (
            Item("sticks", "Stick display: say model, sense and ends", "stick-display", True),
            Item("stop-switch", "Arming rules and stop switch: say the time", "switches", True),
            Item("failsafe", "Transmitter off: say how long to stop", "failsafe", True),
            Item("range", "Thirty paces: say what was lost", "range-walk"),
        ),
        "Link complete",
    ),
    Card(
        "motors",
        "bench",
        "Motors, propellers off",
        (
            Item("one-motor", "One at a time: say place and turn", "one-motor", True),
            Item("snap", "Chop, hold, snap: say what stumbled", "ramp-and-snap"),
            Item("touch", "Touch each drive at once: say the warmest", "touch-after"),
        ),
        "Motors complete",
    ),
    Card(
        "sensors",
        "bench",
        "Level and heading",
        (
            Item("tilt", "Tilt by hand: say what the display does", "hand-tilt", True),
            Item("level", "Level plate, both ways: say roll and pitch", "level-and-still"),
            Item("faces", "Six faces: say the largest and smallest", "six-faces"),
            Item("warm", "Three minutes under power: say the creep", "warm-creep"),
            Item("heading", "Four marks: say the largest error", "heading-marks"),
            Item("field", "One turn: say smallest and largest field", "field-turn"),
            Item("current", "Run up in the clamp: say the compass's swing", "compass-ramp"),
        ),
        "Sensors complete",
    ),
    Card(
        "control",
        "bench",
        "Stabiliser and settings",
        (
            Item("stabiliser", "Armed, tilted: say which side speeds up", "tilt-while-armed", True),
            Item("stick-motor", "Stick to motor: say which pair speeds up", "stick-to-motor", True),
            Item("settings", "Settings beside the sheet: say what differs", "settings-sheet"),
            Item("creep", "Idle, one side high: say how far they part", "idle-creep"),
            Item("roughness", "Steady throttle: say the roughness", "steady-throttle"),
            Item("barometer", "Breath and torch: say the jump", "breath-and-torch"),
        ),
        "Control complete",
    ),
    Card(
        "place",
        "bench",
        "The place of the hop",
        (Item("survey", "Lifted off the pad: say the heading's shift", "pad-survey"),),
        "Place complete",
    ),
    Card(
        "load",
        "bench",
        "Under load, behind the screen",
        (
            Item("load", "Run-up: say drop per cell and current", "restrained-run-up"),
            Item("touch", "Touch each drive: say the warmest", "touch-after"),
        ),
        "Load complete",
    ),
    Card(
        "last-gate",
        "pad",
        "Last gate on the pad",
        (
            Item("people", "People, goggles, spotter: say who is where", "people-and-room", True),
            Item("failsafe", "Failsafe seen: say the time again", "failsafe", True),
            Item("stop-switch", "Stop switch under the thumb: say the time", "switches", True),
            Item("sense", "Sense seen: say which side speeds up", "tilt-while-armed", True),
            Item("still", "Stand back, wait: say level, heading and rate", "pad-look"),
            Item("light", "Light on the legs: say lean and ringing", "light-on-legs"),
        ),
        "Clear to hop",
    ),
)
