"""No strategy that ignores the readings is cleared, nor comes near it."""

import pytest

from tests.adversaries.strategies import STRATEGIES
from tests.trials import DRILLS, Tries, failing, sampled, trials, tried

MOST = 40.0  # points; half of what a pass takes
SEEDS = 5
SAMPLE = {name: DRILLS[n % len(DRILLS)] for n, name in enumerate(STRATEGIES)}


@pytest.fixture(scope="module")
def tries():
    with Tries() as pool:
        yield pool


def got_too_far(made):
    return made.cleared or made.wise or made.sound or made.points > MOST


@pytest.mark.parametrize("strategy", sampled(STRATEGIES))
def test_a_sample_does_not_get_far(strategy):
    (trial,) = trials("adversaries", [strategy], [SAMPLE[strategy]], [7])
    made = [tried(trial)]
    assert not any(map(got_too_far, made)), failing(made, got_too_far)


@pytest.mark.slow
@pytest.mark.parametrize("strategy", STRATEGIES)
def test_none_gets_far(tries, strategy):
    made = list(tries.all(trials("adversaries", [strategy], DRILLS, range(SEEDS))))
    assert len(made) == SEEDS * len(DRILLS)
    assert not any(map(got_too_far, made)), failing(made, got_too_far)


def test_there_are_enough_of_them():
    assert len(STRATEGIES) >= 15
    assert len(DRILLS) == 8
