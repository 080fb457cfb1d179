"""How well a recording is explained: what was bent round one stretch fails in the next."""

import numpy as np
import pytest

from sim.reproduce.recorded.evidence import Noise, fit
from sim.reproduce.recorded.goodness import FAR_OFF, LEAST_FIT, STRETCH_S, goodness, left_out

N = 400
T = np.arange(N) * 8.0 * STRETCH_S / N  # eight stretches
SPREAD = 0.5
ONE = np.ones(1)
NOISE = Noise(np.zeros(N, dtype=np.int64), np.ones(N), ONE, SPREAD * ONE, ONE)
WIDE = 100.0  # sigmas; so nothing holds a column back
CALM = np.random.default_rng(3).standard_normal(N)
USUAL = np.random.default_rng(4).standard_t(4.0, N)  # as `evidence` takes what is left to be


def how_good(residual, columns):
    sigmas = np.full(columns.shape[1], WIDE)
    best = fit(residual, columns, sigmas, NOISE)
    return best, goodness([best], columns, sigmas, NOISE, T)


def test_what_every_stretch_tells_explains_the_next():
    columns = np.sin(T)[:, None]
    best, good = how_good(CALM + 30.0 * columns[:, 0], columns)
    assert good > 0.95
    left = left_out(best, columns, np.array([WIDE]), NOISE, T)
    assert left == pytest.approx(best.residual, abs=0.5)


def test_what_was_bent_round_each_stretch_by_itself_does_not():
    which = np.floor(T / STRETCH_S).astype(int)
    columns = (which[:, None] == np.arange(8)).astype(float)
    best, bad = how_good(CALM + 30.0 * np.where(which % 3 == 0, 1.0, -1.0), columns)
    assert np.abs(best.residual).max() < 5.0  # it looks explained
    assert bad < LEAST_FIT


def test_the_limit_lies_at_so_many_spreads_of_what_sound_recordings_leave():
    nothing = np.zeros((N, 1))
    of = {}
    for spreads in (FAR_OFF - 0.4, FAR_OFF + 0.4):
        _, of[spreads] = how_good(USUAL * np.exp(SPREAD * spreads), nothing)
    near, far = of.values()
    assert far < LEAST_FIT < near
    assert near == pytest.approx(0.5 ** (((FAR_OFF - 0.4) / FAR_OFF) ** 2), abs=0.05)
    assert how_good(0.01 * CALM, nothing)[1] == 1.0


def test_the_best_of_all_counts():
    nothing, sigmas = np.zeros((N, 1)), np.array([WIDE])
    good, bad = (fit(x, nothing, sigmas, NOISE) for x in (CALM, 1e4 * CALM))
    assert good.log_evidence > bad.log_evidence
    assert goodness([bad, good], nothing, sigmas, NOISE, T) > 0.9


def test_a_recording_shorter_than_a_stretch_is_judged_as_it_was_fitted():
    columns, sigmas = np.sin(T)[:, None], np.array([WIDE])
    best = fit(CALM, columns, sigmas, NOISE)
    assert (left_out(best, columns, sigmas, NOISE, 0.1 * T) == best.residual).all()
