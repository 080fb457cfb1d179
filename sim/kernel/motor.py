"""One motor with its drive: first-order DC-equivalent motor (Drela, QPROP motor type 1).

I = (u V - w/Kv)/R, Q = (I - I0)/Kv with Kv in rad/(s V); u is the duty of the drive. The drive
brakes as well as drives: a rotor faster than its duty asks for sends current back to the supply
(u I < 0). At zero duty the drive lets it coast. Shorted turns brake it in proportion to its speed.
"""

from math import pi
from typing import NamedTuple

from sim.kernel import noise
from sim.kernel.jit import compiled

RECENT_S = 0.020  # s; own: window over which a command jump can upset commutation


class MotorParams(NamedTuple):
    """Constants of motor, drive and propeller at one place on the frame (SI)."""

    kv_rad_s_v: float
    resistance_ohm: float
    no_load_a: float
    inertia_kg_m2: float
    start_command: float  # 1; below this the drive does not turn the motor
    gain: float  # 1; duty = offset + gain * command
    offset: float
    friction_n_m: float  # N m; extra bearing drag
    braking_n_m_s: float  # N m per rad/s; shorted turns
    desync_jump: float  # 1; command jump that may upset commutation; inf = never
    desync_chance: float  # 1; per such jump
    desync_s: float  # s; time without torque
    gap_rate_per_s: float  # 1/s; how often a bad joint or a snag takes the torque away
    gap_s: float  # s; for how long
    command_noise: float  # 1; standard deviation of what a bad signal lead adds
    heat_resistance_k_w: float
    heat_capacity_j_k: float
    limit_k: float  # K; the drive begins to fade here
    fade_per_k: float  # 1/K


class DriveState(NamedTuple):
    """What the drive remembers: the duty it applies, the command of late, time left dead."""

    duty: float
    recent_command: float
    dead_s: float


class MotorState(NamedTuple):
    """What changes in one motor; temperature of its drive."""

    speed_rad_s: float
    phase_rad: float
    current_a: float
    temperature_k: float


@compiled
def torque_constant_n_m_a(kv_rad_s_v):
    """Return Kt = 1/Kv, the same number in SI for a DC-equivalent motor."""
    return 1.0 / kv_rad_s_v


@compiled
def current_a(duty, supply_v, speed_rad_s, params):
    """Return the motor current."""
    return (duty * supply_v - speed_rad_s / params.kv_rad_s_v) / params.resistance_ohm


@compiled
def shaft_torque_n_m(motor_a, params):
    """Return the torque at the shaft, (I - I0) Kt."""
    return (motor_a - params.no_load_a) * torque_constant_n_m_a(params.kv_rad_s_v)


@compiled
def operating_point(speed_rad_s, torque_n_m, params):
    """Return (voltage at the motor in V, current in A) that turn a load `torque_n_m` at a speed."""
    torque = torque_n_m + params.friction_n_m + params.braking_n_m_s * speed_rad_s
    amps = torque * params.kv_rad_s_v + params.no_load_a
    return speed_rad_s / params.kv_rad_s_v + amps * params.resistance_ohm, amps


@compiled
def time_constant_s(params, drag_n_m_s2, speed_rad_s):
    """Return the lag of speed behind voltage, J R/(Kt^2 + R (b + 2 c w)), b of shorted turns.

    drag_n_m_s2: propeller torque over speed squared, N m s2/rad2.
    """
    kt = torque_constant_n_m_a(params.kv_rad_s_v)
    r = params.resistance_ohm
    slope = params.braking_n_m_s + 2.0 * drag_n_m_s2 * speed_rad_s
    return params.inertia_kg_m2 * r / (kt * kt + r * slope)


@compiled
def drive_duty(command, temperature_k, params):
    """Return the duty the drive applies for a command 0..1, faded when the drive is hot."""
    if command < params.start_command:
        return 0.0
    fade = 1.0 - params.fade_per_k * max(0.0, temperature_k - params.limit_k)
    return min(max(params.offset + params.gain * command, 0.0), max(fade, 0.0))


@compiled
def driven(random, state, command, temperature_k, params, dt_s):
    """Return (random state, drive state) for a new command; a jump may upset commutation."""
    dead = max(0.0, state.dead_s - dt_s)
    if command - state.recent_command > params.desync_jump and dead == 0.0:
        random, chance = noise.uniform(random)
        if chance < params.desync_chance * dt_s / RECENT_S:
            dead = params.desync_s
    if params.gap_rate_per_s > 0.0 and dead == 0.0 and command > 0.0:
        random, chance = noise.uniform(random)
        if chance < params.gap_rate_per_s * dt_s:
            dead = params.gap_s
    if params.command_noise > 0.0 and command > 0.0:
        random, push, _ = noise.gaussian_pair(random)
        command = min(1.0, max(0.0, command + params.command_noise * push))
    recent = state.recent_command + (command - state.recent_command) * dt_s / RECENT_S
    duty = drive_duty(command, temperature_k, params) if dead == 0.0 else 0.0
    return random, DriveState(duty, recent, dead)


@compiled
def turned(state, duty, supply_v, drag_n_m_s2, params, air_k, dt_s):
    """Return the motor state one step later (linearly implicit, exact in steady speed).

    drag_n_m_s2: propeller torque over speed squared, N m s2/rad2.
    """
    kt = torque_constant_n_m_a(params.kv_rad_s_v)
    friction = params.friction_n_m + params.no_load_a * kt
    per_step = dt_s / params.inertia_kg_m2
    drive, damping = 0.0, params.braking_n_m_s
    if duty > 0.0:
        drive = kt * duty * supply_v / params.resistance_ohm
        damping += kt * kt / params.resistance_ohm
    speed = state.speed_rad_s
    faster = (speed + per_step * (drive - friction)) / (
        1.0 + per_step * (damping + drag_n_m_s2 * speed)
    )
    faster = max(0.0, faster)
    amps = current_a(duty, supply_v, faster, params) if duty > 0.0 else 0.0
    loss_w = amps * amps * params.resistance_ohm
    cooling_w = (state.temperature_k - air_k) / params.heat_resistance_k_w
    warmer = state.temperature_k + dt_s * (loss_w - cooling_w) / params.heat_capacity_j_k
    phase = state.phase_rad + 0.5 * (speed + faster) * dt_s
    if phase > 2.0 * pi:
        phase -= 2.0 * pi
    return MotorState(faster, phase, amps, warmer)
