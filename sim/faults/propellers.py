"""Faults of propellers and of what their discs touch."""

import numpy as np

from sim.aircraft.changes import with_value
from sim.aircraft.design import hover
from sim.aircraft.fields import PLACES
from sim.aircraft.powertrain import spins
from sim.aircraft.world import World
from sim.faults.fault import Fault, Truth
from sim.faults.gains import RESTED
from sim.faults.places import any_place, matched_places, swaps
from sim.kernel.linear import hover_trim
from sim.keys import CheckKey

UNBALANCE = 2.4  # of what balancing leaves in a propeller of this kind; own
GRIP_RATIO = 1.6  # 1; own: a hub must hold this many times the hover's torque to survive a punch
SIZE_SPREAD = 0.06  # share of thrust; own: a hand's breadth of moulding makes 2 %, an eye sees 4 mm


def _build(place: str, part: str) -> str:
    return f"build.rotors.{place}.propeller.{part}"


def _wrong_hand(world: World, severity: float, rng: np.random.Generator) -> World:
    place = any_place(rng, matched_places(world))
    right = getattr(world.build.rotors, place).propeller.right_hand
    return with_value(world, _build(place, "right_hand"), not right)


def _pushes_down(truth: Truth) -> bool:
    """Tell whether a propeller throws its air up although its motor turns as planned."""
    planned = spins(truth.world.airframe)
    return any(
        rotor.thrust_scale < 0.0 and rotor.spin == spin
        for rotor, spin in zip(truth.craft.rotors, planned, strict=True)
    )


def _upside_down(world: World, severity: float, rng: np.random.Generator) -> World:
    return with_value(world, _build(any_place(rng), "right_way_up"), False)


def _nick(world: World, severity: float, rng: np.random.Generator) -> World:
    place = any_place(rng)
    left = world.airframe.propeller.unbalance_g_mm
    extra = (
        2.0 + 6.0 * severity
    ) * left  # trade experience 0.2-2 g mm on 10 inch, which keeps 0.25
    world = with_value(world, _build(place, "extra_unbalance_g_mm"), extra)
    return with_value(world, _build(place, "nicked"), True)


def _out_of_balance(truth: Truth) -> bool:
    left = truth.world.airframe.propeller.unbalance_g_mm
    props = [getattr(truth.world.build.rotors, place).propeller for place in PLACES]
    return any(p.nicked or left + p.extra_unbalance_g_mm > UNBALANCE * left for p in props)


def hover_torque_n_m(truth: Truth) -> float:
    """Return the torque of one shaft in hover on a charged pack, N m."""
    return hover_trim(truth.craft, truth.tables, RESTED).torque_n_m


def _slip(world: World, severity: float, rng: np.random.Generator) -> World:
    # N m; own: lets go at a punch when mild, in hover when bad
    holds = (1.30 - 0.43 * severity) * hover(world.airframe).torque_n_m
    return with_value(world, _build(any_place(rng), "slip_n_m"), holds)


def _hub_lets_go(truth: Truth) -> bool:
    weakest = min(rotor.slip_n_m for rotor in truth.craft.rotors)
    return bool(np.isfinite(weakest)) and weakest < GRIP_RATIO * hover_torque_n_m(truth)


def _other_size(world: World, severity: float, rng: np.random.Generator) -> World:
    sign = 1.0 if rng.random() < 0.5 else -1.0
    ratio = 1.0 + sign * (0.035 + 0.065 * severity)  # own: up to an inch of ten
    return with_value(world, _build(any_place(rng), "diameter_ratio"), ratio)


def _sizes_differ(truth: Truth) -> bool:
    props = [getattr(truth.world.build.rotors, place).propeller for place in PLACES]
    lift = [p.diameter_ratio**4 * p.pitch_ratio for p in props]  # T goes with n^2 D^4, pitch
    return bool(max(lift) / min(lift) > 1.0 + SIZE_SPREAD)


def _wire(world: World, severity: float, rng: np.random.Generator) -> World:
    return with_value(world, f"build.rotors.{any_place(rng)}.motor.wire_in_disc", True)


def _touches(truth: Truth) -> bool:
    return any(getattr(truth.world.build.rotors, p).motor.wire_in_disc for p in PLACES)


