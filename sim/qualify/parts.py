"""Parts the tests are made on: the shipped trainer, a plain motor, instruments without errors."""

from math import inf
from typing import Any

from sim.aircraft import library
from sim.aircraft.design import flying
from sim.kernel import air, motor, radio, records, run, sensors
from sim.kernel.frames import IDENTITY, UPRIGHT, ZERO, Vec3
from sim.kernel.motor import MotorState
from sim.kernel.start import initial_state
from sim.kernel.tables import Tables
from sim.kernel.vehicle import Craft, State
from sim.units import RAD_S_PER_RPM

GRAVITY_M_S2 = air.STANDARD_GRAVITY_M_S2
ROOM_TEMPERATURE_K = 293.0  # K; own: no test here depends on it
SEA_LEVEL_KG_M3 = 1.225  # kg/m3, ISO 2533
FAR_M = 1000.0  # m; own: walls and ceiling out of reach
INSTRUMENTS = sensors.SensorParams(
    mounting=IDENTITY, mag_mounting=IDENTITY, mount_rad_s=0.0, mount_damping=1.0, shake_gain=1.0,
    sway_gain=1.0,
    gyro_moved_rad_s=ZERO, gyro_warm_rad_s=ZERO, gyro_warm_s=1.0, gyro_bias_rad_s=ZERO, gyro_noise_rad_s=0.0, gyro_walk_rad_s2=0.0,
    accel_bias_m_s2=ZERO, accel_matrix=IDENTITY, accel_noise_m_s2=0.0, accel_clip_m_s2=1e9,
    mag_hard_iron_ut=ZERO, mag_soft_iron=IDENTITY, mag_per_amp_ut_a=ZERO, mag_noise_ut=0.0,
    baro_noise_m=0.0, baro_wash_m_n=0.0, volt_scale=1.0, volt_noise_v=0.0, amp_scale=1.0,
)  # fmt: skip
HANDS_OFF = radio.Sticks(0.0, 0.0, 0.0, 0.0, 0.0, 1.0, 0.0)


def trainer() -> Craft:
    """Return the shipped trainer as built by the sheet, standing free with its propellers on."""
    return flying(library.airframe(library.TRAINER))


def in_the_open(craft: Craft) -> Craft:
    """Return a craft in still air, switched off, far from walls and ceiling."""
    room = craft.room._replace(
        north_m=FAR_M, south_m=-FAR_M, east_m=FAR_M, west_m=-FAR_M, ceiling_m=FAR_M
    )
    return craft._replace(
        room=room, air=craft.air._replace(wind_m_s=ZERO, gust_m_s=0.0, wash=0.0), plugged=0.0
    )


def advanced(
    craft: Craft, tables: Tables, height_m: float, speed_rad_s: float, ticks: int, rate: Vec3 = ZERO
) -> Any:
    """Return the state row of a craft let go upright, its rotors at one speed, ticks later.

    rate : rad/s, body, at which it is let go.
    """
    state = initial_state(craft, UPRIGHT, 0.9, 1)
    turning = state.rotors[0]._replace(motor=MotorState(speed_rad_s, 0.0, 0.0, ROOM_TEMPERATURE_K))
    state = state._replace(
        body=state.body._replace(position_m=Vec3(0.0, 0.0, -height_m), rate_rad_s=rate),
        rotors=(turning,) * 4,
    )
    states, crafts = records.to_row(State, state), records.to_row(Craft, craft)
    run.run(states, crafts, tables, HANDS_OFF, ticks, run.NO_HISTORY, 1)
    return states


def motor_params(kv_rpm_v: float, ohm: float, idle_a: float, inertia: float) -> motor.MotorParams:
    """Return a motor without faults, heat or friction."""
    return motor.MotorParams(
        kv_rad_s_v=kv_rpm_v * RAD_S_PER_RPM, resistance_ohm=ohm, no_load_a=idle_a,
        inertia_kg_m2=inertia, start_command=0.0, gain=1.0, offset=0.0, friction_n_m=0.0, braking_n_m_s=0.0,
        desync_jump=inf, desync_chance=0.0, desync_s=0.0, gap_rate_per_s=0.0, gap_s=0.0,
        command_noise=0.0, heat_resistance_k_w=1.0,
        heat_capacity_j_k=1e9, limit_k=1e9, fade_per_k=0.0,
    )  # fmt: skip
