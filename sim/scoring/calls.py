"""Cards called complete while lines of them were open. Pure."""

from dataclasses import dataclass

from sim.keys import CardKey, CheckKey
from sim.procedure.cards import BY_KEY, Item, is_open, item_of
from sim.scoring.case import Case
from sim.session.actions import Answer


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

    What is open at a call is told by what holds and what was written down till then.
    """
    found = []
    answered: set[CheckKey] = set()
    for at, event in enumerate(case.events):
        said = event.action
        if not isinstance(said, Answer):
            continue
        item = item_of(said.card, said.item)
        if item is not None:
            answered.add(item.check)
            continue
        card = BY_KEY[said.card]
        open_ = tuple(one for one in card.items if is_open(one, event.facts, answered))
        if open_:
            found.append(OpenCall(at, card.key, event.minutes, open_))
    return found
