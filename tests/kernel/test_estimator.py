"""The attitude estimate: which way it is pulled, how fast, and what it learns at start-up."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from sim.kernel import estimator
from sim.kernel.estimator import EstimatorState
from sim.kernel.frames import (
    UPRIGHT,
    ZERO,
    Mat3,
    Vec3,
    attitude_error,
    from_angles,
    norm,
    to_angles,
    to_body,
    turned_by,
)

G = 9.80665
EARTH = Vec3(19.5, 0.3, 45.0)


@pytest.fixture(scope="module")
def params(craft):
    declination = float(np.arctan2(EARTH.y, EARTH.x))
    return craft.estimator._replace(bias_gain_per_s2=0.0, declination_rad=declination)


def followed(state, attitude, seconds, params, gyro=ZERO):
    """Return the estimate after a time at rest in an attitude."""
    accel, mag = to_body(attitude, Vec3(0.0, 0.0, -G)), to_body(attitude, EARTH)
    for _ in range(round(seconds / 0.001)):
        state = estimator.updated(state, gyro, accel, mag, params, 0.001)
    return state


angle = st.floats(-1.2, 1.2)


@given(angle, angle, st.floats(-3.1, 3.1), st.floats(-0.3, 0.3))
def test_heading_of_field_takes_out_the_tilt(roll, pitch, heading, declination):
    level = 20.0
    earth = Vec3(level * np.cos(declination), level * np.sin(declination), 45.0)
    field = to_body(from_angles(roll, pitch, heading), earth)
    shown = estimator.heading_of_field(field, roll, pitch, declination)
    # 1e-14 of the 45 uT downwards is 2e-14 of the 20 uT level; rotations add some roundings
    assert np.cos(shown - heading) == pytest.approx(1.0, abs=1e-12)


def test_it_converges_from_a_wrong_start(params):
    truth = from_angles(0.2, -0.3, 1.0)
    start = EstimatorState(turned_by(truth, Vec3(0.2, -0.1, 0.3)), ZERO)
    away = [
        norm(attitude_error(truth, followed(start, truth, t, params).attitude)) for t in (2.0, 10.0)
    ]
    assert away[0] > away[1]
    # rad; heading decays at 0.4 1/s from 0.3, and while tilt lasts (0.22, at 0.6 1/s) 45 uT of
    # down field lean on 19.5 uT of level: at most (0.3 + 0.4 * 2.3 * 0.22 / 0.2) e^-4
    assert away[1] < 1.3 * np.exp(-4.0)


def test_level_error_decays_at_the_level_gain(params):
    start = EstimatorState(from_angles(0.02, 0.0, 0.0), ZERO)
    left = to_angles(followed(start, UPRIGHT, 2.0, params).attitude).x
    # small angle, and half a step of 1 ms; the heading pull reaches roll by the tilted field a bit
    assert left == pytest.approx(0.02 * np.exp(-params.level_gain_per_s * 2.0), rel=0.01)


def test_rest_at_the_truth_is_a_fixed_point(params):
    truth = from_angles(0.1, 0.2, -2.0)
    end = followed(EstimatorState(truth, ZERO), truth, 1.0, params)
    assert norm(attitude_error(truth, end.attitude)) < 1e-12  # rad; a thousand roundings


def test_force_unlike_gravity_is_not_taken_for_up(params):
    state = EstimatorState(from_angles(0.3, 0.0, 0.0), ZERO)
    trust = params.accel_trust_m_s2
    assert estimator.level_pull(state, Vec3(0.0, 0.0, -G - trust - 0.01), params) == ZERO
    assert estimator.level_pull(state, Vec3(0.0, 0.0, -G + trust + 0.01), params) == ZERO
    assert norm(estimator.level_pull(state, Vec3(0.0, 0.0, -G - trust + 0.01), params)) > 0.1


def test_vertical_field_gives_no_heading(params):
    state = EstimatorState(UPRIGHT, ZERO)
    assert estimator.heading_pull(state, Vec3(0.0, 0.0, 45.0), params) == ZERO


def test_heading_pull_turns_the_nose_the_short_way(params):
    state = EstimatorState(from_angles(0.0, 0.0, 0.4), ZERO)  # believes 0.4, is 0
    assert estimator.heading_pull(state, EARTH, params).z < 0.0


def test_bias_is_learnt_in_flight(params):
    learning = params._replace(level_gain_per_s=2.0, heading_gain_per_s=2.0, bias_gain_per_s2=0.5)
    bias = Vec3(0.01, -0.02, 0.015)
    end = followed(EstimatorState(UPRIGHT, ZERO), UPRIGHT, 30.0, learning, gyro=bias)
    # both roots of s^2 + 2 s + 0.5 k are below -0.29 1/s: e^-8.7 of the bias is left
    assert_allclose(end.bias_rad_s, bias, atol=1e-5)
    assert norm(attitude_error(UPRIGHT, end.attitude)) < 1e-4


def test_start_up_learns_gyro_bias_and_attitude(craft, flight):
    bias = Vec3(0.03, -0.02, 0.01)
    biased = craft._replace(
        sensors=craft.sensors._replace(gyro_bias_rad_s=bias),
        field=craft.field._replace(
            steel=tuple(s._replace(moment_ut_m3=ZERO) for s in craft.field.steel)
        ),
    )
    starting = flight(biased, from_angles(0.0, 0.0, 2.0))
    starting.run(2.0)
    # rad/s; mean of 2000 samples of 3.5e-3: 8e-5, four times that allowed
    assert_allclose(starting.vector("estimator.bias_rad_s"), bias, atol=3.2e-4)
    shown = starting.run(1.0)
    # rad; 4 % of noise in one field sample of 19.5 uT lies behind the first heading: 0.016
    assert shown["shown_heading_rad"][-1] == pytest.approx(2.0, abs=0.05)
    assert abs(shown["shown_roll_rad"][-1]) < 0.01  # rad; 0.04 m/s2 of 9.8, at the first sample
    assert abs(shown["shown_pitch_rad"][-1]) < 0.01


def test_calibration_undoes_what_it_was_made_for():
    twice = Mat3(2.0, 0.0, 0.0, 0.0, 2.0, 0.0, 0.0, 0.0, 2.0)
    assert estimator.calibrated(Vec3(3.0, 4.0, 5.0), Vec3(1.0, 1.0, 1.0), twice) == (4.0, 6.0, 8.0)
