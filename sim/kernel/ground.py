"""Contact: four compliant feet with stick-slip friction, hubs against floor, walls and ceiling.

Floor at down = 0; heights are -down. A foot pushes like a spring with damper while it is below the
floor and never pulls. Along the floor it sticks to an anchor through a second spring until the
force passes the friction limit, then the anchor slides after it.
"""

from math import sqrt
from typing import NamedTuple

from sim.kernel.frames import Vec3, add, add_scaled, cross, to_body, to_world
from sim.kernel.jit import compiled


class ContactParams(NamedTuple):
    """Feet and bumpers of the aircraft (SI)."""

    stiffness_n_m: float
    damping_n_s_m: float
    grip_stiffness_n_m: float
    grip_damping_n_s_m: float
    friction: float  # 1; Coulomb coefficient
    bump_stiffness_n_m: float
    bump_damping_n_s_m: float
    disc_radius_m: float


class Room(NamedTuple):
    """A box with the pad at the origin: wall positions and ceiling height, m."""

    north_m: float
    south_m: float
    east_m: float
    west_m: float
    ceiling_m: float


class Anchor(NamedTuple):
    """Where a foot sticks to the floor (m, world) and the load it carried last (N)."""

    north_m: float
    east_m: float
    load_n: float


class Touch(NamedTuple):
    """Point of the body in the world: position (m), velocity (m/s), lever from the CG (m, body)."""

    position_m: Vec3
    velocity_m_s: Vec3
    lever_m: Vec3


@compiled
def touch(body, lever_m):
    """Return where a body point is and how fast it moves."""
    return Touch(
        add(body.position_m, to_world(body.attitude, lever_m)),
        add(body.velocity_m_s, to_world(body.attitude, cross(body.rate_rad_s, lever_m))),
        lever_m,
    )


@compiled
def pressed_n(depth_m, closing_m_s, stiffness_n_m, damping_n_s_m):
    """Return the normal force of a one-sided spring and damper."""
    if depth_m <= 0.0:
        return 0.0
    return max(0.0, stiffness_n_m * depth_m + damping_n_s_m * closing_m_s)


@compiled
def foot_force(at, anchor, params):
    """Return the force (N, world) of the floor on one foot."""
    load = pressed_n(at.position_m.z, at.velocity_m_s.z, params.stiffness_n_m, params.damping_n_s_m)
    if load == 0.0:
        return Vec3(0.0, 0.0, 0.0)
    north = (
        params.grip_stiffness_n_m * (anchor.north_m - at.position_m.x)
        - params.grip_damping_n_s_m * at.velocity_m_s.x
    )
    east = (
        params.grip_stiffness_n_m * (anchor.east_m - at.position_m.y)
        - params.grip_damping_n_s_m * at.velocity_m_s.y
    )
    size, limit = sqrt(north * north + east * east), params.friction * load
    k = limit / size if size > limit else 1.0
    return Vec3(k * north, k * east, -load)


@compiled
def anchored(body, lever_m, anchor, params):
    """Return the foot's anchor after a step: free in the air, dragged along when it slides."""
    at = touch(body, lever_m)
    load = pressed_n(at.position_m.z, at.velocity_m_s.z, params.stiffness_n_m, params.damping_n_s_m)
    if load == 0.0:
        return Anchor(at.position_m.x, at.position_m.y, 0.0)
    north, east = anchor.north_m - at.position_m.x, anchor.east_m - at.position_m.y
    size = sqrt(north * north + east * east)
    reach = params.friction * load / params.grip_stiffness_n_m
    k = reach / size if size > reach else 1.0
    return Anchor(at.position_m.x + k * north, at.position_m.y + k * east, load)


@compiled
def clearances_m(position_m, room):
    """Return how far a point is inside floor, ceiling, north, south, east and west wall."""
    return (
        -position_m.z,
        room.ceiling_m + position_m.z,
        room.north_m - position_m.x,
        position_m.x - room.south_m,
        room.east_m - position_m.y,
        position_m.y - room.west_m,
    )


@compiled
def inward_normal(surface):
    """Return the unit normal (world) pointing into the room from a surface 0..5."""
    if surface == 0:
        return Vec3(0.0, 0.0, -1.0)
    if surface == 1:
        return Vec3(0.0, 0.0, 1.0)
    if surface == 2:
        return Vec3(-1.0, 0.0, 0.0)
    if surface == 3:
        return Vec3(1.0, 0.0, 0.0)
    if surface == 4:
        return Vec3(0.0, -1.0, 0.0)
    return Vec3(0.0, 1.0, 0.0)


@compiled
def nearest_surface_m(position_m, room):
    """Return the smallest clearance of a point from floor, ceiling and walls."""
    a, b, c, d, e, f = clearances_m(position_m, room)
    return min(min(min(a, b), min(c, d)), min(e, f))


@compiled
def bump_force(at, room, params):
    """Return the force (N, world) of floor, walls and ceiling on a hub: springs with drag."""
    total = Vec3(0.0, 0.0, 0.0)
    gaps = clearances_m(at.position_m, room)
    for surface in range(6):
        if gaps[surface] < 0.0:
            normal = inward_normal(surface)
            v = at.velocity_m_s
            closing = -(v.x * normal.x + v.y * normal.y + v.z * normal.z)
            load = pressed_n(
                -gaps[surface], closing, params.bump_stiffness_n_m, params.bump_damping_n_s_m
            )
            total = add_scaled(total, normal, load)
            sliding = add_scaled(v, normal, closing)
            speed = sqrt(sliding.x**2 + sliding.y**2 + sliding.z**2)
            grip = min(params.bump_damping_n_s_m * speed, params.friction * load)
            if speed > 0.0:
                total = add_scaled(total, sliding, -grip / speed)
    return total


@compiled
def wrench_of(force, at, attitude):
    """Return the torque (N m, body) a world force makes at a touch point."""
    return cross(at.lever_m, to_body(attitude, force))


@compiled
def disc_clearance_m(body, hub_m, room, radius_m):
    """Return the smallest gap between a propeller disc and any surface (negative: it strikes)."""
    at = touch(body, hub_m)
    axis = to_world(body.attitude, Vec3(0.0, 0.0, 1.0))
    gaps = clearances_m(at.position_m, room)
    smallest = 1e9
    for surface in range(6):
        normal = inward_normal(surface)
        along = axis.x * normal.x + axis.y * normal.y + axis.z * normal.z
        reach = radius_m * sqrt(max(0.0, 1.0 - along * along))
        smallest = min(smallest, gaps[surface] - reach)
    return smallest
