"""Filter and belief against worked examples: own ones, reckoned apart, as they stand beside each."""

from datetime import UTC, datetime, timedelta

import pytest
from scipy.stats import beta

from sim.logbook import memory
from sim.logbook.skill import (
    UNKNOWN,
    Skill,
    at_first,
    believed,
    chance,
    difficulty,
    drifted,
    odds,
    surely,
    tried,
)

MONDAY = datetime(2026, 1, 5, 20, 0, tzinfo=UTC)
SIX = 5e-7  # 1; six decimals of the worked example


def test_two_trials_as_in_the_worked_example():
    first = tried(Skill(-0.3, 1.69), 0.5, True)
    assert odds(-0.3 - 0.5) == pytest.approx(0.310026, abs=SIX)
    assert first.variance == pytest.approx(1.241271, abs=SIX)
    assert first.mean == pytest.approx(0.556445, abs=SIX)
    between = drifted(first)
    assert between == pytest.approx((0.596445, 1.281271), abs=SIX)
    second = tried(between, -0.5, False)
    assert odds(between.mean + 0.5) == pytest.approx(0.749594, abs=SIX)
    assert second.variance == pytest.approx(1.032868, abs=SIX)
    assert second.mean == pytest.approx(-0.177786, abs=SIX)


def test_what_is_not_known_of_an_ability_pulls_the_chance_to_the_middle():
    assert chance(Skill(2.0, 0.0), 0.0) == pytest.approx(odds(2.0))
    assert odds(0.0) < chance(Skill(2.0, 4.0), 0.0) < odds(2.0)
    assert odds(-2.0) < chance(Skill(-2.0, 4.0), 0.0) < odds(0.0)


def test_one_in_ten_lies_below_what_is_sure():
    assert surely(Skill(1.0, 0.25), 0.2) == pytest.approx(
        odds(1.0 - 1.2815515655446004 * 0.5 - 0.2)
    )


def test_a_higher_rung_is_harder():
    assert [difficulty(rung) for rung in (1, 3, 5)] == [-1.0, 0.0, 1.0]


def test_a_new_family_begins_between_a_beginner_and_the_same_persons_others():
    assert at_first([]) == UNKNOWN
    assert at_first([Skill(1.5, 0.1)]) == pytest.approx((0.6, UNKNOWN.variance))


@pytest.mark.parametrize(
    ("right", "n", "belief"),
    [(14, 14, 0.9648), (21, 22, 0.9602), (10, 10, 0.9141), (5, 5, 0.7379)],
)
def test_belief_in_four_of_five_as_in_the_worked_example(right, n, belief):
    assert believed(right, n, 0.8) == pytest.approx(belief, abs=5e-5)


@pytest.mark.parametrize(("right", "n", "share"), [(0, 3, 0.2), (7, 9, 0.8), (3, 8, 0.5)])
def test_belief_as_the_beta_distribution_has_it(right, n, share):
    assert believed(right, n, share) == pytest.approx(beta(1 + right, 1 + n - right).sf(share))


def test_what_was_proved_comes_back_later_each_time_and_what_was_not_sooner():
    once = memory.reviewed("", True, MONDAY)
    failed = memory.reviewed("", False, MONDAY)
    assert MONDAY < memory.due(failed) < memory.due(once)
    twice = memory.reviewed(once, True, memory.due(once))
    first_gap, second_gap = memory.due(once) - MONDAY, memory.due(twice) - memory.due(once)
    assert second_gap > 2 * first_gap
    lost = memory.reviewed(twice, False, memory.due(twice))
    assert memory.due(lost) - memory.due(twice) < second_gap


def test_it_is_due_about_when_one_in_ten_would_be_lost():
    card = memory.reviewed("", True, MONDAY)
    assert memory.kept(card, memory.due(card)) == pytest.approx(0.9, abs=0.03)  # whole days
    assert memory.kept(card, memory.due(card) + timedelta(days=30)) < 0.75
    assert memory.overdue(card, memory.due(card) + timedelta(days=2)) == timedelta(days=2)


def test_no_gap_is_longer_than_half_of_it_lasts():
    card, when = "", MONDAY
    for _ in range(12):
        card = memory.reviewed(card, True, when)
        gap, when = memory.due(card) - when, memory.due(card)
    assert gap == timedelta(days=198)
