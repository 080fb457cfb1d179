"""From build, setup and site to the parameters of radio, instruments, estimator and controller."""

from math import atan2, cos, pi, sin

import numpy as np

from sim.aircraft.airframe import Airframe
from sim.aircraft.build import Build
from sim.aircraft.fields import CHANNELS, Matrix, Vector
from sim.aircraft.powertrain import spins
from sim.aircraft.setup import AxisGains, Setup
from sim.aircraft.site import Site
from sim.kernel import controller, estimator, radio, sensors
from sim.kernel.air import STANDARD_GRAVITY_M_S2
from sim.kernel.clock import ticks
from sim.kernel.frames import Mat3, Vec3
from sim.units import RAD_PER_DEG, S_PER_MS

LOOSE_DAMPING = 0.05  # 1; own: little damping in a loose joint
GYRO_WARM_S = 120.0  # s; own: minutes to warm up
UNCOVERED_WASH = 12.0  # 1; own: half a metre to two metres of false height at the hover
PLUS_TURN_RAD = pi / 4.0  # rad; a plus layout is a cross turned by an eighth
MIX_DIGITS = 3  # 1; own: a board keeps its table of motors in thousandths
ACCEL_TRUST_M_S2 = 1.5  # m/s2; own: 15 % of g, beyond that it is manoeuvre or shake
PAD_PLATE = sensors.Dipole(  # own: about 25 uT sideways at the compass of a standing aircraft
    Vec3(0.12, 0.10, 0.05), Vec3(0.25, 0.20, -0.35)
)


def vec(v: Vector) -> Vec3:
    """Return a file vector as the kernel's."""
    return Vec3(*v)


def mat(m: Matrix) -> Mat3:
    """Return a file matrix as the kernel's."""
    return Mat3(*m[0], *m[1], *m[2])


def radio_params(airframe: Airframe, build: Build, setup: Setup) -> radio.RadioParams:
    """Return the chain from sticks to commands."""
    tx, rx = setup.transmitter.in_use(), setup.inputs
    a, b, c, d = (
        radio.Channel(float(ch.direction), ch.low_us, ch.centre_us, ch.high_us, ch.trim_us)
        for ch in (getattr(tx, name) for name in CHANNELS)
    )
    e, f, g, h = (
        radio.Input(float(getattr(rx, name)), 1000.0, 1500.0, 2000.0) for name in CHANNELS
    )
    j, k, m, n = (float(CHANNELS.index(name)) for name in tx.order)
    return radio.RadioParams(
        channels=(a, b, c, d),
        inputs=(e, f, g, h),
        order=(j, k, m, n),
        frame_ticks=float(ticks(airframe.link.frame_ms * S_PER_MS)),
        latency_ticks=float(ticks(airframe.link.latency_ms * S_PER_MS)),
        timeout_ticks=float(ticks(airframe.link.timeout_ms * S_PER_MS)),
        loss_chance=build.radio.loss_near,
        jitter_us=airframe.link.jitter_us,
        failsafe_stops=1.0 if setup.controller.failsafe == "stop" else 0.0,
    )


def board_matrix(turn_deg: float, upside_down: bool) -> Mat3:
    """Return the turn from body axes to those of a board turned right and perhaps inverted."""
    c, s = cos(turn_deg * RAD_PER_DEG), sin(turn_deg * RAD_PER_DEG)
    flip = -1.0 if upside_down else 1.0
    return Mat3(c, s, 0.0, -flip * s, flip * c, 0.0, 0.0, 0.0, flip)


def transposed(m: Mat3) -> Mat3:
    """Return the transpose, which undoes a turn."""
    return Mat3(m.xx, m.yx, m.zx, m.xy, m.yy, m.zy, m.xz, m.yz, m.zz)


def rates(v: Vector) -> Vec3:
    """Return a file vector of deg/s in rad/s."""
    return Vec3(*(x * RAD_PER_DEG for x in v))


def sensor_params(airframe: Airframe, build: Build) -> sensors.SensorParams:
    """Return the errors of the instruments as fitted."""
    noise, s = airframe.instruments, build.sensors
    loose_hz = s.loose_mount_hz or build.frame.loose_arm_hz
    return sensors.SensorParams(
        mounting=board_matrix(s.board_turn_deg, s.board_upside_down),
        mag_mounting=board_matrix(s.compass_turn_deg, False),
        mount_rad_s=2.0 * pi * loose_hz,
        mount_damping=LOOSE_DAMPING,
        shake_gain=s.shake_gain,
        sway_gain=s.shake_gain,
        gyro_moved_rad_s=rates(s.gyro_moved_deg_s),
        gyro_warm_rad_s=rates(s.gyro_warm_deg_s),
        gyro_warm_s=GYRO_WARM_S,
        gyro_bias_rad_s=rates(s.gyro_bias_deg_s),
        gyro_noise_rad_s=noise.gyro_noise_rad_s,
        gyro_walk_rad_s2=noise.gyro_walk_rad_s2,
        accel_bias_m_s2=vec(s.accel_bias_m_s2),
        accel_matrix=mat(s.accel_matrix),
        accel_noise_m_s2=noise.accel_noise_m_s2,
        accel_clip_m_s2=noise.accel_clip_m_s2,
        mag_hard_iron_ut=vec(s.mag_hard_iron_ut),
        mag_soft_iron=mat(s.mag_soft_iron),
        mag_per_amp_ut_a=vec(s.mag_per_amp_ut_a),
        mag_noise_ut=noise.mag_noise_ut,
        baro_noise_m=noise.baro_noise_m,
        baro_wash_m_n=noise.baro_wash_m_n * (UNCOVERED_WASH if s.baro_uncovered else 1.0),
        volt_scale=s.volt_scale,
        volt_noise_v=noise.volt_noise_v,
        amp_scale=s.amp_scale,
    )


