"""One propeller: thrust, torque, inflow, and what floor and ceiling do to it.

Definitions (Brandt and Selig, AIAA 2011-1255): n = revolutions per second, D = diameter,
J = V/(n D), C_T = T/(rho n^2 D^4), C_P = P/(rho n^3 D^5), Q = P/(2 pi n).
"""

from math import pi, sqrt

from sim.kernel.jit import compiled
from sim.kernel.tables import between, locate

SLOWEST_RAD_S = 12.0  # rad/s; own: below this thrust is under 2 mN and J is meaningless
DEEPEST_DESCENT_RATIO = -0.2  # J; own: no table data below J = 0, extrapolated only this far
LOWEST_HEIGHT_RATIO = 0.5  # z/R; Cheeseman and Bennett: formula valid from about here
FADES_FROM, FADES_TO = 3.0, 5.0  # z/R; own: half the image form is left at 4, where flight tests
# show under 1 %; Prouty's chart shows nothing from 2.4 on
CEILING_GAIN = 6.9  # 1; from memory, fitted for a 9.5 inch propeller (Sanchez-Cuevas 2017)
CEILING_OFFSET_M = 0.038  # m; from memory, same fit


@compiled
def coefficients(tables, speed_rad_s, axial_m_s, diameter_m):
    """Return (C_T, C_P) at a rotor speed and climb speed through the disc.

    axial_m_s: air speed through the disc from above, positive in climb, m/s.
    """
    n = speed_rad_s / (2.0 * pi)
    i, f = locate(speed_rad_s, tables.rotor_speed_rad_s)
    thrust = between(tables.thrust_coefficient, i, f)
    power = between(tables.power_coefficient, i, f)
    j = max(axial_m_s / (n * diameter_m), DEEPEST_DESCENT_RATIO)
    if j < 0.0:
        first = tables.advance_ratio[1]
        slope = (tables.thrust_share[1] - tables.thrust_share[0]) / first
        return thrust * (1.0 + slope * j), power
    i, f = locate(j, tables.advance_ratio)
    return thrust * between(tables.thrust_share, i, f), power * between(tables.power_share, i, f)


@compiled
def drag_n_m_s2(power_coefficient, density_kg_m3, diameter_m):
    """Return shaft torque over speed squared, N m s2/rad2: Q = C_P rho n^2 D^5/(2 pi)."""
    return power_coefficient * density_kg_m3 * diameter_m**5 / (2.0 * pi) ** 3


@compiled
def lift_n_s2(thrust_coefficient, density_kg_m3, diameter_m):
    """Return thrust over speed squared, N s2/rad2: T = C_T rho n^2 D^4."""
    return thrust_coefficient * density_kg_m3 * diameter_m**4 / (2.0 * pi) ** 2


@compiled
def thrust_and_torque(tables, speed_rad_s, axial_m_s, density_kg_m3, diameter_m):
    """Return (thrust in N, shaft torque in N m) in free air."""
    if speed_rad_s < SLOWEST_RAD_S:
        return 0.0, 0.0
    ct, cp = coefficients(tables, speed_rad_s, axial_m_s, diameter_m)
    square = speed_rad_s * speed_rad_s
    return (
        lift_n_s2(ct, density_kg_m3, diameter_m) * square,
        drag_n_m_s2(cp, density_kg_m3, diameter_m) * square,
    )


@compiled
def induced_velocity_m_s(thrust_n, density_kg_m3, radius_m):
    """Return the induced velocity in hover, v = sqrt(T/(2 rho A)) (momentum theory)."""
    return sqrt(thrust_n / (2.0 * density_kg_m3 * pi * radius_m * radius_m))


@compiled
def ideal_power_w(thrust_n, density_kg_m3, radius_m):
    """Return the least power that hovers, T v (momentum theory)."""
    return thrust_n * induced_velocity_m_s(thrust_n, density_kg_m3, radius_m)


@compiled
def figure_of_merit(thrust_coefficient, power_coefficient):
    """Return ideal over actual power in hover: sqrt(2/pi) C_T^1.5 / C_P."""
    return sqrt(2.0 / pi) * thrust_coefficient**1.5 / power_coefficient


@compiled
def ground_factor_single(height_m, radius_m):
    """Return thrust near the floor over thrust far from it (Cheeseman and Bennett 1955)."""
    z = max(height_m, LOWEST_HEIGHT_RATIO * radius_m)
    return 1.0 / (1.0 - (radius_m / (4.0 * z)) ** 2)


@compiled
def ground_factor_four(height_m, radius_m, spacing_m):
    """Return the same for one of four rotors by images (Sanchez-Cuevas, Heredia, Ollero 2017).

    spacing_m: distance between neighbouring rotor axes, m.
    """
    z = max(height_m, LOWEST_HEIGHT_RATIO * radius_m)
    r2, d2, z2 = radius_m * radius_m, spacing_m * spacing_m, 4.0 * z * z
    near, far = d2 + z2, 2.0 * d2 + z2
    neighbours = r2 * z / (near * sqrt(near))
    across = 0.5 * r2 * z / (far * sqrt(far))
    return 1.0 / (1.0 - r2 / (16.0 * z * z) - neighbours - across)


@compiled
def floor_factor(height_m, radius_m, spacing_m):
    """Return the factor on thrust that is flown: that of the images, faded out further up.

    Images of an ideal fluid reach too far: the wake of a real rotor has spread and slowed by then.
    """
    far = min(1.0, max(0.0, (height_m / radius_m - FADES_FROM) / (FADES_TO - FADES_FROM)))
    left = 1.0 - far * far * (3.0 - 2.0 * far)
    return 1.0 + left * (ground_factor_four(height_m, radius_m, spacing_m) - 1.0)


@compiled
def ceiling_factor(gap_m, radius_m):
    """Return thrust under a ceiling over thrust in the open; gap from disc to ceiling, m."""
    ratio = radius_m / (max(gap_m, 0.0) + CEILING_OFFSET_M)
    return 1.0 / (1.0 - min(0.5, ratio * ratio / CEILING_GAIN))
