"""What timing leaves open, and what loops that answer gusts hide."""

from types import SimpleNamespace
from typing import Any, cast

import numpy as np
import pytest

from sim.reproduce.recorded.features import Feature
from sim.reproduce.recorded.noise import LEFT, answered, noise_of, timing
from sim.reproduce.recorded.nuisance import NUISANCES

NAMES = [n.name for n in NUISANCES]
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
        found[:, NAMES.index(name.replace("_", " "))] = values
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


def test_loops_that_answer_gusts_hide_what_turns_it_in_calm_air_alone():
    recorded = 0.01 * np.random.default_rng(0).standard_normal(200)
    recorded[100:110] += 1.0
    found = answered(features(recorded), columns(200, roll_inertia=1.0))
    assert found[:, 1:] == pytest.approx(np.zeros((200, 2)))
    assert found[:80, 0].mean() > 0.4
    assert found[101:109, 0].max() < 0.01
