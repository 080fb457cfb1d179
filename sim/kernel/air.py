"""Standard atmosphere up to 11 km (US Standard Atmosphere 1976 = ISO 2533), geometric height."""

from sim.kernel.jit import compiled

SEA_LEVEL_TEMPERATURE_K = 288.15  # K, ISO 2533
SEA_LEVEL_PRESSURE_PA = 101325.0  # Pa, ISO 2533
LAPSE_K_M = 0.0065  # K/m, ISO 2533
GAS_CONSTANT_J_KG_K = 287.05287  # J/(kg K), ISO 2533
STANDARD_GRAVITY_M_S2 = 9.80665  # m/s2, ISO 2533
EARTH_RADIUS_M = 6356766.0  # m, ISO 2533
EXPONENT = STANDARD_GRAVITY_M_S2 / (GAS_CONSTANT_J_KG_K * LAPSE_K_M)  # 5.25588, ISO 2533


@compiled
def geopotential_m(height_m):
    """Return the geopotential height of a geometric height."""
    return EARTH_RADIUS_M * height_m / (EARTH_RADIUS_M + height_m)


@compiled
def temperature_k(height_m):
    """Return the standard air temperature."""
    return SEA_LEVEL_TEMPERATURE_K - LAPSE_K_M * geopotential_m(height_m)


@compiled
def pressure_pa(height_m):
    """Return the standard static pressure."""
    return SEA_LEVEL_PRESSURE_PA * (temperature_k(height_m) / SEA_LEVEL_TEMPERATURE_K) ** EXPONENT


@compiled
def density_kg_m3(height_m):
    """Return the standard air density."""
    return pressure_pa(height_m) / (GAS_CONSTANT_J_KG_K * temperature_k(height_m))


@compiled
def height_from_pressure_m(static_pa):
    """Return the geometric height at which the standard pressure is `static_pa`."""
    ratio = (static_pa / SEA_LEVEL_PRESSURE_PA) ** (1.0 / EXPONENT)
    h = SEA_LEVEL_TEMPERATURE_K * (1.0 - ratio) / LAPSE_K_M
    return EARTH_RADIUS_M * h / (EARTH_RADIUS_M - h)
