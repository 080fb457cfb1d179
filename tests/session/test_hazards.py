"""Unsafe conduct as it arises in a drill: logged once, with its time, critical or not."""

from math import radians

import pytest

from sim.aircraft.changes import with_value
from sim.errors import Refusal
from sim.session import actions as act

CHECKED = "goggles spotter clear-ring on plug read:failsafe read:switches unplug fit pad plug read:people-and-room"
RUN_UP = CHECKED.replace("pad plug read:people-and-room", "clamp plug read:restrained-run-up")
TURN = "set:setup.transmitter.pitch.direction"


def logged(session):
    return [h.id for h in session.record().hazards]


def lifted(session, sticks):
    session.advance(sticks(), 0.5)
    for _ in range(200):
        session.advance(sticks(0.55), 0.02)
        if session.view().phase == "hop":
            return session
    raise AssertionError("it did not lift off")


@pytest.mark.parametrize(
    ("steps", "hazards"),
    [
        (CHECKED + " arm", []),
        ("fit on plug", ["power-with-props-on"]),
        ("on plug fit", ["power-with-props-on", "hands-on-live"]),
        ("clamp on plug fit", ["hands-on-live"]),
        ("fit clamp on plug remove", ["hands-on-live"]),
        ("fit clamp on plug cable", ["hands-on-live"]),
        ("fit clamp cable on plug", []),
        ("fit clamp on plug", []),
        ("fit clamp on plug unplug", []),  # by the plug, from outside the discs
        ("fit clamp on plug bench", ["power-with-props-on", "hands-on-live"]),
        (RUN_UP, []),
        (RUN_UP.replace("goggles ", ""), ["no-goggles"]),
        (RUN_UP.replace("spotter ", ""), ["no-spotter"]),
        (RUN_UP.replace("read:failsafe ", ""), ["arm-failsafe-untested"]),
        (RUN_UP.replace("read:switches ", ""), ["arm-stop-untested"]),
        (RUN_UP + " read:touch-after", ["hands-on-live"]),
        (RUN_UP + " unplug read:touch-after", []),
        (CHECKED + " read:settings-sheet read:propellers", []),  # looked at
        (CHECKED + " read:voltage-and-alarm", ["hands-on-live"]),  # probes of a meter
        (CHECKED + " read:look-and-tug", ["hands-on-live"]),
        (CHECKED.replace("goggles ", "") + " arm", ["no-goggles"]),
        (CHECKED.replace("read:failsafe ", "") + " arm", ["arm-failsafe-untested"]),
        (CHECKED.replace("read:switches ", "") + " arm", ["arm-stop-untested"]),
        (CHECKED.replace(" read:people-and-room", "") + " arm", ["area-unread"]),
        (CHECKED.replace("unplug", "set:setup.inputs.yaw=1 unplug") + " arm", ["arm-failsafe-untested", "arm-stop-untested"]),
        (CHECKED + " finish", ["still-plugged"]),
        (CHECKED + " unplug finish", []),
        ("on plug arm", []),  # on the bench, propellers off
    ],
)  # fmt: skip
def test_conduct(done, steps, hazards):
    assert logged(done(steps)) == hazards


@pytest.mark.parametrize("steps", ["", "clear-ring "])
def test_a_visitor_in_the_ring(done, steps):
    ready = CHECKED.replace("clear-ring ", steps)
    session = done(ready + " read:light-on-legs", "first-evening")
    assert logged(session) == ([] if steps else ["arm-person-inside-ring"])


@pytest.mark.parametrize("step", ["swap", "fit", "read:six-faces"])
def test_what_was_refused_was_not_done(done, action, step):
    session = done("fit clamp on plug")
    with pytest.raises(Refusal):
        session.do(action(step))
    assert logged(session) == []


def test_a_run_up_that_did_not_come_about_turned_nothing(done, action):
    session = done("fit clamp on plug set:setup.inputs.throttle=-1")
    with pytest.raises(Refusal):
        session.do(action("read:restrained-run-up"))
    assert logged(session) == []


