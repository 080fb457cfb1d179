"""Checks of frame and propellers with eye, hand, ruler and scales; nothing runs."""

from math import atan2, cos, hypot, pi

import numpy as np

from sim.aircraft import library
from sim.aircraft.airframe import Airframe
from sim.aircraft.airframe import Propeller as DesignedPropeller
from sim.aircraft.build import RotorPlace
from sim.aircraft.design import hover, reach_m
from sim.aircraft.fields import PLACES
from sim.aircraft.powertrain import spins
from sim.bench.changes import every
from sim.bench.check import Check, Line
from sim.bench.person import Subject, half_step, noticed, read_off, senses
from sim.bench.reading import Reading
from sim.bench.rig import Rig
from sim.units import M_PER_IN

TIGHT_PLAY_MM = 0.05  # mm; own: flex of a tight joint at the arm's end
BOARD_PLAY_MM_HZ2 = 700.0  # mm Hz2; own: 0.8 mm at 30 Hz; it goes with the inverse square of that
ARM_PLAY_MM_HZ2_M = 105.0  # mm Hz2 m; own: as much on arms of 150 mm; hands flex an arm as hard as
# its section bears, which goes with the square of its length, and its mass goes with the cube
HAND_TWIST = 4.2  # of the hover's torque; own: what fingers put on a blade, more on a larger one
FINGERS = 1.0 / 6.0  # of what is felt; own: how well fingers judge a torque, in proportion to it
DIGITS = 2  # own: as many as one says of it
BALANCER, BALANCER_STEP = 0.24, 0.2  # of what balancing leaves; own: its error and its step
SLIDES, BALANCE = 0.0044, 0.0038  # of the rotors' way from the middle; own: read by eye and ruler
SCALES, CALLIPERS, ROCKS = 0.002, 0.0028, 0.0025  # of mass, span, legs; own
CLEAR_MM = 18.0  # mm; own: gap between blade and nearest lead on a tidy build
RUB_MM = 0.0  # mm; a lead that touches
KINKED_LOSS = 0.3  # share of frames; own: an aerial this bad looks it
M_TO_MM = 1000.0  # mm/m


def _play_mm(hz: float, soft_mm_hz2: float) -> float:
    """Return the play at the end of a lever whose joint swings at a frequency; 0 is tight."""
    return TIGHT_PLAY_MM + (soft_mm_hz2 / hz**2 if hz > 0.0 else 0.0)


def look_and_tug(rig: Rig) -> Reading:
    """Lift by the pack and shake, flex each arm, sight the bells, nudge the board."""
    rng, build = senses(rig, Subject.FRAME), rig.world.build
    x, y, _ = build.frame.strap_shift_m
    reach = reach_m(rig.world.airframe)
    reach_mm = M_TO_MM * reach
    arm_mm = _play_mm(build.frame.loose_arm_hz, ARM_PLAY_MM_HZ2_M / reach)
    board_mm = _play_mm(build.sensors.loose_mount_hz, BOARD_PLAY_MM_HZ2)
    lost = max(build.radio.loss_at_range, build.radio.loss_near)
    values = {
        "pack_slides_mm": read_off(
            rng, M_TO_MM * hypot(x, y), SLIDES * reach_mm, half_step(reach_mm), 0.0
        ),
        "arm_play_mm": read_off(rng, arm_mm, 0.06, 0.05, 0.0),
        "board_play_mm": read_off(rng, board_mm, 0.1, 0.05, 0.0),
        "aerial_kinks_count": float(noticed(rng, "kinked aerial", lost > KINKED_LOSS)),
    }
    for place in PLACES:
        lean = abs(getattr(build.rotors, place).motor.axis_lean_deg)
        values[f"{place}_bell_off_square_deg"] = read_off(rng, lean, 0.25, 0.25, 0.0)
    return Reading("look-and-tug", values)


def _pitch_mark_in(design: DesignedPropeller) -> float:
    """Return the pitch moulded on the designed propeller, inches; the table is named after it."""
    (pitch_m,) = (p.pitch_m for p in library.propellers() if p.table == design.table)
    return round(pitch_m / M_PER_IN, 1)


def _balanced_g_mm(rng: np.random.Generator, heavy: float, left: float) -> float:
    """Return the unbalance as read on a balancer made for such a propeller."""
    return read_off(rng, heavy, BALANCER * left, BALANCER_STEP * left, 0.0)


def hand_twist_n_m(airframe: Airframe) -> float:
    """Return with how much torque a hub's grip is tried on an aircraft, N m."""
    return HAND_TWIST * hover(airframe).torque_n_m


def _grip_n_m(rng: np.random.Generator, slips_n_m: float | None, most_n_m: float) -> float:
    """Return the torque at which a hub lets go, as fingers judge it; the most they put on if it holds."""
    holds = most_n_m if slips_n_m is None else min(most_n_m, slips_n_m)
    felt = max(0.0, holds + FINGERS * holds * float(rng.standard_normal()))
    return float(f"{min(most_n_m, felt):.{DIGITS}g}")


