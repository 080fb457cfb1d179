"""One tick (1 ms) of the whole aircraft, and the loops over time and over vehicles.

Order within a tick: radio, hold, instruments, estimate, control, drives, pack, rotors, body,
contact. The state is a tree of named tuples; long runs keep it in a structured array (`records`).
"""

from math import atan2, sqrt
from typing import NamedTuple

import numpy as np

from sim.kernel import (
    body,
    controller,
    estimator,
    ground,
    hands,
    motor,
    noise,
    pack,
    radio,
    sensors,
)
from sim.kernel import rotor as propeller
from sim.kernel.body import BodyParams, BodyState
from sim.kernel.controller import ControllerParams, ControllerState, Delay, RateFilter
from sim.kernel.estimator import EstimatorParams, EstimatorState
from sim.kernel.frames import (
    Vec3,
    add,
    add_scaled,
    apply,
    cross,
    from_angles,
    scale,
    subtract,
    to_angles,
    to_body,
    to_world,
)
from sim.kernel.ground import Anchor, ContactParams, Room
from sim.kernel.hands import HoldParams, HoldState
from sim.kernel.jit import inner
from sim.kernel.motor import DriveState, MotorParams, MotorState
from sim.kernel.pack import PackParams, PackState
from sim.kernel.radio import RadioParams, RadioState
from sim.kernel.sensors import FieldParams, SensorParams, SensorState

TICK_S = 0.001  # s; design: fixed physics step
BOOT_TICKS = 2000  # ticks; own: start-up time in which the gyro must lie still
MAG_TICKS = 10  # ticks; own: 100 Hz magnetometer, barometer and pack monitor
STRUCK, TIPPED, BUMPED, HARD_LANDING = 1, 2, 4, 8  # bits of State.crash
TIPPED_COSINE = 0.34  # 1; own: leaning past 70 degrees on the floor is a tip-over
STRIKE_SPEED_RAD_S = 60.0  # rad/s; own: slower propellers nudge rather than break
HARD_LANDING_M_S = 1.5  # m/s; own: touchdown sink rate that bends legs
SLIP_S = 0.3  # s; own: a slipping hub takes this long to bite again
SLIP_SHARE = 0.35  # 1; own: thrust left while a hub slips (0.2-0.5 in the trade's experience)


class RotorParams(NamedTuple):
    """One place on the frame: geometry, what is fitted there, and its motor."""

    hub_m: Vec3  # body axes from the CG
    spin: float  # +1 clockwise seen from above, -1 counter-clockwise
    output: float  # which controller output drives it, 0..3
    fitted: float  # 1: a propeller is on
    thrust_scale: float
    torque_scale: float
    unbalance_kg_m: float
    slip_n_m: float  # shaft torque at which the hub slips
    motor: MotorParams


class RotorState(NamedTuple):
    """Drive, motor, what the propeller gives now, and its damage."""

    drive: DriveState
    motor: MotorState
    thrust_n: float
    drag_n_m: float  # N m; torque of the air on the propeller
    slip_s: float  # s; left to slip
    broken: float


class AirParams(NamedTuple):
    """Air of the site: SI; gusts are an Ornstein-Uhlenbeck process about the mean wind."""

    density_kg_m3: float
    temperature_k: float
    wind_m_s: Vec3
    gust_m_s: float
    gust_s: float


class Craft(NamedTuple):
    """Every parameter of one vehicle in one place."""

    body: BodyParams
    rotors: tuple[RotorParams, RotorParams, RotorParams, RotorParams]
    diameter_m: float
    spacing_m: float
    lateral_drag_n_s2_m: float  # N per (m/s) per (rad/s), each rotor
    frame_drag_n_s2_m2: float  # N per (m/s)^2
    feet_m: tuple[Vec3, Vec3, Vec3, Vec3]
    contact: ContactParams
    room: Room
    air: AirParams
    pack: PackParams
    plugged: float
    radio: RadioParams
    sensors: SensorParams
    mag_place_m: Vec3
    field: FieldParams
    estimator: EstimatorParams
    controller: ControllerParams
    hold: HoldParams


