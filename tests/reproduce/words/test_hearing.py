"""A person's words: chances that add up, agree with how reports are drawn, and tell a slip from none."""

import numpy as np
import pytest

from sim.reproduce.words.detectors import OPPOSITES
from sim.reproduce.words.hearing import (
    EARS,
    GROUP_OF,
    INDEX,
    WHEN_TOLD,
    WHENS,
    answered,
    chance_told,
    likelihood,
    pair_told,
    retold,
)
from sim.reproduce.words.observed import GROUPS, SYMPTOMS

ALL = frozenset(GROUPS)
BITS = ((0, 0), (0, 1), (1, 0), (1, 1))


def there(*words):
    bits = np.zeros((1, len(SYMPTOMS)))
    bits[0, [INDEX[word] for word in words]] = 1.0
    return bits


def test_whatever_was_something_is_told():
    assert WHEN_TOLD.sum(axis=1) == pytest.approx(np.ones(len(WHENS)))
    for ear in EARS.values():
        for was in BITS:
            assert sum(pair_told(ear, was, told) for told in BITS) == pytest.approx(1.0)


def test_the_right_phase_is_likeliest_and_the_one_beside_it_next():
    hover, landing, legs = (WHENS.index(w) for w in ("hover", "landing", "on-legs"))
    assert WHEN_TOLD[hover, hover] > WHEN_TOLD[hover, landing] > WHEN_TOLD[hover, legs] == 0.0


@pytest.mark.parametrize("group", ["moved", "sticks"])
def test_of_two_opposites_the_right_one_is_told_far_more_often(group):
    ear = EARS[group]
    right, wrong = pair_told(ear, (1, 0), (1, 0)), pair_told(ear, (1, 0), (0, 1))
    assert 8.0 < right / wrong < 20.0
    assert pair_told(ear, (0, 1), (0, 1)) == pytest.approx(right)
    assert pair_told(ear, (0, 1), (1, 0)) == pytest.approx(wrong)


def test_what_is_missed_is_stated():
    ear = EARS["heard"]
    assert chance_told(ear, 1) == pytest.approx(1.0 - ear.misses * (1.0 - ear.makes_up))
    assert chance_told(ear, 0) == ear.makes_up
    assert all(ear.misses < 0.5 and ear.makes_up < 0.2 for ear in EARS.values())


def test_likelihood_is_how_often_such_words_are_drawn():
    rng, draws = np.random.default_rng(5), 6000
    was = frozenset({"rolled-right", "ringing", "held-back"})
    said = [retold(rng, "hover", was) for _ in range(draws)]
    for word in ("rolled-right", "rolled-left", "flipped", "ringing", "rough", "held-forward"):
        other = next((set(pair) - {word} for pair in OPPOSITES if word in pair), set())
        told = {word: True, **dict.fromkeys(other, False)}
        share = sum(word in words and not words & other for _, words in said) / draws
        expected = likelihood(there(*was), told)[0]
        assert share == pytest.approx(expected, abs=4.0 * (expected / draws) ** 0.5)
    named = sum(when == "landing" for when, _ in said) / draws
    assert named == pytest.approx(
        WHEN_TOLD[WHENS.index("hover"), WHENS.index("landing")], abs=0.015
    )


def test_silence_on_a_question_says_nothing():
    assert likelihood(there("ringing"), {})[0] == 1.0
    told = answered(frozenset({"moved"}), frozenset({"ringing", "flipped"}))
    assert told["flipped"]
    assert all(GROUP_OF[word] == "moved" for word in told)
    assert set(answered(ALL, frozenset())) == set(SYMPTOMS)
