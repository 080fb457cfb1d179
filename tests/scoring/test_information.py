"""What a check tells, against worked examples done with scipy beforehand, and by limits.

The examples (five faults, five checks) and their numbers are our own; they were worked out apart
from this code.
"""

import numpy as np
import pytest

from sim.scoring.information import (
    Sure,
    afterwards,
    any_of,
    as_they_come,
    entropy_bits,
    gain_bits,
    least_minutes_until_known,
    minutes_until_known,
    most_a_minute,
    most_at_once,
    still_there,
)

PRIOR = np.array([0.30, 0.25, 0.20, 0.15, 0.10])
T1, T2, T3, T4, T5 = CHECKS = (
    Sure(2.0, frozenset({0, 1})),
    Sure(3.0, frozenset({0, 2})),
    Sure(1.0, frozenset({1, 3})),
    Sure(1.0, frozenset({4})),
    Sure(4.0, frozenset({0, 1, 2})),
)


def yes_no(positive: np.ndarray) -> np.ndarray:
    return np.column_stack([positive, 1.0 - positive])


def sure(check: Sure) -> np.ndarray:
    return yes_no(np.array([float(state in check.shows) for state in range(len(PRIOR))]))


def test_entropy():
    assert entropy_bits(PRIOR) == pytest.approx(2.228213, abs=1e-6)
    assert entropy_bits(3.0 * PRIOR) == pytest.approx(2.228213, abs=1e-6)
    assert entropy_bits(np.array([1.0, 0.0])) == 0.0
    assert entropy_bits(np.ones(8)) == pytest.approx(3.0)


@pytest.mark.parametrize(
    ("check", "gain", "a_minute"),
    [
        (T1, 0.9928, 0.4964),
        (T2, 1.0000, 0.3333),
        (T3, 0.9710, 0.9710),
        (T4, 0.4690, 0.4690),
        (T5, 0.8113, 0.2028),
    ],
)
def test_gain_of_checks_that_never_err(check, gain, a_minute):
    found = gain_bits(PRIOR, sure(check))
    assert found == pytest.approx(gain, abs=5e-5)
    assert found / check.minutes == pytest.approx(a_minute, abs=5e-5)


def test_a_check_that_errs_tells_less_and_leaves_the_others_in():
    positive = np.array([0.05, 0.9, 0.05, 0.9, 0.05])
    assert PRIOR @ positive == pytest.approx(0.39)
    known = afterwards(PRIOR, positive)
    assert known == pytest.approx([0.0385, 0.5769, 0.0256, 0.3462, 0.0128], abs=5e-5)
    assert gain_bits(PRIOR, yes_no(positive)) == pytest.approx(0.6054, abs=5e-5)


def test_a_check_as_likely_in_every_state_tells_nothing():
    assert gain_bits(PRIOR, yes_no(np.full(5, 0.3))) == pytest.approx(0.0, abs=1e-12)


def test_one_outcome_for_each_state_tells_all():
    assert gain_bits(PRIOR, np.eye(5)) == pytest.approx(entropy_bits(PRIOR))


def test_what_no_state_allows_is_refused():
    with pytest.raises(ValueError, match="no state"):
        afterwards(np.array([1.0, 0.0]), np.array([0.0, 1.0]))


def test_minutes_of_a_search():
    assert least_minutes_until_known(PRIOR, CHECKS) == pytest.approx(3.30)
    assert minutes_until_known(PRIOR, CHECKS, most_a_minute) == pytest.approx(3.40)
    assert minutes_until_known(PRIOR, CHECKS, most_at_once) == pytest.approx(5.25)
    late = (T5, T2, T1, T4, T3)
    assert minutes_until_known(PRIOR, late, as_they_come) == pytest.approx(8.75)
    assert minutes_until_known(PRIOR, (T3, T1, T2, T4, T5), as_they_come) == pytest.approx(3.90)


def test_halving_a_chain_of_eight_takes_three_checks():
    chain = np.full(8, 1.0 / 8.0)
    ends = [Sure(1.0, frozenset(range(n))) for n in range(1, 8)]
    assert minutes_until_known(chain, ends, most_at_once) == pytest.approx(3.0)
    assert minutes_until_known(chain, ends, as_they_come) == pytest.approx(4.375)
    assert least_minutes_until_known(chain, ends) == pytest.approx(3.0)


def test_what_no_check_parts_stays_together():
    assert least_minutes_until_known(np.array([0.5, 0.5]), [Sure(1.0, frozenset({0, 1}))]) == 0.0
    assert minutes_until_known(np.array([0.6, 0.4]), [], most_a_minute) == 0.0


def test_several_causes_at_once():
    assert any_of([0.9 * 0.2, 0.8 * 0.1], 0.05) == pytest.approx(0.283320)
    with_first = any_of([0.9, 0.8 * 0.1], 0.05)
    assert 0.2 * with_first / 0.283320 == pytest.approx(0.644219, abs=1e-6)
    assert 0.2 * (1.0 - with_first) / (1.0 - 0.283320) == pytest.approx(0.024390, abs=1e-6)
    assert any_of([], 0.05) == pytest.approx(0.05)


def test_what_a_passed_check_leaves_of_a_doubt():
    assert still_there(0.2, 0.95, 0.02) == pytest.approx(0.01259, abs=5e-6)
    assert still_there(0.2, 0.30, 0.02) == pytest.approx(0.15152, abs=5e-6)
    assert still_there(0.2, 0.0, 0.0) == pytest.approx(0.2)
