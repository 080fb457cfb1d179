"""Faults of frame, legs, balance and strap."""

from math import cos, hypot, pi, sin

import numpy as np

from sim.aircraft.changes import with_value
from sim.aircraft.design import reach_m
from sim.aircraft.fields import PLACES
from sim.aircraft.world import World
from sim.faults.fault import Fault, Truth
from sim.faults.places import any_place, swaps

CG_LIMIT = 0.025  # of the rotors' way from the middle; own: 2.5 % more on one pair
SHIFT_LIMIT = 0.0314  # of the same; own: less than this the strap counts as tight
LEAN_LIMIT_DEG = 0.8  # deg; own: the eye against a square sees half a degree
MASS_RATIO = 1.06  # 1; own: what glue, ties and another pack do not explain
FOOT_SHORT = 1.0 / 30.0  # of the legs; own: nearly what they give under the weight


def _sideways(size: float, rng: np.random.Generator) -> tuple[float, float, float]:
    turn = rng.uniform(0.0, 2.0 * pi)
    return (size * cos(turn), size * sin(turn), 0.0)


def _heavy_side(world: World, severity: float, rng: np.random.Generator) -> World:
    # m; trade experience: 5-25 mm where the rotors stand 160 mm from the middle
    size = (0.044 + 0.094 * severity) * reach_m(world.airframe)
    return with_value(world, "build.frame.cg_offset_m", _sideways(size, rng))


def cg_offset_m(truth: Truth) -> float:
    """Return how far the CG lies beside the middle of the four hubs, m."""
    hubs = [rotor.hub_m for rotor in truth.craft.rotors]
    return hypot(sum(h.x for h in hubs) / 4.0, sum(h.y for h in hubs) / 4.0)


def _loose_strap(world: World, severity: float, rng: np.random.Generator) -> World:
    # m; trade experience: 10-30 mm on the same
    size = (0.063 + 0.126 * severity) * reach_m(world.airframe)
    return with_value(world, "build.frame.strap_shift_m", _sideways(size, rng))


def _strap_slips(truth: Truth) -> bool:
    shift = truth.craft.strap_shift_m
    return hypot(shift.x, shift.y) > SHIFT_LIMIT * reach_m(truth.world.airframe)


def _loose_joint(world: World, severity: float, rng: np.random.Generator) -> World:
    # 1; trade experience: 15-40 Hz where the gyro is filtered at 60 Hz
    share = 0.67 - 0.42 * severity
    hz = share * world.airframe.sheet.setup.gyro_cutoff_hz
    return with_value(world, "build.frame.loose_arm_hz", hz)


def _swings(truth: Truth) -> bool:
    """Tell whether a joint swings so slowly that the gyro's filter lets the loop feel it."""
    return (
        0.0 < truth.world.build.frame.loose_arm_hz < truth.world.airframe.sheet.setup.gyro_cutoff_hz
    )


def _leaning_motor(world: World, severity: float, rng: np.random.Generator) -> World:
    sign = 1.0 if rng.random() < 0.5 else -1.0
    lean = sign * (1.2 + 2.8 * severity)  # deg; trade experience 1-4 deg
    return with_value(world, f"build.rotors.{any_place(rng)}.motor.axis_lean_deg", lean)


def _axis_off(truth: Truth) -> bool:
    limit = sin(LEAN_LIMIT_DEG * pi / 180.0)
    return any(hypot(rotor.axis.x, rotor.axis.y) > limit for rotor in truth.craft.rotors)


def _heavy(world: World, severity: float, rng: np.random.Generator) -> World:
    factor = 1.18 + 0.40 * severity  # 1; trade experience 1.2-1.6
    return with_value(world, "build.frame.mass_factor", factor)


def _too_heavy(truth: Truth) -> bool:
    return truth.craft.body.mass_kg > MASS_RATIO * truth.world.airframe.mass_kg


def _short(world: World, severity: float) -> float:
    """Return how much a bent leg lacks, m; own: a twentieth to a sixth of it."""
    return (0.05 + 0.117 * severity) * world.airframe.frame.foot_down_m


def _bent_leg(world: World, severity: float, rng: np.random.Generator) -> World:
    lifts = [0.0, 0.0, 0.0, 0.0]
    lifts[PLACES.index(any_place(rng))] = _short(world, severity)
    return with_value(world, "build.frame.leg_lift_m", tuple(lifts))


