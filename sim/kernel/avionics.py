"""Instruments, estimate and control of one tick: from what is felt to four motor commands."""

from math import atan2, sqrt

from sim.kernel import controller, estimator, noise, radio, sensors
from sim.kernel.clock import TICK_S, ticks
from sim.kernel.estimator import EstimatorState
from sim.kernel.frames import (
    Vec3,
    add,
    add_scaled,
    apply,
    divided,
    from_angles,
    subtract,
    to_angles,
    to_world,
)
from sim.kernel.jit import inner
from sim.kernel.sensors import SensorState

BOOT_TICKS = ticks(2.0)  # own: start-up time in which the gyro must lie still
MAG_TICKS = ticks(0.01)  # own: 100 Hz magnetometer, barometer and pack monitor
LOW_RAIL_TICKS = ticks(0.005)  # training practice: 5 ms below the limit restart the electronics


@inner
def started_bias(bias, gyro, samples):
    """Return the running mean of the gyro during start-up."""
    return add_scaled(bias, subtract(gyro, bias), 1.0 / max(1.0, samples))


@inner
def start_attitude(accel, mag, params):
    """Return the attitude that gravity and the field alone suggest."""
    roll = atan2(-accel.y, -accel.z)
    pitch = atan2(accel.x, sqrt(accel.y * accel.y + accel.z * accel.z))
    heading = estimator.heading_of_field(mag, roll, pitch, params.declination_rad)
    return from_angles(roll, pitch, heading)


@inner
def calibrated(reading, params):
    """Return (gyro, accel, mag) in body axes as the controller's calibrations make them."""
    accel = apply(params.mounting, reading.accel_m_s2)
    mag = apply(params.mag_mounting, reading.mag_ut)
    return (
        apply(params.mounting, reading.gyro_rad_s),
        estimator.calibrated(accel, params.accel_offset_m_s2, params.accel_matrix),
        estimator.calibrated(mag, params.mag_offset_ut, params.mag_matrix),
    )


@inner
def estimated(state, reading, ticks, params):
    """Return the estimator state one sample later; in start-up the gyro's mean becomes its bias.

    ticks : since the start.
    """
    gyro, accel, mag = calibrated(reading, params)
    if ticks <= MAG_TICKS:
        return EstimatorState(start_attitude(accel, mag, params), gyro)
    after = estimator.updated(state, gyro, accel, mag, params, controller.GYRO_S)
    if ticks <= BOOT_TICKS:
        return EstimatorState(
            after.attitude, started_bias(state.bias_rad_s, gyro, ticks / controller.GYRO_TICKS)
        )
    return after


@inner
def shake_of(rotors, craft):
    """Return (acceleration in m/s2, rate in rad/s) unbalanced rotors give the frame, body axes."""
    push, sway = Vec3(0.0, 0.0, 0.0), Vec3(0.0, 0.0, 0.0)
    for i in range(4):
        p, w = craft.rotors[i], rotors[i].motor.speed_rad_s
        if p.unbalance_kg_m > 0.0:
            turn = p.spin * rotors[i].motor.phase_rad  # positive from forward to right
            push = add(push, sensors.shake_m_s2(w, turn, p.unbalance_kg_m, craft.body.mass_kg))
            moment = sensors.sway_n_m_s(w * p.spin, turn, p.unbalance_kg_m, p.hub_m)
            sway = add(sway, divided(moment, craft.body.inertia_kg_m2))
    return push, sway


