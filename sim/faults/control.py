"""Faults of control set-up and gains."""

from collections.abc import Callable
from math import pi

import numpy as np

from sim.aircraft.changes import with_value
from sim.aircraft.setup import AxisGains
from sim.aircraft.world import World
from sim.faults.fault import Fault, Truth
from sim.faults.gains import (
    damping_shares,
    filter_lag_s,
    filter_noise,
    loop_margins,
    rate_gain_shares,
)
from sim.keys import FixKey
from sim.units import RAD_PER_DEG

GAIN_MARGIN_DB = 6.0  # dB; flight-control practice (MIL-F-9490D, read second-hand)
PHASE_MARGIN_DEG = 45.0  # deg; the same
FAINT = 0.5  # of the sheet's crossover; own: half the speed is wallowing
ROUGH = 1.8  # times the sheet's; own: command noise from damping or open filters
UNEQUAL = 1.45  # own: ratio of pitch to roll, over that of the sheet
LATE_S = 0.005  # s; own: filter lag beyond the sheet's, as much as the output delay
CREEP = 0.05  # share; training practice: spread of the commands after 20 s at idle
IDLE_S = 20.0  # s; the same
PAD_TILT_RAD = 2.0 * RAD_PER_DEG  # rad; own: a garage floor
SPOOLING = 0.05  # share; own: throttle at which people wait and listen
WILD_TILT_DEG = 30.0  # deg; common practice: 20 to 25 indoors
HOVER_STICK = (0.74, 1.26)  # of the sheet's; common practice: 35 to 60 % where 47 % is planned
AXES = ("roll", "pitch")
GAIN_KEYS: tuple[FixKey, ...] = (
    "setup.controller.roll.p",
    "setup.controller.roll.i",
    "setup.controller.roll.d",
    "setup.controller.pitch.p",
    "setup.controller.pitch.i",
    "setup.controller.pitch.d",
)


def _scaled(gains: AxisGains, p: float = 1.0, i: float = 1.0, d: float = 1.0) -> AxisGains:
    return AxisGains(p=gains.p * p, i=gains.i * i, d=gains.d * d)


def _gains(
    world: World, axes: tuple[str, ...], p: float = 1.0, i: float = 1.0, d: float = 1.0
) -> World:
    """Return the world with the gains of these axes multiplied."""
    for axis in axes:
        now: AxisGains = getattr(world.setup.controller, axis)
        world = with_value(world, f"setup.controller.{axis}", _scaled(now, p, i, d))
    return world


def _setting(key: str, value: Callable[[float], object]) -> Callable[..., World]:
    def inject(world: World, severity: float, rng: np.random.Generator) -> World:
        """Set one value wrong."""
        return with_value(world, f"setup.controller.{key}", value(severity))

    return inject


def _one_sense(world: World, severity: float, rng: np.random.Generator) -> World:
    """Turn the loop of roll or pitch round."""
    return with_value(world, f"setup.controller.{rng.choice(AXES)}_sense", -1)


def _too_much(world: World, severity: float, rng: np.random.Generator) -> World:
    """Multiply the roll and pitch gains; the nominal loop bears a factor of 1.6."""
    factor = 3.0 + 0.8 * severity
    return _gains(world, AXES, factor, factor, factor)


def _too_little(world: World, severity: float, rng: np.random.Generator) -> World:
    factor = 0.42 - 0.17 * severity  # 1; trade experience: a third
    return _gains(world, AXES, factor, factor, factor)


def _much_damping(world: World, severity: float, rng: np.random.Generator) -> World:
    return _gains(world, AXES, d=2.7 + 1.2 * severity)  # 1; trade experience: three times


def _winds_up(world: World, severity: float, rng: np.random.Generator) -> World:
    world = _gains(world, AXES, i=2.0 + 2.0 * severity)  # 1; trade experience: three times
    return with_value(world, "setup.controller.integral_from_throttle", 0.0)


def _one_axis(world: World, severity: float, rng: np.random.Generator) -> World:
    """Copy the gains of another aircraft to pitch alone."""
    factor = 1.7 + 0.5 * severity  # 1; trade experience: twice or half
    factor = factor if rng.random() < 0.5 else 1.0 / factor
    return _gains(world, ("pitch",), factor, factor, factor)


def _filters(world: World, severity: float, rng: np.random.Generator) -> World:
    """Filter so hard that the gyro comes late, or hardly at all."""
    if rng.random() < 0.5:
        cutoff = 18.0 - 8.0 * severity  # Hz; 12 to 26 ms late
        return with_value(world, "setup.controller.gyro_cutoff_hz", cutoff)
    world = with_value(world, "setup.controller.gyro_cutoff_hz", 200.0 + 200.0 * severity)  # Hz
    return with_value(world, "setup.controller.damping_cutoff_hz", 150.0 + 100.0 * severity)  # Hz


