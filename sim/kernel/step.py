"""One tick of the whole aircraft.

Order within a tick: radio, hold, instruments, estimate, control, drives, pack, rotors, body,
contact. The state is a tree of named tuples; long runs keep it in a structured array (`records`).
"""

from math import sqrt

from sim.kernel import controller, ground, hands, pack, radio, sensors
from sim.kernel.avionics import controls, estimated, rail, sensed
from sim.kernel.clock import TICK_S
from sim.kernel.drivetrain import (
    commanded,
    hub_speed_m_s,
    near_factor,
    one_rotor,
    rotor_wrench,
    supply,
    through_air_m_s,
)
from sim.kernel.frames import Vec3, add, apply, scale, subtract, to_body
from sim.kernel.jit import inner, merged
from sim.kernel.surroundings import (
    BODY_REACH_M,
    crash_bits,
    feet_after,
    hardest_m_s,
    held_or_free,
    load_n,
    step_body,
    struck,
)
from sim.kernel.vehicle import State
from sim.kernel.wash import washed

STRAP_HOLDS_M_S2 = 2.9  # m/s2; trade experience: a loose pack slips at 0.3 g


@inner
def gusted(random, gust, params):
    """Return (random state, gust velocity) one tick later."""
    if params.gust_m_s == 0.0:
        return random, gust
    share = TICK_S / params.gust_s
    random, push = sensors.three_gaussians(random, params.gust_m_s * sqrt(2.0 * share))
    return random, add(scale(gust, 1.0 - share), push)


@inner
def driven(random, rotors, commands, craft):
    """Return (random state, rotors) after all four drives have taken their commands."""
    random, a = commanded(random, rotors[0], craft.rotors[0], commands)
    random, b = commanded(random, rotors[1], craft.rotors[1], commands)
    random, c = commanded(random, rotors[2], craft.rotors[2], commands)
    random, d = commanded(random, rotors[3], craft.rotors[3], commands)
    return random, (a, b, c, d)


@inner
def strikes(b, rotors, craft):
    """Return which of the four propellers hit something in this tick."""
    reach = craft.contact.disc_radius_m + BODY_REACH_M
    if ground.nearest_surface_m(b.position_m, craft.room) >= reach:
        return False, False, False, False
    p = craft.rotors
    return (
        struck(b, p[0], rotors[0].motor.speed_rad_s, craft),
        struck(b, p[1], rotors[1].motor.speed_rad_s, craft),
        struck(b, p[2], rotors[2].motor.speed_rad_s, craft),
        struck(b, p[3], rotors[3].motor.speed_rad_s, craft),
    )


@inner
def any_of(hit):
    """Return whether any of the four propellers hit something."""
    return hit[0] or hit[1] or hit[2] or hit[3]


@inner
def climbs_m_s(b, through, back, craft):
    """Return the climb speed of each hub through the air, body up axis.

    through : speed through the air, m/s, body axes; back : what came back of the wash.
    """
    p, down = craft.rotors, back.through_m_s
    return (
        down[0] - hub_speed_m_s(through, b, p[0].hub_m).z,
        down[1] - hub_speed_m_s(through, b, p[1].hub_m).z,
        down[2] - hub_speed_m_s(through, b, p[2].hub_m).z,
        down[3] - hub_speed_m_s(through, b, p[3].hub_m).z,
    )


@inner
def turned(b, rotors, supply_v, up, hit, tables, craft):
    """Return all four rotors one tick later. up : climb speed of each hub through the air, m/s."""
    p, size, gas = craft.rotors, craft.diameter_m, craft.air
    f0 = near_factor(b, p[0].hub_m, rotors[0].motor.speed_rad_s, craft)
    f1 = near_factor(b, p[1].hub_m, rotors[1].motor.speed_rad_s, craft)
    f2 = near_factor(b, p[2].hub_m, rotors[2].motor.speed_rad_s, craft)
    f3 = near_factor(b, p[3].hub_m, rotors[3].motor.speed_rad_s, craft)
    return (
        one_rotor(rotors[0], p[0], supply_v, up[0], f0, hit[0], tables, size, gas),
        one_rotor(rotors[1], p[1], supply_v, up[1], f1, hit[1], tables, size, gas),
        one_rotor(rotors[2], p[2], supply_v, up[2], f2, hit[2], tables, size, gas),
        one_rotor(rotors[3], p[3], supply_v, up[3], f3, hit[3], tables, size, gas),
    )


