"""What no propeller and no cell can do: bounds of theory on the shipped tables."""

from math import pi, sqrt

import numpy as np
import pytest

from sim.aircraft import library
from sim.kernel import rotor
from sim.qualify import propellers, row

AIR_KG_M3 = 1.225  # kg/m3, ISO 2533
DISC_M2 = pi / 4.0 * propellers.TEN_INCH_M**2  # m2
SPEEDS_RAD_S = np.linspace(230.0, 720.0, 30)  # rad/s; 2200 to 6900 rpm


def loads(speed_rad_s, climb_m_s):
    tables = library.tables("10x4.7")
    return rotor.thrust_and_torque(tables, speed_rad_s, climb_m_s, AIR_KG_M3, propellers.TEN_INCH_M)


@pytest.mark.parametrize("speed", SPEEDS_RAD_S)
def test_hover_takes_more_than_the_least_power(speed):
    """Momentum theory: T sqrt(T/(2 rho A)); small propellers need 1.3 to 2 times as much."""
    thrust, torque = loads(speed, 0.0)
    least_w = thrust * sqrt(thrust / (2.0 * AIR_KG_M3 * DISC_M2))
    assert 1.3 < torque * speed / least_w < 2.0


@pytest.mark.parametrize("climb_m_s", [3.0, 6.0, 9.0, 12.0])
@pytest.mark.parametrize("speed", SPEEDS_RAD_S[15:])
def test_no_climb_beats_the_ideal_disc(speed, climb_m_s):
    """Froude: useful over shaft power stays under V/(V + v), v the speed the disc induces."""
    thrust, torque = loads(speed, climb_m_s)
    if thrust <= 0.0:
        pytest.skip("faster than this propeller pulls")
    half = 0.5 * climb_m_s
    induced = sqrt(half * half + thrust / (2.0 * AIR_KG_M3 * DISC_M2)) - half
    useful = thrust * climb_m_s / (torque * speed)
    assert 0.1 < useful < climb_m_s / (climb_m_s + induced)


def test_thrust_stays_under_what_the_blades_can_bear():
    """Blade elements: mean lift coefficient of the published chords between 0.3 and 1.2."""
    shape = row.table("propeller_10x4.7_shape")
    r = 0.5 * propellers.TEN_INCH_M * np.array(shape.column("radius_ratio"))
    chord = 0.5 * propellers.TEN_INCH_M * np.array(shape.column("chord_ratio"))
    for speed in SPEEDS_RAD_S:
        dynamic = np.trapezoid(2.0 * 0.5 * AIR_KG_M3 * (speed * r) ** 2 * chord, r)
        assert 0.3 < loads(speed, 0.0)[0] / dynamic < 1.2
