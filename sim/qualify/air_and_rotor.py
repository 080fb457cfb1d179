"""Air, propellers and rotors: alone, four that carry a mass, in a side wind, near the floor."""

from math import atan2, degrees, pi

import numpy as np
from scipy.optimize import brentq

from sim.aircraft import library
from sim.kernel import air, linear, motor, pack, radio, records, rotor, run
from sim.kernel.frames import UPRIGHT, Vec3
from sim.kernel.start import initial_state
from sim.kernel.tables import Tables
from sim.kernel.vehicle import TICK_S, Craft, State
from sim.qualify import row
from sim.qualify.parts import GRAVITY_M_S2, trainer
from sim.units import RAD_S_PER_RPM

SEA_LEVEL_KG_M3 = 1.225  # kg/m3, ISO 2533
TEN_INCH_M = 0.254  # m, exact
FOOT_M = 0.3048  # m, exact
POUND_FORCE_N = 4.4482216152605  # N, exact
SLUG_KG = 14.59390294  # kg, pound-force second squared per foot
HORSEPOWER_W = 745.69987158  # W, 550 foot pound-force per second


def atmosphere() -> list[row.Row]:
    """Air against the standard atmosphere."""
    t = row.table("atmosphere")
    heights = t.column("height_m")
    return [
        t.worst("air temperature", "temperature_k", map(air.temperature_k, heights)),
        t.worst("air pressure", "pressure_pa", map(air.pressure_pa, heights)),
        t.worst("air density", "density_kg_m3", map(air.density_kg_m3, heights)),
    ]


def hover_momentum() -> list[row.Row]:
    """Induced velocity and ideal power in hover."""
    t, calculator, jet = (
        row.table("hover_momentum"),
        row.table("hover_calculator"),
        row.table("slipstream"),
    )
    [a], [b], [c] = t.lines, calculator.lines, jet.lines
    one = (a["thrust_n"], a["density_kg_m3"], 0.5 * a["diameter_m"])
    two = (
        b["thrust_lbf"] * POUND_FORCE_N,
        b["density_slug_ft3"] * SLUG_KG / FOOT_M**3,
        b["radius_ft"] * FOOT_M,
    )
    speed = rotor.induced_velocity_m_s(c["thrust_n"], c["density_kg_m3"], c["radius_m"])
    return [
        t.worst("light helicopter", "induced_m_s", [rotor.induced_velocity_m_s(*one)]),
        t.worst("light helicopter", "ideal_w", [rotor.ideal_power_w(*one)]),
        calculator.worst(
            "medium helicopter", "induced_ft_s", [rotor.induced_velocity_m_s(*two) / FOOT_M]
        ),
        calculator.worst(
            "medium helicopter", "ideal_hp", [rotor.ideal_power_w(*two) / HORSEPOWER_W]
        ),
        jet.worst("6x3 slipstream, twice the induced speed", "slipstream_m_s", [2.0 * speed]),
    ]


def measured(name: str) -> Tables:
    """Return kernel tables with the published static rows of one propeller."""
    t = row.table(f"propeller_{name}_static")
    speeds = np.array(t.column("rotor_speed_rpm")) * RAD_S_PER_RPM
    thrust, power = t.column("thrust_coefficient"), t.column("power_coefficient")
    return library.tables("10x4.7")._replace(
        rotor_speed_rad_s=speeds,
        thrust_coefficient=np.array(thrust),
        power_coefficient=np.array(power),
    )


def propeller() -> list[row.Row]:
    """Coefficients of the shipped 10x4.7 propeller against the wind tunnel's."""
    tables = library.tables("10x4.7")
    rows = []
    for flow in ("static", "axial"):
        t = row.table(f"propeller_10x4.7_{flow}")
        found = []
        for line in t.lines:
            n = line["rotor_speed_rpm"] / 60.0
            climb_m_s = line.get("advance_ratio", 0.0) * n * TEN_INCH_M
            found.append(rotor.coefficients(tables, 2.0 * pi * n, climb_m_s, TEN_INCH_M))
        item = f"10x4.7 propeller, {flow}"
        rows += [
            t.worst(item, "thrust_coefficient", [ct for ct, _ in found]),
            t.worst(item, "power_coefficient", [cp for _, cp in found]),
        ]

    def pull(advance_ratio: float, n: float = 100.0) -> float:
        climb_m_s = advance_ratio * n * TEN_INCH_M
        return float(rotor.coefficients(tables, 2.0 * pi * n, climb_m_s, TEN_INCH_M)[0])

    end = brentq(pull, 0.6, 0.7)
    return [*rows, row.table("zero_thrust").worst("10x4.7 pulls no more", "advance_ratio", [end])]


