"""Fits of compass and accelerometer: what they find, and what they refuse."""

from contextlib import suppress

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from scipy.spatial.transform import Rotation

from sim.bench.accelerometer import solve_six_positions
from sim.bench.compass import (
    LEAST_READINGS,
    FitError,
    covered,
    fit_compass,
    fit_ellipsoid,
)

FIELD_UT = 49.0
HARD_UT = np.array((8.0, -12.0, 5.0))
SOFT = np.array([[1.05, 0.02, -0.01], [0.02, 0.97, 0.03], [-0.01, 0.03, 1.01]])
G = 9.80665
FACES = G * np.vstack([np.eye(3), -np.eye(3)])


def directions(n, seed=1):
    rng = np.random.default_rng(seed)
    d = rng.normal(size=(n, 3))
    return d / np.linalg.norm(d, axis=1, keepdims=True)


def readings(n=300, hard=HARD_UT, soft=SOFT, noise=0.0, seed=1):
    errors = np.random.default_rng(seed + 100).normal(0.0, 1.0, (n, 3))
    return FIELD_UT * directions(n, seed) @ soft.T + hard + noise * errors


def test_noiseless_compass_is_found():
    found = fit_compass(readings(), FIELD_UT)
    assert_allclose(found.offset_ut, HARD_UT, atol=1e-6)  # uT; asked for, met by 1e-12
    corrected = (readings() - found.offset_ut) @ found.matrix.T
    assert_allclose(np.linalg.norm(corrected, axis=1), FIELD_UT, rtol=1e-6)
    assert found.residual_share < 1e-6
    # a sphere of equal volume: the mean of the axes of a symmetrical soft iron
    assert found.fitted_ut == pytest.approx(FIELD_UT * np.linalg.det(SOFT) ** (1 / 3), rel=1e-6)


def test_noisy_compass_is_found_to_a_percent():
    """0.5 uT on 300 readings: each unknown to 0.5/sqrt(100), some 0.05 uT; 1 % is 0.49 uT."""
    found = fit_compass(readings(noise=0.5), FIELD_UT)
    assert_allclose(found.offset_ut, HARD_UT, atol=0.01 * FIELD_UT)
    assert_allclose(
        found.matrix @ SOFT, np.eye(3) * np.linalg.det(found.matrix @ SOFT) ** (1 / 3), atol=0.01
    )
    assert found.residual_share == pytest.approx(0.5 / FIELD_UT, rel=0.15)  # 300 readings: 4 %


axes = st.floats(0.8, 1.25)
offsets = st.floats(-60.0, 60.0)
turns = st.floats(-3.0, 3.0)


@settings(max_examples=50)
@given(
    st.tuples(axes, axes, axes),
    st.tuples(offsets, offsets, offsets),
    st.tuples(turns, turns, turns),
    st.integers(0, 1000),
)
def test_any_ellipsoid_is_found(lengths, hard, turn, seed):
    r = Rotation.from_rotvec(turn).as_matrix()
    soft = r @ np.diag(lengths) @ r.T
    raw = readings(60, np.array(hard), soft, seed=seed)
    found = fit_compass(raw, FIELD_UT)
    assert_allclose(found.offset_ut, hard, atol=1e-6)  # uT; condition of 60 chance directions
    sizes = np.linalg.norm((raw - found.offset_ut) @ found.matrix.T, axis=1)
    assert_allclose(sizes, FIELD_UT, rtol=1e-6)
    # the matrix is symmetrical, so the fit adds no turn of its own to the heading
    assert_allclose(found.matrix, found.matrix.T, atol=1e-9)


def test_planar_readings_are_refused():
    angle = np.linspace(0.0, 2.0 * np.pi, 100)
    flat = np.column_stack([20.0 * np.cos(angle), 20.0 * np.sin(angle), np.full(100, 45.0)])
    with pytest.raises(FitError, match="more than one axis"):
        fit_compass(flat, FIELD_UT)
    shaky = flat + np.random.default_rng(1).normal(0.0, 0.3, flat.shape)
    with suppress(FitError):  # with noise it may close to something; then its coverage tells
        assert fit_compass(shaky, FIELD_UT).coverage < 0.6


def test_too_few_and_still_readings_are_refused():
    with pytest.raises(FitError, match=f"at least {LEAST_READINGS}"):
        fit_ellipsoid(readings(LEAST_READINGS - 1))
    with pytest.raises(FitError):
        fit_ellipsoid(np.ones((100, 3)))


def test_coverage():
    assert covered(readings(2000), HARD_UT) == 1.0
    half = readings(2000)
    half = half[half[:, 2] > HARD_UT[2]]
    # 30 degrees beyond the rim are still near: a half and a quarter
    assert covered(half, HARD_UT) == pytest.approx(0.75, abs=0.08)
    one = np.array([[30.0, 0.0, 0.0]])
    assert covered(one, np.zeros(3)) < 0.1


accelerations = st.floats(-0.05, 0.05)


@given(st.lists(accelerations, min_size=12, max_size=12))
def test_noiseless_six_positions_are_exact(errors):
    matrix = np.eye(3) + np.reshape(errors[:9], (3, 3))
    offset = 10.0 * np.array(errors[9:])
    raw = FACES @ np.linalg.inv(matrix).T + offset
    found_offset, found = solve_six_positions(raw, FACES)
    # 12 unknowns from 18 sums of numbers up to 10: a few roundings of 1e-15
    assert_allclose(found, matrix, atol=1e-12)
    assert_allclose(found_offset, offset, atol=1e-12)


@pytest.mark.parametrize("kept", [[0], [0, 1, 2], [0, 3, 1, 4], [0, 0, 0, 0, 0, 0]])
def test_faces_in_one_plane_are_refused(kept):
    with pytest.raises(ValueError, match="use all six"):
        solve_six_positions(FACES[kept], FACES[kept])


@pytest.mark.parametrize("kept", [[0, 1, 2, 3], [0, 1, 2, 3, 4], [0, 1, 2, 3, 4, 5, 0]])
def test_four_faces_out_of_one_plane_are_enough(kept):
    offset, matrix = solve_six_positions(FACES[kept] + 0.1, FACES[kept])
    assert_allclose(matrix, np.eye(3), atol=1e-12)
    assert_allclose(offset, 0.1, atol=1e-12)


def test_noise_averages_over_faces():
    noise = np.random.default_rng(2).normal(0.0, 0.04, (600, 3))
    raw = np.tile(FACES, (100, 1)) + 0.2 + noise
    offset, _ = solve_six_positions(raw, np.tile(FACES, (100, 1)))
    assert_allclose(offset, 0.2, atol=0.008)  # m/s2; 0.04/sqrt(600) is 0.0016, five times that