class State(NamedTuple):
    """Everything that changes."""

    tick: int
    random: np.uint64
    armed: float
    powered_ticks: float  # since the controller started
    rail_low_ticks: float
    reset_ticks: float  # left until the controller starts again
    clear_ticks: float  # all feet clear of the floor
    crash: float  # bits
    touchdown_m_s: float  # sink rate at the last touchdown
    body: BodyState
    specific_force_m_s2: Vec3
    rotors: tuple[RotorState, RotorState, RotorState, RotorState]
    pack: PackState
    supply_v: float
    feet: tuple[Anchor, Anchor, Anchor, Anchor]
    gust_m_s: Vec3
    hold: HoldState
    radio: RadioState
    sensors: SensorState
    estimator: EstimatorState
    rates: RateFilter
    controller: ControllerState
    line: Delay


HISTORY = (
    "time_s",
    "stick_roll",
    "stick_pitch",
    "stick_throttle",
    "stick_yaw",
    "roll_rad",
    "pitch_rad",
    "heading_rad",
    "roll_rate_rad_s",
    "pitch_rate_rad_s",
    "yaw_rate_rad_s",
    "north_m",
    "east_m",
    "height_m",
    "drive_front_left",
    "drive_front_right",
    "drive_rear_right",
    "drive_rear_left",
    "pack_v",
    "pack_a",
    "accel_x_m_s2",
    "accel_y_m_s2",
    "accel_z_m_s2",
    "field_x_ut",
    "field_y_ut",
    "field_z_ut",
    "armed",
    "gyro_x_rad_s",
    "gyro_y_rad_s",
    "gyro_z_rad_s",
    "shown_roll_rad",
    "shown_pitch_rad",
    "shown_heading_rad",
    "speed_front_left_rad_s",
    "speed_front_right_rad_s",
    "speed_rear_right_rad_s",
    "speed_rear_left_rad_s",
    "load_n",
    "shown_pack_v",
    "shown_pack_a",
    "baro_m",
)


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
def gusted(random, gust, params):
    """Return (random state, gust velocity) one tick later."""
    if params.gust_m_s == 0.0:
        return random, gust
    share = TICK_S / params.gust_s
    random, push = sensors.three_gaussians(random, params.gust_m_s * sqrt(2.0 * share))
    return random, add(scale(gust, 1.0 - share), push)


@inner
def started_bias(bias, gyro, ticks):
    """Return the running mean of the gyro during start-up."""
    return add_scaled(bias, subtract(gyro, bias), 1.0 / max(1.0, ticks))


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
    mag = apply(params.mounting, reading.mag_ut)
    return (
        apply(params.mounting, reading.gyro_rad_s),
        estimator.calibrated(accel, params.accel_offset_m_s2, params.accel_matrix),
        estimator.calibrated(mag, params.mag_offset_ut, params.mag_matrix),
    )


@inner
def estimated(state, reading, ticks, params):
    """Return the estimator state one tick later; in start-up the gyro's mean becomes its bias."""
    gyro, accel, mag = calibrated(reading, params)
    if ticks <= MAG_TICKS:
        return EstimatorState(start_attitude(accel, mag, params), gyro)
    after = estimator.updated(state, gyro, accel, mag, params, TICK_S)
    if ticks <= BOOT_TICKS:
        return EstimatorState(after.attitude, started_bias(state.bias_rad_s, gyro, ticks))
    return after


@inner
def shake_of(rotors, craft):
    """Return the acceleration that all unbalanced rotors give the frame, m/s2, body."""
    total = Vec3(0.0, 0.0, 0.0)
    for i in range(4):
        spin, gram = rotors[i].motor, craft.rotors[i].unbalance_kg_m
        if gram > 0.0:
            push = sensors.shake_m_s2(spin.speed_rad_s, spin.phase_rad, gram, craft.body.mass_kg)
            total = add(total, push)
    return total


@inner
def slow_instruments(random, state, drift, gyro, accel, craft):
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
    return random, SensorState(drift, gyro, accel, mag, baro, volts, p.amp_scale * amps)


