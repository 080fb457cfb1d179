"""Competent trainees are cleared with nearly full points, however they order their work."""

import pytest

from sim.session.scenario import load, names
from tests.honest.strategies import CURABLE, LEAVES, MANNERS
from tests.trials import DRILLS, Tries, failing, sampled, trials, tried

LEAST = 90.0  # points
MOST_OF_THEM = 0.95
SEEDS = 5
REFUSED = [name for name in names() if load(name).lacking]
LEAST_LEFT = 70.0  # points; own: "most of the points" for what was found and left to others
SAMPLE = {name: DRILLS[n % len(DRILLS)] for n, name in enumerate(MANNERS)}


@pytest.fixture(scope="module")
def tries():
    with Tries() as pool:
        yield pool


def fell_short(made):
    return not made.cleared or made.points < LEAST


def not_sound(made):
    return not made.sound or made.cleared or made.points < LEAST_LEFT


def not_wise(made):
    return not made.wise or made.cleared or made.points < LEAST


@pytest.mark.parametrize("manner", sampled(MANNERS))
def test_a_sample_is_cleared(manner):
    (trial,) = trials("honest", [manner], [SAMPLE[manner]], [7])
    made = [tried(trial)]
    assert not any(map(fell_short, made)), failing(made, fell_short)


@pytest.mark.slow
@pytest.mark.parametrize("manner", MANNERS)
def test_nearly_all_are_cleared(tries, manner):
    made = list(tries.all(trials("honest", [manner], DRILLS, range(SEEDS))))
    assert len(made) == SEEDS * len(DRILLS)
    good = sum(not fell_short(one) for one in made)
    assert good >= MOST_OF_THEM * len(made), failing(made, fell_short)


def test_a_sample_of_calling_the_instructor_is_a_sound_decision():
    (trial,) = trials("honest", [LEAVES], ["second-hand"], [7])
    made = [tried(trial)]
    assert not any(map(not_sound, made)), failing(made, not_sound)


@pytest.mark.slow
def test_calling_the_instructor_is_a_sound_decision(tries):
    made = list(tries.all(trials("honest", [LEAVES], CURABLE, range(SEEDS))))
    good = sum(not not_sound(one) for one in made)
    assert good >= MOST_OF_THEM * len(made), failing(made, not_sound)


@pytest.mark.slow
def test_refusing_what_can_not_be_cured_is_wise(tries):
    made = list(tries.all(trials("honest", ["by the cards"], REFUSED, range(SEEDS))))
    good = sum(not not_wise(one) for one in made)
    assert good >= MOST_OF_THEM * len(made), failing(made, not_wise)


def test_there_are_enough_of_them():
    assert len(MANNERS) >= 15
    assert len(DRILLS) == len(CURABLE) == 8
