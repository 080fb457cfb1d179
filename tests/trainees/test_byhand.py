"""The stand-in that works by hand: each routine reads a whole check, and none is taken as one act."""

import pytest

from sim.bench.byhand.legs import LIGHT_LOAD
from sim.bench.check import sticks
from sim.bench.checklist import CHECKS
from sim.errors import Refusal
from sim.procedure.rubric import shipped
from sim.scoring.scorecard import CLEARED, scorecard
from sim.session import actions as act
from sim.session.scenario import Scenario, load
from sim.session.session import Session
from sim.trainees.byhand import ROUTINES, OwnHands
from sim.trainees.byhand.throttled import flutter, tone
from sim.trainees.craftwork import (
    GOOD_COVERAGE,
    GOOD_RESIDUAL,
    calibrate_compass,
    calibrate_faces,
    ready,
)
from sim.trainees.driver import Hands
from sim.trainees.others import to_the_pad
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


def test_every_form_has_its_routine():
    assert set(ROUTINES) == {key for key, check in CHECKS.items() if check.by_hand}


def test_calibrations_are_turned_by_hand_too():
    session, hands = own_hands()
    calibrate_compass(hands)
    calibrate_faces(hands)
    events = session.record().events
    assert not any(isinstance(e.action, act.Turn) for e in events)
    values = {e.reading.check: e.reading.values for e in events if e.reading}
    assert values["compass-calibration"]["coverage_share"] > GOOD_COVERAGE
    assert values["compass-calibration"]["residual_share"] < GOOD_RESIDUAL
    assert values["accelerometer-calibration"]["residual_m_s2"] < 0.05
    assert session.minutes > 1.0  # min; six turns of four seconds, six faces


@pytest.mark.parametrize("drill", ["quiet-morning", "club-loaner"])  # sound; hard iron
def test_the_compass_turned_by_hand_is_calibrated_as_in_steps(drill):
    stored = []
    for kind in (Hands, OwnHands):
        session = Session(load(drill), 1)
        calibrate_compass(kind(session, session))
        stored.append(session.rig.world.setup.compass)
    in_steps, by_hand = stored
    assert by_hand.offset_ut == pytest.approx(in_steps.offset_ut, abs=0.6)  # uT; noise of a fit
    assert by_hand.coverage > GOOD_COVERAGE


def test_a_tone_that_goes_up_and_down_flutters_and_one_that_rises_does_not():
    assert flutter([10.0, 14.0, 10.0, 14.0, 10.0]) == pytest.approx(8.0)
    assert flutter([10.0, 14.0, 18.0, 22.0]) == 0.0
    assert flutter([22.0, 18.0, 10.0]) == 0.0
    assert flutter([10.0, 16.0, 13.0]) == pytest.approx(3.0)
    assert flutter([10.0]) == 0.0
    assert tone(100.0) == 0.0
    assert tone(200.0) == pytest.approx(12.0)
    assert tone(0.0) == 0.0  # no tone at all


def light_s(fault):
    """Return for how long the throttle was kept up once the legs carried hardly anything."""
    faults = [{"id": fault, "severity": 0.5}] if fault else []
    told = {"title": "A test", "purpose": "Test", "origin": "invented", "faults": faults}
    session = Session(Scenario.model_validate(told), 1)
    hands = OwnHands(session, session)
    to_the_pad(hands)
    began = len(session.record().track)
    hands.do(act.Read(check="light-on-legs"))
    track = session.record().track
    weight_n = session.rig.craft.body.mass_kg * session.rig.craft.body.gravity_m_s2
    up = track["stick_throttle"] > 0.2
    light = up & (track["load_n"] < LIGHT_LOAD * weight_n)
    light[:began] = False
    return float(track["time_s"][up][-1] - track["time_s"][light][0])


def test_it_cuts_when_it_hears_a_loop_ring():
    assert light_s(None) > 2.5  # s; as long as one looks
    assert light_s("rate-gain-high") < 1.5


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