@inner
def sensed(random, state, craft):
    """Return (random state, readings) of this tick; slow instruments every tenth tick."""
    p, last = craft.sensors, state.sensors
    random, gyro_noise, accel_noise = sensors.inertial_noise(random, p)
    drift = last.gyro_drift_rad_s
    gyro = sensors.gyro_reading(state.body.rate_rad_s, drift, gyro_noise, p)
    felt = add(state.specific_force_m_s2, shake_of(state.rotors, craft))
    accel = sensors.accel_reading(felt, accel_noise, p)
    if state.tick % MAG_TICKS != 0:
        kept = SensorState(drift, gyro, accel, last.mag_ut, last.baro_m, last.volt_v, last.amp_a)
        return random, kept
    return slow_instruments(random, state, drift, gyro, accel, craft)


@inner
def supply(duties, rotors, cells, plugged, tables, craft):
    """Return (supply voltage in V, current in A): pack against four drives, solved exactly."""
    if plugged == 0.0:
        return 0.0, 0.0
    volts, ohm = pack.sources(cells, tables, craft.pack)
    back, load = craft.pack.avionics_a, 0.0
    for i in range(4):
        m = craft.rotors[i].motor
        back -= duties[i] * rotors[i].motor.speed_rad_s / (m.kv_rad_s_v * m.resistance_ohm)
        load += duties[i] * duties[i] / m.resistance_ohm
    supply_v = max(0.0, (volts - ohm * back) / (1.0 + ohm * load))
    return supply_v, back + load * supply_v


@inner
def struck(b, params, speed_rad_s, craft):
    """Return True if this propeller hits floor, wall or ceiling fast enough to break."""
    if params.fitted == 0.0 or speed_rad_s < STRIKE_SPEED_RAD_S:
        return False
    return ground.disc_clearance_m(b, params.hub_m, craft.room, craft.contact.disc_radius_m) < 0.0


@inner
def axial_speed_m_s(b, gust, craft):
    """Return the climb speed of the discs through the air, body up axis."""
    wind = add(craft.air.wind_m_s, gust)
    return -to_body(b.attitude, subtract(b.velocity_m_s, wind)).z


@inner
def surface_factor(height_m, ceiling_m, radius_m, spacing_m):
    """Return what floor and ceiling make of the thrust of one rotor."""
    near = propeller.ground_factor_four(height_m, radius_m, spacing_m)
    return near * propeller.ceiling_factor(ceiling_m - height_m, radius_m)


@inner
def near_factor(b, hub_m, craft):
    """Return the same for a hub of this aircraft where it is now."""
    height = -b.position_m.z - to_world(b.attitude, hub_m).z
    radius = 0.5 * craft.diameter_m
    return surface_factor(height, craft.room.ceiling_m, radius, craft.spacing_m)


@inner
def one_rotor(state, params, supply_v, axial_m_s, near, hit, tables, size_m, gas):
    """Return one rotor's state after the tick. near : factor of floor and ceiling on thrust."""
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
def rotor_wrench(b, rotors, before, gust, craft):
    """Return (force N world, torque N m body, rotor momentum N m s) of rotors and air drag."""
    force, torque, momentum = Vec3(0.0, 0.0, 0.0), Vec3(0.0, 0.0, 0.0), 0.0
    wind = add(craft.air.wind_m_s, gust)
    through = to_body(b.attitude, subtract(b.velocity_m_s, wind))
    for i in range(4):
        p, r = craft.rotors[i], rotors[i]
        speed = r.motor.speed_rad_s
        drag = -craft.lateral_drag_n_s2_m * speed * p.fitted
        push = Vec3(drag * through.x, drag * through.y, -r.thrust_n)
        force = add(force, push)
        torque = add(torque, cross(p.hub_m, push))
        gain = p.motor.inertia_kg_m2 * (speed - before[i].motor.speed_rad_s) / TICK_S
        torque = Vec3(torque.x, torque.y, torque.z - p.spin * (r.drag_n_m + gain))
        momentum += p.spin * p.motor.inertia_kg_m2 * speed
    size = sqrt(through.x**2 + through.y**2 + through.z**2)
    force = add_scaled(force, through, -craft.frame_drag_n_s2_m2 * size)
    return to_world(b.attitude, force), torque, momentum


