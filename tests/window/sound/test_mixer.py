"""All sounds together: level, seams, limits, and each signal."""

import numpy as np
import pytest

from sim.window.sound import RATE_HZ, Mixer
from sim.window.sound.mixer import HIGHEST_SAMPLE, KNEE, softened
from sim.window.sound.rotors import REFERENCE_RAD_S, RotorVoice
from sim.window.sound.signals import ALARM_HZ, BURST_EVERY_S, PULSE_S, Alarm, burst, click, thud
from tests.window.sound.hearing import (
    TURN_RAD,
    band_db,
    frame,
    heard,
    level_db,
    steady,
    strongest_hz,
)

HOVER = REFERENCE_RAD_S / TURN_RAD  # turns/s
FADED = 8820  # samples, 0.2 s; every fade is over


def settled(given, seconds=1.0):
    return heard(Mixer(), given, 0.2 + seconds)[FADED:]


def test_twice_as_far_is_six_decibels_less():
    near, far = (settled(frame(steady(60.0), distance_m=d)) for d in (3.0, 6.0))
    assert level_db(near) - level_db(far) == pytest.approx(6.02, abs=0.05)


def test_the_volume_goes_down_to_silence():
    loud, half, off = (settled(frame(steady(60.0), volume=v)) for v in (1.0, 0.5, 0.0))
    assert level_db(half) < level_db(loud) - 6.0
    assert not off.any()
    assert np.array_equal(settled(frame(steady(60.0), volume=7.0)), loud)


def test_one_block_is_two_halves():
    """Cut in two, speeds and all, the samples are the same but for rounding."""
    rows = np.concatenate([steady(70.0), steady(75.0, unlike=0.02)])
    whole, parts = Mixer(), Mixer()
    one = [whole.block(frame(rows, alarm=True, crash=True), 1024) for _ in range(6)]
    two = [
        parts.block(frame(half, alarm=True, crash=True), 512)
        for _ in range(6)
        for half in (rows[:4], rows[4:])
    ]
    difference = np.concatenate(one).astype(int) - np.concatenate(two)
    assert abs(difference).max() <= 1  # the last bit


def test_no_seam_between_blocks():
    """A step across a seam is no larger than steps within blocks: nothing is special there."""
    mixer, blocks = Mixer(), []
    for k in range(400):
        speeds = steady(70.0 + 20.0 * np.sin(k / 7.0), unlike=0.01, rows=1)
        blocks.append(mixer.block(frame(speeds, alarm=k > 100, crash=k == 200), 735))
    wave = np.concatenate(blocks).astype(int)
    steps = abs(np.diff(wave))
    seams = np.zeros(len(steps), dtype=bool)
    seams[734::735] = True
    assert steps[seams].max() <= steps[~seams].max()
    assert abs(wave[0]) <= 1


def test_tones_never_step_more_than_their_slope_allows():
    """Bernstein: a sum of tones up to f is nowhere steeper than 2 pi f times its largest value.

    It holds where the speeds asked for jump as well: the ramps within a block see to that.
    """
    voice, blocks = RotorVoice(hissing=False), []
    for turns_per_s in (0.0, 60.0, 100.0, 60.0, 0.0, 90.0, 0.0, 0.0, 0.0):
        blocks.append(voice.block(steady(turns_per_s, rows=1), True, 735))
    wave = np.concatenate(blocks)
    whole = voice.block(steady(100.0, rows=1), True, RATE_HZ)[FADED:]
    highest_hz = 16 * 100.0  # the highest harmonic at the highest speed
    bound = abs(whole).max() * 1.02 * TURN_RAD * highest_hz / RATE_HZ  # 2 %: the fades
    assert abs(np.diff(wave)).max() <= bound
    assert abs(wave[-1]) < 1e-12


@pytest.mark.parametrize("jump", ["volume", "distance_m", "props_fitted", "alarm", "crash"])
def test_a_jump_in_the_frame_is_no_jump_in_the_sound(jump):
    before = {"volume": 1.0, "distance_m": 3.0, "props_fitted": True, "alarm": True, "crash": True}
    after = {"volume": 0.0, "distance_m": 30.0, "props_fitted": False, "alarm": False}
    speeds = steady(50.0)
    mixer = Mixer()
    first = heard(mixer, frame(speeds, **{jump: before[jump]}), 0.5)
    second = heard(mixer, frame(speeds, **{jump: after.get(jump, False)}), 0.5)
    seam = abs(int(second[0]) - int(first[-1]))
    assert seam <= abs(np.diff(first.astype(int))).max()


