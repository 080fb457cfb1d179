"""Noise of gyro and accelerometer, the source of chance, and the attitude estimate."""

from math import atan2, cos, degrees, radians, sin, sqrt
from typing import Any

import numpy as np
from numba import njit

from sim.aircraft import library
from sim.kernel import estimator, noise, records, run, sensors
from sim.kernel.clock import TICK_S
from sim.kernel.frames import IDENTITY, UPRIGHT, ZERO, Vec3, from_angles
from sim.kernel.history import HISTORY
from sim.kernel.start import initial_state
from sim.kernel.vehicle import Craft, State
from sim.qualify import row
from sim.qualify.parts import GRAVITY_M_S2, HANDS_OFF, INSTRUMENTS, in_the_open, trainer

BLOCK_TICKS = 100  # 1; own: shortest averaging time 0.1 s
RECORDED_S = 5000  # s; own: as many stretches of the longest averaging time
STANDING_S = 60  # s; own: 600 stretches of a tenth of a second
MICRO_G_M_S2 = 1e-6 * GRAVITY_M_S2  # m/s2


def _still_history(start: Any, gyro: Any, accel: Any, p: Any, dt_s: float, steps: int) -> Any:
    out = np.empty((steps + 1, 2))
    state, mag = start, Vec3(20.0, 0.0, 40.0)
    for i in range(steps + 1):
        if i > 0:
            state = estimator.updated(state, gyro, accel, mag, p, dt_s)
        out[i] = (2.0 * atan2(state.attitude.x, state.attitude.w), state.bias_rad_s.x)
    return out


still_history = njit(_still_history)


def _tumbling_history(start: Any, p: Any, dt_s: float, steps: int) -> Any:
    """Return attitude and bias after each sample of the course of estimator_tumbling.csv."""
    out = np.empty((steps, 7))
    state, mag = start, Vec3(20.0, 0.0, 40.0)
    for i in range(steps):
        t = i * dt_s
        gyro = Vec3(sin(4.0 * t), 0.5, -0.8 * cos(2.0 * t))
        push = Vec3(0.5 * sin(9.0 * t), -0.3, -GRAVITY_M_S2 + 0.4 * cos(7.0 * t))
        state = estimator.updated(state, gyro, push, mag, p, dt_s)
        q, b = state.attitude, state.bias_rad_s
        out[i] = (q.w, q.x, q.y, q.z, b.x, b.y, b.z)
    return out


tumbling_history = njit(_tumbling_history)


def estimator_params(level_gain: float, bias_gain_per_s2: float) -> estimator.EstimatorParams:
    """Return a filter without heading correction and calibrations."""
    return estimator.EstimatorParams(
        level_gain_per_s=level_gain, heading_gain_per_s=0.0, bias_gain_per_s2=bias_gain_per_s2,
        accel_trust_m_s2=100.0, gravity_m_s2=GRAVITY_M_S2, accel_offset_m_s2=ZERO,
        accel_matrix=IDENTITY, mag_offset_ut=ZERO, mag_matrix=IDENTITY, mounting=IDENTITY,
        mag_mounting=IDENTITY, declination_rad=0.0,
    )  # fmt: skip


def estimated(roll_rad: float, gyro_rad_s: float, bias_gain: float, seconds: float) -> Any:
    """Return each tick's (roll in rad, gyro bias in rad/s) as estimated by a craft at rest."""
    start = estimator.EstimatorState(from_angles(roll_rad, 0.0, 0.0), ZERO)
    gyro, up = Vec3(gyro_rad_s, 0.0, 0.0), Vec3(0.0, 0.0, -GRAVITY_M_S2)
    steps = round(seconds / TICK_S)
    return still_history(start, gyro, up, estimator_params(1.0, bias_gain), TICK_S, steps)


def estimates() -> list[row.Row]:
    """Decay of an attitude error, learning of a gyro bias, and a tumbling craft."""
    decay, rest = row.table("estimator_decay"), row.table("estimator_at_rest")
    tumbling = row.table("estimator_tumbling")
    one, two = estimated(radians(30.0), 0.0, 0.0, 5.0), estimated(0.0, 0.02, 0.3, 5.0)
    at = [round(t / TICK_S) for t in decay.column("time_s")]
    errors = [degrees(one[i, 0]) for i in at]
    start = estimator.EstimatorState(from_angles(0.3, -0.2, 0.5), ZERO)
    samples = [round(n) for n in tumbling.column("samples")]
    course = tumbling_history(start, estimator_params(0.8, 0.2), TICK_S, samples[-1])
    seen = [course[n - 1] for n in samples]
    attitude = ("attitude_qw", "attitude_qx", "attitude_qy", "attitude_qz")
    bias = ("bias_x_rad_s", "bias_y_rad_s", "bias_z_rad_s")
    return [
        decay.worst("attitude error at rest", "error_deg", errors),
        rest.worst("attitude error at rest, other filter", "error_deg", errors),
        rest.worst("gyro bias at rest, other filter", "bias_rad_s", [two[i, 1] for i in at]),
        tumbling.worst("tumbling, other filter", attitude, [x[:4] for x in seen]),
        tumbling.worst("tumbling, other filter's bias", bias, [x[4:] for x in seen]),
    ]