@inner
def crash_bits(before, after, feet_loaded, hit, craft):
    """Return (new crash bits, sink rate of a touchdown in m/s or 0)."""
    bits, sink = 0, 0.0
    if hit:
        bits |= STRUCK
    up = -to_world(after.attitude, Vec3(0.0, 0.0, -1.0)).z
    low = -after.position_m.z < 2.0 * craft.contact.disc_radius_m
    if craft.hold.kind == hands.FREE and up < TIPPED_COSINE and low:
        bits |= TIPPED
    sides = min(
        min(craft.room.north_m - after.position_m.x, after.position_m.x - craft.room.south_m),
        min(craft.room.east_m - after.position_m.y, after.position_m.y - craft.room.west_m),
    )
    top = craft.room.ceiling_m + after.position_m.z
    if min(sides, top) < craft.contact.disc_radius_m:
        bits |= BUMPED
    if feet_loaded and before.velocity_m_s.z > 0.05:  # m/s; own: slower contact is not a touchdown
        sink = before.velocity_m_s.z
        if sink > HARD_LANDING_M_S:
            bits |= HARD_LANDING
    return bits, sink


@inner
def hubs_of(craft):
    """Return the four hub positions (m, body)."""
    r = craft.rotors
    return (r[0].hub_m, r[1].hub_m, r[2].hub_m, r[3].hub_m)


