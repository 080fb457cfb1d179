"""From answers to an airframe: each estimate with its formula, its source and what would measure it."""

from dataclasses import dataclass
from typing import Any

from sim.aircraft import library
from sim.aircraft.airframe import Airframe
from sim.aircraft.build import PackSpec
from sim.aircraft.design import CHARGED, flying
from sim.aircraft.estimates import flight, gains, parts
from sim.describe import usual
from sim.describe.answers import Answers
from sim.describe.nearest import nearest
from sim.describe.rules import Estimate, estimates, layout, value
from sim.kernel import linear
from sim.kernel.air import STANDARD_GRAVITY_M_S2
from sim.kernel.tables import Tables
from sim.kernel.vehicle import Craft
from sim.units import KG_PER_G, M_PER_IN, M_PER_MM

TAU1_S, TAU2_S = 32.8, 223.0  # s; Chen and Rincon-Mora 2006, at half charge
RC1, RC2 = 0.62, 0.67  # of the series resistance; the same
NOTHING_YET: dict[str, float] = {"p": 0.0, "i": 0.0, "d": 0.0}


@dataclass(frozen=True)
class Worked:
    """An airframe without its simulated readings yet, and all that was worked out on the way."""

    airframe: Airframe
    estimates: tuple[Estimate, ...]
    craft: Craft
    tables: Tables
    trim: linear.Trim
    full: flight.Full
    designed: gains.Designed | None  # None: not looked for yet


def _motor(a: Answers) -> dict[str, float]:
    mass = value(a, "motor_mass_kg")
    return {
        "kv_rpm_v": a.motor.kv_rpm_v,
        **{key: value(a, key) for key in ("resistance_ohm", "no_load_a", "bell_inertia_kg_m2")},
        "start_command": usual.START_COMMAND,
        "drive_heat_resistance_k_w": usual.DRIVE_K_W / mass ** (2.0 / 3.0),
        "drive_heat_capacity_j_k": usual.DRIVE_J_K * mass,
        "drive_limit_degc": usual.DRIVE_LIMIT_DEGC,
    }


def _propeller(a: Answers) -> dict[str, Any]:
    across = a.propeller.diameter_in * M_PER_IN
    return {
        "table": nearest(across, a.propeller.pitch_in * M_PER_IN).table,
        "diameter_m": across,
        "inertia_kg_m2": value(a, "propeller_inertia_kg_m2"),
        "unbalance_g_mm": parts.propeller_unbalance_g_mm(value(a, "propeller_mass_kg"), across),
    }


def _pack(a: Answers) -> PackSpec | str:
    if a.kind_of_pack is not None:
        return a.kind_of_pack
    p, r0 = a.pack, value(a, "cell_ohm")
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
        lead_ohm=value(a, "lead_ohm"),
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


def _draft(a: Answers) -> Airframe:
    """Return the airframe with no gains yet and a sheet still to be read off."""
    propeller = _propeller(a)
    moments = ("roll_inertia_kg_m2", "pitch_inertia_kg_m2", "yaw_inertia_kg_m2")
    data: dict[str, Any] = {
        "name": a.name,
        "about": a.about,
        "mass_kg": a.mass_g * KG_PER_G,
        **{key: value(a, key) for key in moments},
        "clockwise": ("front_right", "rear_left")
        if a.front_right_clockwise
        else ("front_left", "rear_right"),
        "cells": a.pack.cells,
        "pack": _pack(a),
        "propeller": propeller,
        "motor": _motor(a),
        "frame": _frame(a),
        "legs": _legs(a),
        "electronics": usual.electronics(a.pack.cells),
        "instruments": {
            **usual.INSTRUMENTS,
            "baro_wash_m_n": -usual.WASH_M3_N / propeller["diameter_m"] ** 2,
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


def _hover(a: Answers, trim: linear.Trim) -> tuple[Estimate, Estimate]:
    throttle, current = a.hover_throttle, a.hover_current_a
    return (
        Estimate("hover_throttle", throttle or min(1.0, float(trim.command)), bool(throttle)),
        Estimate("hover_current_a", current or float(trim.pack_a), bool(current)),
    )


def _trim(airframe: Airframe) -> linear.Trim:
    """Return its hover on a charged pack; ValueError says why there is none."""
    tables = library.tables(airframe.propeller.table)
    try:
        return linear.hover_trim(flying(airframe), tables, CHARGED)
    except ValueError:
        raise ValueError("propellers of this size can't carry this weight at any speed") from None


def _full(craft: Craft, tables: Tables) -> flight.Full:
    try:
        return flight.full_throttle(craft, tables, CHARGED)
    except ValueError:
        raise ValueError(
            "these motors on this pack can't turn the propellers fast enough to work"
        ) from None


def _flown(a: Answers, airframe: Airframe, designed: gains.Designed | None) -> Worked:
    """Return all there is to say of an airframe, its hover put into the sheet."""
    trim = _trim(airframe)
    hover = _hover(a, trim)
    data = airframe.model_dump()
    data["scatter"] = usual.scatter(data, float(trim.pack_a))
    data["sheet"] |= {found.key: found.value for found in hover}
    airframe = usual.rounded(Airframe.model_validate(data))
    craft, tables = flying(airframe), library.tables(airframe.propeller.table)
    full, found = _full(craft, tables), (*estimates(a), *hover)
    return Worked(airframe, found, craft, tables, _trim(airframe), full, designed)


def drafted(a: Answers) -> Worked:
    """Return what is known at once: all but filters and gains, which take a second.

    Raises ValueError, in words, if it can't be built or can't hover.
    """
    return _flown(a, _draft(a), None)


def worked(a: Answers) -> Worked:
    """Return the airframe of these answers, its gains designed, and all estimates.

    Raises ValueError, in words, if it can't be built, nothing hovers, or no gains have the margins
    wanted.
    """
    draft = _draft(a)
    tables, trim = library.tables(draft.propeller.table), _trim(draft)
    draft = _with_filters(draft, linear.axis_plant(flying(draft), tables, trim, 1.0).lag_s)
    designed = gains.safe_gains(flying(draft), tables)
    return _flown(a, _with_gains(draft, designed), designed)
