"""The careful stand-in: every card in order, every finding written down, cured and proved."""

import numpy as np

from sim.keys import CardKey, CheckKey
from sim.procedure.cards import CARDS, Card, Item
from sim.session import actions as act
from sim.session.scenario import Scenario
from sim.trainees.craftwork import cure, plugged, read, unplugged
from sim.trainees.driver import Hands
from sim.trainees.hop import hop
from sim.trainees.judgement import judged

TRIES = 3  # own: a cure that fails three times is beyond the bench
ROUNDS = 5  # own: cures make checks due again, whose cures may do so too
COUNTED: CheckKey = "propellers"  # counted once before any power; they are fitted later on purpose


def examine(hands: Hands, item: Item, card: CardKey) -> bool:
    """Answer one item of a card; cure what it shows and look again; False if it can't be cured."""
    for _ in range(TRIES):
        reading = read(hands, item.check)
        findings = judged(reading, hands.sheet)
        if not findings:
            hands.do(act.Answer(card=card, item=item.key, value=first_values(reading.values)))
            return True
        for finding in findings:
            hands.do(finding.squawk)
        for finding in findings:
            cure(hands, finding)
    return False


def first_values(values: dict[str, float]) -> str:
    """Return the first few values of a reading as one would say them."""
    return ", ".join(f"{key} {value:.4g}" for key, value in list(values.items())[:3]) or "seen"


def due(hands: Hands, cards: tuple[Card, ...]) -> list[tuple[CardKey, Item]]:
    """Return the items of these cards whose check is still to be done, or again to be done.

    A check that stands on two cards is done once, where it comes first, and answers the later one.
    """
    facts = hands.see().facts
    left = {i.check: (c.key, i) for c in cards for i in c.items}
    return [where for check, where in left.items() if check not in facts and check != COUNTED]


def complete(hands: Hands, cards: tuple[Card, ...]) -> bool:
    """Do what is due on these cards until nothing is; False if a cure keeps failing."""
    for _ in range(ROUNDS):
        left = due(hands, cards)
        if not left:
            return True
        if not all(examine(hands, item, card) for card, item in left):
            return False
    return not due(hands, cards)


def work_through(hands: Hands) -> bool:
    """Do the cards in order; after each, go back to whatever a cure has made due again."""
    read(hands, COUNTED)
    complete(hands, CARDS[:1])  # look and ask before anything is touched or put to rights
    for what in ("goggles", "spotter", "clear-ring"):
        hands.do(act.Prepare.model_validate({"what": what}))
    for n, card in enumerate(CARDS, start=1):
        if not complete(hands, CARDS[:n]):
            return False
        hands.do(act.Answer(card=card.key, item="complete", value=card.call))
    return True


def fly(hands: Hands, scenario: Scenario) -> None:
    """Arm on the pad and fly the hop."""
    if hands.see().conduct.place != "pad":
        unplugged(hands)
        hands.do(act.Carry(to="pad", hold="standing"))
    plugged(hands)
    hands.do(act.Arm())
    hop(hands, scenario.hop.height_m, scenario.hop.hover_s, hands.sheet.hover_throttle)


def perform(hands: Hands, scenario: Scenario, rng: np.random.Generator) -> None:
    """Do the whole drill."""
    if not work_through(hands):
        hands.tries(act.UnplugPack())
        hands.do(act.Declare(verdict="stay on the bench", reason="a fault here can't be cured"))
        return
    hands.do(act.Declare(verdict="clear", reason="all cards complete"))
    fly(hands, scenario)
    hands.tries(act.Finish())
