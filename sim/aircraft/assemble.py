"""From airframe, build, setup, site and conduct to the parameters of the flight model."""

from math import cos, hypot, inf, pi, sin, sqrt

from sim.aircraft.airframe import Airframe
from sim.aircraft.build import (
    Build,
    Leads,
    MotorBuild,
    Pack,
    PackSpec,
    Propeller,
    RotorPlace,
)
from sim.aircraft.conduct import Conduct
from sim.aircraft.fields import CHANNELS, PLACES, Matrix, Vector
from sim.aircraft.setup import AxisGains, ControllerSetup, Setup
from sim.aircraft.site import Site, Standing
from sim.aircraft.world import World
from sim.kernel import air, controller, estimator, ground, hands, motor, pack, radio, sensors
from sim.kernel.body import BodyParams
from sim.kernel.frames import Mat3, Quat, Vec3
from sim.kernel.vehicle import AirParams, Craft, RotorParams
from sim.units import C_PER_AH, KELVIN_AT_0_DEGC, KG_M_PER_G_MM, RAD_PER_DEG, RAD_S_PER_RPM

GRAVITY_M_S2 = 9.80665  # m/s2, ISO 80000-3 standard gravity
NO_SLIP_N_M = inf  # N m; a tight hub never slips
SAG_LIMIT_V = 5.3  # V; own: 4.8 V rail plus 0.5 V across its regulator
RESET_S = 3.0  # s; trade experience 2-5 s to restart
AVIONICS_A = 0.35  # A; own: controller, receiver and logger
HAND_STIFFNESS_RAD_S = 22.0  # rad/s; own: a firm two-handed grip, about 3.5 Hz
CLAMP_STIFFNESS_RAD_S = 90.0  # rad/s; own: bench clamp, about 14 Hz
TREMOR_RAD = 0.006  # rad; own: a third of a degree of hand tremor
TREMOR_S = 0.05  # s; physiological tremor is 8-12 Hz (value from memory)
TURN_LIMIT_RAD_S = 1.6  # rad/s; own: an unhurried turn by hand, 90 degrees in a second
HAND_SMOOTHING_S = 0.15  # s; own
GRIP_M = Vec3(0.12, 0.0, -0.05)  # m; own: hands hold the rear arms
BUMP_STIFFNESS_N_M = 3000.0  # N/m; own: arm end against a wall
BUMP_DAMPING_N_S_M = 30.0  # N s/m; own
AS_DESIGNED = MotorBuild()
DESYNC_JUMP = 0.3  # 1; trade experience: a jump of 30 % within 20 ms
DESYNC_S = 0.4  # s; trade experience 0.2-1 s without torque
WIRE_HITS_PER_S = 0.5  # 1/s; own: how often a loose wire touches the disc
WIRE_STALL_S = 0.15  # s; own: how long it holds the rotor
WRONG_HAND_THRUST = -0.6  # 1; trade experience: a propeller turned backwards
UPSIDE_DOWN_THRUST, UPSIDE_DOWN_TORQUE = 0.6, 1.1  # 1; trade experience
NICKED_THRUST = 0.95  # 1; trade experience
SWOLLEN_RESISTANCE = 2.0  # 1; trade experience
LOOSE_DAMPING = 0.05  # 1; own: little damping in a loose joint
GYRO_WARM_S = 120.0  # s; own: minutes to warm up
UNCOVERED_WASH = 12.0  # 1; own: half a metre to two metres of false height at the hover
PLUS_TURN_RAD = pi / 4.0  # rad; a plus layout is a cross turned by an eighth
PAD_PLATE = sensors.Dipole(  # own: about 25 uT sideways at the compass of a standing aircraft
    Vec3(0.12, 0.10, 0.05), Vec3(0.25, 0.20, -0.35)
)
DRIVE_FADE_PER_K = 0.03  # 1/K; own: full fade over about 30 K


