"""Checks by hand in a session: begun, worked at, read; what ends them; what they cost and tell."""

import numpy as np
import pytest

from sim.bench.inputs import Inputs, Slider, Turning
from sim.errors import Refusal
from sim.kernel.clock import TICK_S
from sim.session import actions as act
from sim.session.journal import Recorder, apply, digest, entries, step_of
from sim.session.scenario import load
from sim.session.session import Session

FRAMES_S = (0.016, 0.017, 0.017)  # s; sixty a second


def let(drives, inputs, seconds=0.3):
    for n in range(round(seconds * 60)):
        drives.advance(inputs, FRAMES_S[n % 3])


def moved(drives, sticks, *channels):
    for channel in channels:
        for at in (-1.0, 1.0):
            let(drives, sticks(**{channel: at}))
            let(drives, sticks())


@pytest.fixture
def ready(done) -> Session:
    return done("on plug")


BEGIN = act.Begin(check="stick-display")


def test_half_and_half_make_a_whole(ready, sticks):
    ready.do(BEGIN)
    assert ready.view().doing == "stick-display"
    moved(ready, sticks, "pitch")
    first = ready.do(act.Done())
    assert first.reading is not None
    assert "pitch_low_us" in first.reading.values
    assert "roll_low_us" in first.reading.missing
    assert "stick-display" not in ready.view().facts
    ready.do(BEGIN)
    moved(ready, sticks, "roll", "yaw")
    for at in (0.5, 1.0, 0.0):
        let(ready, sticks(at))
    whole = ready.do(act.Done()).reading
    assert whole is not None
    assert whole.missing == ()
    assert whole.values["pitch_low_us"] == first.reading.values["pitch_low_us"]
    assert "stick-display" in ready.view().facts
    assert ready.record().events[-1].reading == whole


def test_what_became_due_again_meanwhile_is_not_joined(ready, sticks, action):
    ready.do(BEGIN)
    moved(ready, sticks, "pitch")
    ready.do(act.Done())
    ready.do(action("set:setup.transmitter.pitch.direction=-1"))
    ready.do(BEGIN)
    moved(ready, sticks, "roll")
    reading = ready.do(act.Done()).reading
    assert reading is not None
    assert "pitch_low_us" in reading.missing


def test_it_takes_the_time_it_took_and_no_more(ready, sticks):
    before = ready.minutes
    let(ready, sticks(), 3.0)
    assert ready.minutes == before  # time between acts is nobody's
    ready.do(BEGIN)
    assert ready.view().doing_s == 0.0
    let(ready, sticks(), 6.0)
    assert ready.minutes - before == pytest.approx(0.1, abs=1e-9)  # min; 6 s
    assert ready.view().doing_s == pytest.approx(6.0, abs=TICK_S)
    moved(ready, sticks, "roll")
    spent = ready.minutes
    ready.do(act.Done())
    assert ready.minutes == spent
    assert ready.view().doing is None
    let(ready, sticks(), 1.0)
    assert ready.minutes == spent


def test_thirty_paces_there_and_back_take_their_time(ready, sticks):
    before = ready.minutes
    ready.do(act.Begin(check="range-walk"))
    assert ready.minutes - before == pytest.approx(2.0 * 30.0 / 90.0)  # paces, of ninety a minute
    let(ready, sticks(), 6.0)
    assert ready.minutes - before == pytest.approx(2.0 * 30.0 / 90.0 + 0.1)


@pytest.mark.parametrize("begins", ["compass-start", "face-start"])
def test_hands_at_a_calibration_take_the_time_they_take(ready, sticks, action, begins):
    ready.do(act.Calibrate.model_validate({"what": begins}))
    before = ready.minutes
    let(ready, Inputs(sticks(), Turning(roll=1.0, pitch=0.3)), 6.0)
    assert ready.minutes - before == pytest.approx(0.1, abs=1e-9)  # min; 6 s
    ready.do(action("unplug"))
    after = ready.minutes
    let(ready, sticks(), 6.0)
    assert ready.minutes == after


def test_nothing_done_is_refused_and_stays_open(ready, sticks):
    with pytest.raises(Refusal, match="No check has been begun"):
        ready.do(act.Done())
    ready.do(BEGIN)
    let(ready, sticks())
    with pytest.raises(Refusal, match="No stick has moved"):
        ready.do(act.Done())
    assert ready.view().doing == "stick-display"
    moved(ready, sticks, "roll")
    assert ready.do(act.Done()).reading is not None


def test_needs_are_asked_as_for_the_check_itself(done, action):
    for steps, reason in (("", "powered"), ("on plug arm", "disarmed")):
        session = done(steps)
        with pytest.raises(Refusal) as by_hand:
            session.do(BEGIN)
        with pytest.raises(Refusal) as read:
            session.do(action("read:stick-display"))
        assert str(by_hand.value) == str(read.value)
        assert reason in by_hand.value.reasons
    with pytest.raises(Refusal, match="one look"):
        done("").do(act.Begin(check="people-and-room"))


