"""Air, propellers, floor: standard atmosphere, blade elements, momentum and image theory."""

from itertools import pairwise
from math import acos, atan2, cos, degrees, exp, pi, sin, sqrt, tanh

import numpy as np
from scipy.optimize import brentq

from tools.authority.tables import DENSITY_KG_M3, GRAVITY_M_S2, Builder, Cell, Table, numbers, read

INCH_M = 0.0254  # m, exact


def atmosphere() -> Table:
    """US Standard Atmosphere 1976 at geometric heights, by ambiance."""
    from ambiance import Atmosphere

    heights = [0.0, 500.0, 1000.0, 1500.0, 2000.0, 3000.0]
    air = Atmosphere(heights)
    return "height_m,temperature_k,pressure_pa,density_kg_m3", list(
        zip(heights, air.temperature, air.pressure, air.density, strict=True)
    )


def propeller_definitions() -> Table:
    """Two other propellers in sea-level air, from the definitions of their coefficients."""
    rows: list[tuple[Cell, ...]] = []
    for name, inches in (("10x7", 10.0), ("4.2x4", 4.2)):
        d = inches * INCH_M
        for row in read(f"propeller_{name}_static")[::3]:
            n = float(row["rotor_speed_rpm"]) / 60.0
            thrust = float(row["thrust_coefficient"]) * DENSITY_KG_M3 * n**2 * d**4
            power = float(row["power_coefficient"]) * DENSITY_KG_M3 * n**3 * d**5
            rows.append((name, d, 60 * n, thrust, power / (2 * pi * n)))
    return "propeller,diameter_m,rotor_speed_rpm,thrust_n,torque_n_m", rows


def hover_tunnel() -> Table:
    """Four 10x4.7 propellers by two wind-tunnel runs, carried on to standing air.

    A parabola through the points below an advance ratio of 0.36 gives the coefficients at rest;
    their definitions give the mass that hovers at the run's speed, and the shaft power.
    """
    runs = numbers("propeller_10x4.7_slower")
    rows = []
    for rpm in (4014.0, 5018.0):
        slow = [r for r in runs if r["rotor_speed_rpm"] == rpm and r["advance_ratio"] < 0.36]
        j = [r["advance_ratio"] for r in slow]
        ct, cp = (
            float(np.polyfit(j, [r[f"{what}_coefficient"] for r in slow], 2)[-1])
            for what in ("thrust", "power")
        )
        n, d = rpm / 60, 10 * INCH_M
        mass = 4 * ct * DENSITY_KG_M3 * n**2 * d**4 / GRAVITY_M_S2
        rows.append((mass, DENSITY_KG_M3, rpm, 4 * cp * DENSITY_KG_M3 * n**3 * d**5))
    return "mass_kg,density_kg_m3,rotor_speed_rpm,shaft_total_w", rows


def zero_thrust() -> Table:
    """Advance ratio without thrust by three runs: a straight line between the points about it."""
    runs = numbers("propeller_10x4.7_slower") + numbers("propeller_10x4.7_repeats")
    rows = []
    for rpm in (4014.0, 4997.0, 6513.0):
        points = [
            (r["thrust_coefficient"], r["advance_ratio"])
            for r in runs
            if r["rotor_speed_rpm"] == rpm
        ]
        (high, before), (low, after) = next(pair for pair in pairwise(points) if pair[1][0] < 0.0)
        rows.append((rpm, before + (after - before) * high / (high - low)))
    return "rotor_speed_rpm,advance_ratio", rows


SECTION_CL0, SECTION_SLOPE, SECTION_CL_MAX = 0.5, 5.8, 1.2  # 1, 1/rad, 1; QPROP 6x3 run
SECTION_CD0, SECTION_CD2, BELOW_CD2 = 0.028, 0.05, 0.02  # 1; the same run, above and below CL0
REFERENCE_RE, RE_POWER = 70000.0, -0.7  # 1; the same run
VISCOSITY_PA_S = 1.81e-5  # Pa s; the same run


def element(
    phi: float, speed: float, r: float, tip: float, chord: float, twist: float
) -> tuple[float, float, float]:
    """Return (thrust by sections less thrust by momentum, thrust, drag) per metre of two blades.

    phi : inflow angle, rad; at it both theories agree.
    """
    u = speed * r / cos(phi)
    cl = min(SECTION_CL_MAX, SECTION_CL0 + SECTION_SLOPE * (twist - phi))
    bend = SECTION_CD2 if cl > SECTION_CL0 else BELOW_CD2
    re = DENSITY_KG_M3 * u * chord / VISCOSITY_PA_S
    cd = (SECTION_CD0 + bend * (cl - SECTION_CL0) ** 2) * (re / REFERENCE_RE) ** RE_POWER
    loss = 2 / pi * acos(min(1.0, exp(-(tip - r) / (r * sin(phi)))))
    momentum = 4 * pi * DENSITY_KG_M3 * r * (u * sin(phi)) ** 2 * loss
    pressure = DENSITY_KG_M3 * chord * u * u
    thrust = pressure * (cl * cos(phi) - cd * sin(phi))
    return thrust - momentum, thrust, pressure * (cl * sin(phi) + cd * cos(phi))