def _margins_short(truth: Truth) -> bool:
    return any(
        m.gain_db < GAIN_MARGIN_DB or m.phase_deg < PHASE_MARGIN_DEG for m in loop_margins(truth)
    )


def _faint(truth: Truth) -> bool:
    roll, pitch = rate_gain_shares(truth)
    return max(roll, pitch) < FAINT


def _unequal(truth: Truth) -> bool:
    roll, pitch = rate_gain_shares(truth)
    ratio = pitch / roll if min(roll, pitch) > 0.0 else (1.0 if roll == pitch else np.inf)
    return not 1.0 / UNEQUAL < ratio < UNEQUAL


def _rough(truth: Truth) -> bool:
    """Tell whether damping, beyond what goes with the other gains, makes the commands rough."""
    pairs = zip(damping_shares(truth), rate_gain_shares(truth), strict=True)
    return any(d > ROUGH and d > 1.5 * p for d, p in pairs)  # own: half as much again


def creep_share(truth: Truth) -> float:
    """Return how far the integrals run off in 20 s at idle on a floor that is not level."""
    c = truth.world.setup.controller
    if c.integral_from_throttle > SPOOLING:
        return 0.0
    rate = max(c.roll.i, c.pitch.i) * c.attitude_gain_per_s * PAD_TILT_RAD
    return min(c.integral_limit, rate * IDLE_S)


def _filtered_wrong(truth: Truth) -> bool:
    now, frame = truth.world.setup.controller, truth.world.airframe
    late = filter_lag_s(now) - filter_lag_s(frame.sheet.setup) > LATE_S
    return late or filter_noise(now, frame) > ROUGH * filter_noise(frame.sheet.setup, frame)


def _stick_off(truth: Truth) -> bool:
    """Tell whether the throttle curve, not the aircraft's weight, puts the hover out of place."""
    return not HOVER_STICK[0] <= 1.0 / truth.craft.controller.throttle_gain <= HOVER_STICK[1]


