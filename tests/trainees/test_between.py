"""The one habit in which each stand-in between good and bad differs from the careful."""

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from sim.bench.bands import Band
from sim.bench.checklist import CHECKS
from sim.bench.evidence import Measured
from sim.bench.moves import Move, by_measure
from sim.bench.reading import Reading
from sim.keys import CheckKey
from sim.trainees import between, careful
from sim.trainees.between import CHANCES, MISREAD, Cautious, Late, Noisy, Partial
from sim.trainees.careful import Careful
from sim.trainees.standins import STAND_INS

SCALES: CheckKey = "weigh-and-balance"
TABLE = Measured(
    {
        (SCALES, "mass_kg"): Band(SCALES, "mass_kg", 1.2, 1.4, 1.5, 1.6, 1.8, 1, 0),
        (SCALES, "sheet_mass_kg"): Band(SCALES, "sheet_mass_kg", 1.5, 1.5, 1.5, 1.5, 1.5, 1, 0),
    },
    by_measure(
        [
            Move("over-mass", SCALES, "mass_kg", "above", 0.6, float("-inf"), 1.9),
            Move("cg-offset", SCALES, "mass_kg", "above", 0.3, float("-inf"), 1.9),
        ]
    ),
)


def idle_hands() -> Any:
    """Return hands that only write down what they were told to do."""
    done: list[Any] = []
    return SimpleNamespace(done=done, do=done.append, measured=TABLE)


def weighed(mass_kg):
    return Reading(SCALES, {"mass_kg": mass_kg, "sheet_mass_kg": 1.5})


def rng():
    return np.random.default_rng(1)


@pytest.mark.parametrize("chance", [*CHANCES, 0.0, 1.0])
def test_partial_does_its_share_of_the_checks_and_stays_by_its_choice(chance):
    many = [Partial(idle_hands(), np.random.default_rng(n), chance) for n in range(100)]
    wants = [[one.wants(check) for check in CHECKS] for one in many]
    assert np.mean(wants) == pytest.approx(chance, abs=0.03)  # 3 sigma of 3,400 throws
    assert wants == [[one.wants(check) for check in CHECKS] for one in many]


def test_partial_is_there_for_each_quarter():
    assert {"partial-25", "partial-50", "partial-75"} < set(STAND_INS)


def test_noisy_misreads_what_scatters_by_its_share_of_the_half_width(monkeypatch):
    seen = []
    monkeypatch.setattr(
        Careful, "suspects", lambda self, check, reading: seen.append(reading.values)
    )
    one = Noisy(idle_hands(), rng())
    for _ in range(2000):
        one.suspects(SCALES, weighed(1.55))
    masses = np.array([values["mass_kg"] for values in seen])
    assert masses.mean() == pytest.approx(1.55, abs=0.004)  # 3 sigma of the mean
    assert masses.std() == pytest.approx(MISREAD * 0.1, rel=0.05)  # half of 1.4 to 1.6 is 0.1
    assert {values["sheet_mass_kg"] for values in seen} == {1.5}


@pytest.mark.parametrize(
    ("worker", "order"), [(Careful, ["claim", "cure"]), (Late, ["cure", "claim"])]
)
def test_late_writes_down_what_is_cured_already(monkeypatch, worker, order):
    done = []
    for module in (careful, between):
        for word in ("claim", "cure"):
            monkeypatch.setattr(module, word, lambda hands, finding, word=word: done.append(word))
    worker(idle_hands(), rng()).deals([object()])
    assert done == order


@pytest.mark.parametrize(
    ("first", "second", "goes_on"),
    [(1.59, 9.9, True), (1.61, 1.59, True), (1.61, 1.61, False), (1.39, 1.39, True)],
)
def test_cautious_stays_on_the_bench_if_a_line_is_doubtful_twice(
    monkeypatch, first, second, goes_on
):
    """Below the band nothing moves the mass, so there is nothing to doubt."""
    monkeypatch.setattr(between, "read", lambda hands, check: weighed(second))
    hands = idle_hands()
    one = Cautious(hands, rng())
    assert one.accepts(SCALES, weighed(first)) is goes_on
    assert len(hands.done) == (not goes_on)
    if not goes_on:
        (claim,) = hands.done
        assert (claim.cause, claim.confidence) == ("over-mass", 1)  # the likelier of the two
        assert (claim.check, claim.line) == (SCALES, "mass_kg")
        assert "mass_kg" in one.reason
