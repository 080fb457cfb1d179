"""Self-level and rate control, heading hold, and the mixer.

Attitude error times a gain asks for a body rate; a PID per axis asks for a share of motor command;
the mixer spreads roll, pitch, yaw and throttle over four motors, saving roll and pitch first, then
the middle throttle, and yaw last, when commands reach their ends. The loop runs at 500 Hz, its
output reaches the drives after a whole number of such periods.
"""

from math import cos, exp, pi, sin
from typing import NamedTuple

from sim.kernel.clock import ticks
from sim.kernel.frames import Vec3, subtract, wrapped
from sim.kernel.jit import compiled

Outputs = tuple[float, float, float, float]  # motor commands 0..1, by place on the frame
Mix = tuple[Vec3, Vec3, Vec3, Vec3]  # shares of roll, pitch and yaw, by place on the frame
Delay = tuple[Outputs, Outputs, Outputs, Outputs, Outputs, Outputs, Outputs, Outputs]

GYRO_S = 0.001  # s; own: gyro and accelerometer are sampled, filtered and fused at 1 kHz
GYRO_TICKS = ticks(GYRO_S)  # the same, a whole number
PERIOD_S = 0.002  # s; design: 500 Hz control
PERIOD_TICKS = ticks(PERIOD_S)  # the same, a whole number


class AxisGains(NamedTuple):
    """PID gains of one axis: motor command share per rad/s, per rad and per rad/s2."""

    p: float
    i: float
    d: float


class ControllerParams(NamedTuple):
    """Everything set in the controller (SI; sticks and commands in 0..1)."""

    roll: AxisGains
    pitch: AxisGains
    yaw: AxisGains
    sense: Vec3  # +1 or -1 per axis: which way the loop pushes
    mix: Mix
    layout_turn_rad: float  # angle by which the mixer believes the frame turned
    throttle_gain: float  # 1; command per stick
    attitude_gain_per_s: float
    heading_gain_per_s: float
    heading_hold: float  # 1: keeps heading while the yaw stick is centred
    tilt_limit_rad: float
    rate_limit_rad_s: float  # full stick in the rate law
    yaw_rate_limit_rad_s: float
    dead_band: float  # of the yaw stick
    gyro_cutoff_hz: float
    damping_cutoff_hz: float
    integral_limit: float  # share of command
    integral_from_throttle: float  # below this the integrals are held at zero
    idle: float  # command of an armed motor at zero throttle
    delay_periods: float
    level_trim_roll_rad: float
    level_trim_pitch_rad: float
    stop_switch: float  # 1: the stop switch is set up


class RateFilter(NamedTuple):
    """Gyro through one and two low-pass filters, its value a period ago, and its filtered slope."""

    once_rad_s: Vec3
    twice_rad_s: Vec3
    before_rad_s: Vec3
    slope_rad_s2: Vec3


class ControllerState(NamedTuple):
    """Integrals (share of command), heading to keep and the last output."""

    integral: Vec3
    heading_goal_rad: float
    output: Outputs


@compiled
def low_pass_share(cutoff_hz, dt_s):
    """Return the weight of a new sample in a first-order low-pass filter."""
    return 1.0 - exp(-2.0 * pi * cutoff_hz * dt_s)


@compiled
def towards(a, b, share):
    """Return a moved towards b by a share."""
    return Vec3(a.x + share * (b.x - a.x), a.y + share * (b.y - a.y), a.z + share * (b.z - a.z))


@compiled
def smoothed(rates, gyro, share):
    """Return the filter state after one gyro sample."""
    once = towards(rates.once_rad_s, gyro, share)
    twice = towards(rates.twice_rad_s, once, share)
    return RateFilter(once, twice, rates.before_rad_s, rates.slope_rad_s2)


@compiled
def differentiated(rates, share):
    """Return the filter state after one control period: the slope of the smoothed gyro."""
    change = subtract(rates.twice_rad_s, rates.before_rad_s)
    slope = Vec3(change.x / PERIOD_S, change.y / PERIOD_S, change.z / PERIOD_S)
    return RateFilter(
        rates.once_rad_s,
        rates.twice_rad_s,
        rates.twice_rad_s,
        towards(rates.slope_rad_s2, slope, share),
    )


@compiled
def clip(x, limit):
    """Return x held within +-limit."""
    return min(limit, max(-limit, x))


@compiled
def level_goal(stick, limit, actual, gain, rate_limit):
    """Return the rate the self-level law asks for, rad/s."""
    return clip(gain * (stick * limit - actual), rate_limit)


