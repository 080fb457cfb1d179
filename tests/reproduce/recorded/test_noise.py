"""What timing leaves open, and what loops that answer gusts hide."""

from types import SimpleNamespace
from typing import Any, cast

import numpy as np
import pytest

from sim.reproduce.recorded.features import Feature
from sim.reproduce.recorded.noise import LEFT, LIFTED, answered, noise_of, timing
from sim.reproduce.recorded.nuisance import BLADES, COLUMN_OF, NUISANCES

COLUMN = {name.replace(" ", "_"): i for name, i in COLUMN_OF.items()}
STEP_S = 0.02


def features(recorded, name="turning", axis=0):
    one = Feature(name, axis, 0.05 * np.arange(len(recorded), dtype=np.float64))
    return cast(
        Any,
        SimpleNamespace(
            list=[one],
            which=np.zeros(len(recorded), dtype=np.int64),
            recorded=np.asarray(recorded, dtype=float),
            flight=SimpleNamespace(step_s=STEP_S),
        ),
    )


def columns(n, **by_name):
    found = np.zeros((n, len(NUISANCES)))
    for name, values in by_name.items():
        found[:, COLUMN[name]] = values
    return found


def test_a_change_may_come_anywhere_between_two_rows():
    """The standard deviation of an even chance over a width is the width by the root of twelve."""
    late = columns(3, drives_late=[0.0, 0.003, -0.006], sticks_late=[0.0, 0.0, 0.008])
    sigma = {n.name: n.sigma for n in NUISANCES}
    off_s = STEP_S / np.sqrt(12.0)
    drives = np.array([0.0, 0.003, 0.006]) / sigma["drives late"] * off_s
    sticks = np.array([0.0, 0.0, 0.008]) / sigma["sticks late"] * off_s
    assert timing(late, STEP_S) == pytest.approx(np.hypot(drives, sticks))
    assert timing(columns(3, mass=1.0), STEP_S) == pytest.approx(np.zeros(3))


def test_what_is_left_open_makes_a_number_count_for_less():
    seen = features(np.zeros(4))
    scale = LEFT["turning", 0].scale * (STEP_S / 0.01) ** LEFT["turning", 0].grows
    noise = noise_of(seen, scale * np.array([0.0, 0.0, 1.0, 3.0]))
    assert noise.scale == pytest.approx([scale])
    assert noise.shape == pytest.approx(np.sqrt([1.0, 1.0, 2.0, 10.0]))


CALM, BUSY = slice(0, 80), slice(101, 109)


@pytest.fixture
def nudged():
    """Return changes of rate of a calm flight with one strong nudge in it."""
    recorded = 0.01 * np.random.default_rng(0).standard_normal(200)
    recorded[100:110] += 1.0
    return recorded


def test_loops_that_answer_gusts_hide_what_rotors_lift_in_calm_air_alone(nudged):
    """What one rotor lifts, and how late, counts where nothing much moves; as columns of a tenth of its pitch."""
    waves = np.sin(np.arange(200.0))
    found = answered(features(nudged), columns(200, blades_rear_left=waves))
    (own,) = [x for x in found.T if np.any(x)]
    share = own[CALM] @ waves[CALM] / (waves[CALM] @ waves[CALM]) / (LIFTED / BLADES)
    assert share == pytest.approx(0.5, abs=0.05)  # half where it is as calm as usual, by definition
    assert np.abs(own[BUSY]).max() < 0.01 * np.abs(own[CALM]).max()
    late = answered(features(nudged), columns(200, drives_late=waves))
    assert late.sum(axis=1) == pytest.approx(own / (LIFTED / BLADES))


def test_inertia_hides_wherever_it_turns_and_only_in_its_own_axis(nudged):
    waves = np.cos(np.arange(200.0))
    found = answered(features(nudged), columns(200, roll_inertia=waves))
    assert found.sum(axis=1) == pytest.approx(waves - waves.mean())
    assert not answered(features(nudged), columns(200, pitch_inertia=waves)).any()
    pitch = features(nudged, axis=1)
    assert answered(pitch, columns(200, pitch_inertia=waves)) == pytest.approx(found)
    assert not answered(features(nudged, "force"), columns(200, roll_inertia=waves)).any()


def test_what_holds_an_aircraft_level_is_never_hidden(nudged):
    """Steady drives hold up what is out of balance: no gust asks for them."""
    steady = columns(200, roll_inertia=0.3, drives_late=-0.2, blades_front_left=0.7)
    assert answered(features(nudged), steady) == pytest.approx(np.zeros((200, 6)))
    moving = columns(200, roll_inertia=0.3 + np.sin(np.arange(200.0)))
    assert answered(features(nudged), moving).mean(axis=0) == pytest.approx(np.zeros(6))
