"""Motors and cells: the exact run-up of a motor with its propeller, circuits by their formulas."""

from math import atanh, exp, pi, sqrt, tanh

from tools.authority.tables import Builder, Cell, Table

MOTORS = (  # 1/min/V, ohm, A, kg m2, N m s2, V; a 10-inch and a 5-inch drive of the usual size
    (920.0, 0.12, 0.5, 4.5e-5, 2.476e-7, 6.5),
    (2300.0, 0.07, 0.9, 4.0e-6, 1.1e-8, 9.0),
)
MOTOR_COLUMNS = "kv_rpm_v,resistance_ohm,no_load_a,inertia_kg_m2,drag_n_m_s2,supply_v"


def balance(
    kv_rpm: float, ohm: float, idle: float, drag: float, volts: float
) -> tuple[float, float, float, float]:
    """Return a, b, c of J w' = a - b w - c w^2, and sqrt(b^2 + 4 a c)."""
    kt = 60 / (2 * pi * kv_rpm)
    a, b, c = kt * volts / ohm - kt * idle, kt * kt / ohm, drag
    return a, b, c, sqrt(b * b + 4 * a * c)


def motor_run_up() -> Table:
    """Speed of a motor with a propeller after it is switched on: w = (D tanh(..) - b)/2c."""
    rows = []
    for kv, ohm, idle, inertia, drag, volts in MOTORS:
        _, b, c, root = balance(kv, ohm, idle, drag, volts)
        for t in (0.005, 0.02, 0.05, 0.1, 1.0):
            speed = (root * tanh(root * t / (2 * inertia) + atanh(b / root)) - b) / (2 * c)
            rows.append((kv, ohm, idle, inertia, drag, volts, t, speed))
    return MOTOR_COLUMNS + ",time_s,rotor_speed_rad_s", rows


def motor_lag() -> Table:
    """Lag of a motor with a propeller about its steady speed: J over the slope of its balance."""
    rows = []
    for kv, ohm, idle, inertia, drag, volts in MOTORS:
        _, b, c, root = balance(kv, ohm, idle, drag, volts)
        rows.append(
            (kv, ohm, idle, inertia, drag, volts, (root - b) / (2 * c), 1000 * inertia / root)
        )
    return MOTOR_COLUMNS + ",rotor_speed_rad_s,lag_ms", rows


def pack_sag() -> Table:
    """Voltage drop of one cell after a current step: I (R0 + R1 (1 - e^-t/T1) + R2 (...))."""
    rows: list[tuple[Cell, ...]] = []
    for case, amps, r0, r1, tau1, r2, tau2 in (
        ("one-pair", 100.0, 0.40459e-3, 0.60688e-3, 0.60688e-3 * 50344, 0.0, 1.0),
        ("two-pairs", 25.0, 8e-3, 3e-3, 2.0, 4e-3, 40.0),
    ):
        for at in (0, 1, 10, 30, 60, 120):
            ohm = r0 + r1 * (1 - exp(-at / tau1)) + r2 * (1 - exp(-at / tau2))
            rows.append((case, amps, r0, r1, tau1, r2, tau2, at, 1000 * amps * ohm))
    return "case,current_a,r0_ohm,r1_ohm,tau1_s,r2_ohm,tau2_s,time_s,sag_mv", rows


def charge_drawn() -> Table:
    """Charge left after a constant current: one less current times time over capacity."""
    rows = [
        (ah, amps, seconds, start, start - amps * seconds / 3600 / ah)
        for ah, amps, seconds, start in ((2.2, 22.0, 60.0, 1.0), (1.3, 5.0, 300.0, 0.9))
    ]
    return "capacity_ah,current_a,time_s,start_ratio,charge_ratio", rows


BUILDERS: dict[str, Builder] = {
    "motor_run_up": motor_run_up,
    "motor_run_up_ticks": motor_run_up,
    "motor_lag": motor_lag,
    "pack_sag": pack_sag,
    "charge_drawn": charge_drawn,
}
