"""What a recording holds: its columns, and how a row is written."""

from sim.kernel.clock import TICK_S
from sim.kernel.frames import to_angles
from sim.kernel.jit import inner
from sim.kernel.surroundings import load_n

HISTORY = (
    "time_s",
    "stick_roll",
    "stick_pitch",
    "stick_throttle",
    "stick_yaw",
    "roll_rad",
    "pitch_rad",
    "heading_rad",
    "roll_rate_rad_s",
    "pitch_rate_rad_s",
    "yaw_rate_rad_s",
    "north_m",
    "east_m",
    "height_m",
    "drive_front_left",
    "drive_front_right",
    "drive_rear_right",
    "drive_rear_left",
    "pack_v",
    "pack_a",
    "accel_x_m_s2",
    "accel_y_m_s2",
    "accel_z_m_s2",
    "field_x_ut",
    "field_y_ut",
    "field_z_ut",
    "armed",
    "gyro_x_rad_s",
    "gyro_y_rad_s",
    "gyro_z_rad_s",
    "shown_roll_rad",
    "shown_pitch_rad",
    "shown_heading_rad",
    "speed_front_left_rad_s",
    "speed_front_right_rad_s",
    "speed_rear_right_rad_s",
    "speed_rear_left_rad_s",
    "load_n",
    "shown_pack_v",
    "shown_pack_a",
    "baro_m",
    "pulse_roll_us",
    "pulse_pitch_us",
    "pulse_throttle_us",
    "pulse_yaw_us",
    "frame_age_s",
    "zero_x_rad_s",
    "zero_y_rad_s",
    "zero_z_rad_s",
)


@inner
def write_history(row, state, sticks):
    """Write what HISTORY names into one row of a table."""
    angles, b, s = to_angles(state.body.attitude), state.body, state.sensors
    shown = to_angles(state.estimator.attitude)
    row[0] = state.tick * TICK_S
    row[1], row[2], row[3], row[4] = sticks.roll, sticks.pitch, sticks.throttle, sticks.yaw
    row[5], row[6], row[7] = angles.x, angles.y, angles.z
    row[8], row[9], row[10] = b.rate_rad_s.x, b.rate_rad_s.y, b.rate_rad_s.z
    row[11], row[12], row[13] = b.position_m.x, b.position_m.y, -b.position_m.z
    for i in range(4):
        row[14 + i] = state.controller.output[i]
        row[33 + i] = state.rotors[i].motor.speed_rad_s
        row[41 + i] = state.radio.pulse_us[i]
    zero = state.estimator.bias_rad_s
    row[46], row[47], row[48] = zero.x, zero.y, zero.z
    row[18], row[19] = state.supply_v, state.pack.current_a
    row[45] = (state.tick - state.radio.last_frame_tick) * TICK_S
    row[20], row[21], row[22] = s.accel_m_s2.x, s.accel_m_s2.y, s.accel_m_s2.z
    row[23], row[24], row[25] = s.mag_ut.x, s.mag_ut.y, s.mag_ut.z
    row[26] = state.armed
    row[27], row[28], row[29] = s.gyro_rad_s.x, s.gyro_rad_s.y, s.gyro_rad_s.z
    row[30], row[31], row[32] = shown.x, shown.y, shown.z
    row[37] = load_n(state.feet)
    row[38], row[39], row[40] = s.volt_v, s.amp_a, s.baro_m
