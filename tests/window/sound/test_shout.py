"""The spotter's call: how loud, how often, how far."""

import numpy as np
import pytest

from sim.window.sound import RATE_HZ, Mixer
from sim.window.sound.signals import (
    SHOUT_AGAIN_S,
    SHOUT_DB,
    SHOUT_HZ,
    SHOUT_S,
    SHOUT_TOP_HZ,
    Calls,
    shout,
)
from tests.window.sound.hearing import frame, heard, level_db, spectrum


def test_as_loud_as_a_shout_and_a_voice_in_pitch():
    wave = shout()
    assert len(wave) == round(SHOUT_S * RATE_HZ)
    assert level_db(wave) == pytest.approx(SHOUT_DB, abs=1.5)
    f_hz, power = spectrum(np.concatenate([wave, np.zeros(RATE_HZ - len(wave))]))
    voiced = power[(f_hz > 0.8 * SHOUT_HZ) & (f_hz < SHOUT_TOP_HZ)].sum()
    assert voiced > 0.85 * power.sum()
    assert power[f_hz < 0.7 * SHOUT_HZ].sum() < 0.01 * power.sum()


def test_called_again_and_again_while_it_is_needed():
    calls = Calls()
    on = calls.block(True, round(3 * SHOUT_AGAIN_S * RATE_HZ))
    each = np.abs(on).reshape(3, -1)
    loud = round(SHOUT_S * RATE_HZ)
    assert (each[:, :loud].max(axis=1) > 0.3).all()  # Pa
    assert each[:, loud + 1 :].max() == 0.0
    calls.block(False, RATE_HZ // 10)
    assert not calls.block(False, RATE_HZ).any()


def test_twice_as_far_is_six_decibels_less_and_the_aircrafts_distance_is_no_matter():
    def level(shout_m, distance_m=3.0):
        given = frame(shout_m=shout_m, distance_m=distance_m)
        return level_db(heard(Mixer(), given, 2 * SHOUT_AGAIN_S)[RATE_HZ // 4 :])

    assert level(4.0) - level(8.0) == pytest.approx(6.02, abs=0.1)
    assert level(4.0, 1.0) == pytest.approx(level(4.0, 9.0), abs=1e-9)


def test_nobody_calls_unasked():
    assert not heard(Mixer(), frame(), 1.5).any()
