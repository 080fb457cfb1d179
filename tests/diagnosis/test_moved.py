"""Distances within a band, and limits against costs worked out by hand."""

from math import inf, isinf

import numpy as np
import pytest
from scipy.optimize import minimize_scalar
from scipy.stats import norm

from sim.bench.bands import Band
from sim.diagnosis.distance import above, below, tail
from sim.diagnosis.moved import FALSE_COST, Look, cuts, limit, look, move, share, way
from sim.keys import CheckKey, FaultId

RAILS: CheckKey = "rails"
FAULT: FaultId = "pack-undercharged"
NORMAL = Band(RAILS, "v", -4.0, -1.959964, 0.0, 1.959964, 4.0, 200, 60)
SKEW = Band(RAILS, "v", 9.0, 9.5, 10.0, 13.0, 19.0, 200, 60)
CONSTANT = Band(RAILS, "v", 5.0, 5.0, 5.0, 5.0, 5.0, 200, 60)
COUNT = Band(RAILS, "n", 0.0, 0.0, 0.0, 0.0, 1.25, 200, 60)
DARK = Band(RAILS, "s", 0.2, 0.3, 0.5, inf, inf, 200, 60)


@pytest.mark.parametrize(
    ("value", "up", "down"),
    [
        (10.0, 0.0, 0.0),
        (11.5, 0.98, 0.0),
        (13.0, 1.96, 0.0),
        (16.0, 2.98, 0.0),
        (19.0, 4.0, 0.0),
        (19.0 + 6.0 / 2.04, 5.0, 0.0),
        (9.5, 0.0, 1.96),
        (9.0, 0.0, 4.0),
        (inf, inf, 0.0),
    ],
)
def test_distance_is_measured_by_the_edges(value, up, down):
    assert above(SKEW).z(value) == pytest.approx(up, abs=2e-4)
    assert below(SKEW).z(-value) == pytest.approx(down, abs=2e-4)


@pytest.mark.parametrize("band", [NORMAL, SKEW, CONSTANT])
@pytest.mark.parametrize("z", [0.0, 1.0, 1.96, 3.0, 4.0, 7.5])
def test_the_value_so_far_out_lies_so_far_out(band, z):
    for side in (above(band), below(band)):
        far = side.z(side.value(z))
        assert far == pytest.approx(z, abs=1e-6) or (band is CONSTANT and z <= 4.0 and far == 0.0)


def test_beside_a_line_that_never_changes_everything_is_far_out():
    assert above(CONSTANT).z(5.0) == 0.0
    assert above(CONSTANT).z(5.001) > 100.0
    assert below(CONSTANT).z(-4.999) > 100.0
    assert above(CONSTANT).value(4.0) == 5.0


def test_a_count_seen_now_and_then_lies_between_the_edges():
    assert above(COUNT).z(1.0) == pytest.approx(1.96 + 2.04 / 1.25, abs=1e-3)
    assert above(COUNT).z(2.0) > 4.0


def test_what_sound_aircraft_could_not_read_either_is_not_far_out():
    assert above(DARK).z(inf) <= 1.96
    assert above(DARK).z(9.0) == 0.0
    assert below(DARK).z(-0.2) == pytest.approx(4.0)
    assert isinf(above(DARK).value(3.0))


def test_tail_is_that_of_the_normal_distribution():
    assert tail(3.0) == pytest.approx(norm.sf(3.0))
    assert tail(3.0, 8) == pytest.approx(1.0 - norm.cdf(3.0) ** 8)
    assert tail(inf) == 0.0


# --- sides ----------------------------------------------------------------------------------------


def at(*zs):
    """Return readings so far out: above if positive, below if negative."""
    return [Look(n, max(-z, 0.0), max(z, 0.0)) for n, z in enumerate(zs)]


QUIET = at(*[0.5] * 38, 2.1, -2.1)


@pytest.mark.parametrize(
    ("strong", "side"),
    [
        (at(3, 3, 3, 3, 0, 0, 0, 0), "above"),
        (at(-3, -3, -3, -3, 0, 0, 0, 0), "below"),
        (at(3, 3, 3, -3, -3, -3, 0, 0), "either"),
        (at(3, 3, 0, 0, 0, 0), None),  # two are chance
        (at(*[3] * 3, *[0] * 9), None),  # a quarter is not enough where it is only doubtful
        (at(*[5] * 2, *[0] * 46), "above"),  # two builds plainly outside are
        (at(*[5] * 1, *[0] * 47), None),
        ([Look(7, 0.0, 5.0)] * 3 + at(*[0] * 45), None),  # one build three times is one build
        ([Look(7, 0.0, 3.0)] * 5 + at(0, 0), None),
        (at(*[1.9] * 12), None),
    ],
)
def test_the_side_to_which_a_fault_moves_a_line(strong, side):
    assert way(strong, QUIET) == side


