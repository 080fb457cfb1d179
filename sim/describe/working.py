"""From answers to an airframe: each estimate with its formula, its source and what would measure it."""

from dataclasses import dataclass
from typing import Any, NamedTuple

from sim.aircraft import library
from sim.aircraft.airframe import Airframe
from sim.aircraft.assemble import assemble
from sim.aircraft.build import Build, PackSpec
from sim.aircraft.conduct import Conduct
from sim.aircraft.estimates import flight, gains, inertia, parts
from sim.aircraft.setup import Setup
from sim.aircraft.world import World
from sim.describe import usual
from sim.describe.answers import Answers
from sim.describe.nearest import nearest
from sim.kernel import linear
from sim.kernel.air import STANDARD_GRAVITY_M_S2
from sim.kernel.frames import UPRIGHT
from sim.kernel.pack import PackState
from sim.kernel.tables import Tables
from sim.kernel.vehicle import Craft
from sim.units import KG_PER_G, M_PER_IN, M_PER_MM

ARMS_SHARE = 0.35  # of what is neither motors nor pack; own: the rest sits in the middle
MIDDLE_ARM = 0.9  # of the mean arm; own: length and width of what sits in the middle
MIDDLE_FLAT = 0.25  # of that length; own: its height
CHARGED = PackState(0.97, 0.97, 0.0, 0.0, 0.0)  # a pack off the charger, as drills begin
SITE = "lockup-garage"
TAU1_S, TAU2_S = 32.8, 223.0  # s; Chen and Rincon-Mora 2006, at half charge
RC1, RC2 = 0.62, 0.67  # of the series resistance; the same
NOTHING_YET: dict[str, float] = {"p": 0.0, "i": 0.0, "d": 0.0}


class Estimate(NamedTuple):
    """One value that was worked out, and by what."""

    key: str
    value: float
    measured: bool


@dataclass(frozen=True)
class Worked:
    """An airframe without its simulated readings yet, and all that was worked out on the way."""

    airframe: Airframe
    estimates: tuple[Estimate, ...]
    craft: Craft
    tables: Tables
    trim: linear.Trim
    full: flight.Full
    designed: gains.Designed


def world_of(airframe: Airframe, **conduct: Any) -> World:
    """Return the aircraft as designed in the shipped garage."""
    return World(
        airframe=airframe,
        pack_spec=library.pack(airframe.pack),
        build=Build(),
        setup=Setup(controller=airframe.sheet.setup),
        site=library.site(SITE),
        conduct=Conduct(**conduct),
    )


def flying(airframe: Airframe) -> Craft:
    """Return the flight model's parameters of the aircraft as designed, propellers on."""
    return assemble(world_of(airframe, props_fitted=True, place="pad", hold="standing"), UPRIGHT)


class _Notes:
    """Estimates as they are made; a measurement goes before each."""

    def __init__(self) -> None:
        self.made: list[Estimate] = []

    def take(self, key: str, estimate: float, measured: float | None = None) -> float:
        value = float(estimate if measured is None else measured)
        self.made.append(Estimate(key, value, measured is not None))
        return value


def layout(a: Answers) -> dict[str, tuple[float, float]]:
    """Return the rotors' places, m, the centre of gravity half-way between front and rear."""
    half = 0.5 * a.frame.length_mm * M_PER_MM
    front, rear = (0.5 * w * M_PER_MM for w in (a.frame.front_width_mm, a.frame.rear_width_mm))
    return {
        "front_left": (half, -front),
        "front_right": (half, front),
        "rear_right": (-half, rear),
        "rear_left": (-half, -rear),
    }


def parts_of(a: Answers, motor_kg: float, propeller_kg: float) -> list[inertia.Part]:
    """Return the aircraft as motors, arms, pack and what sits in the middle."""
    up = a.frame.rotors_above_mm * M_PER_MM
    ends = [(x, y, up) for x, y in layout(a).values()]
    corner, pack = motor_kg + propeller_kg, a.pack.mass_g * KG_PER_G
    rest = max(0.0, a.mass_g * KG_PER_G - pack - 4.0 * corner)
    side = MIDDLE_ARM * sum((x * x + y * y) ** 0.5 for x, y, _ in ends) / 4.0
    long, wide, high = (x * M_PER_MM for x in a.pack.size_mm)
    return [
        *(inertia.Part(corner, end) for end in ends),
        *(inertia.rod(ARMS_SHARE * rest / 4.0, end) for end in ends),
        inertia.box(pack, (0.0, 0.0, a.pack.above_mm * M_PER_MM), (long, wide, high)),
        inertia.box((1.0 - ARMS_SHARE) * rest, (0.0, 0.0, 0.0), (side, side, MIDDLE_FLAT * side)),
    ]