def vec(v: Vector) -> Vec3:
    """Return a file vector as the kernel's."""
    return Vec3(*v)


def mat(m: Matrix) -> Mat3:
    """Return a file matrix as the kernel's."""
    return Mat3(*m[0], *m[1], *m[2])


def spins(airframe: Airframe) -> tuple[float, float, float, float]:
    """Return +1 (clockwise from above) or -1 for each place on the frame."""
    a, b, c, d = (1.0 if place in airframe.clockwise else -1.0 for place in PLACES)
    return a, b, c, d


def hubs(airframe: Airframe, build: Build) -> tuple[Vec3, Vec3, Vec3, Vec3]:
    """Return the hub positions from the centre of gravity (m, body)."""
    f, r, u = (
        airframe.frame.rotor_forward_m,
        airframe.frame.rotor_right_m,
        airframe.frame.rotor_up_m,
    )
    return _corners(f, r, -u, build)


def _corners(
    forward: float, right: float, down: float, build: Build
) -> tuple[Vec3, Vec3, Vec3, Vec3]:
    x, y, z = build.frame.cg_offset_m
    return (
        Vec3(forward - x, -right - y, down - z),
        Vec3(forward - x, right - y, down - z),
        Vec3(-forward - x, right - y, down - z),
        Vec3(-forward - x, -right - y, down - z),
    )


def feet(airframe: Airframe, build: Build) -> tuple[Vec3, Vec3, Vec3, Vec3]:
    """Return the feet from the centre of gravity (m, body); a bent leg is shorter."""
    f = airframe.frame
    corners = _corners(f.foot_forward_m, f.foot_right_m, f.foot_down_m, build)
    a, b, c, d = (
        Vec3(foot.x, foot.y, foot.z - lift)
        for foot, lift in zip(corners, build.frame.leg_lift_m, strict=True)
    )
    return a, b, c, d


def motor_params(
    airframe: Airframe, props_fitted: bool, built: MotorBuild = AS_DESIGNED
) -> motor.MotorParams:
    """Return the constants of one motor as built, with or without its propeller."""
    m = airframe.motor
    touches = props_fitted and built.wire_in_disc
    inertia = m.bell_inertia_kg_m2 + (airframe.propeller.inertia_kg_m2 if props_fitted else 0.0)
    return motor.MotorParams(
        kv_rad_s_v=m.kv_rpm_v * RAD_S_PER_RPM / built.strength,
        resistance_ohm=m.resistance_ohm,
        no_load_a=m.no_load_a * built.no_load_factor,
        inertia_kg_m2=inertia,
        start_command=m.start_command + built.start_extra,
        gain=built.gain,
        offset=0.0,
        friction_n_m=built.friction_n_m,
        desync_jump=DESYNC_JUMP if built.desync_chance > 0.0 else inf,
        desync_chance=built.desync_chance,
        desync_s=DESYNC_S,
        gap_rate_per_s=built.gap_rate_per_s + (WIRE_HITS_PER_S if touches else 0.0),
        gap_s=max(built.gap_s, WIRE_STALL_S if touches else 0.0),
        command_noise=built.command_noise,
        heat_resistance_k_w=m.drive_heat_resistance_k_w / built.cooling_factor,
        heat_capacity_j_k=m.drive_heat_capacity_j_k * min(1.0, built.cooling_factor),
        limit_k=m.drive_limit_degc + KELVIN_AT_0_DEGC,
        fade_per_k=DRIVE_FADE_PER_K,
    )


def thrust_scales(prop: Propeller, spin_right: bool) -> tuple[float, float]:
    """Return (thrust, torque) of a propeller as fitted over those of the right one."""
    size, pitch = prop.diameter_ratio, prop.pitch_ratio
    thrust, torque = size**4 * pitch, size**5 * pitch**1.5
    if prop.right_hand != spin_right:
        thrust *= WRONG_HAND_THRUST
    if not prop.right_way_up:
        thrust, torque = thrust * UPSIDE_DOWN_THRUST, torque * UPSIDE_DOWN_TORQUE
    if prop.nicked:
        thrust *= NICKED_THRUST
    return thrust, torque


