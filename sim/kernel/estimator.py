"""Attitude from gyro, accelerometer and magnetometer: explicit complementary filter.

Mahony, Hamel and Pflimlin, IEEE Trans. Automatic Control 53(5) 2008, 1203-1218:
q' = q (0, gyro - b + kP w)/2, b' = -kI w, w = sum of (measured direction x expected direction).
"""

from math import atan2, cos, sin
from typing import NamedTuple

from sim.kernel.frames import (
    Mat3,
    Quat,
    Vec3,
    add_scaled,
    apply,
    cross,
    norm,
    scale,
    subtract,
    to_body,
    to_world,
    turned_by,
    wrapped,
)
from sim.kernel.jit import compiled


class EstimatorParams(NamedTuple):
    """Gains and the calibrations held by the controller."""

    level_gain_per_s: float
    heading_gain_per_s: float
    bias_gain_per_s2: float
    accel_trust_m_s2: float  # specific force further than this from g is not used as "up"
    gravity_m_s2: float
    accel_offset_m_s2: Vec3  # taken off the raw reading
    accel_matrix: Mat3  # then applied
    mag_offset_ut: Vec3
    mag_matrix: Mat3
    mounting: Mat3  # body axes from instrument axes, as told to the controller
    mag_mounting: Mat3  # the same for the compass
    declination_rad: float


class EstimatorState(NamedTuple):
    """Attitude and gyro bias (rad/s, body) as the controller believes them."""

    attitude: Quat
    bias_rad_s: Vec3


@compiled
def calibrated(raw, offset, matrix):
    """Return matrix (raw - offset)."""
    return apply(matrix, subtract(raw, offset))


@compiled
def heading_of_field(field, roll_rad, pitch_rad, declination_rad):
    """Return the heading shown by a field in body axes, tilt taken out (rad, true north)."""
    cr, sr, cp, sp = cos(roll_rad), sin(roll_rad), cos(pitch_rad), sin(pitch_rad)
    forward = field.x * cp + field.y * sr * sp + field.z * cr * sp
    right = field.y * cr - field.z * sr
    return wrapped(atan2(-right, forward) + declination_rad)


@compiled
def corrected(state, gyro, pull, level_gain, bias_gain, dt_s):
    """Return the state one step later for a correction vector `pull` (body axes)."""
    bias = add_scaled(state.bias_rad_s, pull, -bias_gain * dt_s)
    rate = add_scaled(subtract(gyro, bias), pull, level_gain)
    return EstimatorState(turned_by(state.attitude, scale(rate, dt_s)), bias)


@compiled
def level_pull(state, accel, params):
    """Return the correction that turns "up" towards the measured specific force; 0 if unlike g."""
    size = norm(accel)
    if abs(size - params.gravity_m_s2) > params.accel_trust_m_s2:
        return Vec3(0.0, 0.0, 0.0)
    expected = to_body(state.attitude, Vec3(0.0, 0.0, -1.0))
    return cross(scale(accel, 1.0 / size), expected)


@compiled
def heading_pull(state, mag, params):
    """Return the correction about the vertical that turns the heading to the measured field."""
    field = to_world(state.attitude, mag)
    level = norm(Vec3(field.x, field.y, 0.0))
    if level == 0.0:
        return Vec3(0.0, 0.0, 0.0)
    d = params.declination_rad
    north = Vec3(cos(d), sin(d), 0.0)
    turn = cross(Vec3(field.x / level, field.y / level, 0.0), north)
    return to_body(state.attitude, turn)


@compiled
def updated(state, gyro, accel, mag, params, dt_s):
    """Return the estimate after one sample of calibrated gyro (rad/s), accel (m/s2), mag (uT)."""
    level = level_pull(state, accel, params)
    heading = heading_pull(state, mag, params)
    k = params.heading_gain_per_s / params.level_gain_per_s
    pull = add_scaled(level, heading, k)
    return corrected(state, gyro, pull, params.level_gain_per_s, params.bias_gain_per_s2, dt_s)