@inner
def slow_instruments(random, state, drift, rate, bend, gyro, accel, craft):
    """Return (random state, readings) with compass, barometer and pack monitor read anew."""
    p, b = craft.sensors, state.body
    place = add(b.position_m, to_world(b.attitude, craft.mag_place_m))
    amps = state.pack.current_a
    random, mag = sensors.mag_reading(random, b.attitude, place, amps, craft.field, p)
    random, baro_noise, volt_noise = noise.gaussian_pair(random)
    r = state.rotors
    thrust = r[0].thrust_n + r[1].thrust_n + r[2].thrust_n + r[3].thrust_n
    baro = -b.position_m.z + p.baro_noise_m * baro_noise + p.baro_wash_m_n * thrust
    volts = p.volt_scale * state.supply_v + p.volt_noise_v * volt_noise
    random, drift = sensors.drifted(random, drift, p, MAG_TICKS * TICK_S)
    return random, SensorState(drift, rate, bend, gyro, accel, mag, baro, volts, p.amp_scale * amps)


@inner
def mounted_on(last, rate, bend):
    """Return the readings as they were, the mount moved on."""
    return SensorState(
        last.gyro_drift_rad_s,
        rate,
        bend,
        last.gyro_rad_s,
        last.accel_m_s2,
        last.mag_ut,
        last.baro_m,
        last.volt_v,
        last.amp_a,
    )


@inner
def sensed(random, state, craft):
    """Return (random state, readings) of this tick; slow instruments at their own rate."""
    p, last = craft.sensors, state.sensors
    drift = last.gyro_drift_rad_s
    push, sway = shake_of(state.rotors, craft)
    turning = add_scaled(state.body.rate_rad_s, sway, p.sway_gain)
    rate, bend = sensors.mounted(turning, last.mount_rate_rad_s, last.mount_bend_rad, p, TICK_S)
    if state.tick % controller.GYRO_TICKS != 0:
        return random, mounted_on(last, rate, bend)
    random, gyro_noise, accel_noise = sensors.inertial_noise(random, p)
    error = sensors.start_error(state.powered_ticks * TICK_S, BOOT_TICKS * TICK_S, p)
    gyro = sensors.gyro_reading(rate, add(drift, error), gyro_noise, p)
    felt = add_scaled(state.specific_force_m_s2, push, p.shake_gain)
    accel = sensors.accel_reading(felt, accel_noise, p)
    if state.tick % MAG_TICKS != 0:
        return random, SensorState(
            drift, rate, bend, gyro, accel, last.mag_ut, last.baro_m, last.volt_v, last.amp_a
        )
    return slow_instruments(random, state, drift, rate, bend, gyro, accel, craft)


@inner
def controls(state, link, sticks, rates, estimate, craft):
    """Return (armed, controller state, filter state) after the controller's part of a tick."""
    p = craft.controller
    stopped = (sticks.stop > 0.0 and p.stop_switch > 0.0) or (
        link.linked == 0.0 and craft.radio.failsafe_stops > 0.0
    )
    alive = craft.plugged > 0.0 and state.reset_ticks == 0.0 and not stopped
    armed = state.armed if alive else 0.0
    if state.tick % controller.PERIOD_TICKS != 0:
        return armed, state.controller, rates
    share = controller.low_pass_share(p.damping_cutoff_hz, controller.PERIOD_S)
    rates = controller.differentiated(rates, share)
    angles = to_angles(estimate.attitude)
    if armed == 0.0:
        return armed, controller.at_rest(angles.z), rates
    order = radio.command(link.pulse_us, craft.radio)
    after = controller.controlled(
        state.controller, order, angles, rates, estimate.bias_rad_s, sticks.self_level, p
    )
    return armed, after, rates


@inner
def rail(state, supply_v, craft):
    """Return (ticks the rail has been low, ticks of restart left, ticks since start)."""
    if craft.plugged == 0.0:
        return 0.0, 0.0, 0.0
    low = state.rail_low_ticks + 1.0 if supply_v < craft.pack.sag_limit_v else 0.0
    if low >= LOW_RAIL_TICKS:
        return 0.0, craft.pack.reset_s / TICK_S, 0.0
    if state.reset_ticks > 0.0:
        return low, state.reset_ticks - 1.0, 0.0
    return low, 0.0, state.powered_ticks + 1.0