def rotor_params(
    airframe: Airframe, place: RotorPlace, hub: Vec3, design_spin: float, i: int, fitted: bool
) -> RotorParams:
    """Return one place of the frame as built."""
    prop, built = place.propeller, place.motor
    thrust, torque = thrust_scales(prop, built.spin_right)
    lean = sin(built.axis_lean_deg * RAD_PER_DEG)
    along = hypot(hub.x, hub.y)
    axis = Vec3(-lean * hub.y / along, lean * hub.x / along, -sqrt(1.0 - lean * lean))
    unbalance = built.bell_unbalance_g_mm
    if fitted:
        unbalance += airframe.propeller.unbalance_g_mm + prop.extra_unbalance_g_mm
    slips = fitted and prop.slip_n_m is not None
    return RotorParams(
        hub_m=hub,
        spin=design_spin if built.spin_right else -design_spin,
        output=float(i if place.output is None else PLACES.index(place.output)),
        fitted=1.0 if fitted else 0.0,
        thrust_scale=thrust,
        torque_scale=torque,
        axis=axis,
        unbalance_kg_m=unbalance * KG_M_PER_G_MM,
        slip_n_m=prop.slip_n_m if slips and prop.slip_n_m is not None else NO_SLIP_N_M,
        motor=motor_params(airframe, fitted, built),
    )


def rotors(
    airframe: Airframe, build: Build, conduct: Conduct
) -> tuple[RotorParams, RotorParams, RotorParams, RotorParams]:
    """Return the four places of the frame."""
    a, b, c, d = (
        rotor_params(airframe, getattr(build.rotors, name), hub, spin, i, conduct.props_fitted)
        for i, (name, hub, spin) in enumerate(
            zip(PLACES, hubs(airframe, build), spins(airframe), strict=True)
        )
    )
    return a, b, c, d


def pack_params(spec: PackSpec, state: Pack, leads: Leads) -> pack.PackParams:
    """Return the pack's constants at its temperature and wear, and those of its wiring."""
    swelling = SWOLLEN_RESISTANCE if state.swollen else 1.0
    factor = (
        swelling
        * state.resistance_factor
        * pack.temperature_factor(state.temperature_degc + KELVIN_AT_0_DEGC)
    )
    return pack.PackParams(
        cells=float(state.cells or spec.cells),
        capacity_c=spec.capacity_ah * state.capacity_factor * C_PER_AH,
        r0_ohm=spec.r0_ohm * factor,
        r1_ohm=spec.r1_ohm * factor,
        tau1_s=spec.tau1_s,
        r2_ohm=spec.r2_ohm * factor,
        tau2_s=spec.tau2_s,
        weak_capacity_ratio=state.weak_capacity_ratio,
        weak_resistance_ratio=state.weak_resistance_ratio,
        lead_ohm=spec.lead_ohm + leads.connector_ohm,
        avionics_a=AVIONICS_A + leads.avionics_extra_a,
        sag_limit_v=SAG_LIMIT_V + leads.regulator_extra_v,
        reset_s=RESET_S,
    )


def radio_params(airframe: Airframe, build: Build, setup: Setup) -> radio.RadioParams:
    """Return the chain from sticks to commands."""
    tx, rx = setup.transmitter.in_use(), setup.inputs
    a, b, c, d = (
        radio.Channel(float(ch.direction), ch.low_us, ch.centre_us, ch.high_us, ch.trim_us)
        for ch in (getattr(tx, name) for name in CHANNELS)
    )
    e, f, g, h = (
        radio.Input(float(getattr(rx, name)), 1000.0, 1500.0, 2000.0) for name in CHANNELS
    )
    j, k, m, n = (float(CHANNELS.index(name)) for name in tx.order)
    return radio.RadioParams(
        channels=(a, b, c, d),
        inputs=(e, f, g, h),
        order=(j, k, m, n),
        frame_ticks=float(airframe.link.frame_ms),
        latency_ticks=float(airframe.link.latency_ms),
        timeout_ticks=airframe.link.timeout_ms,
        loss_chance=build.radio.loss_near,
        jitter_us=airframe.link.jitter_us,
        failsafe_stops=1.0 if setup.controller.failsafe == "stop" else 0.0,
    )


