"""The generator against its published outputs, and the shape of what is made from it."""

import numpy as np
from scipy import stats

from sim.kernel import noise

# first outputs of SplitMix64 for seed 1234567, the test vector that goes round with it
# (Steele, Lea and Flood 2014; values from memory)
PUBLISHED = (
    6457827717110365317,
    3203168211198807973,
    9817491932198370423,
    4593380528125082431,
    16408922859458223821,
)
SAMPLES = 20_000
# with a fixed seed the test gives one answer for ever; 1 % is the usual level for calling it bad
LEAST_P = 0.01


def test_published_outputs():
    state, seen = np.uint64(1234567), []
    for _ in PUBLISHED:
        state, bits = noise.next_bits(np.uint64(state))
        seen.append(int(bits))
    assert tuple(seen) == PUBLISHED


def test_state_wraps_round():
    state, _ = noise.next_bits(np.uint64(2**64 - 1))
    assert int(state) == 0x9E3779B97F4A7C15 - 1


def test_uniform_fills_its_range():
    state, values = np.uint64(5), np.empty(SAMPLES)
    for i in range(SAMPLES):
        state, values[i] = noise.uniform(np.uint64(state))
    assert values.min() >= 0.0
    assert values.max() < 1.0
    assert stats.kstest(values, "uniform").pvalue > LEAST_P


def test_gaussian_pair_is_two_independent_unit_normals():
    state, pairs = np.uint64(11), np.empty((SAMPLES, 2))
    for i in range(SAMPLES):
        state, *pairs[i] = noise.gaussian_pair(np.uint64(state))
    for column in pairs.T:
        assert stats.kstest(column, "norm").pvalue > LEAST_P
    assert stats.pearsonr(*pairs.T).pvalue > LEAST_P
    assert stats.pearsonr(*(pairs**2).T).pvalue > LEAST_P  # nor do their sizes go together
    assert stats.pearsonr(pairs[:-1, 0], pairs[1:, 0]).pvalue > LEAST_P
