"""Faults of the drives and of what commands them."""

import numpy as np

from sim.aircraft.airframe import Airframe
from sim.aircraft.changes import with_value
from sim.aircraft.design import flying, hover
from sim.aircraft.world import World
from sim.faults.fault import Fault, Truth
from sim.faults.gains import RESTED
from sim.faults.places import any_place, swaps
from sim.kernel import motor
from sim.kernel.linear import hover_trim

START_SPREAD = 0.015  # of command; trade experience: all start within 10 us, with some room
GAIN_SPREAD = 0.04  # share; trade experience: speeds within 3-5 %
IDLE_ROOM = 0.005  # of command; own: five microseconds above the start are on the safe side
IDLE_LIFT = 0.20  # of the weight; own: above this it is half flying at zero stick
PLAUSIBLE_IDLE = 0.25  # of the sheet's hover; own: below this no need to compute the thrust
NOISE_LIMIT = 0.01  # of command; own: ten microseconds of jitter
DESYNC_LIMIT = 0.02  # chance per jump; own: one in fifty snaps
ROOM_DEGC = 18.0  # degC; own: an unheated garage
WRAPPED = 0.1  # of its cooling; own: what a drive wrapped in foam is left with
DRIVE_ROOM_K = 5.0  # K; own: a drive must stay this far below where it cuts back


def _key(place: str, part: str) -> str:
    return f"build.rotors.{place}.motor.{part}"


def _ends_apart(world: World, severity: float, rng: np.random.Generator) -> World:
    """Let one drive start late and answer stronger or weaker than its siblings."""
    place = any_place(rng)
    sign = 1.0 if rng.random() < 0.5 else -1.0
    late = 0.024 + 0.036 * severity  # of command; trade experience 20-60 us
    gain = 1.0 + sign * (0.05 + 0.05 * severity)  # 1; trade experience 5-10 %
    return with_value(
        with_value(world, _key(place, "start_extra"), late), _key(place, "gain"), gain
    )


def _unmatched(truth: Truth) -> bool:
    starts = [rotor.motor.start_command for rotor in truth.craft.rotors]
    if not truth.relies_on("drives"):
        return False
    gains = [rotor.motor.gain for rotor in truth.craft.rotors]
    return max(starts) - min(starts) > START_SPREAD or max(gains) / min(gains) > 1.0 + GAIN_SPREAD


def _slow_idle(world: World, severity: float, rng: np.random.Generator) -> World:
    idle = (1.0 - 0.62 * severity) * world.airframe.motor.start_command  # of command; own
    return with_value(world, "setup.controller.idle", idle)


def _stalls(truth: Truth) -> bool:
    latest = max(rotor.motor.start_command for rotor in truth.craft.rotors)
    return truth.craft.controller.idle < latest + IDLE_ROOM


def _fast_idle(world: World, severity: float, rng: np.random.Generator) -> World:
    # of command; own: a quarter to over half of the weight, which goes with its square
    idle = (0.505 + 0.253 * severity) * world.airframe.sheet.hover_throttle
    return with_value(world, "setup.controller.idle", idle)


def idle_lift(truth: Truth) -> float:
    """Return thrust at idle as a share of the weight; thrust goes nearly with command squared."""
    hover = hover_trim(truth.craft, truth.tables, RESTED).command
    return (truth.craft.controller.idle / hover) ** 2


def _lifts_at_idle(truth: Truth) -> bool:
    plausible = PLAUSIBLE_IDLE * truth.world.airframe.sheet.hover_throttle
    return truth.craft.controller.idle > plausible and idle_lift(truth) > IDLE_LIFT


def _screech(world: World, severity: float, rng: np.random.Generator) -> World:
    chance = 0.08 + 0.22 * severity  # per jump; trade experience 0.05-0.3
    return with_value(world, _key(any_place(rng), "desync_chance"), chance)


def _small_drive(world: World, severity: float, rng: np.random.Generator) -> World:
    """Fit a drive of a fifth of the size, or wrap it up; how far depends on what it has to lose."""
    factor = (0.58 - 0.26 * severity) * least_cooling(world.airframe)
    return with_value(world, _key(any_place(rng), "cooling_factor"), factor)


def least_cooling(airframe: Airframe) -> float:
    """Return what share of its cooling a drive needs in a long hover so as not to cut back."""
    trim, m = hover(airframe), airframe.motor
    params = flying(airframe).rotors[0].motor
    amps = float(motor.operating_point(trim.speed_rad_s, trim.torque_n_m, params)[1])
    room_k = m.drive_limit_degc - DRIVE_ROOM_K - ROOM_DEGC
    return amps * amps * m.resistance_ohm * m.drive_heat_resistance_k_w / room_k


def _never_hot(world: World) -> str:
    if least_cooling(world.airframe) > WRAPPED:
        return ""
    return (
        "Its drives turn so little into heat in hover that even one wrapped in foam stays far below "
        "where it would cut back."
    )


def hottest_drive_k(truth: Truth) -> float:
    """Return the temperature the hottest drive would settle at in a long hover, K."""
    trim = hover_trim(truth.craft, truth.tables, RESTED)
    warmest = 0.0
    for rotor in truth.craft.rotors:
        amps = motor.operating_point(trim.speed_rad_s, trim.torque_n_m, rotor.motor)[1]
        loss_w = amps * amps * rotor.motor.resistance_ohm
        warmest = max(warmest, loss_w * rotor.motor.heat_resistance_k_w)
    return truth.craft.air.temperature_k + warmest


