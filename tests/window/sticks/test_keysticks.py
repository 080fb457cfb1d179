"""Sticks moved by keys."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sim.aircraft.fields import CHANNELS
from sim.window.keys import BY_NAME
from sim.window.sticks.keysticks import CUT, FIRM, PUSHES, THROTTLE_FINE, KeyFeel, KeySticks
from sim.window.sticks.positions import Positions

FRAME_S = 1.0 / 60.0
FEEL = KeyFeel()
NOTHING: frozenset[str] = frozenset()
KEYS = (*(key for pair in PUSHES.values() for key in pair), FIRM, CUT)
held_keys = st.frozensets(st.sampled_from(KEYS))
runs = st.lists(st.tuples(held_keys, st.floats(0.0, 0.7)), max_size=12)


def moved(sticks: KeySticks, seconds: float, *held: str) -> Positions:
    where = sticks.step(frozenset(held), 0.0)
    for _ in range(round(seconds / FRAME_S)):
        where = sticks.step(frozenset(held), FRAME_S)
    return where


def test_every_key_is_an_act_of_the_window():
    assert set(KEYS) <= BY_NAME.keys()


@given(runs)
def test_positions_stay_within_the_sticks(run):
    sticks = KeySticks()
    for held, dt_s in run:
        where = sticks.step(held, dt_s)
        assert 0.0 <= where.throttle <= 1.0
        assert all(abs(where.of(name)) <= 1.0 for name in CHANNELS)


@given(runs, st.integers(1, 7))
def test_many_short_steps_end_where_one_long_step_does(run, parts):
    whole, split = KeySticks(), KeySticks()
    for held, dt_s in run:
        one = whole.step(held, dt_s)
        for _ in range(parts):
            many = split.step(held, dt_s / parts)
        for name in CHANNELS:
            assert many.of(name) == pytest.approx(one.of(name), abs=1e-9)


@pytest.mark.parametrize("function", ["roll", "pitch", "yaw"])
@pytest.mark.parametrize("way", [0, 1])
def test_a_held_key_goes_to_the_gentle_end_and_a_firm_one_to_the_whole(function, way):
    sticks, sense = KeySticks(), (-1.0, 1.0)[way]
    key = PUSHES[function][way]
    assert sense * moved(sticks, 1.0, key).of(function) == FEEL.gentle_share
    assert sense * moved(sticks, 1.0, key, FIRM).of(function) == 1.0
    assert moved(sticks, 1.0).of(function) == 0.0
    assert sense * moved(sticks, 1.0, key).of(function) == FEEL.gentle_share


@pytest.mark.parametrize("function", ["roll", "pitch", "yaw"])
@pytest.mark.parametrize("way", [0, 1])
def test_a_stick_pushed_further_by_firm_stays_there_as_long_as_its_key_is_held(function, way):
    sticks, sense = KeySticks(), (-1.0, 1.0)[way]
    key, other = PUSHES[function][way], PUSHES[function][1 - way]
    far = moved(sticks, 0.3, key, FIRM).of(function)
    assert sense * far == pytest.approx(0.3 * FEEL.push_1_s)
    assert moved(sticks, 2.0, key).of(function) == far
    assert sense * moved(sticks, FRAME_S).of(function) == pytest.approx(
        sense * far - FEEL.spring_1_s * FRAME_S
    )
    assert sense * moved(sticks, 1.0, other).of(function) == -FEEL.gentle_share


def test_the_way_out_is_smooth_and_the_way_back_quicker():
    sticks = KeySticks()
    out = [moved(sticks, FRAME_S, "roll-right", FIRM).roll for _ in range(20)]
    steps = [b - a for a, b in pairwise(out)]
    assert all(s == pytest.approx(FEEL.push_1_s * FRAME_S) for s in steps)
    before = out[-1]
    assert before - moved(sticks, FRAME_S).roll == pytest.approx(FEEL.spring_1_s * FRAME_S)


def test_opposite_keys_cancel():
    where = moved(KeySticks(), 0.5, "yaw-left", "yaw-right", "stick-up", "stick-down")
    assert where == Positions(0.0, 0.0, 0.0, 0.0)


def test_the_throttle_starts_slowly_then_runs_and_stays():
    sticks = KeySticks()
    first = moved(sticks, FRAME_S, "stick-up").throttle
    assert first == pytest.approx(FEEL.throttle_slow_1_s * FRAME_S, rel=0.05)
    late = moved(sticks, FEEL.throttle_warm_up_s, "stick-up").throttle
    one_more = moved(sticks, FRAME_S, "stick-up").throttle
    assert one_more - late == pytest.approx(FEEL.throttle_quick_1_s * FRAME_S)
    assert moved(sticks, 5.0).throttle == one_more
    tapped = moved(sticks, FRAME_S, "stick-down").throttle
    assert one_more - tapped == pytest.approx(FEEL.throttle_slow_1_s * FRAME_S, rel=0.05)


def test_firm_moves_the_throttle_quickly_at_once():
    where = moved(KeySticks(), FRAME_S, "stick-up", FIRM)
    assert where.throttle == pytest.approx(FEEL.throttle_quick_1_s * FRAME_S)


def test_a_cut_is_at_once_and_holds_until_the_key_is_let_go():
    sticks = KeySticks()
    moved(sticks, 1.5, "stick-up")
    assert sticks.step(frozenset({"stick-up", CUT}), FRAME_S).throttle == 0.0
    assert moved(sticks, 1.0, "stick-up").throttle == 0.0
    assert moved(sticks, FRAME_S).throttle == 0.0
    assert moved(sticks, 0.5, "stick-up").throttle > 0.05


def test_sticks_can_be_put_somewhere():
    sticks = KeySticks()
    sticks.set(Positions(0.5, 0.0, 0.4, 0.0))
    assert sticks.step(NOTHING, 0.0) == Positions(0.5, 0.0, 0.4, 0.0)
    assert moved(sticks, 1.0) == Positions(0.0, 0.0, 0.4, 0.0)


def test_a_fine_stroke_moves_the_throttle_once_however_long_it_is_held():
    sticks = KeySticks()
    sticks.set(Positions(0.0, 0.0, 0.4, 0.0))
    up = frozenset({"fine-up"})
    for _ in range(10):
        where = sticks.step(up, FRAME_S)
    assert where.throttle == pytest.approx(0.4 + THROTTLE_FINE)
    sticks.step(NOTHING, FRAME_S)
    assert sticks.step(up, FRAME_S).throttle == pytest.approx(0.4 + 2 * THROTTLE_FINE)
    assert sticks.step(frozenset({"fine-down"}), FRAME_S).throttle == pytest.approx(
        0.4 + THROTTLE_FINE
    )
    assert 0.002 <= THROTTLE_FINE <= 0.006  # a hover's throttle is found within a per cent
    sticks.set(Positions(0.0, 0.0, 0.0, 0.0))
    sticks.step(NOTHING, FRAME_S)
    assert sticks.step(frozenset({"fine-down"}), FRAME_S).throttle == 0.0
