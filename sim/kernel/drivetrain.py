"""Drives, pack and rotors of one tick: from four motor commands to force and torque."""

from math import sqrt

from sim.kernel import motor, pack
from sim.kernel import rotor as propeller
from sim.kernel.clock import TICK_S
from sim.kernel.frames import Vec3, add, add_scaled, cross, subtract, to_body, to_world
from sim.kernel.jit import inner
from sim.kernel.vehicle import RotorState

SLIP_S = 0.3  # s; own: a slipping hub takes this long to bite again
SLIP_SHARE = 0.35  # 1; own: thrust left while a hub slips (0.2-0.5 in the trade's experience)


@inner
def with_drive(state, drive):
    """Return the rotor state with a new drive state."""
    return RotorState(
        drive, state.motor, state.thrust_n, state.drag_n_m, state.slip_s, state.broken
    )


@inner
def commanded(random, state, params, commands):
    """Return (random state, rotor state) after the drive has taken its command."""
    command = commands[int(params.output)]
    random, drive = motor.driven(
        random, state.drive, command, state.motor.temperature_k, params.motor, TICK_S
    )
    return random, with_drive(state, drive)


@inner
def supply(rotors, cells, plugged, tables, craft):
    """Return (supply voltage in V, current in A): pack against four drives, solved exactly."""
    if plugged == 0.0:
        return 0.0, 0.0
    volts, ohm = pack.sources(cells, tables, craft.pack)
    back, load = craft.pack.avionics_a, 0.0
    for i in range(4):
        m, duty = craft.rotors[i].motor, rotors[i].drive.duty
        back -= duty * rotors[i].motor.speed_rad_s / (m.kv_rad_s_v * m.resistance_ohm)
        load += duty * duty / m.resistance_ohm
    supply_v = max(0.0, (volts - ohm * back) / (1.0 + ohm * load))
    return supply_v, back + load * supply_v


@inner
def through_air_m_s(b, gust, craft):
    """Return how fast the centre of gravity moves through the air, m/s, body axes."""
    wind = add(craft.air.wind_m_s, gust)
    return to_body(b.attitude, subtract(b.velocity_m_s, wind))


@inner
def hub_speed_m_s(through, b, hub_m):
    """Return how fast a hub moves through the air, v + w x r, m/s, body axes."""
    return add(through, cross(b.rate_rad_s, hub_m))


@inner
def surface_factor(height_m, ceiling_m, radius_m, spacing_m):
    """Return what floor and ceiling make of the thrust of one rotor."""
    near = propeller.floor_factor(height_m, radius_m, spacing_m)
    return near * propeller.ceiling_factor(ceiling_m - height_m, radius_m)


@inner
def near_factor(b, hub_m, speed_rad_s, craft):
    """Return the same for a hub of this aircraft where it is now; 1 if its rotor gives no thrust."""
    if speed_rad_s <= propeller.SLOWEST_RAD_S:
        return 1.0
    height = -b.position_m.z - to_world(b.attitude, hub_m).z
    radius = 0.5 * craft.diameter_m
    return surface_factor(height, craft.room.ceiling_m, radius, craft.spacing_m)


@inner
def one_rotor(state, params, supply_v, axial_m_s, near, hit, tables, size_m, gas):
    """Return one rotor's state after the tick.

    axial_m_s : climb speed of its hub through the air, body up axis; near : factor of floor and
    ceiling on thrust.
    """
    speed = state.motor.speed_rad_s
    broken = 1.0 if hit else state.broken
    lift, drag = 0.0, 0.0
    if params.fitted > 0.0 and broken == 0.0 and speed > propeller.SLOWEST_RAD_S:
        ct, cp = propeller.coefficients(tables, speed, axial_m_s, size_m)
        lift = params.thrust_scale * propeller.lift_n_s2(ct, gas.density_kg_m3, size_m)
        drag = params.torque_scale * propeller.drag_n_m_s2(cp, gas.density_kg_m3, size_m)
    spin = motor.turned(
        state.motor, state.drive.duty, supply_v, drag, params.motor, gas.temperature_k, TICK_S
    )
    square = spin.speed_rad_s * spin.speed_rad_s
    slip = max(0.0, state.slip_s - TICK_S)
    if drag * square > params.slip_n_m and slip == 0.0:
        slip = SLIP_S
    grip = SLIP_SHARE if slip > 0.0 else 1.0
    return RotorState(state.drive, spin, lift * square * near * grip, drag * square, slip, broken)


@inner
def rotor_wrench(b, rotors, before, gust, shifted, craft):
    """Return (force N world, torque N m body, rotor momentum N m s) of rotors and air drag.

    shifted : 1 if the pack has slipped, which moves the CG away from the thrust.
    """
    force, torque, momentum = Vec3(0.0, 0.0, 0.0), Vec3(0.0, 0.0, 0.0), 0.0
    through = through_air_m_s(b, gust, craft)
    for i in range(4):
        p, r = craft.rotors[i], rotors[i]
        speed = r.motor.speed_rad_s
        drag = -craft.lateral_drag_n_s2_m * speed * p.fitted
        hub = hub_speed_m_s(through, b, p.hub_m)
        push = add_scaled(Vec3(drag * hub.x, drag * hub.y, 0.0), p.axis, r.thrust_n)
        force = add(force, push)
        torque = add(torque, cross(p.hub_m, push))
        gain = p.motor.inertia_kg_m2 * (speed - before[i].motor.speed_rad_s) / TICK_S
        torque = Vec3(torque.x, torque.y, torque.z - p.spin * (r.drag_n_m + gain))
        momentum += p.spin * p.motor.inertia_kg_m2 * speed
    torque = add_scaled(torque, cross(craft.strap_shift_m, force), -shifted)
    size = sqrt(through.x**2 + through.y**2 + through.z**2)
    force = add_scaled(force, through, -craft.frame_drag_n_s2_m2 * size)
    return to_world(b.attitude, force), torque, momentum