@compiled
def yaw_goal(stick, heading, goal, params):
    """Return (yaw rate asked for in rad/s, heading to keep in rad)."""
    if abs(stick) > params.dead_band or params.heading_hold == 0.0:
        return stick * params.yaw_rate_limit_rad_s, heading
    error = wrapped(goal - heading)
    return clip(params.heading_gain_per_s * error, params.yaw_rate_limit_rad_s), goal


@compiled
def rate_goal(command, angles, self_level, params):
    """Return (roll, pitch) rate asked for, rad/s."""
    if self_level > 0.0:
        k, limit = params.attitude_gain_per_s, params.rate_limit_rad_s
        return (
            level_goal(
                command.roll,
                params.tilt_limit_rad,
                angles.x - params.level_trim_roll_rad,
                k,
                limit,
            ),
            level_goal(
                command.pitch,
                params.tilt_limit_rad,
                angles.y - params.level_trim_pitch_rad,
                k,
                limit,
            ),
        )
    return command.roll * params.rate_limit_rad_s, command.pitch * params.rate_limit_rad_s


@compiled
def pid(error, integral, damping, gains):
    """Return the share of command asked for on one axis."""
    return gains.p * error + integral - gains.d * damping


@compiled
def mixed(throttle, roll, pitch, yaw, idle, mix):
    """Return four motor commands: front left, front right, rear right, rear left.

    mix : how much of roll, pitch and yaw goes to each, -1..1. Yaw right asks for more from those
    that turn anticlockwise.
    """
    p, q, r, s = mix[0], mix[1], mix[2], mix[3]
    a, b = p.x * roll + p.y * pitch, q.x * roll + q.y * pitch
    c, d = r.x * roll + r.y * pitch, s.x * roll + s.y * pitch
    room = 1.0 - idle
    span = max(max(a, b), max(c, d)) - min(min(a, b), min(c, d))
    k = room / span if span > room else 1.0
    a, b, c, d = k * a, k * b, k * c, k * d
    yaw_room = max(0.0, 0.5 * (room - k * span))
    y = clip(yaw, yaw_room)
    a, b, c, d = a + p.z * y, b + q.z * y, c + r.z * y, d + s.z * y
    top, bottom = max(max(a, b), max(c, d)), min(min(a, b), min(c, d))
    middle = min(1.0 - top, max(idle - bottom, throttle))
    return middle + a, middle + b, middle + c, middle + d


@compiled
def summed(integral, gain, error, limit, gate):
    """Return an integral one period later, held at zero while the gate is shut (0)."""
    return gate * clip(integral + gain * error * PERIOD_S, limit)


@compiled
def controlled(state, command, angles, rates, bias_rad_s, self_level, params):
    """Return the controller state after one control period, its output included."""
    measured = subtract(rates.twice_rad_s, bias_rad_s)
    roll_goal, pitch_goal = rate_goal(command, angles, self_level, params)
    turn_goal, heading_goal = yaw_goal(command.yaw, angles.z, state.heading_goal_rad, params)
    error = Vec3(roll_goal - measured.x, pitch_goal - measured.y, turn_goal - measured.z)
    gate = 1.0 if command.throttle >= params.integral_from_throttle else 0.0
    limit = params.integral_limit
    integral = Vec3(
        summed(state.integral.x, params.roll.i, error.x, limit, gate),
        summed(state.integral.y, params.pitch.i, error.y, limit, gate),
        summed(state.integral.z, params.yaw.i, error.z, limit, gate),
    )
    roll = params.sense.x * pid(error.x, integral.x, rates.slope_rad_s2.x, params.roll)
    pitch = params.sense.y * pid(error.y, integral.y, rates.slope_rad_s2.y, params.pitch)
    yaw = params.sense.z * pid(error.z, integral.z, rates.slope_rad_s2.z, params.yaw)
    c, s = cos(params.layout_turn_rad), sin(params.layout_turn_rad)
    throttle = min(1.0, params.throttle_gain * command.throttle)
    output = mixed(
        throttle, c * roll - s * pitch, s * roll + c * pitch, yaw, params.idle, params.mix
    )
    return ControllerState(integral, heading_goal, output)


@compiled
def at_rest(heading_rad):
    """Return the state of a disarmed controller: integrals empty, no output."""
    return ControllerState(Vec3(0.0, 0.0, 0.0), heading_rad, (0.0, 0.0, 0.0, 0.0))


@compiled
def delayed(line, output):
    """Return the delay line after one period, newest output first."""
    return (output, line[0], line[1], line[2], line[3], line[4], line[5], line[6])