def _one_propeller(
    rng: np.random.Generator, built: RotorPlace, airframe: Airframe, arrow: float
) -> dict[str, float]:
    design, twist = airframe.propeller, hand_twist_n_m(airframe)
    prop = built.propeller
    span = M_TO_MM * design.diameter_m * prop.diameter_ratio
    heavy = design.unbalance_g_mm + prop.extra_unbalance_g_mm
    tidy_mm = read_off(rng, CLEAR_MM, 2.0, 1.0, 10.0)
    wrong_hand = noticed(rng, "wrong hand", not prop.right_hand)
    return {
        "arrow_sign": arrow,
        "hand_sign": -arrow if wrong_hand else arrow,
        "marks_up_count": float(not noticed(rng, "upside down", not prop.right_way_up)),
        "edge_catches_count": float(noticed(rng, "nick", prop.nicked)),
        "heavy_side_g_mm": _balanced_g_mm(rng, heavy, design.unbalance_g_mm),
        "span_mm": read_off(rng, span, CALLIPERS * span, 2.0 * half_step(span)),
        "pitch_mark_in": round(_pitch_mark_in(design) * round(prop.pitch_ratio, 1), 1),
        "twist_holds_n_m": _grip_n_m(rng, prop.slip_n_m, twist),
        "clear_mm": RUB_MM if noticed(rng, "rubbing lead", built.motor.wire_in_disc) else tidy_mm,
    }


def propellers_in_hand(rig: Rig) -> Reading:
    """Look at each propeller in hand and on its hub: hand, face, edge, balance, size, grip, turn."""
    rng, airframe = senses(rig, Subject.PROPELLERS), rig.world.airframe
    design = airframe.propeller
    values = {
        "sheet_span_mm": M_TO_MM * design.diameter_m,
        "sheet_pitch_in": _pitch_mark_in(design),
    }
    for place, arrow in zip(PLACES, spins(airframe), strict=True):
        seen = _one_propeller(rng, getattr(rig.world.build.rotors, place), airframe, arrow)
        values |= {f"{place}_{name}": value for name, value in seen.items()}
    return Reading(
        "propellers-in-hand",
        values,
        notes=(
            "Sign +1 is clockwise seen from above, the way the high edge goes first.",
            f"Twisted with at most {hand_twist_n_m(airframe):.2g} N m; each turned through a whole circle.",
        ),
    )


def weigh_and_balance(rig: Rig) -> Reading:
    """Weigh it, hang it from two balance points, and set it on a flat plate."""
    rng, craft = senses(rig, Subject.SCALES), rig.craft
    hubs, feet = [r.hub_m for r in craft.rotors], craft.feet_m
    forward = -sum(h.x for h in hubs) / 4.0
    right = -sum(h.y for h in hubs) / 4.0
    a, b, c, d = (foot.z for foot in feet)
    length = abs(feet[0].x - feet[3].x)
    width = abs(feet[1].y - feet[0].y)
    lean = hypot(atan2(0.5 * (a + b - c - d), length), atan2(0.5 * (a + d - b - c), width))
    airframe, mass_kg = rig.world.airframe, craft.body.mass_kg
    reach_mm, leg_mm = M_TO_MM * reach_m(airframe), M_TO_MM * airframe.frame.foot_down_m
    balance = BALANCE * reach_mm, half_step(reach_mm)
    rocks_mm = M_TO_MM * abs(a - b + c - d) * cos(lean)
    return Reading(
        "weigh-and-balance",
        {
            "mass_kg": read_off(rng, mass_kg, SCALES * mass_kg, half_step(mass_kg)),
            "sheet_mass_kg": airframe.mass_kg,
            "heavy_forward_mm": read_off(rng, M_TO_MM * forward, *balance),
            "heavy_right_mm": read_off(rng, M_TO_MM * right, *balance),
            "rocks_mm": read_off(rng, rocks_mm, ROCKS * leg_mm, half_step(leg_mm), 0.0),
            "stands_off_level_deg": read_off(rng, lean * 180.0 / pi, 0.1, 0.1, 0.0),
        },
        notes=("Heavy forward and right are measured from the middle of the four hubs.",),
    )


CHECKS = (
    Check(
        "look-and-tug",
        "C01",
        "Look it over, shake the pack, flex the arms, sight the bells",
        2.0,
        (),
        look_and_tug,
        "What moves that should not, and do all bells stand square?",
        lines=(
            Line("before-power", 30, "airframe", "Look and tug: say what moves"),
            Line("after-hop", 40, "airframe", "Look and tug: say what the hop shook loose"),
        ),
        voided_by=(*every("swap:motor-"), "swap:frame-screws", "swap:pack-strap", "crash", "hop"),
        caution="Pack unplugged while you tug.",
        touches=True,
    ),
    Check(
        "propellers-in-hand",
        "C02",
        "Each propeller in hand: hand, face, edge, balance, size, grip, free turn",
        1.5,
        (),
        propellers_in_hand,
        "Do all four match the arrows and each other, grip, and turn freely?",
        lines=(
            Line("before-power", 50, "blades", "Propellers in hand: say hand, face, edge"),
            Line("after-hop", 50, "blades", "Propellers in hand: say edge and grip"),
        ),
        voided_by=(*every("swap:propeller-"), *every("swap:wire-tie-"), "crash", "hop"),
        caution="Pack unplugged: never touch a propeller under power.",
        touches=True,
    ),
    Check(
        "weigh-and-balance",
        "C03",
        "Weigh it, hang it from two points, set it on a flat plate",
        1.5,
        (),
        weigh_and_balance,
        "What does it weigh, which side is heavy, does it rock?",
        lines=(Line("before-power", 40, "balance", "Scale and two points: say mass and balance"),),
        voided_by=("swap:ballast", "swap:legs", "swap:pack-place", "swap:pack-strap", "crash"),
        touches=True,
    ),
)
