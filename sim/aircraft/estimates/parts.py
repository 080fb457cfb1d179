"""What a motor, a propeller, a pack and legs are like, from a few numbers on them.

Scaling laws of alike shapes; their constants are own, fitted to parts the trade knows, and named
with how far such parts stray from them. A measurement always goes before them.
"""

from math import sqrt

from sim.kernel.motor import torque_constant_n_m_a
from sim.units import KG_M_PER_G_MM, RAD_S_PER_RPM

MOTOR_SHARE = 0.038  # of the aircraft's mass, each; own: 0.03 to 0.05 are common
STRENGTH_N2_M2_W = (
    0.118  # N2 m2/W per kg^(5/3); own: motors of 2 to 150 g lie within a factor of 1.5
)
NO_LOAD_N_M_KG = 0.094  # N m/kg; own: iron and bearings, within a factor of 2
BELL_DIAMETER_M = 0.074  # m per kg^(1/3); own: 28 mm at 55 g, within a fifth
BELL_SHARE = 0.55  # of the motor's mass in its ring and magnets; own: 0.5 to 0.6
PROPELLER_KG = 0.307  # kg per m^2.5; own: 10 g at 0.254 m, within a factor of 1.5
PROPELLER_RADIUS2 = 1.0 / 19.0  # of D^2; own: 1/12 an even rod, 1/20 a blade that tapers
UNBALANCE = 1.0e-4  # of D; own: how far a balanced propeller's mass lies off its shaft; tips move
# about alike, so a share of D is one grade of balance, which is a speed (ISO 21940-11)
LATERAL_DRAG = 0.0143  # N s2/m per m^3; own: gives the 0.2 to 0.6 1/s quoted for whole aircraft
CELL_OHM_AH = 0.0099  # ohm Ah; own: 4.5 mohm at 2.2 Ah, a used cell of a high rate
LEAD_OHM_AH = 0.0089  # ohm Ah^0.5; own: 6 mohm of leads and plugs at 2.2 Ah
LEGS_GIVE = 0.1  # of their height; own: soft feet, on which a tap of the stick lifts nothing
LEGS_DAMPING = 0.154  # 1; own: of critical, plastic and rubber


def motor_mass_kg(aircraft_kg: float) -> float:
    """Return the usual mass of one motor on an aircraft."""
    return MOTOR_SHARE * aircraft_kg


def motor_resistance_ohm(kv_rpm_v: float, mass_kg: float) -> float:
    """Return the resistance of windings and drive: R = Kt^2/(c m^(5/3)).

    Kt = 1/Kv. Of motors of one shape the torque per root of heat, Kt/sqrt(R), grows with the mass
    to the power of 5/6.
    """
    kt = torque_constant_n_m_a(kv_rpm_v * RAD_S_PER_RPM)
    return float(kt * kt / (STRENGTH_N2_M2_W * mass_kg ** (5.0 / 3.0)))


def no_load_current_a(kv_rpm_v: float, mass_kg: float) -> float:
    """Return the current of a motor with nothing to drive: I0 = c m/Kt, loss with the mass."""
    return float(NO_LOAD_N_M_KG * mass_kg / torque_constant_n_m_a(kv_rpm_v * RAD_S_PER_RPM))


def bell_diameter_m(mass_kg: float) -> float:
    """Return the diameter of a motor of this mass: alike shapes, cube root of the mass."""
    return float(BELL_DIAMETER_M * mass_kg ** (1.0 / 3.0))


def bell_inertia_kg_m2(mass_kg: float, diameter_m: float) -> float:
    """Return the moment of the turning part: a ring of a share of the mass, m r^2."""
    return BELL_SHARE * mass_kg * (0.5 * diameter_m) ** 2


def propeller_mass_kg(diameter_m: float) -> float:
    """Return the mass of a moulded propeller with two blades: c D^2.5."""
    return float(PROPELLER_KG * diameter_m**2.5)


def propeller_inertia_kg_m2(mass_kg: float, diameter_m: float) -> float:
    """Return the moment of a propeller about its shaft: m D^2/19."""
    return PROPELLER_RADIUS2 * mass_kg * diameter_m**2


def propeller_unbalance_g_mm(mass_kg: float, diameter_m: float) -> float:
    """Return the unbalance left in a balanced propeller: m e, e a share of the diameter."""
    return UNBALANCE * diameter_m * mass_kg / KG_M_PER_G_MM


def lateral_drag_n_s2_m(diameter_m: float) -> float:
    """Return how one rotor holds its aircraft back sideways, N per (m/s) and (rad/s): c D^3."""
    return LATERAL_DRAG * diameter_m**3


def cell_resistance_ohm(capacity_ah: float) -> float:
    """Return the series resistance of one cell: the larger the cell, the less."""
    return CELL_OHM_AH / capacity_ah


def lead_resistance_ohm(capacity_ah: float) -> float:
    """Return the resistance of leads and plugs: thicker on larger packs."""
    return LEAD_OHM_AH / sqrt(capacity_ah)


def leg_stiffness_n_m(weight_n: float, height_m: float) -> float:
    """Return the stiffness of each of four legs that give a share of their height."""
    return weight_n / (4.0 * LEGS_GIVE * height_m)


def leg_damping_n_s_m(stiffness_n_m: float, mass_kg: float) -> float:
    """Return the damping of one leg that carries a quarter of the mass: 2 zeta sqrt(k m/4)."""
    return 2.0 * LEGS_DAMPING * sqrt(stiffness_n_m * mass_kg / 4.0)