def _cuts_back(truth: Truth) -> bool:
    design_k_w = truth.world.airframe.motor.drive_heat_resistance_k_w
    if all(rotor.motor.heat_resistance_k_w <= design_k_w for rotor in truth.craft.rotors):
        return False
    return hottest_drive_k(truth) > truth.craft.rotors[0].motor.limit_k - DRIVE_ROOM_K


def _no_return(world: World, severity: float, rng: np.random.Generator) -> World:
    noise = 0.02 + 0.04 * severity  # of command; trade experience: up to 50 us
    return with_value(world, _key(any_place(rng), "command_noise"), noise)


FAULTS = (
    Fault(
        id="throttle-ends-unmatched",
        family="propulsion",
        item="drive end points",
        hazard=3,
        opens="corner-gives-way",
        inject=_ends_apart,
        present=_unmatched,
        revealed_by=("one-motor", "ramp-and-snap"),
        proved_by=("one-motor", "ramp-and-snap"),
        fixes=("calibrate:drives",),
        in_the_air=(
            "Low on the throttle it bobbles, as one motor starts late; higher up the loops trim "
            "it away."
        ),
        lucky="you spent no time low on the throttle.",
        explanation=(
            "The drives have learnt different end points, so one motor starts later and turns at "
            "another speed for the same command. Teach all four the travel together."
        ),
        caution="Propellers off: the motors may run up in the calibration.",
        also=("idle-too-low",),
    ),
    Fault(
        id="idle-too-low",
        family="propulsion",
        item="idle",
        hazard=3,
        opens="corner-gives-way",
        inject=_slow_idle,
        present=_stalls,
        revealed_by=("ramp-and-snap", "settings-sheet"),
        proved_by=("ramp-and-snap",),
        fixes=("setup.controller.idle",),
        in_the_air="In a fast descent a motor stops and the aircraft drops that corner or tumbles.",
        lucky="you came down gently.",
        explanation=(
            "The command of an armed motor at zero throttle lies below what keeps it turning. Chop "
            "the throttle ten times: none may stop. Raise the idle a little above the last start."
        ),
    ),
    Fault(
        id="idle-too-high",
        family="propulsion",
        item="idle",
        hazard=2,
        opens="answers-unlike-the-hand",
        inject=_fast_idle,
        present=_lifts_at_idle,
        revealed_by=("ramp-and-snap", "settings-sheet"),
        proved_by=("ramp-and-snap",),
        fixes=("setup.controller.idle",),
        in_the_air="With the stick at the bottom it stays light on its legs, slides and bounces.",
        lucky="you switched off as soon as the legs touched.",
        explanation=(
            "At zero stick the rotors still carry a good part of the weight, so it neither settles "
            "nor stays put. Lower the idle to what keeps the motors turning safely."
        ),
        caution="Such an idle turns propellers fast the moment it is armed.",
    ),
    Fault(
        id="drive-desync",
        family="propulsion",
        item="drives",
        hazard=5,
        opens="corner-gives-way",
        inject=_screech,
        present=lambda truth: any(
            r.motor.desync_chance > DESYNC_LIMIT and np.isfinite(r.motor.desync_jump)
            for r in truth.craft.rotors
        ),
        revealed_by=("ramp-and-snap",),
        proved_by=("ramp-and-snap",),
        fixes=swaps("motor"),
        in_the_air="A screech at a brisk throttle, and that corner falls away.",
        lucky="you never opened the throttle briskly.",
        explanation=(
            "On a sudden rise of the command a drive loses track of where its motor stands. It "
            "screeches and gives no torque for about half a second. Snap the throttle twenty times "
            "without propellers; change the drive or its timing until none misses."
        ),
        caution="Propellers off.",
    ),
    Fault(
        id="drive-thermal-limit",
        family="propulsion",
        item="drives",
        hazard=3,
        opens="corner-gives-way",
        inject=_small_drive,
        cannot=_never_hot,
        present=_cuts_back,
        revealed_by=("touch-after",),
        proved_by=("touch-after",),
        fixes=swaps("motor"),
        in_the_air=(
            "One motor and its drive get far hotter than the others; in a longer hover that "
            "corner sinks."
        ),
        explanation=(
            "One drive is too small for its current, or wrapped so that no air reaches it. Near its "
            "limit it cuts back to save itself. Touch all four after a run: one is far hotter. Give "
            "it air, or fit a larger one."
        ),
        caution="Test for heat with the back of a finger, pack unplugged.",
    ),
    Fault(
        id="signal-ground-missing",
        family="propulsion",
        item="signal leads",
        hazard=4,
        opens="corner-gives-way",
        inject=_no_return,
        present=lambda truth: any(r.motor.command_noise > NOISE_LIMIT for r in truth.craft.rotors),
        revealed_by=("one-motor", "ramp-and-snap"),
        proved_by=("one-motor", "ramp-and-snap"),
        fixes=swaps("signal-lead"),
        in_the_air="Random kicks from one corner.",
        explanation=(
            "A signal lead has no return of its own, so the drive reads the command with noise of "
            "tens of microseconds. At a steady command the motor twitches. Give the signal its "
            "ground wire and twist the two."
        ),
    ),
)