def blade_elements() -> Table:
    """Thrust and torque of the 10x4.7 propeller at rest from its measured chord and twist."""
    shape = numbers("propeller_10x4.7_shape")
    tip = 5 * INCH_M
    at = [tip * row["radius_ratio"] for row in shape]
    chords = [tip * row["chord_ratio"] for row in shape]
    twists = np.radians([row["twist_deg"] for row in shape])
    edges = np.linspace(at[0], 0.9999 * tip, 81)
    rows = []
    for rpm in (4029.0, 4590.0):
        speed, thrust, torque = rpm * pi / 30, 0.0, 0.0
        for inner, outer in pairwise(edges):
            r = 0.5 * (inner + outer)
            place = (
                speed,
                r,
                tip,
                float(np.interp(r, at, chords)),
                float(np.interp(r, at, twists)),
            )
            phi = brentq(lambda phi, p=place: element(phi, *p)[0], 1e-4, 1.3)
            _, lift, drag = element(phi, *place)
            thrust += lift * (outer - inner)
            torque += drag * r * (outer - inner)
        rows.append((rpm, DENSITY_KG_M3, 2 * tip, thrust, torque))
    return "rotor_speed_rpm,density_kg_m3,diameter_m,thrust_n,torque_n_m", rows


def ground_effect_prouty() -> Table:
    """Thrust ratio at equal power of one rotor near the floor, from the chart of velocities."""
    chart = numbers("prouty_chart")
    heights = [row["height_over_diameter"] for row in chart]
    induced = [row["induced_velocity_ratio"] for row in chart]
    rows = [
        (z, float(np.interp(z / 2, heights, induced)) ** (-2 / 3))
        for z in (0.75, 1.0, 1.25, 1.5, 2.0, 3.0)
    ]
    return "height_over_radius,thrust_ratio", rows


def ground_effect_images() -> Table:
    """Thrust ratio near the floor by images (sources below it), one rotor and four 3 R apart."""
    rows: list[tuple[Cell, ...]] = []
    for case, places in (("one", (0.0,)), ("four", (0.0, 3.0, 3.0, 3.0 * 2**0.5))):
        for z in (0.5, 1.0, 1.5, 2.0, 3.0):
            # a source of the rotor's strength 2z below; upwash ~ (R/2)^2 * 2z / distance^3
            upwash = sum(0.25 * 2 * z / (away**2 + (2 * z) ** 2) ** 1.5 for away in places)
            rows.append((case, z, 3.0, 1 / (1 - upwash)))
    return "case,height_over_radius,spacing_over_radius,thrust_ratio", rows


def wind_tilt() -> Table:
    """Steady tilt in a side wind with drag linear in speed: tan(tilt) = d w/g."""
    rows = [
        (drag, wind, degrees(atan2(drag * wind, GRAVITY_M_S2)))
        for drag, wind in ((0.4, 3.0), (0.2, -5.0))
    ]
    return "drag_per_mass_1_s,wind_m_s,tilt_deg", rows


def fall() -> Table:
    """Speed and depth of a fall with drag in the square of speed: v = u tanh(g t/u)."""
    rows = []
    for mass, drag in ((1.5, 0.02), (1.5, 0.2)):
        top = sqrt(mass * GRAVITY_M_S2 / drag)
        for t in (0.5, 1.0, 2.0):
            depth = top**2 / GRAVITY_M_S2 * np.log(np.cosh(GRAVITY_M_S2 * t / top))
            rows.append((mass, drag, t, top * tanh(GRAVITY_M_S2 * t / top), float(depth)))
    return "mass_kg,drag_n_s2_m2,time_s,speed_m_s,depth_m", rows


def damping() -> Table:
    """Damping of roll, pitch and yaw in hover, 1/s, by the air at each of four rotors.

    A disc that climbs at v loses rho n D^3 s v of thrust where C_T = C0 - s J; at the end of an arm
    that turns, v = rate times arm. A drag k w v along each disc does the same about the down axis.
    """
    rows = []
    for x, y, slope, drag in ((0.16, 0.16, 0.18, 3e-4), (0.12, 0.20, 0.10, 1e-4)):
        diameter, speed = 0.254, 480.0
        ixx, iyy, izz = 0.018, 0.0195, 0.032
        loss = DENSITY_KG_M3 * speed / (2 * pi) * diameter**3 * slope  # N s/m, each rotor
        roll, pitch = 4 * loss * y**2 / ixx, 4 * loss * x**2 / iyy
        yaw = 4 * drag * speed * (x**2 + y**2) / izz
        rows.append((x, y, slope, drag, ixx, iyy, izz, diameter, speed, roll, pitch, yaw))
    return (
        "forward_m,right_m,slope,drag_n_s2_m,ixx_kg_m2,iyy_kg_m2,izz_kg_m2,diameter_m,"
        "rotor_speed_rad_s,roll_damping_per_s,pitch_damping_per_s,yaw_damping_per_s",
        rows,
    )


def legs() -> Table:
    """Height of a mass on four springs with dampers, put down above its rest: damped swing."""
    rows = []
    mass, spring, damper, lift = 1.5, 700.0, 5.0, 0.002
    w, half = sqrt(4 * spring / mass), 4 * damper / (2 * mass)
    ring = sqrt(w * w - half * half)
    rest = mass * GRAVITY_M_S2 / (4 * spring)
    for t in (0.02, 0.05, 0.08, 0.12, 0.2, 1.5):
        swing = lift * exp(-half * t) * (cos(ring * t) + half / ring * sin(ring * t))
        rows.append((mass, spring, damper, 1000 * lift, t, 1000 * (rest - swing)))
    return "mass_kg,stiffness_n_m,damping_n_s_m,start_mm,time_s,sink_mm", rows


BUILDERS: dict[str, Builder] = {
    "atmosphere": atmosphere,
    "propeller_definitions": propeller_definitions,
    "hover_tunnel": hover_tunnel,
    "zero_thrust": zero_thrust,
    "blade_elements": blade_elements,
    "ground_effect_prouty": ground_effect_prouty,
    "ground_effect_images": ground_effect_images,
    "wind_tilt": wind_tilt,
    "fall": fall,
    "damping": damping,
    "legs": legs,
}