FAULTS = (
    Fault(
        id="loop-sign-reversed",
        family="control",
        item="stabiliser",
        hazard=5,
        opens="corrects-wrong-way",
        inject=_one_sense,
        present=lambda t: t.craft.controller.sense.x < 0.0 or t.craft.controller.sense.y < 0.0,
        revealed_by=("tilt-while-armed", "settings-sheet", "stick-to-motor", "light-on-legs"),
        proved_by=("tilt-while-armed",),
        fixes=("setup.controller.roll_sense", "setup.controller.pitch_sense"),
        in_the_air="Every lean is pushed further: it flips at takeoff.",
        explanation=(
            "The loop of one axis pushes the wrong way. Tilt the armed aircraft by hand, propellers "
            "off: the low side must speed up."
        ),
        caution="Propellers off. The stick display is right all the same: do not reverse a channel.",
    ),
    Fault(
        id="mixer-geometry-wrong",
        family="control",
        item="mixer",
        hazard=5,
        opens="motors-mixed-up",
        inject=_setting("layout", lambda _: "plus"),
        present=lambda t: abs(t.craft.controller.layout_turn_rad) > 5.0 * RAD_PER_DEG,  # own
        revealed_by=("tilt-while-armed", "settings-sheet"),
        proved_by=("tilt-while-armed",),
        fixes=("setup.controller.layout",),
        in_the_air=(
            "What should turn it about one axis turns it about the other as well: it wobbles "
            "about both and answers askew."
        ),
        explanation=(
            "The mixer believes the motors sit ahead, behind and abeam, but they sit at the "
            "corners. Nose down drives one motor instead of the front pair. Choose the right layout."
        ),
    ),
    Fault(
        id="yaw-mix-sign-wrong",
        family="control",
        item="stabiliser",
        hazard=4,
        opens="corrects-wrong-way",
        inject=_setting("yaw_sense", lambda _: -1),
        present=lambda t: t.craft.controller.sense.z < 0.0,
        revealed_by=("tilt-while-armed", "settings-sheet", "stick-to-motor", "light-on-legs"),
        proved_by=("tilt-while-armed",),
        fixes=("setup.controller.yaw_sense",),
        in_the_air="The nose turns faster and faster, and it climbs as it spins.",
        explanation=(
            "The yaw loop pushes with a turn instead of against it. Twist the armed aircraft nose "
            "right, propellers off: the clockwise-spinning pair must speed up."
        ),
    ),
    Fault(
        id="rate-gain-high",
        family="control",
        item="gains",
        hazard=3,
        opens="shakes-or-slack",
        inject=_too_much,
        present=_margins_short,
        revealed_by=("settings-sheet", "steady-throttle", "light-on-legs", "tilt-while-armed"),
        proved_by=("steady-throttle", "light-on-legs"),
        fixes=GAIN_KEYS,
        in_the_air="A fast shake that does not die out; motors and drives heat up.",
        explanation=(
            "The rate gains are so high that, with the lag of motors, filters and delays, a "
            "correction arrives when it is no longer one. The loop rings. Lower the gains until it "
            "has 6 dB and 45 degrees in hand."
        ),
        caution="Try it light on the legs first, with everybody clear.",
    ),
    Fault(
        id="rate-gain-low",
        family="control",
        item="gains",
        hazard=2,
        opens="shakes-or-slack",
        inject=_too_little,
        present=_faint,
        revealed_by=("settings-sheet", "tilt-while-armed"),
        proved_by=("settings-sheet", "tilt-while-armed"),
        fixes=GAIN_KEYS,
        in_the_air="It wallows and takes its time to stop.",
        explanation=(
            "The rate gains are so low that the aircraft answers slowly: a draught or the pilot's "
            "hand leads it. Raise them to the sheet's values."
        ),
    ),
    Fault(
        id="damping-gain-high",
        family="control",
        item="gains",
        hazard=3,
        opens="shakes-or-slack",
        inject=_much_damping,
        present=_rough,
        revealed_by=("settings-sheet", "steady-throttle"),
        proved_by=("steady-throttle",),
        fixes=("setup.controller.roll.d", "setup.controller.pitch.d"),
        in_the_air="A coarse sound from all motors, even at a steady stick.",
        explanation=(
            "The damping gain multiplies the gyro's noise and sends it to the motors: they sound "
            "coarse at a steady stick and work for nothing. Lower it, or filter a little more."
        ),
        also=("rate-gain-high",),
    ),
    Fault(
        id="integral-windup-on-pad",
        family="control",
        item="gains",
        hazard=3,
        opens="shakes-or-slack",
        inject=_winds_up,
        present=lambda truth: creep_share(truth) > CREEP,
        revealed_by=("idle-creep", "settings-sheet", "tilt-while-armed"),
        proved_by=("idle-creep",),
        fixes=("setup.controller.integral_from_throttle",),
        in_the_air=(
            "After some time with the motors turning on the floor it lurches as it leaves it."
        ),
        lucky="you lifted off at once, before anything could wind up.",
        explanation=(
            "The integral part works while the aircraft still stands, where it can correct nothing, "
            "and runs to its end. Let it begin above idle throttle, and lift off crisply."
        ),
    ),
    Fault(
        id="axis-gains-unequal",
        family="control",
        item="gains",
        hazard=2,
        opens="shakes-or-slack",
        inject=_one_axis,
        present=_unequal,
        revealed_by=("settings-sheet", "tilt-while-armed"),
        proved_by=("settings-sheet", "tilt-while-armed"),
        fixes=GAIN_KEYS,
        in_the_air="One axis shakes or wallows, the other is sound.",
        explanation=(
            "Roll and pitch were given gains that do not match their inertias. Put both back to "
            "the sheet's values."
        ),
        also=("rate-gain-high",),
    ),
    Fault(
        id="filter-cutoff-wrong",
        family="control",
        item="filters",
        hazard=3,
        opens="shakes-or-slack",
        inject=_filters,
        present=_filtered_wrong,
        revealed_by=("settings-sheet",),
        proved_by=("settings-sheet",),
        fixes=("setup.controller.gyro_cutoff_hz", "setup.controller.damping_cutoff_hz"),
        in_the_air="It wobbles a few times a second, or the motors sound coarse.",
        explanation=(
            "A filter set too low delays what the gyro feels, and the loop rings slowly; set too "
            "high, it lets the noise through to the motors. Put it back to the sheet's value."
        ),
        also=("rate-gain-high",),
    ),
    Fault(
        id="tilt-limit-wild",
        family="control",
        item="limits",
        hazard=3,
        opens="answers-unlike-the-hand",
        inject=_setting("tilt_limit_deg", lambda severity: 45.0 + 30.0 * severity),  # deg
        present=lambda t: t.craft.controller.tilt_limit_rad > WILD_TILT_DEG * pi / 180.0,
        revealed_by=("settings-sheet", "light-on-legs"),
        proved_by=("settings-sheet",),
        fixes=("setup.controller.tilt_limit_deg",),
        in_the_air="A little stick leans it far over, and within seconds it is at the wall.",
        explanation=(
            "So much lean at full stick suits a field, not a garage. Limit it to 20 or 25 degrees."
        ),
    ),
    Fault(
        id="hover-throttle-mismatch",
        family="control",
        item="throttle curve",
        hazard=2,
        opens="answers-unlike-the-hand",
        inject=_setting("throttle_gain", lambda severity: 1.6 + 0.7 * severity),  # 1; 30 % for half
        present=_stick_off,
        revealed_by=("settings-sheet", "light-on-legs", "restrained-run-up"),
        proved_by=("settings-sheet", "light-on-legs"),
        fixes=("setup.controller.throttle_gain",),
        in_the_air="It shoots up off the floor: a finger's breadth of stick is a metre.",
        explanation=(
            "The throttle curve is so steep that the hover lies at a quarter of the stick: a "
            "finger's breadth is a metre. Set the curve so that it hovers near the middle."
        ),
    ),
)