def board_matrix(turn_deg: float, upside_down: bool) -> Mat3:
    """Return the turn from body axes to those of a board turned right and perhaps inverted."""
    c, s = cos(turn_deg * RAD_PER_DEG), sin(turn_deg * RAD_PER_DEG)
    flip = -1.0 if upside_down else 1.0
    return Mat3(c, s, 0.0, -flip * s, flip * c, 0.0, 0.0, 0.0, flip)


def transposed(m: Mat3) -> Mat3:
    """Return the transpose, which undoes a turn."""
    return Mat3(m.xx, m.yx, m.zx, m.xy, m.yy, m.zy, m.xz, m.yz, m.zz)


def rates(v: Vector) -> Vec3:
    """Return a file vector of deg/s in rad/s."""
    return Vec3(*(x * RAD_PER_DEG for x in v))


def sensor_params(airframe: Airframe, build: Build) -> sensors.SensorParams:
    """Return the errors of the instruments as fitted."""
    noise, s = airframe.instruments, build.sensors
    loose_hz = s.loose_mount_hz or build.frame.loose_arm_hz
    return sensors.SensorParams(
        mounting=board_matrix(s.board_turn_deg, s.board_upside_down),
        mag_mounting=board_matrix(s.compass_turn_deg, False),
        mount_rad_s=2.0 * pi * loose_hz,
        mount_damping=LOOSE_DAMPING,
        shake_gain=s.shake_gain,
        gyro_moved_rad_s=rates(s.gyro_moved_deg_s),
        gyro_warm_rad_s=rates(s.gyro_warm_deg_s),
        gyro_warm_s=GYRO_WARM_S,
        gyro_bias_rad_s=rates(s.gyro_bias_deg_s),
        gyro_noise_rad_s=noise.gyro_noise_rad_s,
        gyro_walk_rad_s2=noise.gyro_walk_rad_s2,
        accel_bias_m_s2=vec(s.accel_bias_m_s2),
        accel_matrix=mat(s.accel_matrix),
        accel_noise_m_s2=noise.accel_noise_m_s2,
        accel_clip_m_s2=noise.accel_clip_m_s2,
        mag_hard_iron_ut=vec(s.mag_hard_iron_ut),
        mag_soft_iron=mat(s.mag_soft_iron),
        mag_per_amp_ut_a=vec(s.mag_per_amp_ut_a),
        mag_noise_ut=noise.mag_noise_ut,
        baro_noise_m=noise.baro_noise_m,
        baro_wash_m_n=noise.baro_wash_m_n * (UNCOVERED_WASH if s.baro_uncovered else 1.0),
        volt_scale=s.volt_scale,
        volt_noise_v=noise.volt_noise_v,
        amp_scale=s.amp_scale,
    )


def field_params(site: Site) -> sensors.FieldParams:
    """Return the magnetic surroundings."""
    none = sensors.Dipole(Vec3(0.0, 0.0, 0.0), Vec3(0.0, 0.0, 0.0))
    steel = [sensors.Dipole(vec(s.position_m), vec(s.moment_ut_m3)) for s in site.steel]
    if site.pad_steel > 0.0:
        moment = Vec3(*(site.pad_steel * x for x in PAD_PLATE.moment_ut_m3))
        steel.insert(0, sensors.Dipole(PAD_PLATE.position_m, moment))
    first, second, *_ = [*steel, none, none]
    earth = site.earth_field
    return sensors.FieldParams(Vec3(earth.north_ut, earth.east_ut, earth.down_ut), (first, second))