@inner
def held_or_free(state, hold, force, torque, craft):
    """Return the constant part of the forces of this tick and what the others need."""
    reach = craft.contact.disc_radius_m + 0.4  # m; own: body half-span plus one tick of travel
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
def controls(state, link, sticks, rates, estimate, craft):
    """Return (armed, controller state, filter state) after the controller's part of a tick."""
    p = craft.controller
    stopped = (sticks.kill > 0.0 and p.kill_stops > 0.0) or (
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
    if low >= 5.0:  # ticks; training practice: 5 ms below the limit restarts the electronics
        return 0.0, craft.pack.reset_s / TICK_S, 0.0
    if state.reset_ticks > 0.0:
        return low, state.reset_ticks - 1.0, 0.0
    return low, 0.0, state.powered_ticks + 1.0


@inner
def step(state, sticks, craft, tables):
    """Return the state one tick later. sticks : radio.Sticks, what the person's hands do."""
    random = state.random
    random, link = radio.relayed(random, state.tick, state.radio, sticks, craft.radio)
    random, hold = hands.guided(random, state.hold, craft.hold, TICK_S)
    random, gust = gusted(random, state.gust_m_s, craft.air)

    random, reading = sensed(random, state, craft)
    rail_low, reset, powered = rail(state, state.supply_v, craft)
    estimate, rates = state.estimator, state.rates
    if powered > 0.0:
        estimate = estimated(estimate, reading, powered, craft.estimator)
        share = controller.low_pass_share(craft.controller.gyro_cutoff_hz, TICK_S)
        gyro = apply(craft.estimator.mounting, reading.gyro_rad_s)
        rates = controller.smoothed(rates, gyro, share)
    armed, control, rates = controls(state, link, sticks, rates, estimate, craft)
    line = state.line
    if state.tick % controller.PERIOD_TICKS == 0:
        line = controller.delayed(line, control.output)
    commands = line[int(craft.controller.delay_periods)]
    if armed == 0.0:
        commands = (0.0, 0.0, 0.0, 0.0)

    random, r0 = commanded(random, state.rotors[0], craft.rotors[0], commands)
    random, r1 = commanded(random, state.rotors[1], craft.rotors[1], commands)
    random, r2 = commanded(random, state.rotors[2], craft.rotors[2], commands)
    random, r3 = commanded(random, state.rotors[3], craft.rotors[3], commands)
    duties = (r0.drive.duty, r1.drive.duty, r2.drive.duty, r3.drive.duty)
    before = (r0, r1, r2, r3)
    supply_v, amps = supply(duties, before, state.pack, craft.plugged, tables, craft)
    cells = pack.drawn(state.pack, amps, craft.pack, TICK_S)

    b = state.body
    axial = axial_speed_m_s(b, gust, craft)
    near = ground.nearest_surface_m(b.position_m, craft.room) < craft.contact.disc_radius_m + 0.4
    h0, h1, h2, h3 = False, False, False, False
    if near:
        h0 = struck(b, craft.rotors[0], r0.motor.speed_rad_s, craft)
        h1 = struck(b, craft.rotors[1], r1.motor.speed_rad_s, craft)
        h2 = struck(b, craft.rotors[2], r2.motor.speed_rad_s, craft)
        h3 = struck(b, craft.rotors[3], r3.motor.speed_rad_s, craft)
    f0 = near_factor(b, craft.rotors[0].hub_m, craft)
    f1 = near_factor(b, craft.rotors[1].hub_m, craft)
    f2 = near_factor(b, craft.rotors[2].hub_m, craft)
    f3 = near_factor(b, craft.rotors[3].hub_m, craft)
    size, gas = craft.diameter_m, craft.air
    r0 = one_rotor(r0, craft.rotors[0], supply_v, axial, f0, h0, tables, size, gas)
    r1 = one_rotor(r1, craft.rotors[1], supply_v, axial, f1, h1, tables, size, gas)
    r2 = one_rotor(r2, craft.rotors[2], supply_v, axial, f2, h2, tables, size, gas)
    r3 = one_rotor(r3, craft.rotors[3], supply_v, axial, f3, h3, tables, size, gas)
    rotors = (r0, r1, r2, r3)

    force, torque, momentum = rotor_wrench(b, rotors, before, gust, craft)
    context = held_or_free(state, hold, force, torque, craft)
    after = step_body(b, context, momentum, craft.body, TICK_S)
    feet = feet_after(after, state.feet, context.bumping, craft)
    change = scale(subtract(after.velocity_m_s, b.velocity_m_s), 1.0 / TICK_S)
    felt = to_body(after.attitude, Vec3(change.x, change.y, change.z - craft.body.gravity_m_s2))
    loaded = load_n(feet) > 0.0
    free = craft.hold.kind == hands.FREE
    landing = loaded and load_n(state.feet) == 0.0
    bits, sink = crash_bits(b, after, landing, h0 or h1 or h2 or h3, craft)
    return State(
        state.tick + 1,
        random,
        armed,
        powered,
        rail_low,
        reset,
        state.clear_ticks + 1.0 if free and not loaded else 0.0,
        float(int(state.crash) | bits),
        sink if sink > 0.0 else state.touchdown_m_s,
        after,
        felt,
        rotors,
        cells,
        supply_v,
        feet,
        gust,
        hold,
        link,
        reading,
        estimate,
        rates,
        control,
        line,
    )


@inner
def write_history(row, state, sticks):
    """Write what HISTORY names into one row of a table."""
    angles, b, s = to_angles(state.body.attitude), state.body, state.sensors
    shown = to_angles(state.estimator.attitude)
    row[0] = state.tick * TICK_S
    row[1], row[2], row[3], row[4] = sticks.roll, sticks.pitch, sticks.throttle, sticks.yaw
    row[5], row[6], row[7] = angles.x, angles.y, angles.z
    row[8], row[9], row[10] = b.rate_rad_s.x, b.rate_rad_s.y, b.rate_rad_s.z
    row[11], row[12], row[13] = b.position_m.x, b.position_m.y, -b.position_m.z
    for i in range(4):
        row[14 + i] = state.controller.output[i]
        row[33 + i] = state.rotors[i].motor.speed_rad_s
    row[18], row[19] = state.supply_v, state.pack.current_a
    row[20], row[21], row[22] = s.accel_m_s2.x, s.accel_m_s2.y, s.accel_m_s2.z
    row[23], row[24], row[25] = s.mag_ut.x, s.mag_ut.y, s.mag_ut.z
    row[26] = state.armed
    row[27], row[28], row[29] = s.gyro_rad_s.x, s.gyro_rad_s.y, s.gyro_rad_s.z
    row[30], row[31], row[32] = shown.x, shown.y, shown.z
    row[37] = load_n(state.feet)
    row[38], row[39], row[40] = s.volt_v, s.amp_a, s.baro_m