def test_what_sound_aircraft_show_as_often_is_no_mark():
    assert way(at(*[3] * 12), at(*[3] * 30, *[0] * 10)) is None
    assert way(at(*[5] * 12), at(*[5] * 40)) is None


# --- limits ---------------------------------------------------------------------------------------


def test_limit_lies_where_the_cost_is_least():
    """Against normal readings at one severity the best cut has a closed form."""
    rng = np.random.default_rng(1)
    faulty = {0.5: at(*rng.normal(5.0, 1.0, 1000))}
    best = minimize_scalar(
        lambda z: FALSE_COST * norm.sf(z) + norm.cdf(z - 5.0), bounds=(2, 6), method="bounded"
    ).x
    assert limit(faulty, "above", harmless=True) == pytest.approx(best, abs=0.15)
    assert best == pytest.approx(2.5 + np.log(FALSE_COST) / 5.0, abs=0.01)


def test_a_limit_lies_between_what_needs_a_cure_and_what_needs_none():
    mild, fault = at(5.0, 5.2, 5.4), at(7.0, 7.2, 7.4)
    both = {0.0: mild, 0.1: fault, 1.0: at(20, 30)}
    assert limit(both, "above", harmless=True) == pytest.approx(6.2)
    assert limit(both, "above", harmless=False) == pytest.approx(0.5 * (1.959964 + 5.0), abs=0.6)
    assert limit(both, "above", harmless=False) < 5.0


def test_more_values_in_a_reading_ask_for_a_higher_limit():
    rng = np.random.default_rng(2)
    zs = rng.normal(4.5, 1.0, 1000)
    single = limit({0.5: at(*zs)}, "above", harmless=True)
    four = [Look(n, 0.0, max(z, 0.0), 4) for n, z in enumerate(zs)]
    assert single + 0.1 < limit({0.5: four}, "above", harmless=True) < single + 0.6


def test_no_limit_inside_the_inner_edge():
    assert cuts([0.5, 1.0]).tolist() == pytest.approx([1.96, 5.0], abs=1e-4)
    assert limit({0.5: at(0.5, 1.0, 1.5)}, "above", harmless=True) >= 1.959964


def test_what_could_not_be_read_is_past_any_limit():
    dark = {0.5: [Look(n, 0.0, inf) for n in range(5)]}
    z = limit(dark, "above", harmless=True)
    assert 1.96 < z < inf


# --- rows -----------------------------------------------------------------------------------------


def test_a_row_has_side_power_and_limits_in_the_unit_of_the_line():
    fault = {s: [look(SKEW, n, [40.0 + n]) for n in range(8)] for s in (0.1, 0.5, 1.0)}
    row = move(FAULT, SKEW, fault, [look(SKEW, n, [10.0]) for n in range(8)], True)
    assert row is not None
    assert (row.side, row.power, row.low) == ("above", 1.0, -inf)
    assert 13.0 < row.high < 40.0
    assert row.called(40.0)
    assert not row.called(SKEW.high_inner)


def test_below_and_either_have_their_own_limits():
    low = {0.5: [look(SKEW, n, [5.0 - n]) for n in range(8)]}
    row = move(FAULT, SKEW, low, [], True)
    assert row is not None
    assert (row.side, row.high) == ("below", inf)
    assert 5.0 < row.low < 9.5
    both = {0.5: [look(SKEW, n, [60.0 if n % 2 else 0.0]) for n in range(8)]}
    row = move(FAULT, SKEW, both, [], True)
    assert row is not None
    assert row.side == "either"
    assert 0.0 < row.low < 9.5 < 13.0 < row.high < 60.0


def test_limits_beside_a_constant_part_harmless_from_faulty():
    values = {0.0: [5.2], 0.1: [5.4], 0.5: [6.0], 1.0: [7.0]}
    fault = {s: [look(CONSTANT, n, v) for n in range(4)] for s, v in values.items()}
    row = move(FAULT, CONSTANT, fault, [look(CONSTANT, 0, [5.0])], True)
    assert row is not None
    assert row.high == pytest.approx(5.3, abs=1e-3)


def test_a_line_not_moved_has_no_row():
    still = {0.5: [look(SKEW, n, [10.0]) for n in range(8)]}
    assert move(FAULT, SKEW, still, [], True) is None


def test_the_furthest_of_four_places_counts():
    one = look(SKEW, 3, [10.0, 19.0, 9.5, 12.0])
    assert (one.seed, one.values) == (3, 4)
    assert (one.above, one.below) == pytest.approx((4.0, 1.96), abs=1e-3)
    assert share([one], "either", 3.9) == 1.0
    assert share([], "above") == 0.0