def declination_rad(site: Site) -> float:
    """Return how far magnetic north lies east of true north at the site."""
    from math import atan2

    return atan2(site.earth_field.east_ut, site.earth_field.north_ut)


def estimator_params(setup: Setup, site: Site) -> estimator.EstimatorParams:
    """Return filter gains and the calibrations stored in the controller."""
    c = setup.controller
    compass = setup.compass
    offset = compass.offset_ut if compass else (0.0, 0.0, 0.0)
    unit: Matrix = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
    return estimator.EstimatorParams(
        level_gain_per_s=c.level_gain_per_s,
        heading_gain_per_s=c.compass_gain_per_s,
        bias_gain_per_s2=c.bias_gain_per_s2,
        accel_trust_m_s2=1.5,  # m/s2; own: 15 % of g, beyond that it is manoeuvre or shake
        gravity_m_s2=GRAVITY_M_S2,
        accel_offset_m_s2=vec(setup.accelerometer.offset_m_s2),
        accel_matrix=mat(setup.accelerometer.matrix),
        mag_offset_ut=vec(offset),
        mag_matrix=mat(compass.matrix if compass else unit),
        mounting=transposed(board_matrix(c.board_turn_deg, c.board_upside_down)),
        mag_mounting=transposed(board_matrix(c.compass_turn_deg, False)),
        declination_rad=declination_rad(site),
    )


def gains(axis: AxisGains) -> controller.AxisGains:
    """Return the gains of one axis for the kernel."""
    return controller.AxisGains(axis.p, axis.i, axis.d)


def controller_params(c: ControllerSetup, setup: Setup) -> controller.ControllerParams:
    """Return the controller's settings for the kernel."""
    return controller.ControllerParams(
        roll=gains(c.roll),
        pitch=gains(c.pitch),
        yaw=gains(c.yaw),
        sense=Vec3(float(c.roll_sense), float(c.pitch_sense), float(c.yaw_sense)),
        layout_turn_rad=PLUS_TURN_RAD if c.layout == "plus" else 0.0,
        throttle_gain=c.throttle_gain,
        attitude_gain_per_s=c.attitude_gain_per_s,
        heading_gain_per_s=c.heading_gain_per_s,
        heading_hold=1.0 if c.heading_hold else 0.0,
        tilt_limit_rad=c.tilt_limit_deg * RAD_PER_DEG,
        rate_limit_rad_s=c.rate_limit_deg_s * RAD_PER_DEG,
        yaw_rate_limit_rad_s=c.yaw_rate_limit_deg_s * RAD_PER_DEG,
        dead_band=c.dead_band,
        gyro_cutoff_hz=c.gyro_cutoff_hz,
        damping_cutoff_hz=c.damping_cutoff_hz,
        integral_limit=c.integral_limit,
        integral_from_throttle=c.integral_from_throttle,
        idle=c.idle,
        delay_periods=c.output_delay_ms / 2.0,
        level_trim_roll_rad=setup.level_trim_roll_deg * RAD_PER_DEG,
        level_trim_pitch_rad=setup.level_trim_pitch_deg * RAD_PER_DEG,
        kill_stops=1.0 if c.stop_switch else 0.0,
    )


def standing(site: Site, conduct: Conduct) -> Standing:
    """Return where the aircraft is held or set down."""
    found: Standing = getattr(site.places, conduct.place)
    return found


