"""Faults of motors and their leads."""

import numpy as np

from sim.aircraft.airframe import Airframe
from sim.aircraft.changes import with_value
from sim.aircraft.design import hover
from sim.aircraft.fields import PLACES
from sim.aircraft.powertrain import spins
from sim.aircraft.world import World
from sim.faults.fault import Fault, Truth
from sim.faults.places import any_place, matched_places, swaps
from sim.kernel import motor
from sim.kernel.motor import MotorParams
from sim.keys import CheckKey
from sim.units import RAD_S_PER_RPM

FRICTION = 0.58  # of what a bare motor takes to turn; own: plain in its current
BELL = 0.6  # of what is left in its propeller; own: on 10 inch what grade G6.3 allows a 25 g bell
# at 9000 rpm, 0.15 g mm
JOINT_OPENS_PER_S = 0.02  # 1/s; own: once a minute is not a good joint
NO_LOAD_RATIO = 1.3  # 1; trade experience: siblings agree within 15 %, twice that is a fault
TORQUE_RATIO = 1.08  # 1; own: windings of one kind agree within a few per cent


def _key(place: str, part: str) -> str:
    return f"build.rotors.{place}.motor.{part}"


def _crossed(world: World, severity: float, rng: np.random.Generator) -> World:
    """Cross the signal leads of two motors."""
    a, b = rng.permutation(len(PLACES))[:2]
    world = with_value(world, f"build.rotors.{PLACES[a]}.output", PLACES[b])
    return with_value(world, f"build.rotors.{PLACES[b]}.output", PLACES[a])


def _order_wrong(truth: Truth) -> bool:
    return any(rotor.output != float(i) for i, rotor in enumerate(truth.craft.rotors))


def _reversed(world: World, severity: float, rng: np.random.Generator) -> World:
    place = any_place(rng, matched_places(world))
    right = getattr(world.build.rotors, place).motor.spin_right
    return with_value(world, _key(place, "spin_right"), not right)


def _turns_wrong(truth: Truth) -> bool:
    pairs = zip(truth.craft.rotors, spins(truth.world.airframe), strict=True)
    return any(rotor.spin != planned for rotor, planned in pairs)


def _rough(world: World, severity: float, rng: np.random.Generator) -> World:
    # of the hover's torque, past the limit; trade experience: 10-30 % with what is allowed
    more = (0.033 + 0.20 * severity) * hover(world.airframe).torque_n_m
    drag = friction_limit_n_m(world.airframe) + more
    return with_value(world, _key(any_place(rng), "friction_n_m"), drag)


def friction_limit_n_m(airframe: Airframe) -> float:
    """Return the drag of a bearing from which it is rough, N m."""
    bare = airframe.motor.no_load_a * motor.torque_constant_n_m_a(
        airframe.motor.kv_rpm_v * RAD_S_PER_RPM
    )
    return FRICTION * float(bare)


def _drags(truth: Truth) -> bool:
    limit = friction_limit_n_m(truth.world.airframe)
    return any(rotor.motor.friction_n_m > limit for rotor in truth.craft.rotors)


def _bent_shaft(world: World, severity: float, rng: np.random.Generator) -> World:
    left = world.airframe.propeller.unbalance_g_mm
    size = (0.88 + 1.52 * severity) * left  # trade experience 0.1-0.5 g mm on 10 inch
    return with_value(world, _key(any_place(rng), "bell_unbalance_g_mm"), size)


def _bad_joint(world: World, severity: float, rng: np.random.Generator) -> World:
    place = any_place(rng)
    world = with_value(world, _key(place, "gap_rate_per_s"), 0.1 + 0.9 * severity)  # 1/s; trade
    return with_value(world, _key(place, "gap_s"), 0.12 + 0.18 * severity)  # s; own


def _opens(truth: Truth) -> bool:
    motors = [getattr(truth.world.build.rotors, place).motor for place in PLACES]
    return any(m.gap_rate_per_s > JOINT_OPENS_PER_S and m.gap_s > 0.0 for m in motors)


def _weak_or_shorted(world: World, severity: float, rng: np.random.Generator) -> World:
    """Weaken the magnets of a motor, or short some of its turns: one or the other by chance."""
    place = any_place(rng)
    if rng.random() < 0.5:
        return with_value(world, _key(place, "strength"), 0.90 - 0.12 * severity)  # 1; own
    return with_value(world, _key(place, "shorted_share"), 0.015 + 0.035 * severity)  # 1; own


def _spoilt(truth: Truth) -> bool:
    motors = [rotor.motor for rotor in truth.craft.rotors]
    speed = hover(truth.world.airframe).speed_rad_s
    return _stands_out([m.kv_rad_s_v for m in motors], TORQUE_RATIO) or _stands_out(
        [no_load_a(m, speed) for m in motors], NO_LOAD_RATIO
    )


