"""What holds the aircraft when it does not stand or fly: hands with tremor, or a clamp.

A hold is a spring with damper, in all six directions, towards a reference pose. The reference
walks smoothly to the pose asked for, or turns at the rate it is led at; hands add tremor. So bench
data carry real motion. A cable in the way draws the aircraft back, and taut it ends the turn.
"""

from math import exp, sqrt
from typing import NamedTuple

from sim.kernel import noise
from sim.kernel.frames import (
    UPRIGHT,
    ZERO,
    Quat,
    Vec3,
    add,
    add_scaled,
    attitude_error,
    norm,
    scale,
    subtract,
    to_body,
    to_world,
    turned_by,
)
from sim.kernel.jit import compiled

FREE = 0.0  # code of a hold; own
HANDS = 1.0  # code of a hold; own
CLAMP = 2.0  # code of a hold; own
CABLE_SLACK_RAD = 1.0  # rad; own: a metre of cable from the bench lies loose up to 60 degrees
CABLE_REACH_RAD = 2.0  # rad; own: and is taut at twice that
CABLE_PULL_N_M_RAD = 0.3  # N m/rad; own: taut it pulls with 6 N on 5 cm


class HoldParams(NamedTuple):
    """How firm a hold is and how it moves."""

    kind: float  # FREE, HANDS or CLAMP
    stiffness_rad_s: float  # natural frequency of the hold
    turn_limit_rad_s: float
    smoothing_s: float
    tremor_rad: float  # standard deviation
    tremor_s: float  # correlation time
    grip_m: Vec3  # from the wrist to the CG, body axes
    wrist_m: Vec3  # world
    target: Quat
    led: float  # 1: turned at `lead_rad_s`; 0: towards `target`
    lead_rad_s: Vec3  # body axes
    cable: float  # 1: a cable ties it to the bench, loose while it lies upright, nose north


class HoldState(NamedTuple):
    """Reference attitude, its rate (rad/s, body) and the tremor now (rad, body)."""

    attitude: Quat
    rate_rad_s: Vec3
    tremor_rad: Vec3


@compiled
def shaken(random, tremor, params, dt_s):
    """Return (random state, tremor) one step later: an Ornstein-Uhlenbeck process per axis."""
    keep = exp(-dt_s / params.tremor_s)
    push = params.tremor_rad * sqrt(1.0 - keep * keep)
    random, a, b = noise.gaussian_pair(random)
    random, c, _ = noise.gaussian_pair(random)
    return random, Vec3(
        keep * tremor.x + push * a, keep * tremor.y + push * b, keep * tremor.z + push * c
    )


@compiled
def towards(attitude, params):
    """Return the rate that leads to the target pose, rad/s, body axes."""
    away = attitude_error(params.target, attitude)
    size = norm(away)
    wanted = min(params.turn_limit_rad_s, 3.0 * size)  # 1/s; own: eases off over the last third
    return scale(away, wanted / size) if size > 1e-6 else Vec3(0.0, 0.0, 0.0)


@compiled
def taut(before, after):
    """Tell whether the cable allows no turn from one attitude to another: it is drawn out."""
    drawn = norm(attitude_error(UPRIGHT, after))
    return drawn > CABLE_REACH_RAD and drawn > norm(attitude_error(UPRIGHT, before))


@compiled
def cable_n_m(attitude):
    """Return the torque of a cable that is drawn out, N m, body axes: back to where it is loose."""
    home = attitude_error(UPRIGHT, attitude)
    drawn = norm(home)
    if drawn <= CABLE_SLACK_RAD:
        return Vec3(0.0, 0.0, 0.0)
    return scale(home, CABLE_PULL_N_M_RAD * (drawn - CABLE_SLACK_RAD) / drawn)


@compiled
def guided(random, state, params, dt_s):
    """Return (random state, hold state) one step nearer the target pose."""
    if params.kind == FREE:
        return random, state
    goal = params.lead_rad_s if params.led > 0.0 else towards(state.attitude, params)
    share = 1.0 - exp(-dt_s / params.smoothing_s)
    rate = add_scaled(state.rate_rad_s, subtract(goal, state.rate_rad_s), share)
    attitude = turned_by(state.attitude, scale(rate, dt_s))
    if params.cable > 0.0 and taut(state.attitude, attitude):
        rate, attitude = ZERO, state.attitude
    tremor = state.tremor_rad
    if params.kind == HANDS:
        random, tremor = shaken(random, tremor, params, dt_s)
    return random, HoldState(attitude, rate, tremor)


@compiled
def pose(state, params):
    """Return (position in m, attitude) of the reference, tremor included."""
    attitude = turned_by(state.attitude, state.tremor_rad)
    return add(params.wrist_m, to_world(attitude, params.grip_m)), attitude


@compiled
def hold_wrench(body, state, params, mass_kg, inertia_kg_m2, gravity_m_s2):
    """Return (force in N, world; torque in N m, body) of the hold; none if the aircraft is free."""
    if params.kind == FREE:
        return Vec3(0.0, 0.0, 0.0), Vec3(0.0, 0.0, 0.0)
    w = params.stiffness_rad_s
    position, attitude = pose(state, params)
    reach = subtract(position, body.position_m)
    force = add_scaled(scale(reach, mass_kg * w * w), body.velocity_m_s, -2.0 * w * mass_kg)
    twist = attitude_error(attitude, body.attitude)
    slower = subtract(
        to_body(body.attitude, to_world(state.attitude, state.rate_rad_s)), body.rate_rad_s
    )
    turn = add_scaled(scale(twist, w * w), slower, 2.0 * w)
    torque = Vec3(turn.x * inertia_kg_m2.x, turn.y * inertia_kg_m2.y, turn.z * inertia_kg_m2.z)
    if params.cable > 0.0:
        torque = add(torque, cable_n_m(body.attitude))
    return Vec3(force.x, force.y, force.z - mass_kg * gravity_m_s2), torque