def _inertia(a: Answers, notes: _Notes, motor_kg: float, propeller_kg: float) -> dict[str, float]:
    estimated = inertia.of_parts(parts_of(a, motor_kg, propeller_kg))
    found = {}
    for axis in ("roll", "pitch", "yaw"):
        swung = None
        if a.swing:
            swung = inertia.of_swing(
                a.mass_g * KG_PER_G,
                a.swing.strings_apart_mm * M_PER_MM,
                a.swing.length_mm * M_PER_MM,
                getattr(a.swing, f"{axis}_s"),
            )
        key = f"{axis}_inertia_kg_m2"
        found[key] = notes.take(key, getattr(estimated, axis), swung)
    return found


def _motor(a: Answers, notes: _Notes) -> tuple[dict[str, float], float]:
    m = a.motor
    mass = notes.take(
        "motor_mass_kg",
        parts.motor_mass_kg(a.mass_g * KG_PER_G),
        m.mass_g and m.mass_g * KG_PER_G,
    )
    across = notes.take(
        "bell_diameter_m", parts.bell_diameter_m(mass), m.diameter_mm and m.diameter_mm * M_PER_MM
    )
    resistance = parts.motor_resistance_ohm(m.kv_rpm_v, mass)
    return {
        "kv_rpm_v": m.kv_rpm_v,
        "resistance_ohm": notes.take("resistance_ohm", resistance, m.resistance_ohm),
        "no_load_a": notes.take(
            "no_load_a", parts.no_load_current_a(m.kv_rpm_v, mass), m.no_load_a
        ),
        "bell_inertia_kg_m2": notes.take(
            "bell_inertia_kg_m2", parts.bell_inertia_kg_m2(mass, across)
        ),
        "start_command": usual.START_COMMAND,
        "drive_heat_resistance_k_w": usual.DRIVE_K_W / mass ** (2.0 / 3.0),
        "drive_heat_capacity_j_k": usual.DRIVE_J_K * mass,
        "drive_limit_degc": usual.DRIVE_LIMIT_DEGC,
    }, mass


def _propeller(a: Answers, notes: _Notes) -> tuple[dict[str, Any], float]:
    across, given = a.propeller.diameter_in * M_PER_IN, a.propeller.mass_g
    table = nearest(across, a.propeller.pitch_in * M_PER_IN).table
    mass = notes.take(
        "propeller_mass_kg", parts.propeller_mass_kg(across), given and given * KG_PER_G
    )
    return {
        "table": table,
        "diameter_m": across,
        "inertia_kg_m2": notes.take(
            "propeller_inertia_kg_m2", parts.propeller_inertia_kg_m2(mass, across)
        ),
        "unbalance_g_mm": parts.propeller_unbalance_g_mm(mass, across),
    }, mass


def _pack(a: Answers, notes: _Notes) -> PackSpec | str:
    if a.kind_of_pack is not None:
        return a.kind_of_pack
    p = a.pack
    r0 = notes.take("cell_ohm", parts.cell_resistance_ohm(p.capacity_ah), p.cell_ohm)
    return PackSpec(
        name=f"{a.name}-pack",
        about=f"{p.cells} cells, {p.capacity_ah:g} Ah, as described",
        cells=p.cells,
        capacity_ah=p.capacity_ah,
        r0_ohm=r0,
        r1_ohm=RC1 * r0,
        tau1_s=TAU1_S,
        r2_ohm=RC2 * r0,
        tau2_s=TAU2_S,
        lead_ohm=notes.take("lead_ohm", parts.lead_resistance_ohm(p.capacity_ah)),
    )


def _frame(a: Answers) -> dict[str, Any]:
    f, rotors = a.frame, layout(a)
    longest = max((x * x + y * y) ** 0.5 for x, y in rotors.values())
    return {
        "rotors_m": rotors,
        "rotor_up_m": f.rotors_above_mm * M_PER_MM,
        "foot_forward_m": 0.5 * f.legs_length_mm * M_PER_MM,
        "foot_right_m": 0.5 * f.legs_width_mm * M_PER_MM,
        "foot_down_m": f.legs_height_mm * M_PER_MM,
        "compass_forward_m": f.compass_forward_mm * M_PER_MM,
        "compass_up_m": f.compass_above_mm * M_PER_MM,
        "lateral_drag_n_s2_m": parts.lateral_drag_n_s2_m(a.propeller.diameter_in * M_PER_IN),
        "frame_drag_n_s2_m2": usual.FRAME_DRAG * longest**2,
    }


