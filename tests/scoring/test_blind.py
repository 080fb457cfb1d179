"""Who ignores the readings does not pass, however much is claimed and changed."""

from contextlib import suppress

import numpy as np
import pytest

from sim.bench.checklist import CHECKS
from sim.bench.evidence import measured
from sim.errors import Refusal
from sim.faults.catalogue import CATALOGUE
from sim.keys import FaultId
from sim.procedure.rubric import shipped
from sim.scoring.scorecard import CLEARED, scorecard
from sim.session import actions as act
from sim.session.scenario import Scenario, load
from sim.session.session import Session
from sim.trainees import careful
from sim.trainees.craftwork import read
from sim.trainees.driver import Hands
from sim.trainees.others import cure_by_guess, to_the_pad

FAMILIES = sorted({fault.family for fault in CATALOGUE.values()})
SLOW = ["spare-from-the-shelf", "club-loaner", "second-hand", "masters-round", "blind-date"]
DRILLS = [pytest.param(drill, marks=pytest.mark.slow) for drill in [*SLOW, "box-of-bits"]]
WELL_BELOW = 40.0  # points; own: half of what passes


def claim(hands: Hands, causes: list[FaultId]) -> None:
    """Claim each cause as the least sure guess."""
    for cause in causes:
        hands.tries(act.Squawk(item=cause, cause=cause, confidence=1))


def every_check_unread(hands: Hands) -> None:
    """Do every check, as far as it can be done, and look at none."""
    for check in CHECKS:
        with suppress(Refusal):
            read(hands, check)


def fattest(family: str) -> FaultId:
    """Return the vaguest cause of a family: the one whose item most others share."""
    causes = sorted(name for name, fault in CATALOGUE.items() if fault.family == family)
    items = [CATALOGUE[name].item for name in causes]
    return max(causes, key=lambda name: items.count(CATALOGUE[name].item))


def claims_all_then_careful(hands: Hands, scenario: Scenario, seed: int) -> None:
    """Claim every fault there is, then work with care."""
    claim(hands, sorted(CATALOGUE))
    careful.perform(hands, scenario, np.random.default_rng(seed))


def reads_claims_all_then_careful(hands: Hands, scenario: Scenario, seed: int) -> None:
    """Do every check first, so that each claim has one that could show it."""
    every_check_unread(hands)
    claims_all_then_careful(hands, scenario, seed)


def changes_everything(hands: Hands, scenario: Scenario, vague: bool, last: bool) -> None:
    """Do every check, change everything, do them again and fly; with a claim for each family."""
    every_check_unread(hands)
    for what in ("goggles", "spotter", "clear-ring"):
        hands.tries(act.Prepare.model_validate({"what": what}))
    if vague and not last:
        claim(hands, [fattest(family) for family in FAMILIES])
    for cause in sorted(CATALOGUE):
        with suppress(Refusal):
            cure_by_guess(hands, cause)
    if vague and last:
        claim(hands, [fattest(family) for family in FAMILIES])
    every_check_unread(hands)
    with suppress(Refusal):
        to_the_pad(hands)
        careful.fly(hands, scenario)
    hands.tries(act.Finish())


BLIND = {
    "claims all, then careful": claims_all_then_careful,
    "does all checks, claims all, then careful": reads_claims_all_then_careful,
    "one vague claim per family, then all changes": lambda h, s, _: changes_everything(
        h, s, vague=True, last=False
    ),
    "all changes, then one vague claim per family": lambda h, s, _: changes_everything(
        h, s, vague=True, last=True
    ),
    "all changes, says nothing": lambda h, s, _: changes_everything(h, s, vague=False, last=False),
}


@pytest.mark.parametrize("drill", ["first-evening", *DRILLS])
@pytest.mark.parametrize("strategy", BLIND)
def test_who_claims_without_reading_does_not_pass(strategy, drill):
    scenario, session = load(drill), Session(load(drill), 3)
    BLIND[strategy](Hands(session, session), scenario, 3)
    made = scorecard(session.record(), "blind", drill, shipped(), measured(scenario.airframe))
    assert made["verdict"] != CLEARED
    assert made["points"] < WELL_BELOW
