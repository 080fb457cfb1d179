"""What the instruments report: gyro, accelerometer, magnetometer, barometer, pack monitor.

Each reading is truth, distorted by mounting, scale, bias, vibration and noise. Magnetic fields are
in uT, world axes for the site and body axes for the instrument.
"""

from math import cos, exp, sin, sqrt
from typing import NamedTuple

from sim.kernel import noise
from sim.kernel.frames import (
    Mat3,
    Vec3,
    add,
    add_scaled,
    apply,
    cross,
    dot,
    scale,
    subtract,
    to_body,
)
from sim.kernel.jit import compiled


class Dipole(NamedTuple):
    """A piece of steel: position (m, world) and moment (uT m3, world)."""

    position_m: Vec3
    moment_ut_m3: Vec3


class FieldParams(NamedTuple):
    """Magnetic surroundings: the earth's field (uT, world) and two pieces of steel."""

    earth_ut: Vec3
    steel: tuple[Dipole, Dipole]


class SensorParams(NamedTuple):
    """Errors of the instruments as built (SI, uT); noise as standard deviation per sample."""

    mounting: Mat3  # instrument axes from body axes
    mag_mounting: Mat3  # compass axes from body axes
    mount_rad_s: float  # rad/s; natural frequency of a loose mount, 0 = rigid
    mount_damping: float  # 1; share of critical
    shake_gain: float  # 1; how much of the rotors' shake reaches the accelerometer
    sway_gain: float  # 1; how much of it reaches the gyro
    gyro_moved_rad_s: Vec3  # bias error left by moving the aircraft during start-up
    gyro_warm_rad_s: Vec3  # bias change of the gyro as it warms up
    gyro_warm_s: float  # s; time constant of that
    gyro_bias_rad_s: Vec3
    gyro_noise_rad_s: float
    gyro_walk_rad_s2: float  # rad/s per square root of s
    accel_bias_m_s2: Vec3
    accel_matrix: Mat3  # scale and misalignment
    accel_noise_m_s2: float
    accel_clip_m_s2: float
    mag_hard_iron_ut: Vec3
    mag_soft_iron: Mat3
    mag_per_amp_ut_a: Vec3
    mag_noise_ut: float
    baro_noise_m: float
    baro_wash_m_n: float  # m of false height per N of thrust
    volt_scale: float
    volt_noise_v: float
    amp_scale: float


class SensorState(NamedTuple):
    """Latest reading of each instrument and the drifting part of the gyro bias."""

    gyro_drift_rad_s: Vec3
    mount_rate_rad_s: Vec3  # rate of the instruments where their mount is loose
    mount_bend_rad: Vec3
    gyro_rad_s: Vec3
    accel_m_s2: Vec3
    mag_ut: Vec3
    baro_m: float
    volt_v: float
    amp_a: float


@compiled
def three_gaussians(random, sigma):
    """Return (random state, three independent normals of standard deviation sigma)."""
    random, a, b = noise.gaussian_pair(random)
    random, c, _ = noise.gaussian_pair(random)
    return random, Vec3(sigma * a, sigma * b, sigma * c)


@compiled
def dipole_field_ut(position_m, dipole):
    """Return the field of a point dipole, (3 (m.r) r - m)/|r|^3 with r a unit vector."""
    away = subtract(position_m, dipole.position_m)
    distance = max(0.05, sqrt(dot(away, away)))  # m; own: no closer than the steel's own size
    unit = scale(away, 1.0 / distance)
    along = dot(dipole.moment_ut_m3, unit)
    return scale(
        subtract(scale(unit, 3.0 * along), dipole.moment_ut_m3),
        1.0 / (distance * distance * distance),
    )


@compiled
def site_field_ut(position_m, params):
    """Return the field of the site at a place, world axes."""
    steel = add(
        dipole_field_ut(position_m, params.steel[0]), dipole_field_ut(position_m, params.steel[1])
    )
    return add(params.earth_ut, steel)


