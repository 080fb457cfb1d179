"""Reliability against worked examples: own ones, reckoned apart, as they stand beside each."""

import math

import numpy as np
import pytest
from scipy.stats import norm

from sim.diagnosis.reliability import apart, cut, kappa, parts
from sim.scoring.detection import auc, auc_se

POINTS = [[5, 3, 4], [4, 2, 3], [5, 4, 4], [2, 1, 2], [3, 1, 1], [4, 3, 2]]
EXPERTS, NOVICES = [82, 90, 75, 88, 95], [60, 72, 75, 55, 80]
SIX = 5e-7  # 1; six decimals of the worked example


def test_agreement_as_in_the_worked_example():
    agreed = kappa([[20, 5], [10, 15]])
    assert agreed.agreed == 0.7
    assert agreed.kappa == pytest.approx(0.4)
    assert agreed.se == pytest.approx(0.1296, abs=5e-5)
    assert kappa([[10, 3, 0], [2, 12, 4], [0, 3, 6]]).kappa == pytest.approx(0.533981, abs=SIX)


def test_much_agreement_on_what_is_nearly_always_so_is_none():
    trap = kappa([[45, 3], [2, 0]])
    assert trap.agreed == pytest.approx(0.9)
    assert trap.kappa == pytest.approx(-0.0504, abs=5e-5)
    assert math.isnan(kappa([[7, 0], [0, 0]]).kappa)


def test_variance_components_as_in_the_worked_example():
    found = parts(POINTS)
    assert found == pytest.approx((1.177778, 0.577778, 0.255556), abs=SIX)
    assert found.relative(3) == pytest.approx(0.932551, abs=SIX)  # Cronbach's alpha
    phis = [found.phi(n) for n in (3, 1, 6)]
    assert phis == pytest.approx([0.809160, 0.585636, 0.894515], abs=1e-6)  # its last digit is off
    assert found.phi(found.drills_for(0.8)) == pytest.approx(0.8)


def test_persons_who_do_not_differ_can_not_be_told_apart():
    for points in ([[1, 2, 3], [3, 1, 2], [2, 3, 1]], [[7, 7], [7, 7]]):
        found = parts(points)
        assert found.persons == 0.0
        assert found.phi(5) == found.relative(5) == 0.0
        assert found.drills_for(0.8) == math.inf


def test_known_groups_as_in_the_worked_example():
    assert auc(EXPERTS, NOVICES) == pytest.approx(0.94)
    assert auc_se(0.94, 5, 5) == pytest.approx(0.0845, abs=5e-5)
    assert apart(EXPERTS, NOVICES) == pytest.approx(1.9101, abs=5e-5)
    found = cut(EXPERTS, NOVICES)
    assert found.points == pytest.approx(77.161, abs=5e-4)
    assert (found.failing, found.passing) == pytest.approx((0.126, 0.202), abs=5e-4)
    assert (found.failing_seen, found.passing_seen) == (0.2, 0.2)  # 75 of the one, 80 of the other


@pytest.mark.parametrize(
    ("good", "poor"), [((80, 5), (60, 5)), ((90, 2), (40, 15)), ((90, 15), (40, 2))]
)
def test_at_the_cut_both_curves_are_as_high(good, poor):
    def like(mean: float, sd: float) -> list[float]:
        return [mean - sd / math.sqrt(2.0), mean + sd / math.sqrt(2.0)]  # that spread exactly

    at = cut(like(*good), like(*poor)).points
    assert poor[0] < at < good[0]
    assert norm.pdf(at, *good) == pytest.approx(norm.pdf(at, *poor))


def test_where_one_curve_lies_above_the_other_all_the_way_the_cut_is_in_the_middle():
    assert cut([41.0, 81.0], [59.0, 61.0]).points == pytest.approx(60.5)  # means 61 and 60


def test_who_is_right_at_the_cut_has_passed():
    found = cut([6.0, 8.0, 10.0], [2.0, 4.0, 6.0])  # alike in spread: cut in the middle
    assert (found.points, found.failing_seen, found.passing_seen) == (6.0, 0.0, 1 / 3)


def test_groups_that_are_no_better_have_no_cut():
    with pytest.raises(ValueError, match="higher mean"):
        cut([60, 80], [60, 80])
    with pytest.raises(ValueError, match="higher mean"):
        cut(NOVICES, EXPERTS)
    with pytest.raises(ValueError, match="spread"):
        cut([80, 80], NOVICES)


def test_more_drills_are_more_dependable_and_never_beyond_the_order():
    found = parts(np.random.default_rng(1).normal(size=(9, 12)).cumsum(axis=0).tolist())
    phis = [found.phi(n) for n in (1, 2, 4, 8)]
    assert phis == sorted(phis)
    assert all(found.relative(n) >= found.phi(n) for n in (1, 2, 4))
