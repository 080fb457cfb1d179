"""The display, the meter and the senses: what they say agrees with the sensors, setup and link."""

import numpy as np
import pytest

from sim.aircraft.changes import with_value
from sim.bench.inputs import Inputs, Slider, Turning
from sim.bench.rig import COLUMN, HANDS_OFF, History
from sim.kernel.clock import TICK_S
from sim.kernel.radio import Sticks
from sim.session import actions as act
from sim.session.display import AGE, FEEDS, PULSES, TIME, Instruments
from sim.session.perceived import heard_rpm
from sim.session.scenario import load
from sim.session.session import Session
from sim.units import RAD_S_PER_RPM

CENTRE = Sticks(0.0, 0.0, 0.0, 0.0, 1.0, 1.0, 0.0)
SOUND, REVERSED = "quiet-morning", "first-evening"
SETTLED_S = 0.6  # s; longer than telemetry's period and lag together


def begun(drill=SOUND, *, cable=False):
    session = Session(load(drill), 3)
    session.do(act.SwitchTransmitter(on=True))
    session.do(act.PlugPack())
    if cable:
        session.do(act.Cable(plugged=True))
        session.do(act.Connect(by="cable", rate_bd=115200))
    return session


def shown_by(session):
    display = session.view().display
    assert display is not None
    return display.by


def held(session, **moved):
    session.advance(CENTRE._replace(**moved), SETTLED_S)
    return session.view().display


def test_nothing_is_shown_without_pack_or_connection():
    session = Session(load(SOUND), 3)
    assert session.view().display is None
    session.do(act.Cable(plugged=True))
    session.do(act.Connect(by="cable", rate_bd=115200))
    assert session.view().display is None  # the cable alone feeds no instruments
    session.do(act.PlugPack())
    assert shown_by(session) == "cable"
    session.do(act.UnplugPack())
    assert session.view().display is None


def test_a_fresh_board_shows_nothing_until_a_connection_is_open():
    session = Session(load(SOUND).model_copy(update={"blank": ("software",)}), 3)
    session.rig.change(with_value(session.rig.world, "build.board_blank", False))
    session.do(act.PlugPack())
    assert session.view().display is None
    session.do(act.Connect(by="telemetry", rate_bd=57600))
    assert shown_by(session) == "telemetry"
    session.do(act.Disconnect())
    assert session.view().display is None


def test_sticks_move_the_channels_with_sign_and_size():
    session = begun()
    rest = held(session)
    assert rest.roll_pct == pytest.approx(0.0, abs=1.0)
    assert rest.throttle_pct == pytest.approx(0.0, abs=1.0)
    right = held(session, roll=0.5)
    assert right.roll_pct == pytest.approx(50.0, abs=2.0)
    assert right.roll_us - rest.roll_us == pytest.approx(250.0, abs=12.0)
    assert right.pitch_pct == pytest.approx(0.0, abs=1.0)
    assert held(session, pitch=0.5).pitch_pct == pytest.approx(50.0, abs=2.0)
    assert held(session, yaw=-0.5).yaw_pct == pytest.approx(-50.0, abs=2.0)
    assert held(session, throttle=0.25).throttle_pct == pytest.approx(25.0, abs=2.0)


def test_a_reversed_channel_shows_reversed():
    back = held(begun(REVERSED), pitch=0.5)
    assert back.pitch_pct == pytest.approx(-50.0, abs=2.0)


@pytest.mark.parametrize(("cable", "oldest_s"), [(True, 0.06), (False, 0.45)])
def test_the_link_has_its_own_rate_and_lag(cable, oldest_s):
    session = begun(cable=cable)
    held(session)
    feed = FEEDS["cable" if cable else "telemetry"]
    ages, changes, last = [], 0, None
    for i in range(200):  # 2 s
        session.advance(CENTRE._replace(roll=i / 400.0), 0.01)
        shown = session.view().display
        ages.append(shown.age_s)
        changes += shown.roll_us != last
        last = shown.roll_us
    assert min(ages) == pytest.approx(feed.lag_s, abs=0.011)  # rows are 0.01 s apart
    assert max(ages) == pytest.approx(oldest_s, abs=0.021)
    assert changes == pytest.approx(2.0 / feed.period_s, abs=1)


