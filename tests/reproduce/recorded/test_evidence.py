"""Evidence: what is fitted comes back, what does not fit loses, wider priors pay for their width."""

import numpy as np
import pytest

from sim.reproduce.recorded.evidence import QUIETEST, ROUNDS, Look, Noise, fit

SCALE = 0.5


def noise_for(n: int, together: float = 1.0, spread: float = 0.05) -> Noise:
    one = np.ones(1)
    return Noise(np.zeros(n, dtype=np.int64), np.ones(n), SCALE * one, spread * one, together * one)


@pytest.fixture
def made():
    rng = np.random.default_rng(3)
    columns = rng.standard_normal((400, 3))
    delta = np.array([1.0, -2.0, 0.0])
    return columns, delta, columns @ delta + SCALE * rng.standard_t(4.0, 400)


def test_what_is_not_known_is_fitted(made):
    columns, delta, seen = made
    found = fit(seen, columns, np.full(3, 3.0), noise_for(400))
    assert found.delta == pytest.approx(delta, abs=4.0 * SCALE / 400**0.5)
    assert np.sqrt(found.variance) == pytest.approx(SCALE / 400**0.5, rel=0.5)


def test_one_outlier_moves_it_little(made):
    columns, delta, seen = made
    seen = seen.copy()
    seen[7] += 1000.0
    found = fit(seen, columns, np.full(3, 3.0), noise_for(400))
    assert found.delta == pytest.approx(delta, abs=5.0 * SCALE / 400**0.5)


def test_an_unexplained_offset_costs_evidence(made):
    columns, _, seen = made
    sigmas = np.full(3, 3.0)
    right = fit(seen, columns, sigmas, noise_for(400))
    wrong = fit(seen + 1.0, columns, sigmas, noise_for(400))
    assert right.log_evidence - wrong.log_evidence > 50.0


def test_a_wider_prior_pays_its_width(made):
    columns, _, seen = made
    near, wide = (fit(seen, columns, np.full(3, s), noise_for(400)) for s in (2.0, 200.0))
    # each of three columns is told well, so Occam's factor is the ratio of widths
    told = 0.5 * np.sum(near.delta**2) * (1 / 2.0**2 - 1 / 200.0**2)
    assert near.log_evidence - wide.log_evidence == pytest.approx(3 * np.log(100) - told, abs=0.2)


def test_rows_that_belong_together_count_once(made):
    columns, _, seen = made
    sigmas = np.full(3, 3.0)
    gains = []
    for together in (1.0, 4.0):
        noise = noise_for(400, together, spread=1e-4)
        gains.append(
            fit(seen, columns, sigmas, noise).rows.sum()
            - fit(seen + 1.0, columns, sigmas, noise).rows.sum()
        )
    assert gains[0] / gains[1] == pytest.approx(4.0, rel=0.1)


def test_the_scale_goes_where_the_residual_is_as_far_as_its_spread_lets_it(made):
    columns, _, seen = made
    sigmas = np.full(3, 3.0)
    free = fit(3.0 * seen, columns, 3.0 * sigmas, noise_for(400, spread=1.0))
    held = fit(3.0 * seen, columns, 3.0 * sigmas, noise_for(400, spread=1e-3))
    assert free.scale[0] == pytest.approx(3.0 * SCALE, rel=0.15)
    assert held.scale[0] == pytest.approx(SCALE, rel=0.01)


def test_a_first_look_agrees_with_the_fit_where_little_differs(made):
    columns, _, seen = made
    sigmas = np.full(3, 3.0)
    sound = fit(seen, columns, sigmas, noise_for(400))
    look = Look(columns, noise_for(400), sound)
    again = look.fit(seen, sigmas)
    assert again.delta == pytest.approx(sound.delta, abs=1e-3)
    assert again.log_evidence == pytest.approx(sound.log_evidence, abs=0.5)
    more = np.random.default_rng(4).standard_normal(400)
    beside = look.fit(seen + 2.0 * more, np.append(sigmas, 3.0), more)
    assert beside.delta[-1] == pytest.approx(2.0, abs=0.2)


def test_numbers_that_fit_to_the_last_digit_are_still_solved():
    """A few numbers, more that is not known, nothing left over: the scale does not run to nothing."""
    rng = np.random.default_rng(4)
    columns = rng.standard_normal((6, 40))
    found = fit(
        columns @ rng.standard_normal(40), columns, np.ones(40), noise_for(6, spread=2.0), rounds=40
    )
    assert found.scale[0] == pytest.approx(QUIETEST * SCALE)
    assert np.isfinite(found.log_evidence)


def test_a_fit_ends_when_nothing_moves_any_more(made):
    columns, _, seen = made
    seen = seen + 8.0 * (np.arange(400) % 7 == 0)  # a seventh of all lies far off: many rounds
    noise = noise_for(400, spread=1.0)
    early, ended, long = (
        fit(seen, columns, np.full(3, 3.0), noise, rounds=rounds) for rounds in (2, ROUNDS, 500)
    )
    assert ended.log_evidence == pytest.approx(long.log_evidence, abs=0.1)
    assert early.log_evidence < ended.log_evidence - 0.5
