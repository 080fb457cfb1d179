"""Simulated trainees: they learn, forget, and are ready sooner with drills by the logbook."""

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest

from sim.logbook.ahead import Drill
from sim.logbook.learners import (
    FIRST_EVENING,
    HALF_LIFE_DAYS,
    MISS_SHARE,
    PASS_SHARE,
    Held,
    Learner,
    Life,
    compared,
    lived,
    lives,
)
from sim.logbook.memory import LONGEST_DAYS

LATER = timedelta(days=HALF_LIFE_DAYS)
POWER = Drill("power", "Power", 3, frozenset({"power"}))


def test_practice_closes_a_share_of_what_is_left_and_a_pass_more_than_a_miss():
    passed, missed = Held(-1.0, 2.0), Held(-1.0, 2.0)
    passed.practise(True, FIRST_EVENING, 1.0)
    missed.practise(False, FIRST_EVENING, 1.0)
    assert passed.ability(FIRST_EVENING) == pytest.approx(-1.0 + 3.0 * PASS_SHARE)
    assert missed.ability(FIRST_EVENING) == pytest.approx(-1.0 + 3.0 * MISS_SHARE)
    passed.practise(True, FIRST_EVENING, 2.0)
    assert passed.ability(FIRST_EVENING) == pytest.approx(
        2.0 - 3.0 * (1 - PASS_SHARE) * (1 - 2 * PASS_SHARE)
    )


def test_what_was_learnt_is_half_lost_and_a_spaced_pass_makes_it_last_twice_as_long():
    held = Held(0.0, 2.0)
    held.practise(True, FIRST_EVENING, 1.0)
    fresh = held.ability(FIRST_EVENING)
    assert held.ability(FIRST_EVENING + LATER) == pytest.approx(0.5 * fresh)
    held.practise(True, FIRST_EVENING, 1.0)  # at once: no gap to prove anything over
    assert held.half_life_days == HALF_LIFE_DAYS
    held.practise(False, FIRST_EVENING + LATER, 1.0)
    assert held.half_life_days == HALF_LIFE_DAYS
    held.practise(True, FIRST_EVENING + 2 * LATER, 1.0)
    assert held.half_life_days == 2.0 * HALF_LIFE_DAYS
    for n in range(9):
        held.practise(True, FIRST_EVENING + (3 + n) * LATER, 1.0)
    assert held.half_life_days == LONGEST_DAYS


def test_chances_are_as_counted():
    rng = np.random.default_rng(1)
    first = Learner(np.random.default_rng(2))
    chance = first.chance("power", 3, FIRST_EVENING)
    passed = 0
    for _ in range(2000):
        one = Learner(np.random.default_rng(2))
        one.rng = rng
        passed += one.tries(POWER, FIRST_EVENING)["power"]
    assert passed / 2000 == pytest.approx(chance, abs=0.035)  # three standard errors
    assert (
        first.chance("power", 5, FIRST_EVENING) < chance < first.chance("power", 1, FIRST_EVENING)
    )


def test_the_logbook_makes_ready_sooner_with_harder_drills_as_they_learn_and_due_ones_back():
    found = [lived(life) for life in lives(range(8), paces=[1.0])]
    both = compared(found)
    by_logbook, by_chance = both["logbook"], both["random"]
    assert by_logbook["ready"] == by_chance["ready"] == 8
    assert by_logbook["median_minutes"] < 0.7 * by_chance["median_minutes"]
    first, middle, last = by_logbook["rung_by_thirds"]
    assert last - first > 0.5
    assert first < middle < last + 0.1
    assert abs(by_chance["rung_by_thirds"][2] - by_chance["rung_by_thirds"][0]) < 0.3
    # own: what is new goes before what is due, which costs the first nine of some seventy evenings
    assert by_logbook["due_came_back"] > 0.85 > 0.75 > by_chance["due_came_back"]


def test_a_life_follows_from_its_seed_and_both_ways_begin_alike():
    one, other = lives([3], paces=[2.0])
    assert lived(one) == lived(one)
    assert lived(one) != lived(other)
    same = [Learner(np.random.default_rng([3, 0])).held["radio"] for _ in range(2)]
    assert same[0] == same[1]


def test_who_is_never_ready_counts_as_last():
    life = Life(1, "random", 1.0, (POWER,), (70.0,))  # eight topics never come up
    never = lived(life)
    assert never.minutes is None
    both = compared([replace(never, choice="logbook"), never])
    assert both["random"]["median_minutes"] is None
    assert both["sooner_by_logbook"] == 0
