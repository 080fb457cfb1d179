"""The one source of chance: SplitMix64 (Steele, Lea and Flood 2014), its state carried as data.

`next_bits` returns the new state and 64 mixed bits; `gaussian_pair` two independent unit normals
by the Box-Muller transform.
"""

from math import cos, log, pi, sin, sqrt

import numpy as np

from sim.kernel.jit import compiled, wrapping

GOLDEN_GAMMA = np.uint64(0x9E3779B97F4A7C15)  # odd increment, Steele et al. 2014
MIX_A = np.uint64(0xBF58476D1CE4E5B9)  # Stafford variant 13, Steele et al. 2014
MIX_B = np.uint64(0x94D049BB133111EB)  # Stafford variant 13, Steele et al. 2014
TO_UNIT = 1.0 / 9007199254740992.0  # 2^-53: 53 random bits to [0, 1)


@wrapping
def next_bits(state):
    """Return (new state, 64 random bits)."""
    state = np.uint64(state + GOLDEN_GAMMA)
    z = np.uint64((state ^ (state >> np.uint64(30))) * MIX_A)
    z = np.uint64((z ^ (z >> np.uint64(27))) * MIX_B)
    return state, np.uint64(z ^ (z >> np.uint64(31)))


@compiled
def uniform(state):
    """Return (new state, a number in [0, 1))."""
    state, bits = next_bits(state)
    return state, float(bits >> np.uint64(11)) * TO_UNIT


@compiled
def gaussian_pair(state):
    """Return (new state, two independent unit normals)."""
    state, u = uniform(state)
    state, v = uniform(state)
    r = sqrt(-2.0 * log(1.0 - u))
    return state, r * cos(2.0 * pi * v), r * sin(2.0 * pi * v)
