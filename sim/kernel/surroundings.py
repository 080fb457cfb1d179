"""Floor, walls and hands of one tick: forces on the body, contact, and damage."""

from typing import NamedTuple

from sim.kernel import body, ground, hands
from sim.kernel.body import BodyParams
from sim.kernel.clock import ticks
from sim.kernel.frames import Vec3, add, to_world
from sim.kernel.ground import Anchor, ContactParams, Room
from sim.kernel.hands import HoldParams, HoldState
from sim.kernel.jit import inner

STRUCK, TIPPED, BUMPED, HARD_LANDING = 1, 2, 4, 8  # bits of State.crash
TIPPED_COSINE = 0.34  # 1; own: leaning past 70 degrees on the floor is a tip-over
STRIKE_SPEED_RAD_S = 60.0  # rad/s; own: slower propellers nudge rather than break
BODY_REACH_M = 0.4  # m; own: half the frame's diagonal and a tick of travel
TAKEOFF_TICKS = ticks(0.3)  # design: takeoff is all feet clear for 0.3 s
HARD_LANDING_M_S = 1.5  # m/s; own: touchdown sink rate that bends legs


class Wrench(NamedTuple):
    """What stays constant within a tick, for the forces that do not."""

    force_n: Vec3  # world
    torque_n_m: Vec3  # body
    feet: tuple[Anchor, Anchor, Anchor, Anchor]
    hold: HoldState
    bumping: float
    craft_feet_m: tuple[Vec3, Vec3, Vec3, Vec3]
    hubs_m: tuple[Vec3, Vec3, Vec3, Vec3]
    contact: ContactParams
    room: Room
    hold_params: HoldParams
    body: BodyParams


@inner
def wrench(b, w):
    """Return (force in N, world; torque in N m, body) on the body: constant part plus contact."""
    force, torque = hands.hold_wrench(
        b, w.hold, w.hold_params, w.body.mass_kg, w.body.inertia_kg_m2, w.body.gravity_m_s2
    )
    force, torque = add(force, w.force_n), add(torque, w.torque_n_m)
    if w.bumping > 0.0:
        for i in range(4):
            at = ground.touch(b, w.craft_feet_m[i])
            push = ground.foot_force(at, w.feet[i], w.contact)
            force = add(force, push)
            torque = add(torque, ground.wrench_of(push, at, b.attitude))
            at = ground.touch(b, w.hubs_m[i])
            push = ground.bump_force(at, w.room, w.contact)
            force = add(force, push)
            torque = add(torque, ground.wrench_of(push, at, b.attitude))
    return force, torque


step_body = body.stepper(wrench)


@inner
def hubs_of(craft):
    """Return the four hub positions (m, body)."""
    r = craft.rotors
    return (r[0].hub_m, r[1].hub_m, r[2].hub_m, r[3].hub_m)


@inner
def held_or_free(state, hold, force, torque, craft):
    """Return the constant part of the forces of this tick and what the others need."""
    reach = craft.contact.disc_radius_m + BODY_REACH_M
    near = ground.nearest_surface_m(state.body.position_m, craft.room) < reach
    bumping = 1.0 if near and craft.hold.kind == hands.FREE else 0.0
    return Wrench(
        force,
        torque,
        state.feet,
        hold,
        bumping,
        craft.feet_m,
        hubs_of(craft),
        craft.contact,
        craft.room,
        craft.hold,
        craft.body,
    )


@inner
def feet_after(b, feet, bumping, craft):
    """Return the four anchors after the body has moved."""
    if bumping == 0.0:
        return (
            Anchor(b.position_m.x, b.position_m.y, 0.0),
            Anchor(b.position_m.x, b.position_m.y, 0.0),
            Anchor(b.position_m.x, b.position_m.y, 0.0),
            Anchor(b.position_m.x, b.position_m.y, 0.0),
        )
    f, c = craft.feet_m, craft.contact
    return (
        ground.anchored(b, f[0], feet[0], c),
        ground.anchored(b, f[1], feet[1], c),
        ground.anchored(b, f[2], feet[2], c),
        ground.anchored(b, f[3], feet[3], c),
    )


@inner
def load_n(feet):
    """Return the load on all four feet."""
    return feet[0].load_n + feet[1].load_n + feet[2].load_n + feet[3].load_n


@inner
def struck(b, params, speed_rad_s, craft):
    """Return True if this propeller hits floor, wall or ceiling fast enough to break."""
    if params.fitted == 0.0 or speed_rad_s < STRIKE_SPEED_RAD_S:
        return False
    return ground.disc_clearance_m(b, params.hub_m, craft.room, craft.contact.disc_radius_m) < 0.0


@inner
def against_a_wall(b, craft):
    """Return True if a hub touches a wall or the ceiling."""
    for i in range(4):
        at = ground.touch(b, craft.rotors[i].hub_m)
        gaps = ground.clearances_m(at.position_m, craft.room)
        for surface in range(1, 6):
            if gaps[surface] < 0.0:
                return True
    return False


@inner
def crash_bits(before, after, feet_loaded, near, hit, craft):
    """Return (new crash bits, sink rate of a touchdown in m/s or 0).

    near : True if any surface is within reach; hit : True if a propeller struck something.
    """
    bits, sink = 0, 0.0
    if hit:
        bits |= STRUCK
    up = -to_world(after.attitude, Vec3(0.0, 0.0, -1.0)).z
    low = -after.position_m.z < 2.0 * craft.contact.disc_radius_m
    if craft.hold.kind == hands.FREE and up < TIPPED_COSINE and low:
        bits |= TIPPED
    if near and against_a_wall(after, craft):
        bits |= BUMPED
    if feet_loaded and before.velocity_m_s.z > 0.005:  # m/s; own: slower contact is settling
        sink = before.velocity_m_s.z
        if sink > HARD_LANDING_M_S:
            bits |= HARD_LANDING
    return bits, sink


@inner
def hardest_m_s(state, sink_m_s):
    """Return the largest sink at a touchdown since takeoff, given that of this tick or 0.

    Feet that touch before the first takeoff only shift about; once one landing has counted, every
    bounce after it does.
    """
    flown = state.clear_ticks >= TAKEOFF_TICKS or state.touchdown_m_s > 0.0
    return max(state.touchdown_m_s, sink_m_s) if flown else 0.0