def propeller_loads() -> list[row.Row]:
    """Thrust, torque and figure of merit of three measured propellers in sea-level air."""
    t = row.table("propeller_loads")
    loads, merit = [], []
    for line in t.lines:
        tables, speed = measured(line["propeller"]), line["rotor_speed_rpm"] * RAD_S_PER_RPM
        at = (tables, speed, 0.0)
        loads.append(rotor.thrust_and_torque(*at, SEA_LEVEL_KG_M3, line["diameter_m"]))
        merit.append(rotor.figure_of_merit(*rotor.coefficients(*at, line["diameter_m"])))
    return [
        t.worst("three propellers", "thrust_n", [thrust for thrust, _ in loads]),
        t.worst("three propellers", "torque_n_m", [torque for _, torque in loads]),
        t.worst("three propellers", "figure_of_merit", merit),
    ]


def hover_point() -> list[row.Row]:
    """Rotor speed and shaft power that carry a mass on four 10x4.7 propellers."""
    t, tables, craft = row.table("hover_point"), library.tables("10x4.7"), trainer()
    full = pack.PackState(1.0, 1.0, 0.0, 0.0, 0.0)
    trims = []
    for line in t.lines:
        heavy = craft.body._replace(mass_kg=line["mass_kg"])
        thin = craft.air._replace(density_kg_m3=line["density_kg_m3"])
        trims.append(linear.hover_trim(craft._replace(body=heavy, air=thin), tables, full))
    speeds = [trim.speed_rad_s / RAD_S_PER_RPM for trim in trims]
    powers = [4.0 * trim.torque_n_m * trim.speed_rad_s for trim in trims]
    return [
        t.worst("hover on four 10x4.7", "rotor_speed_rpm", speeds),
        t.worst("hover on four 10x4.7", "shaft_total_w", powers),
    ]


def side_wind() -> list[row.Row]:
    """Tilt that balances rotor drag in a side wind: the whole model, one tick after release."""
    t, craft = row.table("wind_tilt"), trainer()
    speed, height_m, tilts = 490.0, 1.3, []
    for line in t.lines:
        drag = line["drag_per_mass_1_s"] * craft.body.mass_kg / (4.0 * speed)
        windy = craft.air._replace(wind_m_s=Vec3(line["wind_m_s"], 0.0, 0.0), gust_m_s=0.0)
        place = craft.rotors[0]._replace(
            motor=craft.rotors[0].motor._replace(inertia_kg_m2=1e9)  # no slowing in one tick
        )
        craft = craft._replace(
            air=windy,
            rotors=(place, place, place, place),
            lateral_drag_n_s2_m=drag,
            frame_drag_n_s2_m2=0.0,
        )
        state = initial_state(craft, UPRIGHT, 0.9, 1)
        turning = state.rotors[0]._replace(motor=motor.MotorState(speed, 0.0, 0.0, 293.0))
        state = state._replace(
            body=state.body._replace(position_m=Vec3(0.0, 0.0, -height_m)),
            rotors=(turning, turning, turning, turning),
        )
        states = records.to_row(State, state)
        still = radio.Sticks(0.0, 0.0, 0.0, 0.0, 0.0, 1.0, 0.0)
        crafts = records.to_row(Craft, craft)
        run.run(states, crafts, library.tables("10x4.7"), still, 1, run.NO_HISTORY, 1)
        push_m_s2 = states["body__velocity_m_s__x"][0] / TICK_S
        tilts.append(degrees(atan2(push_m_s2, GRAVITY_M_S2)))
    return [t.worst("hover in a side wind", "tilt_deg", tilts)]


def ground_effect() -> list[row.Row]:
    """Gain of thrust near the floor, one rotor and four."""
    one, four = row.table("ground_effect_single"), row.table("ground_effect_four")
    single = [rotor.ground_factor_single(z, 1.0) for z in one.column("height_over_radius")]
    places = [(line["height_over_radius"], line["spacing_over_radius"]) for line in four.lines]
    return [
        one.worst("one rotor near the floor", "cheeseman_bennett_ratio", single),
        one.worst("one rotor near the floor", "prouty_ratio", single),
        four.worst(
            "four rotors near the floor",
            "thrust_ratio",
            [rotor.ground_factor_four(z, 1.0, d) for z, d in places],
        ),
    ]
