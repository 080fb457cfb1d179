"""The rigid body: what is kept, and which way it precesses."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from sim.kernel import body
from sim.kernel.body import BodyParams, BodyState
from sim.kernel.frames import UPRIGHT, ZERO, Vec3, to_world

PARAMS = BodyParams(1.5, Vec3(0.0180, 0.0195, 0.0320), 9.81)
REST = BodyState(ZERO, UPRIGHT, ZERO, ZERO)
rates = st.builds(Vec3, *[st.floats(-6.0, 6.0)] * 3)


def moved(state, ticks, force=ZERO, torque=ZERO, spin=0.0):
    for _ in range(ticks):
        state = body.free_step(state, force, torque, spin, PARAMS, 0.001)
    return state


def momentum(state, spin):
    """Return the angular momentum in world axes, N m s."""
    inertia, rate = PARAMS.inertia_kg_m2, state.rate_rad_s
    own = Vec3(inertia.x * rate.x, inertia.y * rate.y, inertia.z * rate.z + spin)
    return np.array(to_world(state.attitude, own))


def energy(state):
    return 0.5 * float(np.dot(PARAMS.inertia_kg_m2, np.square(state.rate_rad_s)))


@settings(max_examples=25)
@given(rates, st.floats(-0.05, 0.05))
def test_free_rotation_keeps_energy_and_momentum(rate, spin):
    start = REST._replace(rate_rad_s=rate)
    end = moved(start, 500, spin=spin)
    # fourth order: (turn of 0.02 rad a tick)^5 is 3e-9 a tick at the fastest, over 500 ticks
    assert energy(end) == pytest.approx(energy(start), rel=1e-7, abs=1e-12)
    assert_allclose(momentum(end, spin), momentum(start, spin), atol=1e-7)
    assert np.linalg.norm(end.attitude) == pytest.approx(1.0, abs=1e-14)


def test_momentum_grows_by_the_torque():
    """A torque about the world's vertical on a level body adds torque times time."""
    end = moved(REST, 1000, torque=Vec3(0.0, 0.0, 0.01))
    assert end.rate_rad_s.z == pytest.approx(0.01 / 0.0320, rel=1e-12)  # exact but for rounding


def test_clockwise_rotors_pushed_right_raise_the_nose():
    """Momentum points down; rolled right it is pushed forward, so the nose must come up."""
    spin, torque = 2.0, 0.05  # N m s, N m; so much spin that nutation is quick
    state, pitch_rates = REST, []
    for _ in range(200):
        state = moved(state, 1, torque=Vec3(torque, 0.0, 0.0), spin=spin)
        pitch_rates.append(state.rate_rad_s.y)
    # steady precession is torque/momentum; 200 ms are over 20 nutations of 9 ms
    assert np.mean(pitch_rates) == pytest.approx(torque / spin, rel=0.05)
    other = moved(REST, 200, torque=Vec3(torque, 0.0, 0.0), spin=-spin)
    assert other.rate_rad_s.y * state.rate_rad_s.y <= 0.0


def test_fall_is_the_parabola():
    start = REST._replace(velocity_m_s=Vec3(1.0, -2.0, -3.0))
    end = moved(start, 1000, force=Vec3(0.3, 0.0, 0.0))
    # second-degree motion is exact for the method
    assert_allclose(end.velocity_m_s, (1.2, -2.0, 6.81), atol=1e-12)
    assert_allclose(end.position_m, (1.1, -2.0, 1.905), atol=1e-12)


def test_turn_about_a_principal_axis_is_even():
    end = moved(REST._replace(rate_rad_s=Vec3(0.0, 3.0, 0.0)), 1000)
    assert_allclose(end.rate_rad_s, (0.0, 3.0, 0.0), atol=1e-14)
    half = 1.5  # rad
    assert_allclose(end.attitude, (np.cos(half), 0.0, np.sin(half), 0.0), atol=1e-12)


def test_kinetic_energy_grows_by_the_work():
    force, start = Vec3(0.0, 2.0, -1.5 * 9.81), REST
    end = moved(start, 700, force=force)
    work = 2.0 * end.position_m.y
    speed2 = sum(v * v for v in end.velocity_m_s)
    assert 0.5 * 1.5 * speed2 == pytest.approx(work, rel=1e-9)  # exact but for rounding
