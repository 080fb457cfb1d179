"""Roots against a library's, and what can't have one."""

from math import cos, exp

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from sim.kernel.roots import root

FUNCTIONS = (
    (lambda x: x**3 - 20.0, 0.0, 9.0),
    (lambda x: cos(x) - x, 0.0, 1.5),
    (lambda x: exp(-x) - 0.003, 0.0, 40.0),
    (lambda x: 4e-6 * x * x - 2.9, 50.0, 1500.0),  # a thrust, as the hover asks for it
    (lambda x: 1e9 * (x - 1234.5678), -1e4, 1e4),
    (lambda x: 5.0 - x, 0.0, 9.0),
)


@pytest.mark.parametrize(("f", "low", "high"), FUNCTIONS)
def test_agrees_with_a_library(f, low, high):
    at: list[float] = []

    def watched(x: float) -> float:
        at.append(x)
        return f(x)

    found = root(watched, low, high)
    assert found == pytest.approx(brentq(f, low, high, xtol=1e-14), rel=2e-12, abs=0)
    assert all(low <= x <= high for x in at)
    assert len(at) < 25
    assert root(f, high, low) == pytest.approx(found, rel=2e-12, abs=0)


@given(st.floats(0.01, 100.0), st.floats(0.1, 9.0))
def test_any_bracket_of_a_steep_power(place, power):
    found = root(lambda x: (x / place) ** power - 1.0, 1e-3, 1e3)
    assert found == pytest.approx(place, rel=1e-11)


def test_a_zero_at_an_end():
    assert root(lambda x: x - 2.0, 2.0, 3.0) == 2.0
    assert root(lambda x: x - 3.0, 2.0, 3.0) == 3.0


def test_no_change_of_sign_is_refused():
    with pytest.raises(ValueError, match="no change of sign"):
        root(lambda x: x * x + 1.0, 1.0, 2.0)
