"""The cards: at most seven items each, the ones that can kill first, answered with values seen."""

from dataclasses import dataclass
from typing import Literal

LONGEST_CARD = 7  # items; own rule from checklist research: longer lists get skipped


@dataclass(frozen=True)
class Item:
    """One line of a card: what to do, which check answers it, whether a slip can hurt."""

    key: str
    asks: str
    check: str
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
        "before-power",
        "bench",
        "Before any power",
        (
            Item("propellers-off", "Propellers off: say how many are fitted", "propellers", True),
            Item("pack-cells", "Pack: say the cells and their spread", "pack-at-rest"),
        ),
        "Before power complete",
    ),
    Card(
        "link",
        "bench",
        "Sticks and switches",
        (
            Item("failsafe", "Transmitter off: say how long to stop", "failsafe", True),
            Item("stop-switch", "Arming rules and stop switch: say the time", "switches", True),
            Item("sticks", "Stick display: say sense and ends", "stick-display", True),
            Item("stick-motor", "Stick to motor: say which pair speeds up", "stick-to-motor", True),
        ),
        "Link complete",
    ),
    Card(
        "sensors",
        "bench",
        "Level and heading",
        (
            Item("level", "Level plate, both ways: say roll and pitch", "level-and-still"),
            Item("heading", "Four marks: say the largest error", "heading-marks"),
            Item("field", "One turn: say smallest and largest field", "field-turn"),
        ),
        "Sensors complete",
    ),
    Card(
        "control",
        "bench",
        "Settings and motors",
        (
            Item("settings", "Settings beside the sheet: say what differs", "settings-sheet"),
            Item("roughness", "Steady throttle: say the roughness", "steady-throttle"),
        ),
        "Control complete",
    ),
    Card(
        "load",
        "bench",
        "Under load, behind the screen",
        (Item("load", "Run-up: say drop per cell and current", "restrained-run-up"),),
        "Load complete",
    ),
    Card(
        "last-gate",
        "pad",
        "Last gate on the pad",
        (
            Item("people", "People, goggles, spotter: say who is where", "people-and-room", True),
            Item("still", "Stand back, wait: say level, heading and rate", "pad-look"),
            Item("light", "Light on the legs: say lean and ringing", "light-on-legs"),
        ),
        "Clear to hop",
    ),
)
