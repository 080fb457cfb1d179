"""A stand-in who trusts the gains it was given, feels in the air that it should not have, and returns."""

import numpy as np

from sim.bench.reading import Reading
from sim.keys import CheckKey, FaultId
from sim.procedure.cards import AFTER_HOP
from sim.session import actions as act
from sim.session.scenario import Scenario
from sim.trainees.careful import Careful, fly
from sim.trainees.craftwork import at, props, set_to_sheet, unplugged
from sim.trainees.driver import Hands
from sim.trainees.hop import Lively
from sim.trainees.judges.finding import Finding

LIVELY: FaultId = "rate-gain-high"
HOT: FaultId = "drive-thermal-limit"


class ByFeel(Careful):
    """Works with care, but leaves the gains alone until it has felt them in the air.

    It lands at the first doubt, carries the aircraft back to the bench, takes the propellers off,
    writes down what it felt, sets the gains to the sheet, proves all that is due again, and hops
    once more.
    """

    def __init__(self, hands: Hands, rng: np.random.Generator) -> None:
        super().__init__(hands, rng)
        self._felt = False

    def suspects(self, check: CheckKey, reading: Reading) -> list[Finding]:
        """Make nothing of the gains before they were felt, nor of drives a lively hop made hot."""
        known = HOT if self._felt else LIVELY
        return [f for f in super().suspects(check, reading) if f.squawk.cause != known]

    def performs(self, scenario: Scenario) -> None:
        """Do the whole drill, with a second hop if the first was too lively."""
        if not self.works_through():
            self.hands.tries(act.UnplugPack())
            self.hands.do(act.Declare(verdict="stay on the bench", reason=self.reason))
            return
        feel = Lively()
        fly(self.hands, scenario, feel)
        if feel.doubtful and not self.hands.see().crash:
            self._felt = True
            if self.puts_right():
                fly(self.hands, scenario, Lively())
        self.hands.tries(act.Finish())

    def puts_right(self) -> bool:
        """Go back to the bench, change what was felt and prove it; False if it stays due."""
        hands = self.hands
        unplugged(hands)
        at(hands, "bench", "hands")
        props(hands, False)
        hands.do(act.Squawk(item="gains", cause=LIVELY, confidence=3))
        if not self.complete((AFTER_HOP,)):
            return False
        hands.do(act.Answer(card=AFTER_HOP.key, item="complete", value=AFTER_HOP.call))
        set_to_sheet(hands)
        cards = tuple(card for card in hands.see().cards if card != AFTER_HOP)
        return all(self.complete(cards[:n]) for n in range(1, len(cards) + 1))


def perform(hands: Hands, scenario: Scenario, rng: np.random.Generator) -> None:
    """Do the whole drill."""
    ByFeel(hands, rng).performs(scenario)
