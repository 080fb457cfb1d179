"""Cards called complete while lines of them were open. Pure."""

from dataclasses import dataclass

from sim.keys import CardKey
from sim.procedure.cards import AFTER_HOP, CARDS, COMPLETE, Item
from sim.scoring.case import Case
from sim.session.actions import Answer

BY_KEY = {card.key: card for card in (*CARDS, AFTER_HOP)}


@dataclass(frozen=True)
class OpenCall:
    """A card called complete, and the items that were open: not done, or not written down.

    at : the event that called it, and its minute.
    """

    at: int
    card: CardKey
    minutes: float
    items: tuple[Item, ...]


def called_open(case: Case) -> list[OpenCall]:
    """Return the calls made before takeoff over open lines.

    A line is open while its check is not done or is due again, and until its value is written down;
    a check that stands on two cards answers both.
    """
    found = []
    answered = set()
    for at, event in enumerate(case.events):
        said = event.action
        if not isinstance(said, Answer):
            continue
        card = BY_KEY[said.card]
        if said.item != COMPLETE:
            answered |= {item.check for item in card.items if item.key == said.item}
            continue
        open_ = [i for i in card.items if i.check not in event.facts or i.check not in answered]
        if open_:
            found.append(OpenCall(at, card.key, event.minutes, tuple(open_)))
    return found
