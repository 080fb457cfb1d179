"""Values that are alike on small aircraft of any size, and those that go with a size by a rule.

All own unless a line says otherwise: what careful builders of training aircraft choose.
"""

from math import hypot
from typing import Any

from sim.aircraft.airframe import Airframe
from sim.kernel.motor import torque_constant_n_m_a
from sim.units import RAD_S_PER_RPM

HANDLING: dict[str, Any] = {
    "heading_gain_per_s": 2.0,  # 1/s; a heading comes back in a second
    "heading_hold": True,
    "tilt_limit_deg": 20.0,  # deg; a hover needs five
    "rate_limit_deg_s": 200.0,  # deg/s; a hand can follow it
    "yaw_rate_limit_deg_s": 90.0,  # deg/s; a quarter turn in a second
    "dead_band": 0.05,  # of stick; springs do not centre better
    "integral_limit": 0.25,  # of command; a bent arm or a pack out of place
    "integral_from_throttle": 0.15,  # of stick; none while it stands
    "idle": 0.07,  # of command; turns safely, lifts nothing
    "failsafe": "stop",
    "level_gain_per_s": 0.6,  # 1/s; gravity rights the horizon in two seconds
    "compass_gain_per_s": 0.4,  # 1/s; slower than that
    "bias_gain_per_s2": 0.004,  # 1/s2; the gyro's zero in half a minute
    "low_cell_alarm_v": 3.5,  # V; trade experience: a lithium cell is nearly empty there
}
INSTRUMENTS: dict[str, float] = {
    "gyro_noise_rad_s": 0.0035,  # rad/s; consumer six-axis part, 0.009 deg/s/sqrt(Hz) at 1 kHz
    "gyro_walk_rad_s2": 2.0e-5,  # rad/s2; the same
    "accel_noise_m_s2": 0.04,  # m/s2; the same, 180 ug/sqrt(Hz) at 1 kHz
    "accel_clip_m_s2": 156.9,  # m/s2; 16 g range
    "mag_noise_ut": 0.3,  # uT; consumer part
    "baro_noise_m": 0.08,  # m; the same
    "volt_noise_v": 0.01,  # V; a divider and ten bits
}
LINK_LATENCY_MS, LINK_TIMEOUT_MS, LINK_JITTER_US = 6, 500.0, 0.5  # ms, ms, us; trade experience
START_COMMAND = 0.04  # of command; where a drive begins to turn its motor
DRIVE_LIMIT_DEGC = 95.0  # degC; drives begin to fade about there
DRIVE_K_W, DRIVE_J_K = 0.867, 218.0  # K/W kg^(2/3), J/(K kg); a drive grows with its motor
WASH_M3_N = 6.45e-4  # m of false height per N, times D^2; the barometer feels the disc's pressure
FRAME_DRAG = 0.395  # N s2/m2 per m2 of the longest arm squared
LEG_FRICTION = 0.6  # 1; plastic or rubber on concrete
RAIL_V = {
    1: 1.1,
    2: 2.8,
}  # V; own: converters that step up hold the rail through a snap, as they must
LEAST_SUPPLY_V = 5.3  # V; from three cells on a 4.8 V rail and 0.5 V across its regulator
ELECTRONICS_A = {1: 0.15}  # A; one small board
CURRENT_A = 0.35  # A; controller, receiver and logger
CLOSE_COMPASS_M = 0.09  # m; above the leads
FIELD_UT_A = 0.03  # uT/A at that height; leads twisted and short
FIELD_UT = 0.37  # uT in hover; a degree: leads lie so that the compass hardly shows the throttle
FIELD_MOST = 10.0  # 1; nobody puts a compass closer without moving the leads


def electronics(cells: int) -> dict[str, float]:
    """Return what controller and receiver take, by cells."""
    return {
        "current_a": ELECTRONICS_A.get(cells, CURRENT_A),
        "least_supply_v": RAIL_V.get(cells, LEAST_SUPPLY_V),
    }


def scatter(data: dict[str, Any], hover_current_a: float) -> dict[str, float]:
    """Return how far sound parts of an aircraft of this size differ.

    data : the rest of the airframe as plain data. Each is a part of the thing itself: a twentieth of
    the friction there is, a quarter of the unbalance, 10 mV on the plug, a two-hundredth of the arm.
    """
    motor, propeller, frame = data["motor"], data["propeller"], data["frame"]
    arm = max(hypot(*point) for point in frame["rotors_m"].values())
    kt = torque_constant_n_m_a(motor["kv_rpm_v"] * RAD_S_PER_RPM)
    above = abs(frame["compass_up_m"]) or CLOSE_COMPASS_M
    nearer = min(FIELD_MOST, (CLOSE_COMPASS_M / above) ** 2)
    return {
        "friction_n_m": 0.058 * motor["no_load_a"] * kt,
        "bell_unbalance_g_mm": 0.14 * propeller["unbalance_g_mm"],
        "propeller_unbalance_g_mm": 0.24 * propeller["unbalance_g_mm"],
        "connector_ohm": 0.010 / hover_current_a,
        "electronics_a": 0.14 * data["electronics"]["current_a"],
        "balance_m": arm / 225.0,
        "strap_m": arm / 280.0,
        "leg_m": frame["foot_down_m"] / 150.0,
        "field_ut_a": min(FIELD_UT_A * nearer, FIELD_UT / hover_current_a),
    }


def rounded(airframe: Airframe, digits: int = 4) -> Airframe:
    """Return the airframe with every number to so many digits that count, as a file shows them."""

    def short(value: Any) -> Any:
        if isinstance(value, float):
            return float(f"{value:.{digits}g}")
        if isinstance(value, dict):
            return {key: short(part) for key, part in value.items()}
        if isinstance(value, list | tuple):
            return tuple(short(part) for part in value)
        return value

    return Airframe.model_validate(short(airframe.model_dump()))
