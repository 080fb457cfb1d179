"""Bands from invented distributions whose percentiles are known."""

from math import inf, nan

import numpy as np
import pytest
from scipy.stats import norm

from sim.bench import bands as kept
from sim.diagnosis.sound import bands_of, edges, outside, rounded_out, shown, step
from sim.keys import CheckKey

RAILS: CheckKey = "rails"


def test_inner_edges_hold_95_in_100_and_outer_edges_lie_at_four_sigma():
    e = edges(np.random.default_rng(1).normal(10.0, 2.0, 20_000).tolist())
    assert e.middle == pytest.approx(10.0, abs=0.05)
    assert (e.low_inner, e.high_inner) == pytest.approx(
        (10.0 - 2.0 * norm.ppf(0.975), 10.0 + 2.0 * norm.ppf(0.975)), abs=0.1
    )
    assert (e.low_outer, e.high_outer) == pytest.approx((2.0, 18.0), abs=0.35)


def test_each_side_has_its_own_width():
    """A value that only grows from what is good has a wide side and a narrow one."""
    e = edges(np.abs(np.random.default_rng(2).normal(0.0, 1.0, 20_000)).tolist())
    median, high = norm.ppf(0.75), norm.ppf(0.9875)
    assert e.high_inner == pytest.approx(high, abs=0.05)
    assert e.high_outer == pytest.approx(median + (high - median) * 4.0 / norm.ppf(0.975), rel=0.05)
    assert e.low_inner == pytest.approx(norm.ppf(0.5125), abs=0.01)
    assert -0.75 < e.low_outer < e.low_inner


def test_a_line_that_never_changes_has_a_band_without_width():
    e = edges([3.0] * 50)
    assert e == edges([3.0])
    assert {e.low_outer, e.low_inner, e.middle, e.high_inner, e.high_outer} == {3.0}


def test_outer_edges_never_lie_inside_what_was_shown():
    e = edges([*np.linspace(-1.0, 1.0, 200), 9.0])
    assert e.high_inner < 1.0
    assert e.high_outer == pytest.approx(9.0 + step([*np.linspace(-1.0, 1.0, 200), 9.0]), abs=1e-5)


def test_one_step_of_the_instrument_is_added():
    rough = np.round(np.random.default_rng(3).normal(0.0, 4.0, 4000)).tolist()
    assert step(rough) == 1.0
    e = edges(rough)
    assert e.high_outer == pytest.approx(8.0 * 4.0 / norm.ppf(0.975) + 1.0, abs=1e-4)
    assert e.low_outer == pytest.approx(-8.0 * 4.0 / norm.ppf(0.975) - 1.0, abs=1e-4)


def test_what_takes_few_values_has_no_step_that_would_hide_the_next():
    assert step([0.0, 0.0, 1.0]) == 0.25
    assert edges([0.0] * 99 + [1.0]).high_outer == 1.25
    assert step([5.0, 5.0]) == 0.0


def test_the_last_bits_of_equal_values_are_no_step():
    assert step([0.1 + 0.2, 0.3, 0.5, 0.7, 0.9, 1.1]) == pytest.approx(0.2)


def test_a_band_holds_what_is_fresh_and_what_is_warm():
    fresh, warm = [20.0, 20.5, 21.0, 21.5, 22.0], [30.0, 30.5, 31.0, 31.5, 32.0]
    e = edges(fresh, [[], warm])
    assert (e.low_inner, e.high_inner) == (20.0, 32.0)
    ways = 21.0 - 1.0 * 4.0 / norm.ppf(0.975) - 0.5, 31.0 + 1.0 * 4.0 / norm.ppf(0.975) + 0.5
    assert (e.low_outer, e.high_outer) == pytest.approx(ways, abs=1e-4)
    assert e.middle in (22.0, 30.0)


def test_the_humps_of_an_evening_are_stretched_one_by_one():
    rested, used = [4.16, 4.165, 4.17, 4.175, 4.18], [4.06, 4.065, 4.07, 4.075, 4.08]
    e = edges([], [rested, used])
    assert (e.low_inner, e.high_inner) == (4.06, 4.18)
    assert e.low_outer == pytest.approx(4.07 - 0.01 * 4.0 / norm.ppf(0.975) - 0.005, abs=1e-4)