@pytest.mark.parametrize("by", ["cable", "telemetry"])
def test_a_set_is_shown_in_the_very_tick_it_arrives(by):
    session, feed = begun(cable=by == "cable"), FEEDS[by]
    sets = round(session.rig.time_s / feed.period_s) + 1
    for k in range(sets, sets + 40):
        arrives = round((k * feed.period_s + feed.lag_s) / TICK_S)
        session.advance(CENTRE, (arrives - session.rig.tick) * TICK_S)
        assert session.view().display.age_s == pytest.approx(feed.lag_s, abs=1e-9), k


def heard(instruments, until_s, *, age_s, pulse_us, motor_test=False):
    """Let instruments hear half a second in which the link was as it was."""
    rows = np.zeros((50, len(COLUMN)))
    rows[:, TIME] = until_s + 0.01 * np.arange(-49, 1)
    rows[:, AGE], rows[:, PULSES] = age_s, pulse_us
    instruments.hear(History(rows), motor_test)


def test_while_the_motor_test_runs_the_link_stands_as_it_was_last():
    rig, instruments = begun().rig, Instruments()
    now_s = rig.time_s
    heard(instruments, now_s - 1.0, age_s=0.0, pulse_us=1200.0)
    heard(instruments, now_s - 0.5, age_s=0.5, pulse_us=1700.0)
    heard(instruments, now_s, age_s=0.0, pulse_us=1000.0, motor_test=True)
    shown = instruments.display(rig, "cable", CENTRE)
    assert shown is not None
    assert shown.roll_us == shown.throttle_us == 1700.0
    assert (
        shown.lost_pct > 90.0
    )  # what is shown is a little old and reaches back into the good part


def test_the_motor_test_alone_shows_no_link():
    rig, instruments = begun().rig, Instruments()
    heard(instruments, rig.time_s, age_s=0.0, pulse_us=1500.0, motor_test=True)
    shown = instruments.display(rig, "cable", CENTRE)
    assert shown is not None
    assert (shown.roll_us, shown.lost_pct) == (0.0, 100.0)


def test_a_moved_stick_shows_late_by_telemetry_and_soon_by_cable():
    for cable, after_s, seen in ((True, 0.15, True), (False, 0.15, False), (False, 0.6, True)):
        session = begun(cable=cable)
        held(session)
        session.advance(CENTRE._replace(roll=0.8), after_s)
        assert (session.view().display.roll_pct > 40.0) is seen, (cable, after_s)


def test_attitude_heading_and_rates_follow_the_hands():
    session = begun(cable=True)
    session.do(act.Carry(to="bench", hold="hands"))
    for turn, angle, rate in (
        (Turning(roll=0.3), "roll_deg", "roll_rate_deg_s"),
        (Turning(pitch=0.3), "pitch_deg", "pitch_rate_deg_s"),
        (Turning(yaw=0.3), "heading_deg", "yaw_rate_deg_s"),
    ):
        before = getattr(session.view().display, angle)
        session.advance(Inputs(CENTRE, turn), 0.4)
        shown = session.view().display
        expected = 0.3 * session.rig.craft.hold.turn_limit_rad_s * 180.0 / np.pi
        assert getattr(shown, rate) == pytest.approx(expected, rel=0.35), rate
        session.advance(Inputs(CENTRE), 0.3)
        moved = (getattr(session.view().display, angle) - before + 180.0) % 360.0 - 180.0
        assert moved > 8.0, angle
        session.do(act.Turn())


def test_the_display_is_what_the_sensors_say():
    session = begun(cable=True)
    shown = held(session)
    rig = session.rig
    assert shown.pack_v == pytest.approx(rig.shown_pack_v, abs=0.05)
    assert shown.cell_v == pytest.approx(
        shown.pack_v / rig.world.setup.controller.alarm_cells, abs=0.006
    )
    assert shown.field_ut == pytest.approx(50.0, abs=6.0)  # uT; the shipped site's field
    assert shown.lost_pct == 0.0
    assert "Ready to arm." in shown.messages


def test_the_scale_of_the_voltage_is_that_of_the_setup():
    session = begun(cable=True)
    before = held(session).pack_v
    session.do(act.Set(key="setup.controller.volt_scale", value=1.1))
    assert held(session).pack_v == pytest.approx(1.1 * before, rel=0.01)


def test_no_frame_counts_as_lost_however_often_the_link_is_looked_at():
    session = begun(cable=True)
    session.do(act.Carry(to="bench", hold="hands"))
    session.rig.change(with_value(session.rig.world, "build.radio.loss_near", 0.0))
    for check in (None, "stick-display"):  # rows 10 ms and 2 ms apart
        if check is not None:
            session.do(act.Begin(check=check))
        for i in range(60):
            session.advance(CENTRE, 0.017)
            view = session.view()
            assert view.display is not None
            assert view.display.lost_pct == 0.0, i


