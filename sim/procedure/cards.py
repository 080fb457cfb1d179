"""The cards: at most seven items each, the ones that can kill first, answered with values seen.

Each check says in its entry where it stands; here its lines become the items of the cards.
"""

from collections.abc import Collection
from dataclasses import dataclass
from typing import Literal

from sim.bench.checklist import CHECKS
from sim.errors import Refusal
from sim.keys import CardKey, CheckKey

LONGEST_CARD = 7  # items; own rule from checklist research: longer lists get skipped


COMPLETE = "complete"  # what the completion call goes by, among the items of a card


def value_said(value: float) -> str:
    """Return a value as an answer has it: to four digits."""
    return f"{value:.4g}"


def line_said(line: str, value: float) -> str:
    """Return a line of a reading as an answer has it, so that it can be held against what was read."""
    return f"{line} {value_said(value)}"


@dataclass(frozen=True)
class Item:
    """One line of a card: what to do, which check answers it, whether a slip can hurt.

    shows : the lines of the check's reading that answer it; none: any of them.
    """

    key: str
    asks: str
    check: CheckKey
    killer: bool = False
    shows: tuple[str, ...] = ()


@dataclass(frozen=True)
class Card:
    """A chunk of the procedure with its completion call.

    for_blank : it is only in hand where a board knows nothing yet.
    """

    key: CardKey
    phase: Literal["bench", "pad"]
    title: str
    items: tuple[Item, ...]
    call: str
    for_blank: bool = False

    def __post_init__(self) -> None:
        """Refuse a card that is too long or hides a killer item below others."""
        ranks = [item.killer for item in self.items]
        if len(ranks) > LONGEST_CARD or ranks != sorted(ranks, reverse=True):
            raise ValueError(f"card {self.key}: at most {LONGEST_CARD} items, killer items first")


FRAMES: tuple[tuple[CardKey, Literal["bench", "pad"], str, str], ...] = (
    ("arrival", "bench", "Before you touch anything", "Arrival complete"),
    ("before-power", "bench", "Before any power", "Before power complete"),
    ("board", "bench", "A board that knows nothing", "Board told"),
    ("teach", "bench", "Teach the board", "Board taught"),
    ("power", "bench", "First minutes of power", "Power complete"),
    ("link", "bench", "Sticks and switches", "Link complete"),
    ("motors", "bench", "Motors, propellers off", "Motors complete"),
    ("sensors", "bench", "Level and heading", "Sensors complete"),
    ("control", "bench", "Stabiliser and settings", "Control complete"),
    ("place", "bench", "The place of the hop", "Place complete"),
    ("load", "bench", "Under load, behind the screen", "Load complete"),
    ("last-gate", "pad", "Last gate on the pad", "Clear to hop"),
)  # key, phase, title, completion call; in the order of the evening
FOR_BLANK: frozenset[CardKey] = frozenset({"board", "teach"})


def items(card: CardKey) -> tuple[Item, ...]:
    """Return what stands on a card, killers first; ValueError where two lines claim one place."""
    found = [(line, check.key) for check in CHECKS.values() for line in check.lines]
    here = [(line, check) for line, check in found if line.card == card]
    if len({line.at for line, _ in here}) < len(here):
        raise ValueError(f"card {card}: two lines stand at the same place")
    here.sort(key=lambda one: (not one[0].killer, one[0].at))
    return tuple(Item(line.item, line.asks, check, line.killer, line.shows) for line, check in here)


CARDS = tuple(
    Card(key, phase, title, items(key), call, key in FOR_BLANK)
    for key, phase, title, call in FRAMES
)
AFTER_HOP = Card(
    "after-hop",
    "bench",
    "After the hop, back on the bench",
    items("after-hop"),
    "After hop complete",
)  # what is due before anything is changed and it hops again, or is put away
BY_KEY: dict[CardKey, Card] = {card.key: card for card in (*CARDS, AFTER_HOP)}


def is_open(item: Item, hold: Collection[CheckKey], answered: Collection[CheckKey]) -> bool:
    """Tell whether an item is still to be done, again or for the first time, or to be written down.

    hold : checks that were done and still hold; answered : those of which a value is written down: a
    check that stands on two cards answers both.
    """
    return item.check not in hold or item.check not in answered


def in_hand(blank: bool, hopped: bool) -> tuple[Card, ...]:
    """Return the cards of an evening; blank : the board comes knowing nothing; hopped : it has."""
    evening = tuple(card for card in CARDS if blank or not card.for_blank)
    return (*evening, AFTER_HOP) if hopped else evening


def item_of(card: CardKey, key: str) -> Item | None:
    """Return an item of a card; None for its completion call. Raises Refusal if there is none."""
    if key == COMPLETE:
        return None
    found = BY_KEY[card]
    for item in found.items:
        if item.key == key:
            return item
    raise Refusal(f"The card {found.title!r} has no item {key!r}.", "unknown")
