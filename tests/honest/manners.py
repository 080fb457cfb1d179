"""A competent trainee, and the manners in which one may differ from another without being worse."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from sim.aircraft.fields import LINE_LENGTH
from sim.bench.checklist import CHECKS
from sim.bench.lines import measures
from sim.errors import Refusal
from sim.faults.catalogue import CATALOGUE
from sim.keys import CardKey, CheckKey, FaultId
from sim.procedure.cards import CARDS, Card, Item
from sim.session import actions as act
from sim.session.record import Outcome
from sim.session.scenario import Scenario
from sim.session.view import View
from sim.trainees.careful import COUNTED, ROUNDS, Careful, fly, said
from sim.trainees.craftwork import claim, cure, plugged, read, take_precautions
from sim.trainees.driver import Hands
from sim.trainees.judges.finding import Finding
from tests.trials import Evening

FIRST_LOOK, BENCH, LAST = CARDS[:1], CARDS[1:-1], CARDS[-1:]
POWERED = 2  # cards of the bench; before power and in its first minutes, they come first
FREE: tuple[CardKey, ...] = ("motors", "sensors", "control", "place")  # no item needs another first
BREAK_MIN = 2.0  # min; a cup of tea
SHORT_MIN = 1.0  # min; a check so short is soon done again


@dataclass(frozen=True)
class Manner:
    """How somebody works.

    precautions : before the first look, or after it. order : of the cards in the middle.
    writes : squawks before the cure, after it, or all of them at the end of the bench.
    sure : says so whatever the finding, 1..4; None: as sure as the careful.
    family_first, wavers : claims another cause of the family, or of nothing, first; takes it back.
    weak_line : points at the least telling line that still speaks for the cause.
    card_by_card : cures what a card has shown when the card is through.
    another_way : another fix of the catalogue, where there is one. leaves : calls the instructor.
    """

    precautions: Literal["first", "after"] = "after"
    order: Literal["cards", "backwards"] = "cards"
    writes: Literal["before", "after", "end"] = "before"
    sure: int | None = None
    family_first: bool = False
    wavers: bool = False
    weak_line: bool = False
    twice: bool = False
    breaks: bool = False
    says_all: bool = False
    card_by_card: bool = False
    pad_early: bool = False
    another_way: bool = False
    leaves: bool = False


class Pen(Hands):
    """Hands that write and read in a manner of their own."""

    def __init__(self, hands: Hands, manner: Manner) -> None:
        super().__init__(hands._drives, hands.session)
        self.manner = manner
        self._unwritten: list[act.Squawk] = []
        self._wavered = False

    def do(self, action: act.Action) -> Outcome:
        """Do one thing in the manner."""
        if isinstance(action, act.Squawk):
            return self._write(self._told(action))
        if isinstance(action, act.Read | act.Answer) and self.manner.writes == "after":
            self.write_up()
        if isinstance(action, act.Read) and self._again(action.check):
            super().do(action)
        outcome = super().do(action)
        if isinstance(action, act.Read) and self.manner.says_all and outcome.reading is not None:
            self._say(action.check, outcome.reading.values)
        return outcome

    def see(self) -> View:
        """Return what can be perceived; what one means to write is as good as written."""
        view = super().see()
        squawks = view.squawks | {squawk.item: squawk for squawk in self._unwritten}
        return replace(view, squawks=squawks)

    def write_up(self) -> None:
        """Write down what has not been written yet."""
        unwritten, self._unwritten = self._unwritten, []
        for squawk in unwritten:
            super().do(squawk)

    def _again(self, check: CheckKey) -> bool:
        return self.manner.twice and CHECKS[check].minutes <= SHORT_MIN

    def _say(self, check: CheckKey, values: dict[str, float]) -> None:
        for card in CARDS:
            for item in card.items:
                if item.check == check:
                    answer = act.Answer(
                        card=card.key, item=item.key, value=_said(self, check, values)
                    )
                    super().do(answer)

    def _told(self, squawk: act.Squawk) -> act.Squawk:
        """Return a claim with the sureness and the line of the manner."""
        changes: dict[str, object] = {}
        if self.manner.sure is not None:
            changes["confidence"] = self.manner.sure
        if self.manner.weak_line and squawk.check in self.see().readings:
            changes["line"] = self._weakest(squawk)
        return squawk.model_copy(update=changes)

    def _weakest(self, squawk: act.Squawk) -> str:
        assert squawk.check is not None
        values, lines = self.see().readings[squawk.check].values, {}
        for key in values:
            if self.measured.speaks_for(squawk.cause, squawk.check, values, key):
                lines[key] = max(
                    move.power
                    for measure in measures(values, key)
                    for move in self.measured.moves.get((squawk.check, measure), ())
                    if move.fault == squawk.cause
                )
        return min(lines, key=lambda key: lines[key]) if lines else squawk.line

    def _write(self, squawk: act.Squawk) -> Outcome:
        if self.manner.writes != "before":
            self._unwritten.append(squawk)
            return Outcome("Later.")
        if self.manner.family_first:
            self._suppose(_relative(squawk.cause), squawk)
        if self.manner.wavers and not self._wavered:
            self._wavered = True
            self._suppose("motor-weak-or-shorted", squawk)
        return super().do(squawk)

    def _suppose(self, cause: FaultId, like: act.Squawk) -> None:
        """Write down another cause and strike it out again."""
        super().do(like.model_copy(update={"item": "a guess", "cause": cause, "confidence": 2}))
        super().do(act.Withdraw(item="a guess"))


def _said(hands: Hands, check: CheckKey, values: dict[str, float]) -> str:
    """Return a reading as one answers a card with it."""
    return said(values, hands.measured.telling(check, values))


def _relative(cause: FaultId) -> FaultId:
    """Return another cause of the same family."""
    family = [name for name, fault in CATALOGUE.items() if fault.family == CATALOGUE[cause].family]
    return family[(family.index(cause) + 1) % len(family)]


class Worker(Careful):
    """One evening of a trainee, who knows the craft as the careful do."""

    def __init__(self, hands: Pen, rng: np.random.Generator) -> None:
        super().__init__(hands, rng)
        self.pen, self.manner = hands, hands.manner
        self._held: list[Finding] = []  # found, and not dealt with yet
        self._left: list[Finding] = []  # dealt with last

    def deals(self, findings: list[Finding]) -> None:
        """Write down what was found, then cure it, now or later."""
        for finding in findings:
            claim(self.hands, finding)
        self._left = [*self._held, *findings]
        if self.manner.leaves or self.manner.card_by_card:
            self._held += findings
            return
        for finding in findings:
            self.cure(finding)

    def examine(self, item: Item, card: CardKey) -> bool:
        """Answer one item; what is to be cured later, or by others, is looked at once."""
        if not (self.manner.leaves or self.manner.card_by_card):
            return super().examine(item, card)
        reading, findings = self.looked(item.check)
        if findings:
            self.deals(findings)
        else:
            value = _said(self.hands, item.check, reading.values)
            self.hands.do(act.Answer(card=card, item=item.key, value=value))
        return True

    def cure(self, finding: Finding) -> None:
        """Cure a finding, in another way than the careful if that is the manner."""
        cause, hands = finding.squawk.cause, self.hands
        if not self.manner.another_way:
            cure(hands, finding)
        elif cause == "voltage-scale-wrong":
            self._set_scale()
        elif cause == "pack-cold":
            cure(hands, replace(finding, fix="swap:pack"))
        elif cause.endswith("-channel-reversed"):
            self._turn(cause.partition("-")[0])
        else:
            cure(hands, finding)

    def _set_scale(self) -> None:
        """Set the scale of the voltage reading by the meter, instead of calibrating it."""
        v = read(self.hands, "voltage-and-alarm").values
        ratio = 0.5 * (v["meter_pack_v"] / v["shown_pack_v"] + v["meter_low_v"] / v["shown_low_v"])
        plugged(self.hands)
        setup = self.hands.see().setup
        assert setup is not None
        value = setup.controller.volt_scale * ratio
        self.hands.do(act.Set(key="setup.controller.volt_scale", value=value))

    def _turn(self, channel: str) -> None:
        """Turn a channel round in the controller, wherever it was turned."""
        plugged(self.hands)
        setup = self.hands.see().setup
        assert setup is not None
        value = -int(getattr(setup.inputs, channel))
        self.hands.do(act.Set.model_validate({"key": f"setup.inputs.{channel}", "value": value}))

    def complete(self, cards: tuple[Card, ...]) -> bool:
        """Do what is due on these cards until nothing is; False if it can't be, or is left."""
        for _ in range(ROUNDS):
            left = self.due(cards)
            if not left:
                return True
            for card, item in left:
                if not self.examine(item, card):
                    return False
            if self.manner.leaves and self._held:
                return False
            held, self._held = self._held, []
            for finding in {(f.suspicion, f.fix): f for f in held}.values():
                self.cure(finding)
        return not self.due(cards)

    def due(self, cards: Iterable[Card]) -> list[tuple[CardKey, Item]]:
        """Return what is still to be done, from the last to the first where the order is free."""
        left = super().due(cards)
        if self.manner.order == "cards":
            return left
        known = [card.key for card in CARDS]
        return sorted(
            left, key=lambda one: (known.index(one[0]), -left.index(one) if one[0] in FREE else 0)
        )

    def cards(self) -> tuple[Card, ...]:
        """Return the cards in the order of the manner; the pad comes last, or early for a look."""
        middle = BENCH
        if self.manner.pad_early:
            place = tuple(card for card in middle if card.key == "place")
            rest = tuple(card for card in middle if card.key != "place")
            middle = (*rest[:POWERED], *place, *rest[POWERED:])
        in_hand = {card.key for card in self.hands.see().cards}
        return tuple(card for card in (*FIRST_LOOK, *middle, *LAST) if card.key in in_hand)

    def works_through(self) -> bool:
        """Do all cards; False if something is left that can't be cured, or is left to others."""
        if self.manner.precautions == "first":
            take_precautions(self.hands)
        read(self.hands, COUNTED)
        if not self.complete(FIRST_LOOK):
            return False
        if self.manner.precautions == "after":
            take_precautions(self.hands)
        cards = self.cards()
        for n, card in enumerate(cards, start=1):
            if not self.complete(cards[:n]):
                return False
            self.hands.do(act.Answer(card=card.key, item="complete", value=card.call))
            if self.manner.breaks and card.phase == "bench":
                self.hands.do(act.Wait(minutes=BREAK_MIN))
        return True

    def _stay(self) -> None:
        """Call the instructor, and say why."""
        self.pen.write_up()
        self.hands.tries(act.UnplugPack())
        causes = dict.fromkeys(f.squawk.cause for f in self._left)
        reason = f"here is {', '.join(causes)}"[:LINE_LENGTH]
        self.hands.do(act.Declare(verdict="stay on the bench", reason=reason))

    def performs(self, scenario: Scenario) -> None:
        """Do the whole drill."""
        try:
            done = self.works_through()
        except Refusal:
            done = False
        self.pen.write_up()
        if not done:
            self._stay()
            return
        self.hands.do(act.Declare(verdict="clear", reason="all cards complete"))
        fly(self.hands, scenario)
        self.hands.tries(act.Finish())


def perform(hands: Hands, evening: Evening, manner: Manner) -> None:
    """Do the whole drill in a manner."""
    Worker(Pen(hands, manner), np.random.default_rng(evening.seed)).performs(evening.drill)
