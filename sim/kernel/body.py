"""Six-degree-of-freedom rigid body: Newton-Euler equations and the classical Runge-Kutta step.

Body axes at the centre of gravity, forward-right-down. Products of inertia are not modelled: a
small quadrotor is symmetrical about its two vertical planes to the accuracy of its build sheet.
"""

from typing import NamedTuple

from sim.kernel.frames import Quat, Vec3, add, add_scaled, cross, normalise, rate_of_turn, scale
from sim.kernel.jit import compiled


class BodyParams(NamedTuple):
    """Mass in kg, principal moments of inertia in kg m2, gravity in m/s2."""

    mass_kg: float
    inertia_kg_m2: Vec3
    gravity_m_s2: float


class BodyState(NamedTuple):
    """Position (m, world), attitude, velocity (m/s, world), rate (rad/s, body)."""

    position_m: Vec3
    attitude: Quat
    velocity_m_s: Vec3
    rate_rad_s: Vec3


class BodyRates(NamedTuple):
    """Time derivative of a BodyState."""

    velocity_m_s: Vec3
    attitude_per_s: Quat
    acceleration_m_s2: Vec3
    rate_change_rad_s2: Vec3


@compiled
def euler_rates(rate, torque, spin_n_m_s, inertia):
    """Return the angular acceleration: I w' = torque - w x (I w + h).

    torque : Vec3, N m, body; spin_n_m_s : float, N m s, angular momentum of the rotors along the
    body's down axis.
    """
    momentum = Vec3(inertia.x * rate.x, inertia.y * rate.y, inertia.z * rate.z + spin_n_m_s)
    gyroscopic = cross(rate, momentum)
    return Vec3(
        (torque.x - gyroscopic.x) / inertia.x,
        (torque.y - gyroscopic.y) / inertia.y,
        (torque.z - gyroscopic.z) / inertia.z,
    )


@compiled
def rates(state, force, torque, spin_n_m_s, params):
    """Return the derivative under a force (N, world, without weight) and torque (N m, body)."""
    acceleration = scale(force, 1.0 / params.mass_kg)
    return BodyRates(
        state.velocity_m_s,
        rate_of_turn(state.attitude, state.rate_rad_s),
        Vec3(acceleration.x, acceleration.y, acceleration.z + params.gravity_m_s2),
        euler_rates(state.rate_rad_s, torque, spin_n_m_s, params.inertia_kg_m2),
    )


@compiled
def moved(state, change, dt_s):
    """Return state + change dt; the attitude is not brought back to unit length here."""
    q, d = state.attitude, change.attitude_per_s
    return BodyState(
        add_scaled(state.position_m, change.velocity_m_s, dt_s),
        Quat(q.w + d.w * dt_s, q.x + d.x * dt_s, q.y + d.y * dt_s, q.z + d.z * dt_s),
        add_scaled(state.velocity_m_s, change.acceleration_m_s2, dt_s),
        add_scaled(state.rate_rad_s, change.rate_change_rad_s2, dt_s),
    )


@compiled
def weighted(a, b, c, d):
    """Return (a + 2 b + 2 c + d)/6 of four vectors."""
    return scale(add(add_scaled(add_scaled(a, b, 2.0), c, 2.0), d), 1.0 / 6.0)


@compiled
def blended(a, b, c, d):
    """Return the Runge-Kutta mean of four derivatives."""
    p, q, r, s = a.attitude_per_s, b.attitude_per_s, c.attitude_per_s, d.attitude_per_s
    return BodyRates(
        weighted(a.velocity_m_s, b.velocity_m_s, c.velocity_m_s, d.velocity_m_s),
        Quat(
            (p.w + 2.0 * q.w + 2.0 * r.w + s.w) / 6.0,
            (p.x + 2.0 * q.x + 2.0 * r.x + s.x) / 6.0,
            (p.y + 2.0 * q.y + 2.0 * r.y + s.y) / 6.0,
            (p.z + 2.0 * q.z + 2.0 * r.z + s.z) / 6.0,
        ),
        weighted(
            a.acceleration_m_s2, b.acceleration_m_s2, c.acceleration_m_s2, d.acceleration_m_s2
        ),
        weighted(
            a.rate_change_rad_s2, b.rate_change_rad_s2, c.rate_change_rad_s2, d.rate_change_rad_s2
        ),
    )


def stepper(wrench):
    """Return the compiled Runge-Kutta step of a body under a law of force and torque.

    wrench : compiled function (state, context) -> (force in N, world axes, without weight; torque
    in N m, body axes).
    """

    @compiled
    def runge_kutta_step(state, context, spin_n_m_s, params, dt_s):
        force, torque = wrench(state, context)
        a = rates(state, force, torque, spin_n_m_s, params)
        half = moved(state, a, 0.5 * dt_s)
        force, torque = wrench(half, context)
        b = rates(half, force, torque, spin_n_m_s, params)
        half = moved(state, b, 0.5 * dt_s)
        force, torque = wrench(half, context)
        c = rates(half, force, torque, spin_n_m_s, params)
        full = moved(state, c, dt_s)
        force, torque = wrench(full, context)
        d = rates(full, force, torque, spin_n_m_s, params)
        after = moved(state, blended(a, b, c, d), dt_s)
        return BodyState(
            after.position_m, normalise(after.attitude), after.velocity_m_s, after.rate_rad_s
        )

    return runge_kutta_step


@compiled
def constant_wrench(_, context):
    """Return the (force, torque) given as context, whatever the state."""
    return context


_constant_step = stepper(constant_wrench)


@compiled
def free_step(state, force, torque, spin_n_m_s, params, dt_s):
    """Return the state after one step under constant force (N, world) and torque (N m, body)."""
    return _constant_step(state, (force, torque), spin_n_m_s, params, dt_s)
