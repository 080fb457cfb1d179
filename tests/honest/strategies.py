"""Ways of working that are as good as one another. All must be cleared, with nearly full points."""

from sim.trainees.driver import Hands
from tests.honest.manners import Manner, perform
from tests.trials import Evening, Strategy

CURABLE = (
    "second-hand",
    "club-loaner",
    "rainy-sunday",
    "spare-from-the-shelf",
    "box-of-bits",
    "left-handed-friend",
    "two-pairs-of-hands",
    "winter-in-the-loft",
)  # one fault each, which could be cured
MANNERS: dict[str, Manner] = {
    "by the cards": Manner(),
    "from the last item to the first": Manner(order="backwards"),
    "precautions first": Manner(precautions="first"),
    "cures, then writes": Manner(writes="after"),
    "writes it all at the end": Manner(writes="end"),
    "family first, then the cause": Manner(family_first=True),
    "suspects, withdraws, goes on": Manner(wavers=True),
    "always says 0.60": Manner(sure=2),
    "always says 0.80": Manner(sure=3),
    "always certain": Manner(sure=4),
    "reads the short ones twice": Manner(twice=True),
    "cures card by card": Manner(card_by_card=True),
    "another way to cure": Manner(another_way=True),
    "takes breaks": Manner(breaks=True),
    "calls out every reading": Manner(says_all=True),
    "looks at the pad early": Manner(pad_early=True),
    "points at a weaker line": Manner(weak_line=True),
    "precautions first, writes afterwards, with breaks": Manner(
        precautions="first", writes="after", breaks=True
    ),
    "pad early, card by card, not quite sure": Manner(pad_early=True, card_by_card=True, sure=3),
}
LEAVES = "finds it and calls the instructor"


def _in(manner: Manner) -> Strategy:
    def strategy(hands: Hands, evening: Evening) -> None:
        perform(hands, evening, manner)

    return strategy


STRATEGIES: dict[str, Strategy] = {
    **{name: _in(manner) for name, manner in MANNERS.items()},
    LEAVES: _in(Manner(leaves=True)),
}