def _legs(a: Answers) -> dict[str, float]:
    mass = a.mass_g * KG_PER_G
    stiff = parts.leg_stiffness_n_m(mass * STANDARD_GRAVITY_M_S2, a.frame.legs_height_mm * M_PER_MM)
    damping = parts.leg_damping_n_s_m(stiff, mass)
    return {
        "stiffness_n_m": stiff,
        "damping_n_s_m": damping,
        "grip_stiffness_n_m": stiff,
        "grip_damping_n_s_m": damping,
        "friction": usual.LEG_FRICTION,
    }


def _draft(a: Answers, notes: _Notes) -> Airframe:
    """Return the airframe with no gains yet and a sheet still to be read off."""
    motor, motor_kg = _motor(a, notes)
    propeller, propeller_kg = _propeller(a, notes)
    pack = _pack(a, notes)
    across = propeller["diameter_m"]
    data: dict[str, Any] = {
        "name": a.name,
        "about": a.about,
        "mass_kg": a.mass_g * KG_PER_G,
        **_inertia(a, notes, motor_kg, propeller_kg),
        "clockwise": ("front_right", "rear_left")
        if a.front_right_clockwise
        else ("front_left", "rear_right"),
        "cells": a.pack.cells,
        "pack": pack,
        "propeller": propeller,
        "motor": motor,
        "frame": _frame(a),
        "legs": _legs(a),
        "electronics": usual.electronics(a.pack.cells),
        "instruments": {
            **usual.INSTRUMENTS,
            "baro_wash_m_n": -usual.WASH_M3_N / across**2,
        },
        "link": {
            "frame_ms": a.link_frame_ms,
            "latency_ms": usual.LINK_LATENCY_MS,
            "timeout_ms": usual.LINK_TIMEOUT_MS,
            "jitter_us": usual.LINK_JITTER_US,
        },
        "sheet": {
            "hover_throttle": 0.5,
            "hover_current_a": 1.0,
            "roughness_share": 1.0,
            "loaded_drop_v_cell": 1.0,
            "ringing_share": 1.0,
            "setup": {
                **usual.HANDLING,
                "roll": NOTHING_YET,
                "pitch": NOTHING_YET,
                "yaw": NOTHING_YET,
                "attitude_gain_per_s": 1.0,
                "gyro_cutoff_hz": 100.0,
                "damping_cutoff_hz": 100.0,
                "output_delay_ms": a.board_delay_ms,
                "stop_switch": a.stop_switch,
                "alarm_cells": a.pack.cells,
            },
        },
        "origin": a.origin,
    }
    data["scatter"] = usual.scatter(data, hover_current_a=1.0)
    return Airframe.model_validate(data)


def _with_gains(airframe: Airframe, designed: gains.Designed) -> Airframe:
    setup = airframe.sheet.setup.model_copy(update={"attitude_gain_per_s": designed.attitude_per_s})
    data = airframe.model_dump()
    data["sheet"]["setup"] = setup.model_dump() | {
        axis: {k: float(v) for k, v in getattr(designed, axis)._asdict().items()}
        for axis in ("roll", "pitch", "yaw")
    }
    return Airframe.model_validate(data)


def _with_filters(airframe: Airframe, lag_s: float) -> Airframe:
    cutoff = gains.cutoff_hz(lag_s)
    data = airframe.model_dump()
    data["sheet"]["setup"] |= {
        "gyro_cutoff_hz": cutoff,
        "damping_cutoff_hz": gains.DAMPING_SHARE * cutoff,
    }
    return Airframe.model_validate(data)


def worked(a: Answers) -> Worked:
    """Return the airframe of these answers, its gains designed, and all estimates.

    Raises ValueError if nothing hovers or no gains have the margins wanted.
    """
    notes = _Notes()
    draft = _draft(a, notes)
    tables = library.tables(draft.propeller.table)
    trim = linear.hover_trim(flying(draft), tables, CHARGED)
    draft = _with_filters(draft, linear.axis_plant(flying(draft), tables, trim, 1.0).lag_s)
    designed = gains.safe_gains(flying(draft), tables)
    data = _with_gains(draft, designed).model_dump()
    data["scatter"] = usual.scatter(data, float(trim.pack_a))
    data["sheet"]["hover_throttle"] = notes.take(
        "hover_throttle", min(1.0, trim.command), a.hover_throttle
    )
    data["sheet"]["hover_current_a"] = notes.take("hover_current_a", trim.pack_a, a.hover_current_a)
    airframe = usual.rounded(Airframe.model_validate(data))
    craft = flying(airframe)
    trim = linear.hover_trim(craft, tables, CHARGED)
    full = flight.full_throttle(craft, tables, CHARGED)
    return Worked(airframe, tuple(notes.made), craft, tables, trim, full, designed)
