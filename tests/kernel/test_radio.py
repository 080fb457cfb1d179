"""From sticks to commands, frame by frame."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sim.kernel import radio
from sim.kernel.radio import Channel, Input, RadioState, Sticks

PLAIN = Channel(1.0, 1000.0, 1500.0, 2000.0, 0.0)
INPUT = Input(1.0, 1000.0, 1500.0, 2000.0)
UNHEARD = RadioState(
    (1500.0, 1500.0, 1000.0, 1500.0), (1500.0, 1500.0, 1000.0, 1500.0), 0.0, 0.0, 0.0
)
STICKS = Sticks(0.5, -0.5, 0.25, 1.0, 1.0, 1.0, 0.0)


@pytest.fixture(scope="module")
def params(craft):
    return craft.radio._replace(jitter_us=0.0)


@pytest.mark.parametrize(
    ("pulse", "share"),
    [(1500.0, 0.0), (1000.0, -1.0), (2000.0, 1.0), (1250.0, -0.5), (800.0, -1.0), (2200.0, 1.0)],
)
def test_pulses_understood(pulse, share):
    assert radio.understood(pulse, INPUT) == share
    assert radio.understood(pulse, INPUT._replace(direction=-1.0)) == -share


@given(st.floats(-1.0, 1.0), st.sampled_from([1.0, -1.0]), st.sampled_from([1.0, -1.0]))
def test_two_reversals_cancel(stick, sent, read):
    pulse = radio.pulse_us(stick, PLAIN._replace(direction=sent))
    share = radio.understood(pulse, INPUT._replace(direction=read))
    # 1500 us hold thirteen digits below the microsecond
    assert share == pytest.approx(sent * read * stick, abs=1e-12)
    sense = radio.stick_sense(PLAIN._replace(direction=sent), INPUT._replace(direction=read))
    assert sense == sent * read


def test_end_points_and_trim():
    short = Channel(1.0, 1100.0, 1500.0, 1800.0, 0.0)
    assert radio.pulse_us(1.0, short) == 1800.0
    assert radio.pulse_us(-1.0, short) == 1100.0
    assert radio.pulse_us(1.0, short._replace(direction=-1.0)) == 1100.0
    assert radio.pulse_us(0.0, short._replace(trim_us=25.0)) == 1525.0


def followed(params, ticks, sticks=STICKS, state=UNHEARD, start=0, seed=1):
    random, states = np.uint64(seed), []
    for tick in range(start, start + ticks):
        random, state = radio.relayed(np.uint64(random), tick, state, sticks, params)
        states.append(state)
    return states


def test_frames_leave_and_arrive_on_time(params):
    """A frame leaves every 10 ms and arrives 6 ms later."""
    states = followed(params, 60)
    heard = [s.last_frame_tick for s in states]
    arrivals = [tick for tick in range(1, 60) if heard[tick] != heard[tick - 1]]
    assert arrivals == [6, 16, 26, 36, 46, 56]
    assert states[5].linked == 0.0
    assert states[6].linked == 1.0
    assert states[6].pulse_us == (1750.0, 1250.0, 1250.0, 2000.0)
    command = radio.command(states[6].pulse_us, params)
    assert command == pytest.approx((0.5, -0.5, 0.25, 1.0), abs=1e-12)


def test_a_stick_is_heard_with_the_frame_after(params):
    state = followed(params, 31)[-1]
    moved = followed(params, 30, STICKS._replace(roll=-1.0), state, start=31)
    assert [s.pulse_us[0] for s in moved[:15]] == [1750.0] * 15  # ticks 31 to 45
    assert moved[15].pulse_us[0] == 1000.0


@pytest.mark.parametrize("latency", [6.0, 10.0, 20.0])
def test_frames_arrive_however_long_they_travel(params, latency):
    """An airframe file allows 1 to 40 ms of latency with frames of 4 to 40 ms."""
    slow = params._replace(frame_ticks=10.0, latency_ticks=latency)
    assert followed(slow, 100)[-1].linked == 1.0


def test_lost_frames(params):
    assert all(s.linked == 0.0 for s in followed(params._replace(loss_chance=1.0), 600))
    some = followed(params._replace(loss_chance=0.3), 20_000)
    heard = len({s.last_frame_tick for s in some} - {0.0})
    # 2000 frames with 0.7 of success: spread 20
    assert heard == pytest.approx(1400, abs=60)


def test_link_is_lost_after_the_timeout(params):
    state = followed(params, 100)[-1]
    silent = followed(params, 700, STICKS._replace(transmitter_on=0.0), state, start=100)
    lost = next(k for k, s in enumerate(silent) if s.linked == 0.0) + 100
    assert lost == state.last_frame_tick + params.timeout_ticks + 1
    assert silent[-1].pulse_us == state.pulse_us  # the last pulses stay


def test_jitter_is_whole_microseconds_of_the_stated_size(craft):
    shaky = craft.radio._replace(jitter_us=3.0)
    pulses = np.array([s.pulse_us[0] for s in followed(shaky, 20_000)[10::10]])
    assert np.all(pulses == np.round(pulses))
    # 2000 frames: spread known to 1.6 %, and rounding adds 1/12 us2
    assert pulses.std() == pytest.approx(np.hypot(3.0, 1.0 / np.sqrt(12.0)), rel=0.05)


@pytest.mark.parametrize("stops", [True, False])
def test_failsafe(quiet, hovering, stops):
    chosen = quiet.radio._replace(failsafe_stops=1.0 if stops else 0.0)
    flight, sticks = hovering(quiet._replace(radio=chosen))
    flight.run(0.3, sticks)
    before = flight.value("radio.pulse_us.2")
    seen = flight.run(1.0, sticks._replace(transmitter_on=0.0, throttle=0.0))
    if stops:
        stopped = seen["time_s"][np.argmax(seen["armed"] == 0.0)]
        # s; half a second of timeout after a frame up to 16 ms old
        assert 0.3 + 0.48 < stopped < 0.3 + 0.51
        flight.run(0.5, sticks)  # the link comes back: it must not arm itself
        assert flight.value("armed") == 0.0
    else:
        assert seen["armed"].min() == 1.0
        assert flight.value("radio.pulse_us.2") == before
