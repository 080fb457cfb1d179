"""Standard atmosphere: known points and what holds everywhere."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sim.kernel import air

heights = st.floats(-500.0, 11_000.0)


def test_sea_level():
    assert air.temperature_k(0.0) == 288.15  # K, ISO 2533
    assert air.pressure_pa(0.0) == 101325.0  # Pa, ISO 2533
    assert air.density_kg_m3(0.0) == pytest.approx(1.225, rel=1e-6)  # kg/m3, ISO 2533: 7 digits


def test_tropopause():
    """ISO 2533 at 11 km geopotential height: 216.65 K and 226.32 hPa (five digits printed)."""
    geometric = 6356766.0 * 11_000.0 / (6356766.0 - 11_000.0)
    assert air.geopotential_m(geometric) == pytest.approx(11_000.0, abs=1e-6)
    assert air.temperature_k(geometric) == pytest.approx(216.65, abs=1e-9)
    assert air.pressure_pa(geometric) == pytest.approx(22_632.0, abs=0.5)


@given(heights)
def test_height_comes_back_from_pressure(height):
    back = air.height_from_pressure_m(air.pressure_pa(height))
    assert back == pytest.approx(height, abs=1e-6)  # m; ten digits of 11 km, powers lose a few


@given(heights)
def test_pressure_falls_by_the_weight_of_the_air(height):
    step = 0.5
    slope = (air.pressure_pa(height + step) - air.pressure_pa(height - step)) / (2.0 * step)
    gravity = air.STANDARD_GRAVITY_M_S2 * (air.EARTH_RADIUS_M / (air.EARTH_RADIUS_M + height)) ** 2
    # central difference over 1 m of a curve that bends over kilometres
    assert slope == pytest.approx(-gravity * air.density_kg_m3(height), rel=1e-7)
