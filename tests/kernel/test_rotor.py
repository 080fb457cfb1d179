"""Propeller tables, floor and ceiling."""

from math import pi

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sim.kernel import rotor
from sim.kernel import tables as lookup

RADIUS_M = 0.127
SPACING_M = 0.318
DIAMETER_M = 0.254
AIR = 1.2  # kg/m3


def test_ground_effect_lifts_less_and_less_with_height():
    heights = np.geomspace(0.5 * RADIUS_M, 20.0, 200)
    for factor in (
        [rotor.ground_factor_single(h, RADIUS_M) for h in heights],
        [rotor.ground_factor_four(h, RADIUS_M, SPACING_M) for h in heights],
    ):
        assert np.all(np.diff(factor) < 0.0)
        assert factor[-1] == pytest.approx(1.0, abs=1e-4)  # z/R = 157: (1/4/157)^2 = 2.5e-6
        assert min(factor) >= 1.0


def test_neighbours_add_to_the_ground_effect():
    for height in (0.1, 0.2, 0.5):
        alone = rotor.ground_factor_single(height, RADIUS_M)
        assert rotor.ground_factor_four(height, RADIUS_M, SPACING_M) > alone
        far = rotor.ground_factor_four(height, RADIUS_M, 1e4)
        assert far == pytest.approx(alone, rel=1e-9)  # images 10 km off


def test_ground_effect_that_is_flown_is_that_of_the_images_up_to_three_radii():
    for ratio in (0.5, 1.0, 2.0, 2.99):
        height = ratio * RADIUS_M
        images = rotor.ground_factor_four(height, RADIUS_M, SPACING_M)
        assert rotor.floor_factor(height, RADIUS_M, SPACING_M) == pytest.approx(images, rel=1e-12)


def test_ground_effect_is_below_one_per_cent_from_four_radii_on():
    """Published tests show under 1 % there, where the images alone leave 1.4 %; never thrust lost,
    and no step on the way up."""
    assert rotor.ground_factor_four(4.0 * RADIUS_M, RADIUS_M, SPACING_M) > 1.013
    at_four = rotor.floor_factor(4.0 * RADIUS_M, RADIUS_M, SPACING_M)
    assert 1.005 < at_four < 1.01
    heights = np.linspace(0.5, 8.0, 3000) * RADIUS_M
    flown = np.array([rotor.floor_factor(h, RADIUS_M, SPACING_M) for h in heights])
    assert (np.diff(flown) <= 0.0).all()
    steps = np.diff(flown[heights > 2.5 * RADIUS_M])
    assert np.abs(steps).max() < 5e-5  # twice the steepest of the images there
    assert flown[-1] == 1.0
    assert rotor.floor_factor(4.9 * RADIUS_M, RADIUS_M, SPACING_M) > 1.0


def test_ground_effect_stays_finite_on_the_floor():
    lowest = rotor.ground_factor_four(0.5 * RADIUS_M, RADIUS_M, SPACING_M)
    # by hand at z/R = 0.5: 1/(16 z^2) = 1/4, two neighbours and one across at d = 2.504 R
    d2 = (SPACING_M / RADIUS_M) ** 2
    loss = 0.25 + 0.5 / (d2 + 1.0) ** 1.5 + 0.25 / (2.0 * d2 + 1.0) ** 1.5
    assert lowest == pytest.approx(1.0 / (1.0 - loss), rel=1e-12)
    assert rotor.ground_factor_single(0.0, RADIUS_M) == pytest.approx(4.0 / 3.0, rel=1e-12)
    for height in (0.0, -0.1, 0.25 * RADIUS_M):
        assert rotor.ground_factor_four(height, RADIUS_M, SPACING_M) == lowest


@pytest.mark.parametrize("gap", [0.0, 0.05, 0.3])
def test_ceiling_by_hand(gap):
    """1/(1 - (R/(gap + 0.038 m))^2/6.9), at most 2: the fitted form, from memory."""
    loss = min(0.5, (RADIUS_M / (gap + 0.038)) ** 2 / 6.9)
    assert rotor.ceiling_factor(gap, RADIUS_M) == pytest.approx(1.0 / (1.0 - loss), rel=1e-12)


def test_where_the_tables_end_by_hand(tables):
    """Thrust begins at 12 rad/s; in descent C_T rises on the first slope of J as far as J = -0.2."""
    speed = 480.0
    still = rotor.coefficients(tables, speed, 0.0, DIAMETER_M)
    slope = (tables.thrust_share[1] - tables.thrust_share[0]) / tables.advance_ratio[1]
    reach = speed / (2.0 * pi) * DIAMETER_M  # m/s for J = 1
    for ratio in (-0.1, -0.2, -0.5):
        ct, cp = rotor.coefficients(tables, speed, ratio * reach, DIAMETER_M)
        assert ct == pytest.approx(still[0] * (1.0 + slope * max(ratio, -0.2)), rel=1e-12)
        assert cp == still[1]
    assert rotor.thrust_and_torque(tables, 12.0, 0.0, AIR, DIAMETER_M)[0] > 0.0
    assert rotor.thrust_and_torque(tables, 11.999, 0.0, AIR, DIAMETER_M) == (0.0, 0.0)