def hold_params(site: Site, conduct: Conduct, target: Quat) -> hands.HoldParams:
    """Return how the aircraft is held, turning towards `target`."""
    at = standing(site, conduct)
    kind = {"standing": hands.FREE, "hands": hands.HANDS, "clamp": hands.CLAMP}[conduct.hold]
    in_hands = conduct.hold == "hands"
    return hands.HoldParams(
        kind=kind,
        stiffness_rad_s=HAND_STIFFNESS_RAD_S if in_hands else CLAMP_STIFFNESS_RAD_S,
        turn_limit_rad_s=TURN_LIMIT_RAD_S,
        smoothing_s=HAND_SMOOTHING_S,
        tremor_rad=TREMOR_RAD,
        tremor_s=TREMOR_S,
        grip_m=GRIP_M if in_hands else Vec3(0.0, 0.0, 0.0),
        wrist_m=Vec3(at.north_m, at.east_m, -at.height_m),
        target=target,
    )


def room_params(site: Site) -> ground.Room:
    """Return walls and ceiling."""
    r = site.room
    return ground.Room(r.north_m, r.south_m, r.east_m, r.west_m, r.ceiling_m)


def contact_params(airframe: Airframe) -> ground.ContactParams:
    """Return legs and bumpers."""
    legs = airframe.legs
    return ground.ContactParams(
        legs.stiffness_n_m,
        legs.damping_n_s_m,
        legs.grip_stiffness_n_m,
        legs.grip_damping_n_s_m,
        legs.friction,
        BUMP_STIFFNESS_N_M,
        BUMP_DAMPING_N_S_M,
        0.5 * airframe.propeller.diameter_m,
    )


def air_params(site: Site) -> AirParams:
    """Return the air of the room: standard pressure at its height, its own temperature."""
    kelvin = site.temperature_degc + KELVIN_AT_0_DEGC
    density = air.pressure_pa(site.height_above_sea_m) / (air.GAS_CONSTANT_J_KG_K * kelvin)
    return AirParams(
        density,
        kelvin,
        Vec3(site.wind_north_m_s, site.wind_east_m_s, 0.0),
        site.gust_m_s,
        site.gust_s,
    )


def hover_speed_rad_s(airframe: Airframe) -> float:
    """Return a round rotor speed in hover, used only to share lumped drag among rotors."""
    return 480.0 * sqrt(airframe.mass_kg / 1.5)  # rad/s; 4600 rpm lifts 1.5 kg on four 10x4.7


def assemble(world: World, target: Quat) -> Craft:
    """Return every parameter of the flight model. target : attitude the hands turn to."""
    airframe, build, setup, site, conduct = (
        world.airframe,
        world.build,
        world.setup,
        world.site,
        world.conduct,
    )
    frame = airframe.frame
    x, y, z = build.frame.cg_offset_m
    mass = airframe.mass_kg * build.frame.mass_factor
    lateral = frame.lateral_drag_per_s * airframe.mass_kg / (4.0 * hover_speed_rad_s(airframe))
    return Craft(
        body=BodyParams(
            mass,
            Vec3(
                airframe.roll_inertia_kg_m2,
                airframe.pitch_inertia_kg_m2,
                airframe.yaw_inertia_kg_m2,
            ),
            GRAVITY_M_S2,
        ),
        rotors=rotors(airframe, build, conduct),
        diameter_m=airframe.propeller.diameter_m,
        spacing_m=2.0 * min(frame.rotor_forward_m, frame.rotor_right_m),
        lateral_drag_n_s2_m=lateral,
        frame_drag_n_s2_m2=frame.frame_drag_n_s2_m2,
        strap_shift_m=vec(build.frame.strap_shift_m),
        feet_m=feet(airframe, build),
        contact=contact_params(airframe),
        room=room_params(site),
        air=air_params(site),
        pack=pack_params(world.pack_spec, build.pack, build.leads),
        plugged=1.0 if conduct.pack_plugged else 0.0,
        radio=radio_params(airframe, build, setup),
        sensors=sensor_params(airframe, build),
        mag_place_m=Vec3(frame.compass_forward_m - x, -y, -frame.compass_up_m - z),
        field=field_params(site),
        estimator=estimator_params(setup, site),
        controller=controller_params(setup.controller, setup),
        hold=hold_params(site, conduct, target),
    )