IN_HAND: tuple[CheckKey, ...] = ("propellers-in-hand",)
ON_LEGS: tuple[CheckKey, ...] = (*IN_HAND, "light-on-legs")

FAULTS = (
    Fault(
        id="prop-wrong-hand",
        family="airframe",
        item="propellers",
        hazard=4,
        opens="motors-mixed-up",
        inject=_wrong_hand,
        present=_pushes_down,
        revealed_by=ON_LEGS,
        proved_by=ON_LEGS,
        fixes=swaps("propeller"),
        in_the_air="It rolls over onto that corner the moment it leaves the floor.",
        explanation=(
            "One propeller is of the hand that belongs to the other direction of turning. Its high "
            "edge trails, so it blows upwards and pushes its corner down. The high edge must go "
            "first in the direction of the arrow on every arm."
        ),
        caution="Fit and turn propellers with the pack unplugged only.",
    ),
    Fault(
        id="prop-upside-down",
        family="airframe",
        item="propellers",
        hazard=3,
        opens="lifts-unevenly",
        inject=_upside_down,
        present=lambda truth: any(
            not getattr(truth.world.build.rotors, p).propeller.right_way_up for p in PLACES
        ),
        revealed_by=ON_LEGS,
        proved_by=IN_HAND,
        fixes=swaps("propeller"),
        in_the_air="One corner hangs, its motor works hard and the nose is pulled round.",
        explanation=(
            "One propeller sits with its face down. The blade meets the air with its back: at the "
            "same speed it lifts about six tenths of what it should. Moulded marks face up."
        ),
    ),
    Fault(
        id="prop-nick-imbalance",
        family="airframe",
        item="propellers",
        hazard=2,
        opens="lifts-unevenly",
        inject=_nick,
        present=_out_of_balance,
        revealed_by=ON_LEGS,
        proved_by=IN_HAND,
        fixes=swaps("propeller"),
        in_the_air="A buzz at the speed of the rotor, felt all over the frame.",
        explanation=(
            "A blade has lost a chip. Its mass centre runs in a circle, and the push m r w^2 shakes "
            "frame and sensors once a turn. Fit a balanced propeller."
        ),
    ),
    Fault(
        id="prop-hub-slip",
        family="airframe",
        item="propellers",
        hazard=4,
        opens="comes-loose",
        inject=_slip,
        present=_hub_lets_go,
        revealed_by=IN_HAND,
        proved_by=IN_HAND,
        fixes=swaps("propeller"),
        in_the_air="A corner drops when it is asked to lift; in the end the propeller leaves.",
        explanation=(
            "The propeller is not clamped well enough for the torque of the motor: it slips on its "
            "hub and lifts only a third while it does. Hold the bell, twist the blade; tighten until "
            "it holds, then draw a mark across hub and nut."
        ),
        caution="Twist with the pack unplugged.",
    ),
    Fault(
        id="prop-size-mismatch",
        family="airframe",
        item="propellers",
        hazard=2,
        opens="lifts-unevenly",
        inject=_other_size,
        present=_sizes_differ,
        revealed_by=(*IN_HAND, "light-on-legs"),
        proved_by=IN_HAND,
        fixes=swaps("propeller"),
        in_the_air="A steady pull to one corner and a slow yaw that trim covers up.",
        explanation=(
            "One propeller is of another size than its sisters. Thrust goes with the fourth power of "
            "the diameter, so half an inch of ten already makes a fifth. Read the moulded marks and "
            "measure the span of all four."
        ),
    ),
    Fault(
        id="wire-in-disc",
        family="airframe",
        item="wiring",
        hazard=4,
        opens="comes-loose",
        inject=_wire,
        present=_touches,
        revealed_by=IN_HAND,
        proved_by=IN_HAND,
        fixes=swaps("wire-tie"),
        in_the_air="A ticking, and a corner that stops for a moment, again and again.",
        explanation=(
            "A lead hangs into the circle of a propeller. Turned slowly by hand through a whole turn "
            "the blade touches it. Tie it back so that ten millimetres stay clear all round."
        ),
        caution="Turn the propellers by hand with the pack unplugged only.",
    ),
)
