"""What is left to do on a card, and what a check will take."""

from sim.bench.check import Check, Need, wanting
from sim.bench.checklist import CHECKS
from sim.keys import CardKey, CheckKey
from sim.procedure import cards
from sim.procedure.cards import Card, Item
from sim.session.view import View
from sim.window.names import PLACES_TOLD

Written = dict[tuple[CardKey, str], str]  # what was written beside the items

TOLD: dict[Need, str] = {
    "powered": "pack in",
    "unplugged": "pack out",
    "linked": "transmitter on",
    "props_off": "propellers off",
    "props_on": "propellers on",
    "in_hands": "in your hands",
    "standing": "on its legs",
    "clamped": "in the clamp",
}
NUMBERS = ("none", "one", "two", "three", "four", "five", "six", "seven")  # as they are said


def is_open(item: Item, written: Written, view: View) -> bool:
    """Tell whether an item is still open, by what is written beside the items of the cards in sight."""
    answered = {i.check for card in view.cards for i in card.items if (card.key, i.key) in written}
    return cards.is_open(item, view.facts, answered)


def left(card: Card, written: Written, view: View) -> list[int]:
    """Return which items of a card are still open, by place."""
    return [i for i, item in enumerate(card.items) if is_open(item, written, view)]


def next_left(at: int, card: Card, written: Written, view: View) -> int | None:
    """Return the next open item after one, from the top again at the end; None if none is left."""
    open_ = left(card, written, view)
    return next((i for i in open_ if i > at), next(iter(open_), None))


def takes(check: Check) -> str:
    """Return what a check takes: how it is done, and where if not at the bench."""
    how = [TOLD[need] for need in check.needs]
    return ", ".join([*how, *filter(None, [where(check)])]) or "nothing but eyes and hands"


def where(check: Check) -> str:
    """Return where a check is done if that is not the bench; nothing if it is."""
    return "" if check.place == "bench" else PLACES_TOLD[check.place]


def not_yet(check: Check, view: View) -> str:
    """Return what of it is not so yet; nothing if all is."""
    conduct = view.conduct
    missing = [TOLD[need] for need in wanting(check.needs, conduct)]
    if check.place != "bench" and check.place != conduct.place:
        missing.append(PLACES_TOLD[check.place])
    return ", ".join(missing)


def told(key: CheckKey, view: View) -> str:
    """Return what a check takes, and what of that is still wanting."""
    check = CHECKS[key]
    missing = not_yet(check, view)
    words = f"It takes {check.minutes:g} min: {takes(check)}."
    return f"{words} Still wanting: {missing}." if missing else words


def questioned(open_: int) -> str:
    """Return what the helper says to a call made while items are open."""
    lines = "line" if open_ == 1 else "lines"
    return f"The helper: “The card has {NUMBERS[open_]} {lines} open.” Call again if you mean it."
