"""Numbers worked out of what the model answers: what is chance in them, and what is not."""

from types import SimpleNamespace
from typing import Any, cast

import numpy as np
import pytest

from sim.kernel.forced import ANSWER
from sim.reproduce.recorded.features import AT, Features

STEP_S = 0.01
TIMES_S = STEP_S * np.arange(1200)
NOISE_M_S2 = 0.3
HZ, BEAT_HZ = 30.0, 0.7


def shake(apart_rad):
    """Return (recorded, predicted) of two rotors that turn nearly alike and begin so far apart."""
    one, other = 2.0 * np.pi * HZ * TIMES_S, 2.0 * np.pi * (HZ + BEAT_HZ) * TIMES_S + apart_rad
    felt = np.sin(one) + np.sin(other)
    air = np.ones(len(TIMES_S), dtype=bool)
    stub = SimpleNamespace(
        flight=SimpleNamespace(times_s=TIMES_S, step_s=STEP_S, air=air), _three=lambda _: [felt] * 3
    )
    ((_, recorded, make),) = Features._shake(cast(Any, stub))
    answers = np.zeros((len(TIMES_S), len(ANSWER)))
    answers[:, AT["accel_x_m_s2"]] = felt
    return recorded[0], make(answers, cast(Any, SimpleNamespace(accel_noise_m_s2=NOISE_M_S2)))[0]


def test_when_rotors_beat_is_chance_and_how_much_they_shake_is_not():
    """Two sines of one metre a second squared have the power of one, on the mean over their beats."""
    first, other = (shake(apart) for apart in (0.0, np.pi))
    assert np.ptp(first[0]) > 0.6  # half a second shows the beat
    assert np.abs(first[0] - other[0]).max() > 0.6
    assert np.abs(first[1] - other[1]).max() < 0.3  # at the ends the mean is over half as long
    assert np.median(first[1]) == pytest.approx(0.5 * np.log(1.0 + NOISE_M_S2**2), abs=0.1)


LEAN, REST = (0.02, -0.01), (0.12, -0.05)  # rad; on its legs, and what is shown there


def shown_off(aboard, rest=REST):
    angles = np.tile([*rest, 1.0], (4, 1))
    angles[2:] = 0.7  # tipping over
    flight = SimpleNamespace(aboard=aboard, rest=np.array([1, 1, 0, 0], dtype=bool), angles=angles)
    stub = SimpleNamespace(flight=flight)
    return Features._shown_off(cast(Any, stub), cast(Any, SimpleNamespace(lean=LEAN)))


def test_what_is_shown_aboard_is_off_by_what_it_shows_at_rest():
    """It stands on its legs there, so what it shows besides is the error of its level."""
    assert shown_off(aboard=True) == pytest.approx([-0.10, 0.04])
    assert shown_off(aboard=False) == pytest.approx([0.0, 0.0])
    assert shown_off(aboard=True, rest=(1.5, 0.0)) == pytest.approx([0.0, 0.0])  # a turned board
