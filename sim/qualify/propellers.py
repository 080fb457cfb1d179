"""The shipped propeller against runs it was not made from, blade elements and definitions."""

from math import nan, pi
from typing import Any

import numpy as np

from sim.aircraft import library
from sim.kernel import linear, pack, rotor
from sim.kernel.roots import root
from sim.kernel.tables import Tables
from sim.qualify import row
from sim.qualify.parts import SEA_LEVEL_KG_M3, trainer
from sim.units import RAD_S_PER_RPM

TEN_INCH_M = 0.254  # m, exact
COEFFICIENTS = ("thrust_coefficient", "power_coefficient")
LAST_RATIO = 0.652  # 1; last advance ratio the shipped table was made from


def coefficients(tables: Tables, line: dict[str, float]) -> tuple[float, float]:
    """Return our (C_T, C_P) of the 10x4.7 propeller at a line's speed and advance ratio."""
    n = line["rotor_speed_rpm"] / 60.0
    climb_m_s = line.get("advance_ratio", 0.0) * n * TEN_INCH_M
    ct, cp = rotor.coefficients(tables, 2.0 * pi * n, climb_m_s, TEN_INCH_M)
    return float(ct), float(cp)


def shipped_table() -> list[row.Row]:
    """Coefficients of the shipped propeller against the two runs they were copied from."""
    tables, rows = library.tables("10x4.7"), []
    for flow in ("static", "axial"):
        t = row.table(f"propeller_10x4.7_{flow}")
        found = [coefficients(tables, line) for line in t.lines]
        rows.append(t.worst(f"10x4.7 propeller, copied {flow} run", COEFFICIENTS, found))
    return rows


def every_propeller() -> list[row.Row]:
    """Coefficients of all shipped propellers: at rest as copied, in climb by runs not copied."""
    rows = []
    still = row.table("propellers")
    at_rest = row.Table([p for p in still.lines if p["advance_ratio"] == 0.0], still.note)
    both = [named_coefficients(line) for line in at_rest.lines]
    rows.append(at_rest.worst("eleven propellers at rest", COEFFICIENTS, both))
    t = row.table("propellers_climb")
    found = [named_coefficients(line) for line in t.lines]
    for i, column in enumerate(COEFFICIENTS):
        rows.append(t.worst("ten propellers in climb", column, [pair[i] for pair in found]))
    return rows


def named_coefficients(line: dict[str, Any]) -> tuple[float, float]:
    """Return our (C_T, C_P) of the propeller that a line names, at its speed and advance ratio."""
    speed_rad_s, diameter_m = line["rpm"] * RAD_S_PER_RPM, line["diameter_m"]
    climb_m_s = line["advance_ratio"] * line["rpm"] / 60.0 * diameter_m
    tables = library.tables(line["propeller"])
    ct, cp = rotor.coefficients(tables, speed_rad_s, climb_m_s, diameter_m)
    return float(ct), float(cp)


def other_runs() -> list[row.Row]:
    """Coefficients against runs of the same propeller that the table was not made from."""
    tables, rows = library.tables("10x4.7"), []
    for name, words in (("repeats", "the table's speeds again"), ("slower", "slower runs")):
        t = row.table(f"propeller_10x4.7_{name}")
        inside = [line for line in t.lines if line["advance_ratio"] <= LAST_RATIO]
        found = [coefficients(tables, line) for line in inside]
        for i, column in enumerate(COEFFICIENTS):
            part = row.Table(inside, t.note)
            rows.append(
                part.worst(f"10x4.7 propeller, {words}", column, [pair[i] for pair in found])
            )
    zero = row.table("zero_thrust")
    ends = [without_thrust(tables, rpm) for rpm in zero.column("rotor_speed_rpm")]
    return [*rows, zero.worst("10x4.7 pulls no more", "advance_ratio", ends)]


def without_thrust(tables: Tables, rpm: float) -> float:
    """Return the advance ratio at which our propeller gives no thrust; nan if there is none."""

    def pull(advance_ratio: float) -> float:
        return coefficients(tables, {"rotor_speed_rpm": rpm, "advance_ratio": advance_ratio})[0]

    return root(pull, 0.6, 0.7) if pull(0.6) > 0.0 > pull(0.7) else nan


def hover_point() -> list[row.Row]:
    """Rotor speed and shaft power in hover against tunnel runs carried on to standing air."""
    t, tables, craft = row.table("hover_tunnel"), library.tables("10x4.7"), trainer()
    full = pack.PackState(1.0, 1.0, 0.0, 0.0, 0.0)
    speeds, powers = [], []
    for line in t.lines:
        heavy = craft.body._replace(mass_kg=line["mass_kg"])
        thin = craft.air._replace(density_kg_m3=line["density_kg_m3"])
        trim = linear.hover_trim(craft._replace(body=heavy, air=thin), tables, full)
        speeds.append(trim.speed_rad_s / RAD_S_PER_RPM)
        powers.append(4.0 * trim.torque_n_m * trim.speed_rad_s)
    return [
        t.worst("hover on four 10x4.7", "rotor_speed_rpm", speeds),
        t.worst("hover on four 10x4.7", "shaft_total_w", powers),
    ]


def blade_elements() -> list[row.Row]:
    """Thrust and torque at rest against blade elements of the published chord and twist."""
    t, tables = row.table("blade_elements"), library.tables("10x4.7")
    loads = [
        rotor.thrust_and_torque(
            tables,
            line["rotor_speed_rpm"] * RAD_S_PER_RPM,
            0.0,
            line["density_kg_m3"],
            line["diameter_m"],
        )
        for line in t.lines
    ]
    return [
        t.worst("10x4.7 propeller by its blades", "thrust_n", [thrust for thrust, _ in loads]),
        t.worst("10x4.7 propeller by its blades", "torque_n_m", [torque for _, torque in loads]),
    ]


def measured(name: str) -> Tables:
    """Return kernel tables with the published static rows of one propeller."""
    t = row.table(f"propeller_{name}_static")
    return library.tables("10x4.7")._replace(
        rotor_speed_rad_s=np.array(t.column("rotor_speed_rpm")) * RAD_S_PER_RPM,
        thrust_coefficient=np.array(t.column("thrust_coefficient")),
        power_coefficient=np.array(t.column("power_coefficient")),
    )


def definitions() -> list[row.Row]:
    """Thrust and torque from the coefficients of two other propellers, by their definitions."""
    t = row.table("propeller_definitions")
    loads = [
        rotor.thrust_and_torque(
            measured(line["propeller"]),
            line["rotor_speed_rpm"] * RAD_S_PER_RPM,
            0.0,
            SEA_LEVEL_KG_M3,
            line["diameter_m"],
        )
        for line in t.lines
    ]
    return [
        t.worst("loads from coefficients", "thrust_n", [thrust for thrust, _ in loads]),
        t.worst("loads from coefficients", "torque_n_m", [torque for _, torque in loads]),
    ]