def _noise_means(random: Any, p: Any, blocks: int) -> Any:
    """Return means over blocks of ticks of gyro and accelerometer readings and of gyro drift."""
    out = np.zeros((blocks, 9))
    drift = ZERO
    for i in range(blocks):
        for _ in range(BLOCK_TICKS):
            random, gyro, accel = sensors.inertial_noise(random, p)
            random, drift = sensors.drifted(random, drift, p, TICK_S)
            turn = sensors.gyro_reading(ZERO, ZERO, gyro, p)
            push = sensors.accel_reading(ZERO, accel, p)
            walk = sensors.gyro_reading(ZERO, drift, ZERO, p)
            out[i] += np.array(
                (turn.x, turn.y, turn.z, push.x, push.y, push.z, walk.x, walk.y, walk.z)
            )
    return out / BLOCK_TICKS


noise_means = njit(_noise_means)


def allan_deviation(means: Any, interval: int = 1) -> float:
    """Return the Allan deviation of frequency-like data averaged over `interval` samples."""
    count = len(means) // interval
    blocks = np.reshape(np.asarray(means)[: count * interval], (count, interval)).mean(axis=1)
    return float(sqrt(0.5 * np.mean(np.diff(blocks) ** 2)))


def three_axes(means: Any, interval: int) -> float:
    """Return the Allan deviation of three like columns together."""
    return sqrt(sum(allan_deviation(column, interval) ** 2 for column in means.T) / 3.0)


def each_axis(means: Any, interval: int) -> list[float]:
    """Return the Allan deviation of three columns, and of their sum over the root of three.

    The last is like the others if the columns have nothing to do with each other.
    """
    series = [*means.T, means.sum(axis=1) / sqrt(3.0)]
    return [allan_deviation(one, interval) for one in series]


def nist_set() -> list[float]:
    """Return the 1000 numbers of the test set of NIST SP 1065."""
    n, values = 1234567890, []
    for _ in range(1000):
        values.append(n / 2147483647)
        n = 16807 * n % 2147483647
    return values


def noise_rows() -> list[row.Row]:
    """Allan deviations: our measure of them, white noise of two instruments, drift of the gyro."""
    nist, t = row.table("allan_nist"), row.table("noise_theory")
    p = INSTRUMENTS._replace(
        gyro_noise_rad_s=t.lines[0]["gyro_sample_rad_s"],
        accel_noise_m_s2=t.lines[0]["accel_sample_m_s2"],
        gyro_walk_rad_s2=t.lines[0]["walk_rad_s_root_s"],
    )
    block_s = BLOCK_TICKS * TICK_S
    means = noise_means(np.uint64(7), p, round(RECORDED_S / block_s))
    intervals = [round(tau / block_s) for tau in t.column("tau_s")]
    gyro, accel, drift = (
        [each_axis(means[:, part], n) for n in intervals]
        for part in (slice(0, 3), slice(3, 6), slice(6, 9))
    )
    ours = [allan_deviation(nist_set(), round(tau)) for tau in nist.column("tau_s")]
    return [
        nist.worst("our measure of noise", "allan_deviation", ours),
        t.worst("white noise of the gyro", ("gyro_rad_s",) * 4, gyro),
        t.worst("white noise of the accelerometer", ("accel_m_s2",) * 4, accel),
        t.worst("drift of the gyro", ("drift_rad_s",) * 4, drift),
    ]


def standing() -> Any:
    """Return the history of the shipped trainer, switched on, standing with motors off."""
    craft = in_the_open(trainer())._replace(plugged=1.0)
    state = initial_state(craft, UPRIGHT, 0.9, 5)
    ticks = round(STANDING_S / TICK_S)
    history = np.empty((ticks, len(HISTORY)))
    states, crafts = records.to_row(State, state), records.to_row(Craft, craft)
    run.run(states, crafts, library.tables("10x4.7"), HANDS_OFF, ticks, history, 1)
    return history


def shipped_noise() -> list[row.Row]:
    """Noise density of the shipped instruments, as the whole model records them at rest."""
    t, history = row.table("consumer_noise"), standing()
    first = HISTORY.index("gyro_x_rad_s"), HISTORY.index("accel_x_m_s2")
    interval_s = BLOCK_TICKS * TICK_S
    gyro, accel = (
        sqrt(2.0 * interval_s) * three_axes(history[1000:, i : i + 3], BLOCK_TICKS) for i in first
    )
    return [
        t.worst("shipped gyro standing still", "gyro_deg_s_root_hz", [degrees(gyro)]),
        t.worst("shipped accelerometer standing still", "accel_ug_root_hz", [accel / MICRO_G_M_S2]),
    ]


def random_numbers() -> list[row.Row]:
    """First numbers of the source of chance."""
    t = row.table("random_numbers")
    state, drawn = np.uint64(1234567), []
    for _ in t.lines:
        state, number = noise.uniform(np.uint64(state))
        drawn.append(number)
    return [t.worst("random numbers", "number", drawn)]
