"""A guess that happens to be right cures; one that wants a look at the build takes it."""

import pytest

from sim.faults.catalogue import CATALOGUE
from sim.session import actions as act
from sim.session.scenario import HiddenFault, Scenario
from sim.session.session import Session
from sim.trainees.driver import Hands
from sim.trainees.others import cure_by_guess


@pytest.mark.parametrize("fault", sorted(CATALOGUE))
def test_the_right_guess_cures(fault):
    hidden = (HiddenFault(id=fault),)
    drill = Scenario(title="One fault", purpose="Testing", origin="invented", faults=hidden)
    session = Session(drill, 0)
    hands = Hands(session, session)
    for what in ("goggles", "spotter", "clear-ring"):
        hands.do(act.Prepare.model_validate({"what": what}))
    cure_by_guess(hands, fault)
    assert not session.record().present_now