@pytest.mark.parametrize(("words", "there"), [("", True), ("brief-abort ", False)])
def test_the_word_to_cut_is_agreed_before_propellers_turn(done, action, words, there):
    session = done(CHECKED.replace("fit", words + "fit"))
    if not words:
        world = with_value(session.rig.world, "conduct.abort_late_s", 1.0)
        session.rig.change(world)
    session.do(action("arm"))
    assert logged(session) == (["no-abort-word"] if there else [])


@pytest.mark.parametrize("withdrawn", [False, True])
def test_flying_with_a_fault_one_has_written_down(done, sticks, withdrawn):
    squawk = "squawk:pitch/pitch-channel-reversed " + ("withdraw:pitch " if withdrawn else "")
    session = lifted(done(squawk + CHECKED + " arm", "first-evening"), sticks)
    assert logged(session) == ([] if withdrawn else ["fly-known-fault"])


@pytest.mark.parametrize("proved", [False, True])
def test_flying_on_a_cure_nobody_proved(done, sticks, proved):
    fix = f"on plug {TURN}=-1 {TURN}=1 " + ("read:stick-display " if proved else "") + "unplug "
    session = lifted(done(fix + CHECKED + " arm"), sticks)
    assert logged(session) == ([] if proved else ["fly-unproved-fix"])


@pytest.mark.parametrize("again", [False, True])
def test_a_reading_that_comes_out_outside_proves_nothing(done, sticks, again):
    """The direction is right again, but a short end keeps the line outside until it is mended."""
    end = "set:setup.transmitter.pitch.low_us"
    fix = f"on plug {TURN}=-1 {TURN}=1 {end}=1250 read:stick-display {end}=1000 "
    proof = "read:stick-display " if again else ""
    session = lifted(done(fix + proof + "unplug " + CHECKED + " arm"), sticks)
    assert logged(session) == ([] if again else ["fly-unproved-fix"])


@pytest.mark.parametrize(("seconds", "late"), [(1.9, False), (2.1, True)])
def test_two_seconds_to_cut_after_a_cue(flying, sticks, seconds, late):
    """The cue is a lean past 25 deg (own abort rule); here it rolls over in rate mode."""
    session = flying()
    session.advance(sticks(0.55), 0.4)
    session.do(act.SetMode(self_level=False))
    while abs(session.view().aircraft.roll_rad) < radians(25.0):
        session.advance(sticks(0.6, roll=1.0), 0.02)
    cue_s = session.rig.time_s
    while session.rig.time_s < cue_s + seconds:  # it lies there, the motors still armed
        session.advance(sticks(0.0, roll=1.0), 0.02)
        assert session.view().crash or abs(session.view().aircraft.roll_rad) > radians(25.0)
    assert ("no-abort-within-2s" in logged(session)) == late


def test_cutting_in_time_is_no_hazard(flying, sticks):
    session = flying()
    session.advance(sticks(0.55), 0.4)
    while not session.view().crash:
        session.advance(sticks(0.7, roll=1.0), 0.02)
        if abs(session.view().aircraft.roll_rad) > 0.3 or session.view().aircraft.east_m > 1.2:
            session.do(act.Disarm())
            break
    session.advance(sticks(), 4.0)
    assert "no-abort-within-2s" not in logged(session)


def test_a_hazard_is_logged_once_with_its_time(done):
    session = done("fit on plug unplug plug")
    hazard, *rest = session.record().hazards
    assert rest == []
    assert hazard.critical
    assert hazard.time_s == pytest.approx(0.2)  # s; the transmitter was switched on first


def test_a_hazard_has_the_minute_of_the_evening(done):
    session = done("wait fit on plug")  # 0.5 + 3 min, then plugging in
    (hazard,) = session.record().hazards
    assert hazard.minutes == pytest.approx(3.5)