def test_what_came_last_and_in_the_second_before_is_as_in_one_long_table():
    rng, instruments = np.random.default_rng(4), Instruments()
    rows = np.zeros((4000, len(COLUMN)))
    rows[:, TIME] = 0.001 * np.arange(1, 4001)
    rows[:, AGE] = rng.uniform(0.0, 0.1, 4000)
    at = 0
    while at < 4000:
        to = at + int(rng.integers(1, 60))
        instruments.hear(History(rows[at:to]), motor_test=False)
        at = to
        heard = rows[: min(at, 4000)]
        until_s = heard[-1, TIME] - rng.uniform(0.0, 0.3)
        there = heard[heard[:, TIME] <= until_s]
        found = instruments._until(until_s)
        assert (found is None) is (len(there) == 0)
        if found is None:
            continue
        last, ages_s = found
        lately = there[:, TIME] > there[-1, TIME] - 1.0
        assert np.array_equal(last, there[-1])
        assert sorted(ages_s) == sorted(there[lately, AGE])


def test_lost_frames_are_counted_and_a_lost_link_is_told():
    session = begun(cable=True)
    session.rig.change(with_value(session.rig.world, "build.radio.loss_near", 0.4))
    shares = []
    for _ in range(10):
        session.advance(CENTRE, 1.0)
        shares.append(session.view().display.lost_pct)
    assert np.mean(shares) == pytest.approx(40.0, abs=8.0)
    session.do(act.SwitchTransmitter(on=False))
    session.advance(HANDS_OFF, 2.0)
    gone = session.view().display
    assert gone.lost_pct == 100.0
    assert "There is no link to the transmitter." in gone.messages


def test_the_motor_test_moves_a_command_and_not_the_channels():
    session = begun(cable=True)
    before = held(session)
    session.advance(Inputs(CENTRE, None, Slider("rear_right", 0.3)), 0.5)
    view = session.view()
    assert view.display.rear_right_pct == pytest.approx(30.0, abs=1.0)
    assert view.display.throttle_us == before.throttle_us
    assert view.display.messages == ("The motor test drives an output.",)
    turning = {place for place, motor in view.motors.items() if motor.turning}
    assert len(turning) == 1
    (place,) = turning
    assert view.motors[place].heard_rpm > 1000.0
    assert view.motors[place].spin == 0  # too fast for the eye
    for _ in range(100):
        session.advance(CENTRE, 0.05)
        motor = session.view().motors[place]
        if motor.spin:
            break
    clockwise = session.rig.world.airframe.clockwise
    assert motor.spin == (1 if place in clockwise else -1)


def test_the_transmitters_own_meter_shows_its_pack_while_it_is_on():
    session = Session(load(SOUND), 3)
    assert session.view().transmitter is None
    session.do(act.SwitchTransmitter(on=True))
    fresh = session.rig.world.build.radio.transmitter_pack_v
    meter = session.view().transmitter
    assert meter is not None
    assert meter.pack_v == pytest.approx(fresh, abs=0.051)


def test_hands_feel_trembling_and_the_pull_of_the_cable():
    session = begun(cable=True)
    session.do(act.Carry(to="bench", hold="hands"))
    assert session.view().felt.pull_n_m == 0.0
    session.advance(Inputs(CENTRE, Turning(roll=1.0)), 1.2)
    session.advance(Inputs(CENTRE, Turning(roll=0.0)), 0.5)
    felt = session.view().felt
    assert felt.pull_n_m > 0.0
    assert felt.lifts in ("front_right", "rear_right")  # it lies right side down; it is drawn back
    session.do(act.Carry(to="bench", hold="standing"))
    assert session.view().felt is None


def test_looking_changes_nothing():
    one, other = begun(cable=True), begun(cable=True)
    for i in range(30):
        for session in (one, other):
            session.advance(CENTRE._replace(roll=0.02 * i), 0.017)
        one.view()
    assert one.view().display == other.view().display
    assert one.rig.fingerprint() == other.rig.fingerprint()


@pytest.mark.parametrize(
    ("rpm", "heard"), [(99.0, 0.0), (100.0, 100.0), (800.0, 800.0), (4100.0, 4032.0)]
)
def test_an_ear_names_a_speed_to_a_semitone(rpm, heard):
    assert heard_rpm(rpm * RAD_S_PER_RPM) == heard