def field_params(site: Site) -> sensors.FieldParams:
    """Return the magnetic surroundings."""
    none = sensors.Dipole(Vec3(0.0, 0.0, 0.0), Vec3(0.0, 0.0, 0.0))
    steel = [sensors.Dipole(vec(s.position_m), vec(s.moment_ut_m3)) for s in site.steel]
    if site.pad_steel > 0.0:
        moment = Vec3(*(site.pad_steel * x for x in PAD_PLATE.moment_ut_m3))
        steel.insert(0, sensors.Dipole(PAD_PLATE.position_m, moment))
    first, second, *_ = [*steel, none, none]
    earth = site.earth_field
    return sensors.FieldParams(Vec3(earth.north_ut, earth.east_ut, earth.down_ut), (first, second))


def declination_rad(site: Site) -> float:
    """Return how far magnetic north lies east of true north at the site."""
    return atan2(site.earth_field.east_ut, site.earth_field.north_ut)


def estimator_params(setup: Setup, site: Site) -> estimator.EstimatorParams:
    """Return filter gains and the calibrations stored in the controller."""
    c = setup.controller
    compass = setup.compass
    return estimator.EstimatorParams(
        level_gain_per_s=c.level_gain_per_s,
        heading_gain_per_s=c.compass_gain_per_s,
        bias_gain_per_s2=c.bias_gain_per_s2,
        accel_trust_m_s2=ACCEL_TRUST_M_S2,
        gravity_m_s2=STANDARD_GRAVITY_M_S2,
        accel_offset_m_s2=vec(setup.accelerometer.offset_m_s2),
        accel_matrix=mat(setup.accelerometer.matrix),
        mag_offset_ut=vec(compass.offset_ut),
        mag_matrix=mat(compass.matrix),
        mounting=transposed(board_matrix(c.board_turn_deg, c.board_upside_down)),
        mag_mounting=transposed(board_matrix(c.compass_turn_deg, False)),
        declination_rad=declination_rad(site),
    )


def gains(axis: AxisGains) -> controller.AxisGains:
    """Return the gains of one axis for the kernel."""
    return controller.AxisGains(axis.p, axis.i, axis.d)


def mixing(airframe: Airframe) -> controller.Mix:
    """Return how much of roll, pitch and yaw each motor gets: one axis turned, the others left alone.

    With T lift, (x, y) places and s spins, four lifts make (sum T, -sum y T, sum x T, -sum s T); the
    inverse of that matrix, less its first column, is the mix, each axis scaled to a largest of 1.
    """
    x, y = np.array(airframe.frame.rotors_m.points).T
    lifts = np.array([np.ones(4), -y, x, -np.array(spins(airframe))])
    turns = np.linalg.inv(lifts)[:, 1:]
    a, b, c, d = (
        Vec3(*row) for row in (turns / np.abs(turns).max(axis=0)).round(MIX_DIGITS).tolist()
    )
    return a, b, c, d


def controller_params(airframe: Airframe, setup: Setup) -> controller.ControllerParams:
    """Return the controller's settings for the kernel."""
    c = setup.controller
    return controller.ControllerParams(
        roll=gains(c.roll),
        pitch=gains(c.pitch),
        yaw=gains(c.yaw),
        sense=Vec3(float(c.roll_sense), float(c.pitch_sense), float(c.yaw_sense)),
        mix=mixing(airframe),
        layout_turn_rad=PLUS_TURN_RAD if c.layout == "plus" else 0.0,
        throttle_gain=c.throttle_gain,
        attitude_gain_per_s=c.attitude_gain_per_s,
        heading_gain_per_s=c.heading_gain_per_s,
        heading_hold=1.0 if c.heading_hold else 0.0,
        tilt_limit_rad=c.tilt_limit_deg * RAD_PER_DEG,
        rate_limit_rad_s=c.rate_limit_deg_s * RAD_PER_DEG,
        yaw_rate_limit_rad_s=c.yaw_rate_limit_deg_s * RAD_PER_DEG,
        dead_band=c.dead_band,
        gyro_cutoff_hz=c.gyro_cutoff_hz,
        damping_cutoff_hz=c.damping_cutoff_hz,
        integral_limit=c.integral_limit,
        integral_from_throttle=c.integral_from_throttle,
        idle=c.idle,
        delay_periods=float(round(c.output_delay_ms * S_PER_MS / controller.PERIOD_S)),
        level_trim_roll_rad=setup.level_trim_roll_deg * RAD_PER_DEG,
        level_trim_pitch_rad=setup.level_trim_pitch_deg * RAD_PER_DEG,
        stop_switch=1.0 if c.stop_switch else 0.0,
    )