def test_the_loudest_of_all_is_not_clipped():
    """Full throttle at arm's length, alarm and crash: below the largest sample, and never flat."""
    mixer = Mixer()
    heard(mixer, frame(steady(150.0), distance_m=0.5, alarm=True), 0.3)
    wave = heard(mixer, frame(steady(150.0), distance_m=0.5, alarm=True, crash=True), 0.5)
    top = abs(wave.astype(int)).max()
    assert 0.9 * HIGHEST_SAMPLE < top <= HIGHEST_SAMPLE


def test_hover_leaves_the_limiter_alone():
    wave = settled(frame(steady(HOVER, unlike=0.01)), 3.0)
    assert 0.05 * HIGHEST_SAMPLE < abs(wave.astype(int)).max() < KNEE * HIGHEST_SAMPLE


def test_the_limiter_bends_and_never_turns_back():
    x = np.linspace(-5.0, 5.0, 10001)
    y = softened(x)
    assert np.all(np.diff(y) >= 0.0)
    assert abs(y).max() <= 1.0
    assert np.diff(y).max() <= np.diff(x).max() * (1 + 1e-9)
    assert np.array_equal(y, -softened(-x))
    inside = abs(x) <= KNEE
    assert np.array_equal(y[inside], x[inside])


def test_the_alarm_is_three_pulses_and_a_pause():
    wave = burst()
    assert len(wave) / RATE_HZ == pytest.approx(BURST_EVERY_S)
    loud = abs(wave).reshape(-1, 441).max(axis=1) > 0.05  # every 10 ms
    begins = np.flatnonzero(np.diff(loud.astype(int)) == 1)
    assert loud.sum() * 0.01 == pytest.approx(3 * PULSE_S, abs=0.05)
    assert loud[0] + len(begins) == 3
    assert strongest_hz(wave) == pytest.approx(ALARM_HZ, abs=1.0)


def test_the_alarm_is_heard_over_the_hover():
    """ISO 7731 (from memory): in some third of an octave 13 dB above what masks it."""
    voice, speeds = RotorVoice(), steady(HOVER, unlike=0.02)
    voice.block(speeds, True, 4410)
    rotors = voice.block(speeds, True, RATE_HZ)
    pulse = burst()[: round(PULSE_S * RATE_HZ)]
    over = [band_db(pulse, ALARM_HZ * k) - band_db(rotors, ALARM_HZ * k) for k in range(1, 6)]
    assert max(over) >= 13.0  # dB


def test_the_alarm_begins_at_once_and_from_its_first_pulse():
    alarm = Alarm()
    first = alarm.block(True, 4410)
    alarm.block(True, 30_000)
    assert not alarm.block(False, 4410)[882:].any()  # 20 ms of fade
    again = alarm.block(True, 4410)
    assert abs(first).max() > 0.1
    assert np.array_equal(first, again)


def test_a_crash_is_heard_once_also_over_a_pause():
    mixer, still = Mixer(), np.zeros((1, 4))
    heard(mixer, frame(steady(60.0)), 0.3)
    struck = heard(mixer, frame(still, crash=True), 1.0)
    assert abs(struck.astype(int)).max() > 0.3 * HIGHEST_SAMPLE
    assert not struck[-RATE_HZ // 4 :].any()
    heard(mixer, frame(still), 0.2)  # a pause shows nothing
    assert not heard(mixer, frame(still, crash=True), 0.5).any()
    heard(mixer, frame(steady(60.0)), 0.2)  # another flight
    assert abs(heard(mixer, frame(still, crash=True), 0.1).astype(int)).max() > 8000


def test_a_click_is_heard_at_any_distance():
    mixer = Mixer()
    heard(mixer, frame(distance_m=50.0), 0.2)
    mixer.click()
    wave = heard(mixer, frame(distance_m=50.0), 0.2)
    assert 500 < abs(wave.astype(int)).max() < 0.3 * HIGHEST_SAMPLE
    assert not wave[-2000:].any()


@pytest.mark.parametrize("shot", [thud(), click()])
def test_short_sounds_begin_and_end_at_nothing(shot):
    assert shot[0] == 0.0
    assert abs(shot[-1]) < 1e-9
    assert abs(shot[-44:]).max() < 0.01 * abs(shot).max()


def test_the_same_frames_give_the_same_samples():
    given = frame(steady(), alarm=True)
    assert np.array_equal(heard(Mixer(), given, 0.5), heard(Mixer(), given, 0.5))


def test_a_fade_in_starts_from_silence():
    mixer = Mixer()
    heard(mixer, frame(steady()), 0.5)
    mixer.fade_in()
    wave = abs(mixer.block(frame(steady()), 2205).astype(int))
    assert wave[:20].max() <= 0.01 * wave.max()


@pytest.mark.parametrize("samples", [0, 1, 2, 5000])
def test_any_length_can_be_asked_for(samples):
    wave = Mixer().block(frame(steady(rows=17)), samples)
    assert wave.dtype == np.int16
    assert wave.shape == (samples,)
