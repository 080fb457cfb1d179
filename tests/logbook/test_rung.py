"""The rung the logbook says somebody stands on, against simulated trainees whose rung is planted."""

from collections.abc import Callable
from datetime import timedelta

import numpy as np
import pytest

from sim.diagnosis.reliability import kappa
from sim.logbook.rung import belief, stands_on
from sim.logbook.skill import odds
from sim.logbook.standing import TOPICS, Trial
from sim.session.scenario import RUNGS
from tests.logbook.entering import BEGAN

EACH = 40  # trainees planted on each rung, and on none
TRIALS = 80  # of each; a year of two evenings a week has more


def at(*outcomes: tuple[int, bool]) -> list[Trial]:
    return [Trial("radio", r, ok, BEGAN + timedelta(days=i)) for i, (r, ok) in enumerate(outcomes)]


def lived(rng: np.random.Generator, chance: Callable[[int], float]) -> list[Trial]:
    rungs = rng.integers(1, len(RUNGS) + 1, TRIALS)
    return [
        Trial(TOPICS[i % 9], int(r), bool(rng.random() < chance(int(r))), BEGAN + timedelta(days=i))
        for i, r in enumerate(rungs)
    ]


def steps(planted: int) -> Callable[[int], float]:
    """Nearly all is proved up to the rung planted, hardly anything above it."""
    return lambda rung: 0.93 if rung <= planted else 0.15


def slope(planted: int) -> Callable[[int], float]:
    """The chance falls smoothly, and lies at what being ready asks for half a rung above that planted."""
    return lambda rung: odds(3.0 * (planted + 0.5 - rung) + 0.847)


def agreements(kind: Callable[[int], Callable[[int], float]], seed: int) -> list[float]:
    """Return kappa of "stands on this rung or higher", told and planted, rung by rung."""
    pairs = [
        (planted, stands_on(lived(np.random.default_rng([seed, planted, n]), kind(planted))))
        for planted in range(len(RUNGS) + 1)
        for n in range(EACH)
    ]
    found = []
    for rung in range(1, len(RUNGS) + 1):
        table = np.zeros((2, 2), dtype=int)
        for planted, told in pairs:
            table[int(planted >= rung), int(told >= rung)] += 1
        found.append(kappa(table.tolist()).kappa)
    return found


@pytest.mark.parametrize("kind", [steps, slope])
@pytest.mark.parametrize("seed", [1, 2])
def test_each_rung_agrees_with_planted_truth(kind, seed):
    assert min(agreements(kind, seed)) >= 0.9


def test_what_is_told_without_looking_does_not_agree():
    def by_lot(planted: int) -> Callable[[int], float]:
        return lambda rung: 0.6

    assert max(abs(k) for k in agreements(by_lot, 1)) < 0.3


@pytest.mark.parametrize(
    ("outcomes", "rung"),
    [
        ([], 0),
        ([(1, True)], 0),
        ([(1, True)] * 2, 1),
        ([(1, True)] * 2 + [(2, True)], 1),
        ([(1, True)] * 2 + [(2, True)] * 2, 2),
        ([(3, True)] * 2, 3),  # nobody has to do the lower ones first
        ([(3, True)] * 2 + [(1, False)] * 2, 0),  # but a lower one that is lost is lost
        ([(1, True)] * 2 + [(2, False)] * 2 + [(3, True)] * 2, 1),
        ([(2, False)] * 30 + [(2, True)] * 16, 2),  # what counts is what one can by now
        ([(2, True)] * 30 + [(2, False)] * 8, 0),
    ],
)
def test_a_rung_is_told_from_the_latest_trials_on_it(outcomes, rung):
    assert stands_on(at(*outcomes)) == rung


def test_belief_is_that_of_an_even_prior():
    assert belief([], 1) == pytest.approx(0.3)  # as much as lies above 0.7
    assert belief(at((1, True)), 1) == pytest.approx(1 - 0.7**2)
    assert belief(at((1, False)), 1) == pytest.approx(0.3**2)
    assert belief(at((2, True)), 1) == pytest.approx(0.3)


def test_order_is_that_of_time():
    trials = at(*[(2, False)] * 16, *[(2, True)] * 16)
    assert stands_on(trials[::-1]) == stands_on(trials) == 2
