"""Every airframe is heard as its rotors turn: pitch, loudness, colour."""

from math import log10, pi

import numpy as np
import pytest

from sim.aircraft import library
from sim.window.sound import RATE_HZ, Mixer, Rotors
from sim.window.sound.frame import FULL_CELL_V
from sim.window.sound.rotors import BLADES, REFERENCE, REFERENCE_M, REFERENCE_RAD_S, RotorVoice
from tests.window.sound.hearing import TURN_RAD, frame, heard, level_db, spectrum, strongest_hz

NAMES = library.names("airframes")
WARM = 4410  # samples; the fade-in is over


def steady(voice, rad_s, fitted=True, seconds=1):
    unlike = 1.0 + 0.02 * np.array([0.0, 0.31, -0.47, 0.83])
    speeds = np.tile(rad_s * unlike, (4, 1))
    voice.block(speeds, fitted, WARM)
    return voice.block(speeds, fitted, seconds * RATE_HZ)


def centre_hz(wave):
    """Middle of the power of a sound."""
    f_hz, power = spectrum(wave)
    return float((f_hz * power).sum() / power.sum())


@pytest.mark.parametrize("share", [0.45, 0.95])
@pytest.mark.parametrize("name", NAMES)
def test_pitch_is_blade_passing_up_to_the_top_speed(name, share):
    airframe = library.airframe(name)
    rad_s = share * Rotors.of(airframe).top_rad_s
    alone = np.array([[rad_s, 0.0, 0.0, 0.0]])
    voice = RotorVoice(Rotors.of(airframe))
    voice.block(alone, True, WARM)
    heard_hz = strongest_hz(voice.block(alone, True, RATE_HZ))
    assert heard_hz == pytest.approx(BLADES * rad_s / TURN_RAD, abs=1.0)  # Hz; a bin


@pytest.mark.parametrize("name", NAMES)
def test_top_speed_is_that_of_the_motor_on_a_full_pack(name):
    airframe = library.airframe(name)
    rpm = Rotors.of(airframe).top_rad_s * 30.0 / pi
    assert rpm == pytest.approx(airframe.motor.kv_rpm_v * airframe.cells * 4.2, rel=1e-6)
    assert FULL_CELL_V == 4.2


@pytest.mark.parametrize("diameter_m", [0.057, 0.127, 0.381])
def test_at_one_tip_speed_a_propeller_is_as_loud_as_it_is_wide(diameter_m):
    """A dipole of one shape: sound power as tip speed to the sixth, times blade area."""
    rad_s = REFERENCE_RAD_S * REFERENCE_M / diameter_m
    ours = level_db(steady(RotorVoice(Rotors(diameter_m, 2.5 * rad_s)), rad_s, seconds=3))
    theirs = level_db(steady(RotorVoice(), REFERENCE_RAD_S, seconds=3))
    assert ours - theirs == pytest.approx(20.0 * log10(diameter_m / REFERENCE_M), abs=0.5)


def test_twice_the_diameter_at_one_speed_is_twenty_four_decibels():
    """Tip speed doubles: 18 dB; area: 6 dB."""
    levels = [
        level_db(steady(RotorVoice(Rotors(d, 1500.0), hissing=False), 400.0, seconds=3))
        for d in (0.15, 0.30)
    ]
    assert levels[1] - levels[0] == pytest.approx(24.1, abs=0.3)


def test_small_propellers_hiss_higher():
    middles = []
    for diameter_m in (0.381, 0.254, 0.127):
        rad_s = REFERENCE_RAD_S * REFERENCE_M / diameter_m
        rotors = Rotors(diameter_m, 2.5 * rad_s)
        both = steady(RotorVoice(rotors), rad_s)
        tones = steady(RotorVoice(rotors, hissing=False), rad_s)
        middles.append(centre_hz(both - tones))
    assert middles[0] < 0.85 * middles[1] < 0.7 * middles[2]


@pytest.mark.parametrize("name", NAMES)
def test_a_bare_motor_at_its_top_speed_makes_no_false_low_tone(name):
    rotors = Rotors.of(library.airframe(name))
    alone = np.array([[rotors.top_rad_s, 0.0, 0.0, 0.0]])
    voice = RotorVoice(rotors)
    voice.block(alone, False, WARM)
    f_hz, power = spectrum(voice.block(alone, False, RATE_HZ))
    lowest_hz = 14.0 * rotors.top_rad_s / TURN_RAD
    assert power[f_hz < 0.95 * lowest_hz].sum() < 1e-3 * power.sum()


@pytest.mark.parametrize("name", NAMES)
def test_another_aircraft_is_heard_at_once(name):
    rotors = Rotors.of(library.airframe(name))
    rad_s = 0.5 * rotors.top_rad_s
    mixer = Mixer()
    heard(mixer, frame(np.full((4, 4), 300.0), rotors=REFERENCE), 0.3)
    wave = heard(
        mixer, frame(np.tile([rad_s, 0, 0, 0], (4, 1)), rotors=rotors, distance_m=0.5), 1.2
    )
    # the tail of a whole second: what is left of the change is over
    tone_hz = strongest_hz(wave[-RATE_HZ:].astype(float))
    assert tone_hz == pytest.approx(BLADES * rad_s / TURN_RAD, abs=1.5)
