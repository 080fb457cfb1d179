"""The rotors' sound against what blade passing, dipoles and edges do."""

from functools import partial

import numpy as np
import pytest

from sim.window.sound import RATE_HZ
from sim.window.sound.rotors import BLADES, HARMONICS, REFERENCE_RAD_S, RotorVoice
from tests.window.sound.hearing import TURN_RAD, level_db, spectrum, steady, strongest_hz

SECOND = RATE_HZ
WARM = 4410  # samples; the fade-in is over


def one_rotor(turns_per_s):
    speeds = np.zeros((1, 4))
    speeds[0, 0] = turns_per_s * TURN_RAD
    return speeds


def sounding(voice, speeds, fitted=True, samples=SECOND):
    voice.block(speeds[:1], fitted, WARM)
    return voice.block(speeds, fitted, samples)


@pytest.mark.parametrize("turns_per_s", [40.0, 81.0, 130.0])
def test_the_strongest_tone_is_blade_passing(turns_per_s):
    tone = sounding(RotorVoice(), one_rotor(turns_per_s))
    assert strongest_hz(tone) == pytest.approx(BLADES * turns_per_s, abs=1.0)  # Hz; a bin


def test_harmonics_fall_off_one_by_one():
    f_hz, power = spectrum(sounding(RotorVoice(hissing=False), one_rotor(80.0)))
    tops = [power[np.argmin(abs(f_hz - BLADES * 80.0 * (k + 1)))] for k in range(HARMONICS)]
    assert np.all(np.diff(tops) < 0.0)
    assert power[f_hz > BLADES * 80.0 * (HARMONICS + 0.5)].sum() < 1e-4 * sum(tops)


def test_unequal_rotors_beat_at_the_difference_of_their_blade_passing():
    speeds = one_rotor(80.0)
    speeds[0, 1] = 82.0 * TURN_RAD  # 4 Hz apart in blade passing
    tone = sounding(RotorVoice(hissing=False), speeds)
    swell = np.square(tone).reshape(-1, 441).mean(axis=1)  # power every 10 ms
    swell -= swell.mean()
    strength = abs(np.fft.rfft(swell))
    assert np.argmax(strength) == pytest.approx(4, abs=0)  # Hz; one-second window


@pytest.mark.parametrize("rows_per_s", [200, 1000])
def test_a_ringing_loop_is_heard_as_sidebands(rows_per_s):
    ring_hz, blade_hz = 16, 160.0
    t = np.arange(1, rows_per_s + 1) / rows_per_s
    speeds = np.zeros((rows_per_s, 4))
    speeds[:, 0] = TURN_RAD * (blade_hz / BLADES) * (1 + 0.02 * np.sin(TURN_RAD * ring_hz * t))
    f_hz, power = spectrum(sounding(RotorVoice(hissing=False), speeds))
    carrier = power[f_hz == blade_hz][0]
    for side_hz in (blade_hz - ring_hz, blade_hz + ring_hz):
        at = power[f_hz == side_hz][0]
        # frequency modulation of index 0.02 * 160 / 16 = 0.2 alone gives (0.2 / 2)^2 = 1 %;
        # loudness as the cube of speed adds to one side and takes from the other
        assert 0.003 < at / carrier < 0.03
        assert at > 100 * power[(f_hz > side_hz + 4) & (f_hz < side_hz + 10)].max()
    quiet = spectrum(sounding(RotorVoice(hissing=False), one_rotor(blade_hz / BLADES)))[1]
    assert quiet[f_hz == blade_hz + ring_hz][0] < 1e-6 * carrier


def test_loudness_grows_as_a_loading_source():
    """Twice the tip speed: 15 to 18 dB, the fifth to sixth power."""
    levels = [
        level_db(sounding(RotorVoice(), steady(n, unlike=0.02), samples=2 * SECOND))
        for n in (50.0, 100.0)
    ]
    assert 15.0 <= levels[1] - levels[0] <= 18.1


def test_hover_is_as_loud_as_was_measured():
    """Acoustics 4 (2022) 297: some 86 dB of sound power, 78 dB at 1 m over a hard floor."""
    speeds = steady(REFERENCE_RAD_S / TURN_RAD, unlike=0.02)
    assert level_db(sounding(RotorVoice(), speeds, samples=3 * SECOND)) == pytest.approx(78, abs=1)


def test_bare_motors_whine_at_the_magnet_poles_and_far_more_quietly():
    whine = sounding(RotorVoice(), one_rotor(60.0), fitted=False)
    assert strongest_hz(whine) == pytest.approx(14 * 60.0, abs=1.0)  # Hz; 14 magnet poles
    assert level_db(whine) < level_db(sounding(RotorVoice(), one_rotor(60.0))) - 10.0


def test_a_rotor_at_rest_is_silent():
    assert not sounding(RotorVoice(), one_rotor(0.0)).any()


@pytest.mark.parametrize("bad", [np.nan, np.inf, -1e9, 1e300])
def test_whatever_a_crash_does_to_speeds_the_sound_stays_finite(bad):
    speeds = steady()
    speeds[2, 1] = bad
    assert np.isfinite(sounding(RotorVoice(), speeds)).all()


def test_turned_either_way_it_sounds_the_same():
    assert np.array_equal(sounding(RotorVoice(), steady()), sounding(RotorVoice(), -steady()))


def test_no_rows_keeps_the_sound_from_failing():
    assert RotorVoice().block(np.zeros((0, 4)), True, 100).shape == (100,)


def test_the_same_speeds_give_the_same_sound():
    play = partial(sounding, speeds=steady())
    assert np.array_equal(play(RotorVoice()), play(RotorVoice()))


def test_a_pause_fades_the_tone_where_it_is():
    """No glide down in pitch: the loud part of the fade is still at blade passing."""
    voice = RotorVoice(hissing=False)
    sounding(voice, one_rotor(100.0))
    fade = voice.block(np.zeros((1, 4)), True, 4410)
    assert not fade[1764:].any()  # 40 ms
    crossings = np.flatnonzero(np.diff(np.signbit(voice_band(fade[:1320]))))
    halves = np.diff(crossings)
    assert np.median(halves) == pytest.approx(RATE_HZ / 200.0 / 2.0, rel=0.05)


def voice_band(wave):
    """The part of a wave below 300 Hz, by smoothing over the second harmonic's period."""
    return np.convolve(wave, np.ones(110) / 110, mode="valid")  # samples; 400 Hz
