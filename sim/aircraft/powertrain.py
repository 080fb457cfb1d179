"""From airframe and build to the parameters of motors, propellers and pack."""

from collections.abc import Sequence
from math import hypot, inf, sin, sqrt

from sim.aircraft.airframe import Airframe, Electronics
from sim.aircraft.build import Build, Leads, MotorBuild, Pack, PackSpec, Propeller, RotorPlace
from sim.aircraft.conduct import Conduct
from sim.aircraft.fields import PLACES
from sim.kernel import motor, pack
from sim.kernel.frames import Vec3
from sim.kernel.vehicle import RotorParams
from sim.units import C_PER_AH, KELVIN_AT_0_DEGC, KG_M_PER_G_MM, RAD_PER_DEG, RAD_S_PER_RPM

NO_SLIP_N_M = inf  # N m; a tight hub never slips
RESET_S = 3.0  # s; trade experience 2-5 s to restart
AS_DESIGNED = MotorBuild()
DESYNC_JUMP = 0.3  # 1; trade experience: a jump of 30 % within 20 ms
DESYNC_S = 0.4  # s; trade experience 0.2-1 s without torque
WIRE_HITS_PER_S = 0.5  # 1/s; own: how often a loose wire touches the disc
WIRE_STALL_S = 0.15  # s; own: how long it holds the rotor
AS_FITTED: dict[tuple[bool, bool], tuple[float, float]] = {
    (True, True): (1.0, 1.0),
    (False, True): (-0.6, 1.0),  # 1; trade experience: turned backwards it blows up, and badly
    (True, False): (0.6, 1.1),  # 1; trade experience: the blade meets the air with its back
    (False, False): (-1.0, 1.0),  # geometry: turned backwards and over, it is right, and pulls down
}  # (thrust, torque) over the right ones, by whether (hand fits the turning, face is up)
NICKED_THRUST = 0.95  # 1; trade experience
SWOLLEN_RESISTANCE = 2.0  # 1; trade experience
DRIVE_FADE_PER_K = 0.03  # 1/K; own: full fade over about 30 K


def spins(airframe: Airframe) -> tuple[float, float, float, float]:
    """Return +1 (clockwise from above) or -1 for each place on the frame."""
    a, b, c, d = (1.0 if place in airframe.clockwise else -1.0 for place in PLACES)
    return a, b, c, d


def hubs(airframe: Airframe, build: Build) -> tuple[Vec3, Vec3, Vec3, Vec3]:
    """Return the hub positions from the centre of gravity (m, body)."""
    return from_centre(airframe.frame.rotors_m.points, -airframe.frame.rotor_up_m, build)


def from_centre(
    points: Sequence[tuple[float, float]], down: float, build: Build
) -> tuple[Vec3, Vec3, Vec3, Vec3]:
    """Return four points (forward, right; m) of the design from the centre of gravity as built."""
    x, y, z = build.frame.cg_offset_m
    a, b, c, d = (Vec3(forward - x, right - y, down - z) for forward, right in points)
    return a, b, c, d


def winding_ohm(airframe: Airframe, built: MotorBuild) -> float:
    """Return the resistance of one motor with its drive, ohm."""
    return airframe.motor.resistance_ohm * built.resistance_factor


def short_braking_n_m_s(airframe: Airframe, built: MotorBuild) -> float:
    """Return the brake of shorted turns, N m per rad/s.

    A share x of the turns has a back-EMF of x Kt w and a resistance of x R, so Kt w/R flows in it
    and brakes with x Kt Kt w/R (induction left out).
    """
    kt = motor.torque_constant_n_m_a(airframe.motor.kv_rpm_v * RAD_S_PER_RPM) * built.strength
    return float(built.shorted_share * kt * kt / winding_ohm(airframe, built))


def motor_params(
    airframe: Airframe, props_fitted: bool, built: MotorBuild = AS_DESIGNED
) -> motor.MotorParams:
    """Return the constants of one motor as built, with or without its propeller."""
    m = airframe.motor
    touches = props_fitted and built.wire_in_disc
    inertia = m.bell_inertia_kg_m2 + (airframe.propeller.inertia_kg_m2 if props_fitted else 0.0)
    return motor.MotorParams(
        kv_rad_s_v=m.kv_rpm_v * RAD_S_PER_RPM / built.strength,
        resistance_ohm=winding_ohm(airframe, built),
        # A; weak magnets meet the same friction with less torque per ampere
        no_load_a=m.no_load_a * built.no_load_factor / built.strength,
        inertia_kg_m2=inertia,
        start_command=m.start_command + built.start_extra,
        gain=built.gain,
        offset=0.0,
        friction_n_m=built.friction_n_m,
        braking_n_m_s=short_braking_n_m_s(airframe, built),
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
    lift, drag = AS_FITTED[prop.right_hand == spin_right, prop.right_way_up]
    thrust, torque = thrust * lift, torque * drag
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
    on = conduct.propellers_on
    a, b, c, d = (
        rotor_params(airframe, getattr(build.rotors, name), hub, spin, i, name in on)
        for i, (name, hub, spin) in enumerate(
            zip(PLACES, hubs(airframe, build), spins(airframe), strict=True)
        )
    )
    return a, b, c, d


def pack_at_rest(state: Pack) -> pack.PackState:
    """Return charges and inner voltages of a pack that has rested; its weak cell lags behind."""
    return pack.PackState(
        state.charge, max(0.0, state.charge - state.weak_charge_gap), 0.0, 0.0, 0.0
    )


def pack_params(
    spec: PackSpec, state: Pack, leads: Leads, electronics: Electronics
) -> pack.PackParams:
    """Return the pack's constants at its temperature and wear, and those of what it feeds."""
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
        avionics_a=electronics.current_a + leads.avionics_extra_a,
        sag_limit_v=electronics.least_supply_v + leads.regulator_extra_v,
        reset_s=RESET_S,
    )
