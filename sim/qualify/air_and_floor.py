"""Air and floor: the atmosphere, drag in wind and fall, thrust near the floor, spring legs."""

from math import atan2, degrees

import numpy as np

from sim.aircraft import library
from sim.aircraft.assemble import air_params
from sim.kernel import air
from sim.kernel.clock import TICK_S
from sim.kernel.frames import Vec3
from sim.kernel.vehicle import Craft
from sim.qualify import row
from sim.qualify.parts import FAR_M, GRAVITY_M_S2, SEA_LEVEL_KG_M3, advanced, in_the_open, trainer
from sim.units import KELVIN_AT_0_DEGC

HEAVY_KG_M2 = 1e9  # kg m2; own: a rotor whose speed nothing changes
CRUISE_RAD_S = 490.0  # rad/s; own: about hover, no test here depends on it
ALOFT_M = 100.0  # m; own: far above the floor
TURNING_RAD_S = 0.1  # rad/s; own: slow enough for straight lines


def atmosphere() -> list[row.Row]:
    """Air against the standard atmosphere; density as a garage at that height has it."""
    t, garage = row.table("atmosphere"), library.site("lockup-garage")
    heights = t.column("height_m")
    densities = [
        air_params(
            garage.model_copy(
                update={
                    "height_above_sea_m": line["height_m"],
                    "temperature_degc": line["temperature_k"] - KELVIN_AT_0_DEGC,
                }
            )
        ).density_kg_m3
        for line in t.lines
    ]
    return [
        t.worst("air temperature", "temperature_k", map(air.temperature_k, heights)),
        t.worst("air pressure", "pressure_pa", map(air.pressure_pa, heights)),
        t.worst("air density", "density_kg_m3", densities),
    ]


def with_rotors_held(craft: Craft) -> Craft:
    """Return a craft whose rotors keep their speed."""
    motor = craft.rotors[0].motor._replace(inertia_kg_m2=HEAVY_KG_M2)
    a, b, c, d = (place._replace(motor=motor) for place in craft.rotors)
    return craft._replace(rotors=(a, b, c, d))


def side_wind() -> list[row.Row]:
    """Tilt that balances rotor drag in a side wind: the whole model, one tick after release."""
    t, tables = row.table("wind_tilt"), library.tables("10x4.7")
    craft, tilts = with_rotors_held(in_the_open(trainer())), []
    for line in t.lines:
        drag = line["drag_per_mass_1_s"] * craft.body.mass_kg / (4.0 * CRUISE_RAD_S)
        windy = craft._replace(
            air=craft.air._replace(wind_m_s=Vec3(line["wind_m_s"], 0.0, 0.0)),
            lateral_drag_n_s2_m=drag,
            frame_drag_n_s2_m2=0.0,
        )
        after = advanced(windy, tables, ALOFT_M, CRUISE_RAD_S, 1)
        push_m_s2 = after["body__velocity_m_s__x"][0] / TICK_S
        tilts.append(degrees(atan2(push_m_s2, GRAVITY_M_S2)))
    return [t.worst("hover in a side wind", "tilt_deg", tilts)]


def fall() -> list[row.Row]:
    """Fall of the whole model with its motors off."""
    t, tables, craft, found = row.table("fall"), library.tables("10x4.7"), trainer(), []
    for line in t.lines:
        heavy = craft.body._replace(mass_kg=line["mass_kg"])
        drag = line["drag_n_s2_m2"]
        falling = in_the_open(craft._replace(body=heavy, frame_drag_n_s2_m2=drag))
        after = advanced(falling, tables, ALOFT_M, 0.0, round(line["time_s"] / TICK_S))
        down_m = after["body__position_m__z"][0] + ALOFT_M
        found.append((after["body__velocity_m_s__z"][0], down_m))
    return [
        t.worst("fall, motors off", "speed_m_s", [speed for speed, _ in found]),
        t.worst("fall, motors off", "depth_m", [depth for _, depth in found]),
    ]


def legs() -> list[row.Row]:
    """Bounce of the whole model on its legs."""
    t, tables, craft, sinks = row.table("legs"), library.tables("10x4.7"), trainer(), []
    for line in t.lines:
        heavy = craft.body._replace(mass_kg=line["mass_kg"])
        soft = craft.contact._replace(
            stiffness_n_m=line["stiffness_n_m"], damping_n_s_m=line["damping_n_s_m"]
        )
        standing = in_the_open(craft._replace(body=heavy, contact=soft, frame_drag_n_s2_m2=0.0))
        foot_m = standing.feet_m[0].z
        rest_m = line["mass_kg"] * GRAVITY_M_S2 / (4.0 * line["stiffness_n_m"])
        height_m = foot_m - rest_m + 0.001 * line["start_mm"]
        after = advanced(standing, tables, height_m, 0.0, round(line["time_s"] / TICK_S))
        sinks.append(1000.0 * (foot_m + after["body__position_m__z"][0]))
    return [t.worst("bounce on four legs", "sink_mm", sinks)]


