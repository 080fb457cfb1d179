"""The trainer with other numbers: mass, arms, motor, propeller and pack changed, gains derived anew.

What goes with a number goes along: moments with mass and arms, legs with mass and size, a propeller's
inertia and unbalance with its diameter, the scatter of parts with the parts, the sheet with it all.
"""

from typing import Any, NamedTuple

from sim.aircraft import library
from sim.aircraft.airframe import Airframe
from sim.aircraft.design import CHARGED, flying
from sim.aircraft.estimates import gains
from sim.describe import usual
from sim.describe.sheet import read_off
from sim.kernel import linear


class Numbers(NamedTuple):
    """Other numbers; mass, arms and motor as ratios to the trainer's."""

    mass: float
    arms: float
    kv: float
    table: str
    diameter_m: float
    pack: str


LIGHTER = Numbers(0.6, 0.8, 1.25, "8x3.8", 0.2032, "club-4s-2200")
HEAVIER = Numbers(1.6, 1.25, 0.5, "13x5", 0.3302, "field-6s-4000")


def _scaled(part: dict[str, Any], **factors: float) -> dict[str, Any]:
    return part | {key: part[key] * factor for key, factor in factors.items()}


def _bare(n: Numbers) -> dict[str, Any]:
    """Return the trainer's data with these numbers, the sheet still the trainer's."""
    data, pack = library.airframe(library.TRAINER).model_dump(), library.pack(n.pack)
    across = n.diameter_m / data["propeller"]["diameter_m"]
    turning = n.mass * n.arms**2
    data |= _scaled(
        data,
        mass_kg=n.mass,
        **{f"{axis}_inertia_kg_m2": turning for axis in ("roll", "pitch", "yaw")},
    )
    data |= {"name": f"renumbered-{n.table}", "cells": pack.cells, "pack": n.pack}
    data["propeller"] = _scaled(
        data["propeller"] | {"table": n.table, "diameter_m": n.diameter_m},
        inertia_kg_m2=across**4.5,
        unbalance_g_mm=across**3.5,
    )
    data["motor"] = _scaled(
        data["motor"],
        kv_rpm_v=n.kv,
        resistance_ohm=1.0 / n.kv**2 / n.mass ** (5.0 / 3.0),
        no_load_a=n.kv * n.mass,
        bell_inertia_kg_m2=n.mass ** (5.0 / 3.0),
        drive_heat_resistance_k_w=n.mass ** (-2.0 / 3.0),
        drive_heat_capacity_j_k=n.mass,
    )
    frame = data["frame"]
    lengths = ("rotor_up_m", "foot_forward_m", "foot_right_m", "foot_down_m", "compass_forward_m")
    frame |= _scaled(frame, **dict.fromkeys(lengths, n.arms), frame_drag_n_s2_m2=n.arms**2)
    frame["rotors_m"] = {k: (x * n.arms, y * n.arms) for k, (x, y) in frame["rotors_m"].items()}
    frame["lateral_drag_n_s2_m"] *= across**3
    pushes = {key: n.mass / n.arms for key in ("stiffness_n_m", "grip_stiffness_n_m")}
    brakes = {key: n.mass / n.arms**0.5 for key in ("damping_n_s_m", "grip_damping_n_s_m")}
    data["legs"] = _scaled(data["legs"], **pushes, **brakes)
    data["instruments"] = _scaled(data["instruments"], baro_wash_m_n=across**-2)
    data["sheet"]["setup"]["alarm_cells"] = pack.cells
    return data


def _with_setup(data: dict[str, Any], **changes: Any) -> Airframe:
    sheet = data["sheet"] | {"setup": data["sheet"]["setup"] | changes}
    return Airframe.model_validate(data | {"sheet": sheet})


def renumbered(n: Numbers) -> Airframe:
    """Return the trainer with other numbers, its gains, filters, scatter and sheet worked out anew."""
    data = _bare(n)
    draft, tables = Airframe.model_validate(data), library.tables(n.table)
    trim = linear.hover_trim(flying(draft), tables, CHARGED)
    lag_s = linear.axis_plant(flying(draft), tables, trim, 1.0).lag_s
    cutoff = gains.cutoff_hz(lag_s)
    filters = {"gyro_cutoff_hz": cutoff, "damping_cutoff_hz": gains.DAMPING_SHARE * cutoff}
    data["sheet"] |= {"hover_throttle": float(trim.command), "hover_current_a": float(trim.pack_a)}
    data["scatter"] = usual.scatter(data, float(trim.pack_a))
    found = gains.safe_gains(flying(_with_setup(data, **filters)), tables)
    loops = {axis: getattr(found, axis)._asdict() for axis in ("roll", "pitch", "yaw")}
    designed = _with_setup(data, **filters, **loops, attitude_gain_per_s=found.attitude_per_s)
    return read_off(usual.rounded(designed))