@inner
def specific_force(before, after, gravity_m_s2):
    """Return what an accelerometer feels over the tick, body axes: acceleration less gravity."""
    change = scale(subtract(after.velocity_m_s, before.velocity_m_s), 1.0 / TICK_S)
    return to_body(after.attitude, Vec3(change.x, change.y, change.z - gravity_m_s2))


@inner
def thought(state, reading, powered, craft):
    """Return (estimator state, filtered rates) of a controller that has been on for `powered`."""
    if powered == 0.0 or state.tick % controller.GYRO_TICKS != 0:
        return state.estimator, state.rates
    estimate = estimated(state.estimator, reading, powered, craft.estimator)
    share = controller.low_pass_share(craft.controller.gyro_cutoff_hz, controller.GYRO_S)
    gyro = apply(craft.estimator.mounting, reading.gyro_rad_s)
    return estimate, controller.smoothed(state.rates, gyro, share)


@inner
def sent_to_drives(state, output, armed, craft):
    """Return (delay line, commands that reach the drives now); none while disarmed."""
    line = state.line
    if state.tick % controller.PERIOD_TICKS == 0:
        line = controller.delayed(line, output)
    if armed == 0.0:
        return line, (0.0, 0.0, 0.0, 0.0)
    return line, line[int(craft.controller.delay_periods)]


@inner
def slipped(state, craft):
    """Return 1 once a shove sideways has moved a loose pack (which then stays moved)."""
    f = state.specific_force_m_s2
    shoved = f.x * f.x + f.y * f.y > STRAP_HOLDS_M_S2 * STRAP_HOLDS_M_S2
    return 1.0 if shoved and craft.hold.kind == hands.FREE else state.shifted


@merged
def step(state, sticks, craft, tables):
    """Return the state one tick later. sticks : radio.Sticks, what the person's hands do."""
    random = state.random
    random, link = radio.relayed(random, state.tick, state.radio, sticks, craft.radio)
    random, hold = hands.guided(random, state.hold, craft.hold, TICK_S)
    random, gust = gusted(random, state.gust_m_s, craft.air)
    random, back = washed(random, state.wash, state, craft)
    flow = add(gust, back.across_m_s)

    random, reading = sensed(random, state, craft)
    rail_low, reset, powered = rail(state, state.supply_v, craft)
    estimate, rates = thought(state, reading, powered, craft)
    armed, control, rates = controls(state, link, sticks, rates, estimate, craft)
    line, commands = sent_to_drives(state, control.output, armed, craft)

    random, before = driven(random, state.rotors, commands, craft)
    supply_v, amps = supply(before, state.pack, craft.plugged, tables, craft)
    cells = pack.drawn(state.pack, amps, craft.pack, TICK_S)

    b = state.body
    hit = strikes(b, before, craft)
    up = climbs_m_s(b, through_air_m_s(b, flow, craft), back, craft)
    rotors = turned(b, before, supply_v, up, hit, tables, craft)
    force, torque, momentum = rotor_wrench(b, rotors, before, flow, state.shifted, craft)
    context = held_or_free(state, hold, force, torque, craft)
    after = step_body(b, context, momentum, craft.body, TICK_S)
    feet = feet_after(after, state.feet, context.bumping, craft)
    felt = specific_force(b, after, craft.body.gravity_m_s2)
    loaded = load_n(feet) > 0.0
    free = craft.hold.kind == hands.FREE
    landing = loaded and load_n(state.feet) == 0.0
    bits, sink = crash_bits(b, after, landing, context.bumping > 0.0, any_of(hit), craft)
    return State(
        state.tick + 1,
        random,
        armed,
        powered,
        rail_low,
        reset,
        state.clear_ticks + 1.0 if free and not loaded else 0.0,
        float(int(state.crash) | bits),
        slipped(state, craft),
        hardest_m_s(state, sink),
        after,
        felt,
        rotors,
        cells,
        supply_v,
        feet,
        gust,
        back,
        hold,
        link,
        reading,
        estimate,
        rates,
        control,
        line,
    )