def no_load_a(params: MotorParams, speed_rad_s: float) -> float:
    """Return the current that magnets and windings take with nothing to drive, bearings sound."""
    sound = params._replace(friction_n_m=0.0)
    return float(motor.operating_point(speed_rad_s, 0.0, sound)[1])


def _stands_out(values: list[float], ratio: float) -> bool:
    """Tell whether one of the four lies above their middle by more than a ratio."""
    return max(values) > ratio * float(np.median(values))


ONE: tuple[CheckKey, ...] = ("one-motor",)
BOTH: tuple[CheckKey, ...] = ("one-motor", "ramp-and-snap")

FAULTS = (
    Fault(
        id="motor-order-swapped",
        family="propulsion",
        item="motor order",
        hazard=5,
        opens="motors-mixed-up",
        inject=_crossed,
        present=_order_wrong,
        revealed_by=(*ONE, "stick-to-motor", "tilt-while-armed", "light-on-legs"),
        proved_by=ONE,
        fixes=swaps("signal-lead"),
        in_the_air="It flips at once: the controller pushes the wrong corners.",
        explanation=(
            "Two signal leads are crossed, so a command for one corner turns the motor of another. "
            "Every correction of level then makes things worse. Drive each output alone and see "
            "which corner turns."
        ),
        caution="Propellers off.",
    ),
    Fault(
        id="motor-spin-reversed",
        family="propulsion",
        item="motor direction",
        hazard=5,
        opens="motors-mixed-up",
        inject=_reversed,
        present=_turns_wrong,
        revealed_by=(*ONE, "light-on-legs"),
        proved_by=ONE,
        fixes=swaps("phase-leads"),
        in_the_air="With the right propeller it blows upwards there, and the aircraft flips.",
        explanation=(
            "A motor turns against its arrow: two of its three leads are the other way round. Drive "
            "it alone with a flag of tape on the bell, then exchange any two of the three leads."
        ),
        caution="Propellers off: paper or tape shows the direction.",
    ),
    Fault(
        id="motor-bearing-rough",
        family="propulsion",
        item="motors",
        hazard=2,
        opens="corner-gives-way",
        inject=_rough,
        present=_drags,
        revealed_by=ONE,
        proved_by=ONE,
        fixes=swaps("motor"),
        in_the_air="A whine and a warm motor.",
        explanation=(
            "A bearing drags. The bell feels gritty, runs down sooner than its siblings and takes "
            "more current for the same speed. Replace bearing or motor."
        ),
    ),
    Fault(
        id="motor-shaft-bent",
        family="propulsion",
        item="motors",
        hazard=2,
        opens="corner-gives-way",
        inject=_bent_shaft,
        present=lambda truth: any(
            getattr(truth.world.build.rotors, p).motor.bell_unbalance_g_mm
            > BELL * truth.world.airframe.propeller.unbalance_g_mm
            for p in PLACES
        ),
        revealed_by=ONE,
        proved_by=ONE,
        fixes=swaps("motor"),
        in_the_air="A buzz that a new propeller does not cure.",
        explanation=(
            "The shaft is bent, so the bell itself wobbles. Run alone without a propeller, that "
            "motor shakes the frame once a turn and its siblings do not. Replace it."
        ),
    ),
    Fault(
        id="phase-joint-bad",
        family="propulsion",
        item="motor leads",
        hazard=4,
        opens="corner-gives-way",
        inject=_bad_joint,
        present=_opens,
        revealed_by=BOTH,
        proved_by=ONE,
        fixes=swaps("phase-leads"),
        in_the_air="One corner drops out of nowhere for a moment.",
        explanation=(
            "A joint in one of a motor's leads opens now and then. Without that phase the motor "
            "gives no torque. It shows when it is started many times while the leads are moved. "
            "Make the joint anew."
        ),
    ),
    Fault(
        id="motor-weak-or-shorted",
        family="propulsion",
        item="motors",
        hazard=3,
        opens="corner-gives-way",
        inject=_weak_or_shorted,
        present=_spoilt,
        revealed_by=(*BOTH, "light-on-legs"),
        proved_by=ONE,
        fixes=swaps("motor"),
        in_the_air="A steady trim to one corner, and a motor that runs warmer than the rest.",
        explanation=(
            "Its magnets have become weak, or some turns of a winding are shorted. Weak magnets make "
            "less torque of each ampere: it runs faster than its siblings and takes more current for "
            "it. Shorted turns brake: it takes several times their current with nothing to drive, "
            "runs a little slower and lifts less. Either way motor and drive get hot."
        ),
        caution="Stop at any smell; a shorted winding gets hot in seconds.",
    ),
)