def test_a_single_false_impression_leaves_the_inner_edge_where_it_is():
    """Each round is too small for percentiles of its own: one in thirty would be its edge."""
    rounds = [[0.0] * 29 + [1.0], *([[0.0] * 30] * 5)]
    e = edges([0.0] * 240, rounds)
    assert (e.high_inner, e.high_outer) == (0.0, 1.25)


def test_what_cannot_be_read_lies_above_and_spoils_no_edge():
    readings = [(RAILS, {"stop_s": nan if n % 4 == 0 else 0.3 + 0.01 * n}) for n in range(40)]
    (band,) = bands_of(shown(readings), [], 40, 0)
    assert band.high_inner == band.high_outer == inf
    assert band.side(nan, "outer") is None
    assert band.side(0.01, "outer") == "below"
    (dark,) = bands_of({(RAILS, "stop_s"): [inf] * 9}, [], 9, 0)
    assert dark.side(0.3, "outer") == "below"


def test_needs_values():
    with pytest.raises(ValueError, match="needs"):
        edges([])


@pytest.mark.parametrize(
    ("value", "up", "expected"),
    [
        (1234567.0, True, 1234570.0),
        (1234567.0, False, 1234560.0),
        (0.123456789, True, 0.123457),
        (0.123456789, False, 0.123456),
        (-0.123456789, True, -0.123456),
        (-9.9999999, False, -10.0),
        (9.9999999, False, 9.9999),
        (0.97, True, 0.97),
        (0.97, False, 0.97),
        (0.0, True, 0.0),
        (inf, True, inf),
    ],
)
def test_edges_are_rounded_outwards(value, up, expected):
    assert rounded_out(value, up) == expected


def test_bands_are_kept_as_they_were_measured(tmp_path):
    rng = np.random.default_rng(4)
    readings = [(RAILS, {"v": float(rng.normal(5.0, 0.1)), "n": 1234567.0}) for _ in range(60)]
    rows = bands_of(shown(readings[:40]), [shown(readings[40:])], 40, 20)
    assert [(row.measure, row.builds, row.evenings) for row in rows] == [
        ("v", 40, 20),
        ("n", 40, 20),
    ]
    kept.save(rows, tmp_path / "craft.csv")
    again = kept.read(tmp_path / "craft.csv")
    assert list(again.values()) == rows
    assert outside(again, shown(readings), "outer") == []
    assert outside(again, {(RAILS, "n"): [1234568.0], (RAILS, "v"): [5.0]}, "outer") == []
    assert outside(again, {(RAILS, "n"): [1.0], (RAILS, "v"): [5.0]}, "outer") == [(RAILS, "n")]


def test_a_new_build_is_outside_as_often_as_the_edges_say():
    """Normal lines: 5 in 100 outside the inner edges, next to none outside the outer ones."""
    rng = np.random.default_rng(5)
    readings = [
        (RAILS, {f"l{n}": x for n, x in enumerate(rng.normal(0, 1, 50))}) for _ in range(400)
    ]
    band = {(b.check, b.measure): b for b in bands_of(shown(readings[:200]), [], 200, 0)}
    each = [shown([one]) for one in readings[200:]]
    assert sum(len(outside(band, one, "inner")) for one in each) / 10_000 == pytest.approx(
        0.05, abs=0.01
    )
    assert sum(len(outside(band, one, "outer")) for one in each) <= 5


def test_a_hand_once_misread_makes_no_band_of_both():
    """What lies on the other side is told; a count that was once imagined stays within reach."""
    eye: CheckKey = "propellers-in-hand"
    read = [1.0] * 400 + [-1.0]
    readings = [(eye, {"rear_left_hand_sign": one, "knocks_count": 1.0 - one}) for one in read]
    sign, count = bands_of(shown(readings), [], 401, 0)
    assert (sign.low_outer, sign.low_inner, sign.middle) == (1.0, 1.0, 1.0)
    assert sign.side(-1.0, "outer") == "below"
    assert count.side(2.0, "inner") == "above"
    assert count.side(2.0, "outer") is None