@compiled
def mag_exact_ut(field_body_ut, amps, params):
    """Return the magnetometer's noiseless reading of a field in body axes."""
    distorted = add(apply(params.mag_soft_iron, field_body_ut), params.mag_hard_iron_ut)
    return apply(params.mag_mounting, add_scaled(distorted, params.mag_per_amp_ut_a, amps))


@compiled
def mag_reading(random, attitude, position_m, amps, field, params):
    """Return (random state, magnetometer reading in uT)."""
    exact = mag_exact_ut(to_body(attitude, site_field_ut(position_m, field)), amps, params)
    random, error = three_gaussians(random, params.mag_noise_ut)
    return random, add(exact, error)


@compiled
def drifted(random, drift, params, dt_s):
    """Return (random state, gyro drift) after a time: a random walk per axis."""
    random, push = three_gaussians(random, params.gyro_walk_rad_s2 * sqrt(dt_s))
    return random, add(drift, push)


@compiled
def gyro_reading(rate_rad_s, drift_rad_s, error_rad_s, params):
    """Return the gyro reading in rad/s, instrument axes; error : this sample's noise."""
    bias = add(params.gyro_bias_rad_s, drift_rad_s)
    return apply(params.mounting, add(add(rate_rad_s, bias), error_rad_s))


@compiled
def mounted(rate_rad_s, mount_rate, bend, params, dt_s):
    """Return (rate of the instruments, bend of their mount) one step later: spring and damper."""
    w = params.mount_rad_s
    if w == 0.0:
        return rate_rad_s, bend
    slip = subtract(rate_rad_s, mount_rate)
    push = add_scaled(scale(bend, w * w), slip, 2.0 * params.mount_damping * w)
    after = add_scaled(mount_rate, push, dt_s)
    return after, add_scaled(bend, subtract(rate_rad_s, after), dt_s)


@compiled
def start_error(powered_s, boot_s, params):
    """Return the gyro bias that start-up could not see: moved meanwhile, or warming up since."""
    warm = scale(params.gyro_warm_rad_s, 1.0 - exp(-powered_s / params.gyro_warm_s))
    return add(warm, params.gyro_moved_rad_s) if powered_s > boot_s else warm


@compiled
def clipped(v, limit):
    """Return the vector with each component held within +-limit."""
    return Vec3(
        min(limit, max(-limit, v.x)), min(limit, max(-limit, v.y)), min(limit, max(-limit, v.z))
    )


@compiled
def accel_reading(specific_force_m_s2, error_m_s2, params):
    """Return the accelerometer reading in m/s2; rest upright reads (0, 0, -g)."""
    exact = add(apply(params.accel_matrix, specific_force_m_s2), params.accel_bias_m_s2)
    return clipped(apply(params.mounting, add(exact, error_m_s2)), params.accel_clip_m_s2)


@compiled
def inertial_noise(random, params):
    """Return (random state, gyro noise in rad/s, accelerometer noise in m/s2) of one sample."""
    random, a, b = noise.gaussian_pair(random)
    random, c, d = noise.gaussian_pair(random)
    random, e, f = noise.gaussian_pair(random)
    g, h = params.gyro_noise_rad_s, params.accel_noise_m_s2
    return random, Vec3(g * a, g * b, g * c), Vec3(h * d, h * e, h * f)


@compiled
def shake_m_s2(speed_rad_s, phase_rad, unbalance_kg_m, mass_kg):
    """Return the acceleration an unbalanced rotor gives the frame: m r w^2 / mass, once a turn.

    phase_rad : where the heavy side points, from forward to the right.
    """
    size = unbalance_kg_m * speed_rad_s * speed_rad_s / mass_kg
    return Vec3(size * cos(phase_rad), size * sin(phase_rad), 0.0)


@compiled
def sway_n_m_s(turning_rad_s, phase_rad, unbalance_kg_m, hub_m):
    """Return the angular momentum an unbalanced rotor gives the frame about its CG, N m s.

    The force m r w^2 turns with the rotor; summed over time it is m r w, a quarter turn behind, and
    hub x that is the momentum. turning_rad_s : positive from forward to the right.
    """
    size = unbalance_kg_m * turning_rad_s
    return cross(hub_m, Vec3(size * sin(phase_rad), -size * cos(phase_rad), 0.0))
