"""Checks worked by hand in a session that do more than read: they turn, drive, lift, walk."""

from collections.abc import Callable

import pytest

from sim.bench.inputs import ALL, Inputs, Slider, Turning
from sim.errors import Refusal
from sim.session import actions as act
from sim.session.journal import Recorder, apply, digest, entries, step_of
from sim.session.scenario import load
from sim.session.session import Session
from sim.trainees.byhand.throttled import light_on_legs
from sim.trainees.byhand.turned import compass_turns
from sim.trainees.craftwork import COMPASS_TURNS, GOOD_COVERAGE, GOOD_RESIDUAL
from sim.trainees.driver import Hands
from sim.trainees.others import to_the_pad

HOVER = 0.487  # of throttle; the sheet's
LIGHT = act.Begin(check="light-on-legs")


@pytest.fixture
def on_pad() -> Callable[[], Session]:
    """Return a session on the pad, propellers on, everything done that has to be."""

    def made() -> Session:
        session = Session(load("quiet-morning"), 1)
        to_the_pad(Hands(session, session))
        return session

    return made


@pytest.fixture
def lifted(on_pad, sticks):
    """Return a session after the throttle was pushed to a value for a time, on the pad, armed."""

    def made(throttle: float, seconds: float) -> Session:
        session: Session = on_pad()
        session.do(LIGHT)
        session.advance(sticks(), 0.5)
        session.do(act.Arm())
        session.advance(sticks(throttle), seconds)
        return session

    return made


def test_a_jerk_too_many_is_a_takeoff(lifted, sticks):
    session = lifted(0.55, 1.5)
    assert session.phase == "hop"
    assert session.record().takeoff_s is not None
    assert "light-on-legs" not in session.view().facts


def test_gently_it_stays_on_its_legs(on_pad):
    session = on_pad()
    session.do(LIGHT)
    light_on_legs(Hands(session, session))
    reading = session.do(act.Done()).reading
    assert session.phase == "pad"
    assert session.record().takeoff_s is None
    assert reading is not None
    assert reading.missing == ()
    assert "light-on-legs" in session.view().facts


def test_light_on_the_legs_with_somebody_in_reach_is_the_hazard_it_is(on_pad, sticks):
    session = on_pad()
    bare = session.rig.world.conduct.model_copy(update={"goggles_on": False})
    session.rig.change(session.rig.world.model_copy(update={"conduct": bare}))
    session.do(LIGHT)
    session.advance(sticks(), 0.5)
    assert not session.record().hazards
    session.do(act.Arm())
    assert session.record().hazards


def test_the_eye_sees_how_far_the_legs_are_unloaded(on_pad, sticks):
    session = on_pad()
    session.advance(sticks(), 0.5)
    assert session.view().aircraft.on_legs_share == pytest.approx(1.0, abs=0.02)
    session.do(act.Arm())
    session.advance(sticks(0.5 * HOVER), 1.0)
    half = session.view().aircraft.on_legs_share
    assert half == pytest.approx(0.75, abs=0.08)  # thrust grows with the square
    assert half == pytest.approx(round(half, 2), abs=1e-9)


def test_turned_by_hand_about_every_axis_the_compass_is_covered(done):
    session = done("on plug floor compass-start")
    compass_turns(Hands(session, session), COMPASS_TURNS)
    reading = session.do(act.Calibrate(what="compass-finish")).reading
    assert reading is not None
    assert reading.values["coverage_share"] > GOOD_COVERAGE
    assert reading.values["residual_share"] < GOOD_RESIDUAL


def test_turned_about_one_axis_alone_it_is_not(done, sticks):
    session = done("on plug floor compass-start")
    session.advance(Inputs(sticks(), Turning(yaw=1.0)), 8.0)
    try:
        reading = session.do(act.Calibrate(what="compass-finish")).reading
    except Refusal:
        return
    assert reading is not None
    assert reading.values["coverage_share"] < GOOD_COVERAGE


def test_on_the_plate_it_is_set_down_with_its_nose_another_way(done):
    session = done("on plug stand")
    session.do(act.Turn(heading_deg=180.0))
    seen = session.view().aircraft
    assert abs(seen.heading_rad) == pytest.approx(3.1416, abs=0.01)
    assert seen.loaded
    shown = [session.rig.value(f"estimator.attitude.{axis}") for axis in "wz"]
    assert abs(shown[1]) > 0.9  # the controller has followed the turn
    with pytest.raises(Refusal, match="hands"):
        session.do(act.Turn(roll_deg=30.0))


def test_on_the_pad_it_is_not_turned_that_way(on_pad):
    session = on_pad()
    with pytest.raises(Refusal, match="hands"):
        session.do(act.Turn(heading_deg=90.0))


def test_armed_it_is_not_lifted_from_the_plate(done, sticks):
    session = done("on plug stand")
    session.advance(sticks(), 0.5)
    session.do(act.Arm())
    with pytest.raises(Refusal):
        session.do(act.Turn(heading_deg=90.0))


def test_from_thirty_paces_the_link_loses_more_and_the_aircraft_is_as_it_was(done, sticks):
    session = done("on plug")
    before = session.rig.world
    near = session.advance(sticks(), 6.0)
    session.do(act.Begin(check="range-walk"))
    far = session.advance(sticks(), 6.0)
    assert session.rig.world == before
    assert frames(far) < frames(near)
    session.do(act.Begin(check="six-faces"))
    again = session.advance(sticks(), 6.0)
    assert abs(frames(again) - frames(near)) <= 1  # one on the way


def frames(history) -> int:
    came = (history["time_s"] - history["frame_age_s"]).round(3)
    return len(set(came.tolist()))


def test_all_four_on_the_slider_are_driven_and_replayed(sticks):
    lines: list[str] = []
    session = Session(load("quiet-morning"), 3)
    hand = Recorder(session, lines.append, "quiet-morning")
    for step in (act.SwitchTransmitter(on=True), act.PlugPack()):
        hand.do(step)
    hand.advance(Inputs(sticks(), None, Slider(ALL, 0.3)), 1.0)
    assert min(session.rig.value(f"rotors.{i}.motor.speed_rad_s") for i in range(4)) > 200.0
    again = Session(load("quiet-morning"), 3)
    for entry in list(entries("".join(lines)))[1:]:
        apply(again, step_of(entry))
    assert digest(again.rig.fingerprint()) == digest(session.rig.fingerprint())
