"""Turns of vectors and attitudes."""

from math import pi

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from sim.kernel import frames
from sim.kernel.frames import Mat3, Quat, Vec3

numbers = st.floats(-10.0, 10.0)
vectors = st.builds(Vec3, numbers, numbers, numbers)
parts = st.floats(-1.0, 1.0)
turns = (
    st.tuples(parts, parts, parts, parts)
    .filter(lambda q: np.linalg.norm(q) > 0.1)
    .map(lambda q: frames.normalise(Quat(*q)))
)
angles = st.floats(-pi + 1e-6, pi - 1e-6)

# each takes a few dozen sums of products of numbers up to 10: 1e-13 is some hundred roundings
ROUNDING = 1e-13


@given(turns, vectors)
def test_a_turn_keeps_length(q, v):
    assert frames.norm(frames.to_world(q, v)) == pytest.approx(frames.norm(v), abs=ROUNDING)


@given(turns, vectors)
def test_there_and_back(q, v):
    assert_allclose(frames.to_body(q, frames.to_world(q, v)), v, atol=ROUNDING)


@given(turns, turns, vectors)
def test_product_turns_by_the_second_first(p, q, v):
    one_by_one = frames.to_world(p, frames.to_world(q, v))
    assert_allclose(frames.to_world(frames.multiply(p, q), v), one_by_one, atol=ROUNDING)


@given(vectors, vectors)
def test_cross_is_square_to_both(a, b):
    c = frames.cross(a, b)
    # products of three numbers up to 10, so up to a thousand times a rounding
    assert_allclose([frames.dot(c, a), frames.dot(c, b)], 0.0, atol=1e-12)
    assert_allclose(c, np.cross(a, b), atol=ROUNDING)


@given(angles, st.floats(-1.55, 1.55), angles)
def test_angles_round_trip(roll, pitch, heading):
    back = frames.to_angles(frames.from_angles(roll, pitch, heading))
    # 1.55 rad is 1.2 degrees from straight up, where arcsine loses two digits
    assert_allclose(back, (roll, pitch, heading), atol=1e-12)


@pytest.mark.parametrize("pitch", [-pi / 2, pi / 2])
def test_straight_up_and_down_have_angles(pitch):
    back = frames.to_angles(frames.from_angles(0.3, pitch, 0.2))
    # the arcsine near 1 keeps half the digits
    assert back.y == pytest.approx(pitch, abs=1e-7)
    assert np.isfinite(back).all()


def test_signs():
    """Right wing down, nose up, nose east are positive; down is +z."""
    assert frames.to_world(frames.from_angles(0.2, 0.0, 0.0), Vec3(0.0, 1.0, 0.0)).z > 0.0
    assert frames.to_world(frames.from_angles(0.0, 0.2, 0.0), Vec3(1.0, 0.0, 0.0)).z < 0.0
    assert frames.to_world(frames.from_angles(0.0, 0.0, 0.2), Vec3(1.0, 0.0, 0.0)).y > 0.0


@given(turns, turns)
def test_attitude_error_takes_actual_to_target(target, actual):
    error = frames.attitude_error(target, actual)
    assert frames.norm(error) <= pi + 1e-9
    reached = np.array(frames.turned_by(actual, error))
    same = abs(reached @ np.array(target))  # a quaternion and its negative are one attitude
    assert same == pytest.approx(1.0, abs=1e-12)  # hundred roundings through atan2, sin and cos


@given(turns, st.builds(Vec3, parts, parts, parts))
def test_attitude_error_gives_back_a_small_turn(q, angle):
    error = frames.attitude_error(frames.turned_by(q, angle), q)
    assert_allclose(error, angle, atol=1e-12)  # hundred roundings, as above


@given(turns, st.builds(Vec3, parts, parts, parts))
def test_rate_of_turn_is_the_slope_of_turned_by(q, rate):
    step = 1e-6
    ahead = frames.turned_by(q, frames.scale(rate, step))
    behind = frames.turned_by(q, frames.scale(rate, -step))
    slope = (np.array(ahead) - np.array(behind)) / (2.0 * step)
    # a central difference over 1e-6 loses ten of sixteen digits
    assert_allclose(frames.rate_of_turn(q, rate), slope, atol=1e-9)


@given(st.floats(-50.0, 50.0))
def test_wrapped_is_within_half_a_turn_and_whole_turns_away(angle):
    w = frames.wrapped(angle)
    assert -pi <= w <= pi
    turns_away = (angle - w) / (2.0 * pi)
    assert turns_away == pytest.approx(round(turns_away), abs=ROUNDING)


def test_matrix_by_rows():
    m = Mat3(1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 10.0)
    assert frames.apply(m, Vec3(1.0, 10.0, 100.0)) == (321.0, 654.0, 1087.0)