@pytest.mark.parametrize("ends", ["unplug", "read:stick-display", "set:setup.controller.idle=0.09"])
def test_other_work_ends_it_unread(ready, action, ends):
    ready.do(BEGIN)
    ready.do(action(ends))
    assert ready.view().doing is None


def test_notes_arming_and_carrying_belong_to_it(ready, sticks, action):
    ready.do(BEGIN)
    for word in ("arm", "disarm", "squawk:pack/low-volt-alarm-unset"):
        ready.do(action(word))
    ready.do(act.Turn(roll_deg=10.0))
    ready.do(act.SetMode(self_level=False))
    assert ready.view().doing == "stick-display"


def test_hands_turn_only_what_they_hold(done, sticks):
    session = done("on plug")
    turning = Inputs(sticks(), Turning(yaw=1.0))
    session.advance(turning, 0.1)
    session.do(act.Carry(to="bench", hold="standing"))
    tick = session.rig.tick
    with pytest.raises(Refusal, match="not in your hands"):
        session.advance(turning, 0.1)
    assert session.rig.tick == tick


def test_a_hand_at_a_live_aircraft_is_the_hazard_it_is(done, sticks):
    session = done("on fit plug")
    session.advance(Inputs(sticks(), Turning(roll=0.2)), 0.1)
    assert "hands-on-live" in {h.id for h in session.record().hazards}


def test_the_motor_test_wants_power_and_no_arming(done, sticks, action):
    session = done("on")
    test = Inputs(sticks(), motor=Slider("front_left", 0.2))
    with pytest.raises(Refusal, match="plug the pack in"):
        session.advance(test, 0.5)
    session.do(action("plug"))
    session.advance(test, 0.5)
    speeds = [session.rig.value(f"rotors.{i}.motor.speed_rad_s") for i in range(4)]
    assert sum(speed > 50.0 for speed in speeds) == 1  # rad/s
    session.advance(sticks(), 0.1)
    session.do(action("arm"))
    with pytest.raises(Refusal, match="Disarm before"):
        session.advance(test, 0.5)


def turned_deg(session, sticks, rate, seconds):
    """Return how far to the right of north it points after the hands have turned it."""
    let(session, Inputs(sticks(), Turning(yaw=rate)), seconds)
    let(session, sticks(), 1.0)
    return float(np.degrees(session.view().aircraft.heading_rad))


def test_the_cable_ends_a_turn_and_the_telemetry_radio_does_not(done, sticks, action):
    session = done("on plug cable")
    tight = turned_deg(session, sticks, 1.0, 1.9)
    assert 105.0 < tight < 115.0  # deg; 2 rad, less what the cable pulls
    assert "taut" in session.do(act.Turn(heading_deg=170.0)).words
    assert abs(float(np.degrees(session.view().aircraft.heading_rad)) - tight) < 3.0
    assert session.do(act.Turn(heading_deg=60.0)).words == "Turned."
    session.do(act.Turn())
    session.do(act.Cable(plugged=False))
    assert turned_deg(session, sticks, 1.0, 1.9) == pytest.approx(174.0, abs=3.0)
    assert session.do(act.Turn(heading_deg=170.0)).words == "Turned."


@pytest.mark.parametrize(
    "inputs",
    [
        lambda s: Inputs(s(), Turning(roll=1.5)),
        lambda s: Inputs(s(), Turning(yaw=float("nan"))),
        lambda s: Inputs(s(), motor=Slider("front_left", 1.01)),
        lambda s: Inputs(s(), motor=Slider("aft", 0.1)),  # type: ignore[arg-type]
    ],
)
def test_hands_that_can_not_be_are_no_input(ready, sticks, inputs):
    with pytest.raises(ValueError, match=r"must lie in|turn at|one of"):
        ready.advance(inputs(sticks), 0.1)


def test_live_handling_replays_bit_for_bit(sticks):
    lines: list[str] = []
    session = Session(load("quiet-morning"), 3)
    hand = Recorder(session, lines.append, "quiet-morning")
    for action in (act.SwitchTransmitter(on=True), act.PlugPack(), BEGIN):
        hand.do(action)
    for n in range(60):
        turning = Turning(roll=0.3 if n < 30 else -0.2, yaw=0.01 * n) if n % 7 else None
        hand.advance(Inputs(sticks(roll=0.1), turning), FRAMES_S[n % 3])
    hand.do(act.Turn(pitch_deg=20.0))
    hand.advance(Inputs(sticks(), motor=Slider("rear_left", 0.15)), 0.3)
    moved(hand, sticks, "roll")
    hand.do(act.Done())
    again = Session(load("quiet-morning"), 3)
    for entry in list(entries("".join(lines)))[1:]:
        apply(again, step_of(entry))
        assert digest(again.rig.fingerprint()) == entry.content["state"]
    assert again.record().events[-1].reading == session.record().events[-1].reading