def _stands_uneven(truth: Truth) -> bool:
    lengths = [foot.z for foot in truth.craft.feet_m]
    return max(lengths) - min(lengths) > FOOT_SHORT * truth.world.airframe.frame.foot_down_m


FAULTS = (
    Fault(
        id="cg-offset",
        family="airframe",
        item="balance",
        hazard=3,
        opens="lifts-unevenly",
        inject=_heavy_side,
        present=lambda truth: cg_offset_m(truth) > CG_LIMIT * reach_m(truth.world.airframe),
        revealed_by=("weigh-and-balance", "light-on-legs"),
        proved_by=("weigh-and-balance",),
        fixes=("swap:pack-place",),
        in_the_air="It leans to the heavy side at takeoff; those motors work harder and get hotter.",
        explanation=(
            "The centre of gravity lies beside the middle of the four rotors, so one side must lift "
            "more all the time. Move the pack until it hangs level from two balance points."
        ),
    ),
    Fault(
        id="pack-strap-loose",
        family="airframe",
        item="strap",
        hazard=4,
        opens="comes-loose",
        inject=_loose_strap,
        present=_strap_slips,
        revealed_by=("look-and-tug",),
        proved_by=("look-and-tug",),
        fixes=("swap:pack-strap",),
        in_the_air="At the first brisk move the pack slides and the aircraft jerks to that side.",
        lucky="no move was brisk enough to shift the pack.",
        explanation=(
            "The strap lets the pack slide when the aircraft is shoved sideways by about a third of "
            "its weight. The centre of gravity jumps, and the plug may part. Tighten the strap over "
            "a pad that grips, and tie the lead."
        ),
        caution="Tug with the pack unplugged.",
    ),
    Fault(
        id="arm-joint-loose",
        family="airframe",
        item="frame",
        hazard=3,
        opens="shakes-or-slack",
        inject=_loose_joint,
        present=_swings,
        revealed_by=("look-and-tug",),
        proved_by=("look-and-tug",),
        fixes=("swap:frame-screws",),
        in_the_air="A buzz that grows with the gains and that no tuning takes away.",
        explanation=(
            "A joint between arm and body has play. It makes a spring between motors and sensors "
            "with hardly any damping, in the middle of the band the loop works in. Tighten the "
            "screws and lock the threads."
        ),
    ),
    Fault(
        id="motor-mount-tilted",
        family="airframe",
        item="motor mounts",
        hazard=2,
        opens="lifts-unevenly",
        inject=_leaning_motor,
        present=_axis_off,
        revealed_by=("look-and-tug",),
        proved_by=("look-and-tug",),
        fixes=swaps("motor"),
        in_the_air="A steady yaw trim; one diagonal pair works harder than the other.",
        explanation=(
            "A motor leans sideways, so part of its thrust pushes the arm round. The controller "
            "answers with a steady yaw command that uses up its room. Sight the bells against a "
            "square and seat the motor anew."
        ),
    ),
    Fault(
        id="over-mass",
        family="airframe",
        item="mass",
        hazard=3,
        opens="lifts-unevenly",
        inject=_heavy,
        present=_too_heavy,
        revealed_by=("weigh-and-balance", "light-on-legs"),
        proved_by=("weigh-and-balance",),
        fixes=("swap:ballast",),
        in_the_air="It hovers at a high throttle, lifts late and empties the pack early.",
        explanation=(
            "It weighs far more than the build sheet says. The hover takes more of the thrust there "
            "is, the current grows with the power 1.5 of the weight, and little is left to catch it."
        ),
        also=("pack-high-resistance", "rate-gain-high", "hover-throttle-mismatch"),
    ),
    Fault(
        id="leg-snag-or-bent",
        family="airframe",
        item="legs",
        hazard=3,
        opens="lifts-unevenly",
        inject=_bent_leg,
        present=_stands_uneven,
        revealed_by=("weigh-and-balance", "level-and-still", "pad-look"),
        proved_by=("weigh-and-balance",),
        fixes=("swap:legs",),
        in_the_air="It leaves the floor late and askew, about the leg that lets go last.",
        explanation=(
            "One leg is bent short. It stands crooked and rocks on a flat plate, and at takeoff it "
            "turns about the foot that is still loaded. Straighten the leg; use a smooth, flat pad."
        ),
    ),
)