@given(st.floats(-1.0, 50.0), st.floats(0.05, 0.5))
def test_ceiling_only_ever_helps(gap, radius):
    factor = rotor.ceiling_factor(gap, radius)
    assert 1.0 <= factor <= 2.0
    assert rotor.ceiling_factor(gap + 0.1, radius) <= factor


def test_table_is_kept_at_and_beyond_its_ends(tables):
    speeds, thrust = tables.rotor_speed_rad_s, tables.thrust_coefficient
    for i, speed in enumerate(speeds):
        ct, cp = rotor.coefficients(tables, speed, 0.0, DIAMETER_M)
        # a node is met from the segment before it: one rounding
        assert ct == pytest.approx(thrust[i], rel=1e-14)
        assert cp == pytest.approx(tables.power_coefficient[i], rel=1e-14)
    slow = rotor.coefficients(tables, 0.5 * speeds[0], 0.0, DIAMETER_M)
    fast = rotor.coefficients(tables, 3.0 * speeds[-1], 0.0, DIAMETER_M)
    assert slow == (thrust[0], tables.power_coefficient[0])
    assert fast == pytest.approx((thrust[-1], tables.power_coefficient[-1]), rel=1e-14)


def test_locate_at_edges():
    xs = np.array([1.0, 2.0, 4.0])
    assert lookup.locate(0.0, xs) == (0, 0.0)
    assert lookup.locate(1.0, xs) == (0, 0.0)
    assert lookup.locate(3.0, xs) == (1, 0.5)
    assert lookup.locate(4.0, xs) == (1, 1.0)
    assert lookup.locate(9.0, xs) == (1, 1.0)


@given(st.floats(-1.0, 6.0))
def test_interpolation_is_numpys(x):
    xs, ys = np.array([0.0, 1.0, 1.5, 5.0]), np.array([3.0, -1.0, 7.0, 7.5])
    # same formula in another order
    assert lookup.interpolate(x, xs, ys) == pytest.approx(np.interp(x, xs, ys), abs=1e-13)


def test_thrust_falls_in_climb_and_grows_in_descent(tables):
    climb = np.linspace(-4.0, 8.0, 200)
    thrust = np.array(
        [rotor.thrust_and_torque(tables, 480.0, v, AIR, DIAMETER_M)[0] for v in climb]
    )
    assert np.all(np.diff(thrust) <= 1e-12)
    assert abs(np.diff(thrust)).max() < 0.02 * thrust.max()  # no jump: 2 % is thrice a mean step
    deepest = [rotor.thrust_and_torque(tables, 480.0, v, AIR, DIAMETER_M)[0] for v in (-8.0, -9.0)]
    assert deepest[0] == deepest[1]  # beyond J = -0.2 nothing is made up


def test_no_thrust_when_hardly_turning(tables):
    assert rotor.thrust_and_torque(tables, 11.9, 0.0, AIR, DIAMETER_M) == (0.0, 0.0)


def test_thrust_goes_with_density_and_the_square_of_speed(tables):
    flat = tables._replace(
        thrust_coefficient=np.full_like(tables.thrust_coefficient, 0.1),
        power_coefficient=np.full_like(tables.power_coefficient, 0.05),
    )
    one = rotor.thrust_and_torque(flat, 300.0, 0.0, AIR, DIAMETER_M)
    n = 300.0 / (2.0 * pi)
    by_hand = 0.1 * AIR * n**2 * DIAMETER_M**4, 0.05 * AIR * n**2 * DIAMETER_M**5 / (2.0 * pi)
    assert one == pytest.approx(by_hand, rel=1e-12)  # same sums, other order
    twice = rotor.thrust_and_torque(flat, 600.0, 0.0, 2.0 * AIR, DIAMETER_M)
    assert twice == pytest.approx(tuple(8.0 * x for x in one), rel=1e-12)


def test_momentum_theory():
    thrust, area = 3.7, pi * RADIUS_M**2
    v = rotor.induced_velocity_m_s(thrust, AIR, RADIUS_M)
    assert 2.0 * AIR * area * v * v == pytest.approx(thrust, rel=1e-12)  # same sums, other order
    assert rotor.ideal_power_w(thrust, AIR, RADIUS_M) == pytest.approx(thrust * v, rel=1e-12)


def test_propeller_is_better_than_nothing_and_worse_than_ideal(tables):
    for speed in tables.rotor_speed_rad_s:
        ct, cp = rotor.coefficients(tables, speed, 0.0, DIAMETER_M)
        assert 0.3 < rotor.figure_of_merit(ct, cp) < 0.8  # small propellers reach 0.4 to 0.7