def damping_per_s(line: dict[str, float], axis: int) -> float:
    """Return how fast the whole model slows a turn about an axis, per second, over one tick."""
    x, y, speed = line["forward_m"], line["right_m"], line["rotor_speed_rad_s"]
    craft, tables = with_rotors_held(in_the_open(trainer())), library.tables("10x4.7")
    ratios = np.array([0.0, 1.0])
    at_rest = 0.1  # 1; any, so long as no disc loses all of it
    linear = tables._replace(
        thrust_coefficient=np.full(tables.thrust_coefficient.size, at_rest),
        advance_ratio=ratios,
        thrust_share=1.0 - line["slope"] / at_rest * ratios,
        power_share=np.ones(2),
    )
    hubs = ((x, -y), (x, y), (-x, y), (-x, -y))
    a, b, c, d = (
        place._replace(hub_m=Vec3(*hub, 0.0), axis=Vec3(0.0, 0.0, -1.0))
        for place, hub in zip(craft.rotors, hubs, strict=True)
    )
    inertia = Vec3(*(line[f"i{name}{name}_kg_m2"] for name in "xyz"))
    craft = craft._replace(
        rotors=(a, b, c, d),
        body=craft.body._replace(inertia_kg_m2=inertia),
        diameter_m=line["diameter_m"],
        air=craft.air._replace(density_kg_m3=SEA_LEVEL_KG_M3),
        lateral_drag_n_s2_m=line["drag_n_s2_m"] if axis == 2 else 0.0,
        frame_drag_n_s2_m2=0.0,
    )
    rate = Vec3(*(TURNING_RAD_S if i == axis else 0.0 for i in range(3)))
    after = advanced(craft, linear, ALOFT_M, speed, 1, rate)
    left = after[f"body__rate_rad_s__{'xyz'[axis]}"][0]
    return float((TURNING_RAD_S - left) / TURNING_RAD_S / TICK_S)


def damping() -> list[row.Row]:
    """Damping of a turn by the air at each rotor: the whole model, one tick."""
    t = row.table("damping")
    return [
        t.worst(
            f"damping of {name} by the rotors",
            f"{name}_damping_per_s",
            [damping_per_s(line, axis) for line in t.lines],
        )
        for axis, name in enumerate(("roll", "pitch", "yaw"))
    ]


def thrust_n(craft: Craft, height_m: float) -> float:
    """Return the thrust of one rotor of the whole model at a height of its disc."""
    above_m = -craft.rotors[0].hub_m.z
    after = advanced(craft, library.tables("10x4.7"), height_m - above_m, CRUISE_RAD_S, 1)
    return float(after["rotors__0__thrust_n"][0])


def ground_effect() -> list[row.Row]:
    """Gain of thrust near the floor in the whole model, one rotor alone and four."""
    prouty, images = row.table("ground_effect_prouty"), row.table("ground_effect_images")
    far = row.table("ground_effect_far")
    craft = with_rotors_held(in_the_open(trainer()))
    radius_m = 0.5 * craft.diameter_m
    above = Vec3(0.0, 0.0, -1.0)  # feet nowhere near the floor

    def gain(height_ratio: float, spacing_m: float) -> float:
        placed = craft._replace(spacing_m=spacing_m, feet_m=(above, above, above, above))
        return thrust_n(placed, height_ratio * radius_m) / thrust_n(placed, FAR_M / 2.0)

    four = [
        gain(
            x["height_over_radius"],
            FAR_M if x["case"] == "one" else x["spacing_over_radius"] * radius_m,
        )
        for x in images.lines
    ]
    one = [gain(z, FAR_M) for z in prouty.column("height_over_radius")]
    [high] = far.lines
    faded = gain(high["height_over_radius"], high["spacing_over_radius"] * radius_m)
    return [
        prouty.worst("one rotor near the floor, chart", "thrust_ratio", one),
        images.worst("one and four rotors near the floor, images", "thrust_ratio", four),
        far.worst("four rotors two diameters up", "thrust_ratio", [faded]),
    ]
