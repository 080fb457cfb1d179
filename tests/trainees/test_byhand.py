"""The stand-in that works by hand: each routine reads a whole check, and none is taken as one act."""

import pytest

from sim.bench.check import sticks
from sim.bench.checklist import CHECKS
from sim.errors import Refusal
from sim.procedure.rubric import shipped
from sim.scoring.scorecard import CLEARED, scorecard
from sim.session import actions as act
from sim.session.scenario import load
from sim.session.session import Session
from sim.trainees.byhand import ROUTINES, OwnHands
from sim.trainees.craftwork import ready
from sim.trainees.standins import Attempt, rehearsed
from tests.scoring.tables import TABLES


def own_hands(drill="quiet-morning", seed=1):
    session = Session(load(drill), seed)
    return session, OwnHands(session, session)


@pytest.mark.parametrize("check", sorted(ROUTINES))
def test_a_routine_reads_the_whole_check_and_leaves_things_as_they_were(check):
    session, hands = own_hands()
    ready(hands, check)
    began, minutes = session.rig.time_s, session.minutes
    reading = hands.do(act.Read(check=check)).reading
    assert reading is not None
    assert reading.check == check
    assert reading.missing == ()
    assert check in session.view().facts
    conduct = session.view().conduct
    assert conduct.self_level
    assert conduct.transmitter_on
    seen = session.view().aircraft
    assert max(abs(seen.roll_rad), abs(seen.pitch_rad)) < 0.05  # rad; two degrees and tremor
    assert not session.view().armed
    took = session.minutes - minutes
    assert (
        0.9 * (session.rig.time_s - began) / 60.0 < took < 3.0
    )  # min; acts in between cost theirs


@pytest.mark.parametrize("check", sorted(ROUTINES))
def test_only_what_has_no_form_is_taken_as_one_act(check):
    session, hands = own_hands()
    ready(hands, check)
    hands.do(act.Read(check=check))
    kinds = [
        e.action.do for e in session.record().events if e.action.do in ("read", "begin", "done")
    ]
    assert kinds == ["begin", "done"]


def test_every_routine_is_of_a_check_with_a_form():
    assert all(CHECKS[check].by_hand for check in ROUTINES)


def test_what_will_not_arm_says_so_as_it_does_in_one_act():
    session, hands = own_hands()
    ready(hands, "stick-to-motor")
    hands.do(act.Set(key="setup.transmitter.throttle.direction", value=-1))
    hands.fly(sticks(), 0.3)
    for drives in (session, hands):
        with pytest.raises(Refusal) as refused:
            drives.do(act.Read(check="stick-to-motor"))
        assert {"throttle_down", "will_not_arm"} <= refused.value.reasons


def test_a_fault_seen_by_hand_is_the_fault_seen_in_one_act():
    session, hands = own_hands("twins", 3)
    for check in ("stick-display", "tilt-while-armed"):
        ready(hands, check)
        by_hand = hands.suspects(hands.do(act.Read(check=check)).reading)
        at_once = hands.suspects(session.do(act.Read(check=check)).reading)
        assert {f.suspicion for f in by_hand} == {f.suspicion for f in at_once} != set()


@pytest.mark.slow
@pytest.mark.parametrize("drill", ["first-evening", "good-numbers", "club-loaner"])
def test_by_hand_whole_drills_are_cleared(drill):
    record = rehearsed(Attempt(load(drill), "by-hand", 2))
    read = {e.action.check for e in record.events if isinstance(e.action, act.Read)}
    assert not read & set(ROUTINES)
    assert {e.reading.check for e in record.events if e.reading} >= set(ROUTINES)
    assert scorecard(record, "by-hand", drill, shipped(), TABLES)["verdict"] == CLEARED
