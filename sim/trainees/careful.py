"""The careful stand-in: every card in order, every finding written down, cured and proved."""

from collections.abc import Iterable

import numpy as np

from sim.aircraft.fields import LINE_LENGTH
from sim.bench.reading import Reading
from sim.errors import Refusal
from sim.keys import CardKey, CheckKey
from sim.procedure.cards import Card, Item, line_said
from sim.session import actions as act
from sim.session.scenario import Scenario
from sim.trainees.boardwork import WORK, saw
from sim.trainees.craftwork import (
    claim,
    cure,
    plugged,
    props,
    read,
    take_precautions,
    unplugged,
    written,
)
from sim.trainees.driver import Hands
from sim.trainees.hop import SURE, Feel, hop
from sim.trainees.judges.finding import Finding

TRIES = 3  # own: a cure that fails three times is beyond the bench
ROUNDS = 5  # own: cures make checks due again, whose cures may do so too
COUNTED: CheckKey = "propellers"  # counted once before any power; they are fitted later on purpose
SAID = 3  # own: as many values as one says of a check
BEYOND = "a fault here can't be cured"


class Careful:
    """A worker at the cards. Others differ from the careful in a step or two, which they override."""

    def __init__(self, hands: Hands, rng: np.random.Generator) -> None:
        self.hands = hands
        self.rng = rng
        self.reason = BEYOND

    def wants(self, check: CheckKey) -> bool:
        """Tell whether it does a check at all."""
        return True

    def suspects(self, check: CheckKey, reading: Reading) -> list[Finding]:
        """Return what it makes of the reading of a check."""
        return self.hands.suspects(reading)

    def deals(self, findings: list[Finding]) -> None:
        """Write down what was found, then cure it."""
        for finding in findings:
            claim(self.hands, finding)
        for finding in findings:
            cure(self.hands, finding)

    def accepts(self, check: CheckKey, reading: Reading) -> bool:
        """Tell whether it goes on after a reading that shows no fault."""
        return True

    def looked(self, check: CheckKey) -> tuple[Reading, list[Finding]]:
        """Do a check and return what is suspected after it.

        Doubtful findings are looked at once more and stand only if they show again. Where the same
        was written down and cured before, it counts as sound unless it shows plainly that it isn't.
        """
        reading = read(self.hands, check)
        findings = self.suspects(check, reading)
        if not all(finding.plain for finding in findings):
            before = {finding.suspicion for finding in findings}
            reading = read(self.hands, check)
            findings = [f for f in self.suspects(check, reading) if f.suspicion in before]
        return reading, [f for f in findings if f.plain or not written(self.hands, f)]

    def examine(self, item: Item, card: CardKey) -> bool:
        """Answer one item of a card; cure what it shows and look again; False if it can't be."""
        for _ in range(TRIES):
            reading, findings = self.looked(item.check)
            if not findings:
                values = reading.values
                telling = self.hands.measured.telling(item.check, values)
                most = list(dict.fromkeys((*telling, *values)))[:SAID]
                for one in self.beside(item, card):
                    answer = saw(self.hands, card, one.key) or said(values, one.shows or most)
                    self.hands.do(act.Answer(card=card, item=one.key, value=answer))
                return self.accepts(item.check, reading)
            self.deals(findings)
        return False

    def beside(self, item: Item, card: CardKey) -> list[Item]:
        """Return a card's items that one check answers together."""
        items = next(c.items for c in self.hands.see().cards if c.key == card)
        return [one for one in items if one.check == item.check]

    def due(self, cards: Iterable[Card]) -> list[tuple[CardKey, Item]]:
        """Return the items of these cards whose check is still to be done, or again to be done.

        A check that stands on two cards is done once, where it comes first, and answers the later.
        """
        done = self.hands.see().facts | {COUNTED}
        left = {i.check: (c.key, i) for c in cards for i in c.items}
        return [where for check, where in left.items() if check not in done and self.wants(check)]

    def complete(self, cards: tuple[Card, ...]) -> bool:
        """Do what is due on these cards until nothing is; False if a cure keeps failing."""
        for _ in range(ROUNDS):
            left = self.due(cards)
            if not left:
                return True
            if not all(self.examine(item, card) for card, item in left):
                return False
        return not self.due(cards)

    def unproved(self) -> list[tuple[CardKey, Item]]:
        """Return the items whose last reading still speaks plainly for something written down.

        Another fault may have moved the line, and may be cured by now.
        """
        view, measured = self.hands.see(), self.hands.measured
        claimed = {squawk.cause for squawk in view.squawks.values()}
        speaking = {
            check
            for check, reading in view.readings.items()
            for line in reading.values
            if measured.spoken_for(check, reading.values, line, "outer") & claimed
        }
        items = {
            i.check: (card.key, i)
            for card in view.cards
            if card.phase == "bench"
            for i in card.items
        }
        return [where for check, where in items.items() if check in speaking]

    def works_through(self) -> bool:
        """Do the cards in order; after each, go back to whatever a cure has made due again."""
        cards = self.hands.see().cards
        read(self.hands, COUNTED)
        if not self.complete(cards[:1]):  # look and ask before anything is touched or put right
            return False
        take_precautions(self.hands)
        for n, card in enumerate(cards, start=1):
            if card.key in WORK:
                WORK[card.key](self.hands)
            doubts = self.unproved() if card.phase == "pad" else []
            if not all(self.examine(item, key) for key, item in doubts):
                return False
            if not self.complete(cards[:n]):
                return False
            if all(self.wants(item.check) for item in card.items):
                self.hands.do(act.Answer(card=card.key, item="complete", value=card.call))
        return True

    def performs(self, scenario: Scenario) -> None:
        """Do the whole drill; what isn't to be had tonight ends it on the bench."""
        try:
            good = self.works_through()
        except Refusal as refusal:
            good, self.reason = False, str(refusal)[:LINE_LENGTH]
        if not good:
            self.hands.tries(act.UnplugPack())
            self.hands.do(act.Declare(verdict="stay on the bench", reason=self.reason))
            return
        self.hands.do(act.Declare(verdict="clear", reason="all cards complete"))
        fly(self.hands, scenario)
        self.hands.tries(act.Finish())


def said(values: dict[str, float], lines: Iterable[str]) -> str:
    """Return lines of a reading as one would say them, the first that an answer has room for."""
    answer = ""
    for line in lines:
        longer = f"{answer}, " * bool(answer) + line_said(line, values[line])
        if len(longer) > LINE_LENGTH:
            break
        answer = longer
    return answer or "seen"


def fly(hands: Hands, scenario: Scenario, feel: Feel = SURE) -> None:
    """Arm on the pad, propellers on, and fly the hop."""
    props(hands, True)
    if hands.see().conduct.place != "pad":
        unplugged(hands)
        hands.do(act.Carry(to="pad", hold="standing"))
    plugged(hands)
    hands.do(act.Arm())
    hop(hands, scenario.hop.height_m, scenario.hop.hover_s, hands.sheet.hover_throttle, feel)


def perform(hands: Hands, scenario: Scenario, rng: np.random.Generator) -> None:
    """Do the whole drill."""
    Careful(hands, rng).performs(scenario)
