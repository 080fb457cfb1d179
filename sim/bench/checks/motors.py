"""Checks of motors and drives: one alone, all together, and by touch after running."""

from dataclasses import dataclass
from math import hypot

import numpy as np
from numpy.typing import NDArray

from sim.aircraft.fields import PLACES, Place
from sim.bench.changes import every
from sim.bench.check import Check, Line, armed, disarmed, sticks
from sim.bench.driven_outputs import WIGGLES
from sim.bench.person import Subject, noticed, read_off, senses, tachometer_rpm
from sim.bench.reading import Reading, Series
from sim.bench.rig import History, Rig
from sim.kernel.clock import ticks
from sim.units import KELVIN_AT_0_DEGC, RAD_S_PER_RPM

FIRST_COMMAND, LAST_COMMAND, COMMAND_STEP = 0.020, 0.140, 0.004  # of command; own: slider steps
FLAG_TURNS_RAD_S = 25.0  # rad/s; own: seen to turn, with the flag of tape
RUN_COMMAND, RUN_S = 0.6, 4.0  # own: brisk, and long enough to feel it
SETTLE_S = 0.6  # s; own: time until the speed is steady
DIP_SHARE = 0.85  # of the usual speed; own: an ear hears such a dip
FULL_SHARE = 0.95  # of the usual speed; own: between dips
MAD_TO_SIGMA = 1.4826  # 1; normal distribution
STOP_SHARE = 0.10  # of the speed; own: run-down is timed to a tenth
COAST_S = 4.0  # s; own: longer than a sound bell takes
FLAG_US = 2.0  # us; own: the flag is seen to turn half a step of the slider late or early
NEEDLE_A = 0.025  # A; own: a needle that trembles, and the zero it began from
UNSTEADY_SHARE = 0.0015  # share; own: how steady a tachometer with tape shows a steady speed
SHAKE_M_S2 = 0.006  # m/s2; own: what the bench and the hand on it add
HOLD_COMMAND, HOLD_S = 0.3, 4.0  # own
SNAPS, SNAP_LOW, SNAP_HIGH, SNAP_S = 20, 0.10, 0.80, 0.35  # trade experience: twenty snaps
REST_S = 0.25  # s; own: between snaps
MISS_SHARE = 0.75  # of the fastest motor's speed; own: a miss is plain to the ear
IDLE_S = 0.1  # s; own: the idle speed is read at the end of a chop
CHOPS, CHOP_S, STOPPED_RAD_S = 10, 0.7, 25.0  # trade experience: chop ten times, none may stop
AIR_K = 0.5  # K; own: a thermometer on the wall
FINGER_K = 2.0  # K; own: back of a finger, trained against a thermometer strip
SLID_M = 0.003  # m; own: a pack that has slid less looks as it was
COMPARED_K = 0.4  # K; own: the same finger, one drive right after the other


TOLD = (
    "turns_corner",
    "turns_sign",
    "start_us",
    "speed_rpm",
    "no_load_a",
    "coast_s",
    "unsteady_share",
    "dips_count",
    "shake_m_s2",
)  # what is said of each output driven alone; all 0 if it turns nothing


Told = tuple[dict[str, float], str]


@dataclass(frozen=True)
class Alone:
    """What one output did when driven alone."""

    corner: Place
    start: float
    run: History
    coast: History
    standing_a: float


def speeds(history: History, place: Place) -> NDArray[np.float64]:
    """Return the speed of the motor at a place, rad/s."""
    return history[f"speed_{place}_rad_s"]


def fastest(history: History) -> Place:
    """Return the corner whose motor turns fastest at the end of a recording."""
    return max(PLACES, key=lambda place: float(speeds(history, place)[-1]))


def _start(rig: Rig, output: Place) -> float:
    """Raise the command in small steps until something turns; return that command."""
    command = FIRST_COMMAND
    while command < LAST_COMMAND:
        seen = rig.drive_only((output,), command, 0.15)
        if speeds(seen, fastest(seen))[-1] > FLAG_TURNS_RAD_S:
            break
        command += COMMAND_STEP
    return command


def _drive_alone(rig: Rig, output: Place) -> Alone:
    standing = float(rig.run(sticks(), 0.2)["shown_pack_a"].mean())
    start = _start(rig, output)
    corner = fastest(rig.drive_only((output,), RUN_COMMAND, SETTLE_S))
    run = rig.drive_only((output,), RUN_COMMAND, RUN_S, every=ticks(0.001), wiggle=WIGGLES)
    coast = rig.drive_only((output,), 0.0, COAST_S)
    return Alone(corner, start, run, coast, standing)


def usual(speed: NDArray[np.float64]) -> float:
    """Return the speed while nothing is amiss, rad/s: most dips leave a tenth of the time alone."""
    return float(np.percentile(speed, 90.0))


def dips(speed: NDArray[np.float64]) -> int:
    """Return how often a speed falls away from its usual value."""
    low = speed < DIP_SHARE * usual(speed)
    return int(np.count_nonzero(low[1:] & ~low[:-1])) + int(low[0])


def unsteady(speed: NDArray[np.float64]) -> float:
    """Return the jitter of a speed between its dips, share; the middle deviation, scaled to one sigma."""
    steady = speed[speed > FULL_SHARE * usual(speed)]
    deviation = float(np.median(np.abs(steady - np.median(steady))))
    return MAD_TO_SIGMA * deviation / max(float(np.median(steady)), 1.0)


def once_a_turn_m_s2(history: History, speed_rad_s: float) -> float:
    """Return the shake of the frame at the speed of a rotor: amplitude over both axes, m/s2."""
    step = float(np.median(np.diff(history["time_s"])))
    window = np.hanning(len(history))
    near = 0.0
    frequency = np.fft.rfftfreq(len(history), step) * 2.0 * np.pi
    inside = np.abs(frequency - speed_rad_s) < 0.04 * speed_rad_s
    for axis in "xy":
        line = np.abs(np.fft.rfft(history[f"accel_{axis}_m_s2"] * window))[inside]
        near += float(np.max(line)) ** 2 if line.size else 0.0
    return float(np.sqrt(0.5 * near)) * 2.0 / float(window.sum())


def coast_s(alone: Alone) -> float:
    """Return how long the bell runs on until it has lost all but a tenth of its speed, s."""
    speed = speeds(alone.coast, alone.corner)
    below = np.flatnonzero(speed < STOP_SHARE * speed[0])
    times = alone.coast["time_s"]
    return float(times[below[0]] - times[0]) if below.size else COAST_S


def _arrow(rig: Rig, place: Place) -> float:
    """Return the sign of the arrow on an arm: +1 is clockwise."""
    return 1.0 if place in rig.world.airframe.clockwise else -1.0


def alone_told(rng: np.random.Generator, rig: Rig, output: Place, alone: Alone) -> Told:
    """Return what the person says of one output driven alone, and which bell it was in words."""
    told = _told(rng, rig, alone)
    values = {f"{output}_{name}": value for name, value in told.items()}
    turns = told["turns_corner"] > 0.0
    values[f"{output}_arrow_sign"] = _arrow(rig, alone.corner) if turns else 0.0
    bell = f"the {alone.corner.replace('_', ' ')} bell" if turns else "no bell"
    return values, f"{output}: {bell} turns."


def _told(rng: np.random.Generator, rig: Rig, alone: Alone) -> dict[str, float]:
    """Return what is seen, heard and measured of the corner that turned."""
    i, speed = PLACES.index(alone.corner), speeds(alone.run, alone.corner)
    middle = usual(speed)
    full = speed > FULL_SHARE * middle
    if middle < FLAG_TURNS_RAD_S:  # this output drives no motor
        return dict.fromkeys(TOLD, 0.0)
    amps = float(np.median(alone.run["shown_pack_a"][full])) - alone.standing_a
    planned = _arrow(rig, alone.corner)
    against = noticed(rng, "turning the wrong way", rig.craft.rotors[i].spin != planned)
    return {
        "turns_corner": float(i + 1),
        "turns_sign": -planned if against else planned,
        "start_us": read_off(rng, 1000.0 + 1000.0 * alone.start, FLAG_US, 1.0),
        "speed_rpm": tachometer_rpm(rng, middle),
        "no_load_a": read_off(rng, amps, NEEDLE_A, 0.01, 0.0),
        "coast_s": read_off(rng, coast_s(alone), 0.04, 0.05, 0.05),
        "unsteady_share": read_off(rng, unsteady(speed), UNSTEADY_SHARE, 0.0005, 0.0),
        "dips_count": float(dips(speed)),
        "shake_m_s2": read_off(rng, once_a_turn_m_s2(alone.run, middle), SHAKE_M_S2, 0.001, 0.0),
    }


def alone_reading(told: list[Told]) -> Reading:
    """Return the reading of the outputs driven alone."""
    values: dict[str, float] = {}
    for said, _ in told:
        values |= said
    order = "Corners count 1 front left, 2 front right, 3 rear right, 4 rear left; 0 is none."
    notes = (order, "Sign +1 is clockwise.", *(words for _, words in told))
    return Reading("one-motor", values, notes=notes)


def one_motor(rig: Rig) -> Reading:
    """Drive each output alone, with a flag of tape on the bells and the leads moved."""
    rng = senses(rig, Subject.ONE_MOTOR)
    return alone_reading([alone_told(rng, rig, p, _drive_alone(rig, p)) for p in PLACES])


def chops_told(rig: Rig, idles: list[History]) -> dict[str, float]:
    """Return how often each motor stood after a chop, idle speeds after the last one, idle set.

    idles : the last tenth of a second of each chop.
    """
    stops = dict.fromkeys(PLACES, 0)
    idle = {place: 0.0 for place in PLACES}
    for seen in idles:
        for place in PLACES:
            idle[place] = float(speeds(seen, place).mean())
            stops[place] += idle[place] < STOPPED_RAD_S
    values = {f"{place}_stops_count": float(n) for place, n in stops.items()}
    rng = senses(rig, Subject.CHOPS)
    values["idle_slowest_rpm"] = tachometer_rpm(rng, min(idle.values()))
    values["idle_fastest_rpm"] = tachometer_rpm(rng, max(idle.values()))
    values["idle_set_us"] = 1000.0 + 1000.0 * rig.world.setup.controller.idle
    return values


def _chops(rig: Rig) -> dict[str, float]:
    """Arm, chop the throttle to the bottom ten times; return idle speeds and stops."""
    armed(rig)
    idles = []
    for _ in range(CHOPS):
        rig.run(sticks(HOLD_COMMAND), 0.3)
        idles.append(rig.run(sticks(), CHOP_S).last(IDLE_S))
    disarmed(rig)
    return chops_told(rig, idles)


def missed(snap: History) -> dict[Place, bool]:
    """Return which motors lose step in a snap: fall behind at some time in its second half."""
    half = snap.last(0.5 * SNAP_S)
    best = np.max([speeds(half, place) for place in PLACES], axis=0)
    return {place: bool(np.any(speeds(half, place) < MISS_SHARE * best)) for place in PLACES}


def snaps_told(snaps: list[History], restarts: int) -> dict[str, float]:
    """Return how often each motor lost step, and how often the controller started anew."""
    misses = dict.fromkeys(PLACES, 0)
    for snap in snaps:
        for place, late in missed(snap).items():
            misses[place] += late
    values = {f"{place}_misses_count": float(n) for place, n in misses.items()}
    return values | {"restarts_count": float(restarts)}


def _snaps(rig: Rig) -> dict[str, float]:
    """Snap all four together twenty times; return misses and restarts of the controller."""
    snaps: list[History] = []
    for _ in range(SNAPS):
        rig.drive_only(PLACES, SNAP_LOW, REST_S)
        powered = rig.value("powered_ticks")
        seen = rig.drive_only(PLACES, SNAP_HIGH, SNAP_S)
        if rig.value("powered_ticks") < powered:
            return snaps_told(snaps, 1)
        snaps.append(seen)
    return snaps_told(snaps, 0)


def held_told(rng: np.random.Generator, held: History) -> dict[str, float]:
    """Return speed, jitter and dips of each motor while all four have one command."""
    values: dict[str, float] = {}
    for place in PLACES:
        speed = speeds(held, place)
        values[f"{place}_speed_rpm"] = tachometer_rpm(rng, usual(speed))
        values[f"{place}_unsteady_share"] = read_off(
            rng, unsteady(speed), UNSTEADY_SHARE, 0.0005, 0.0
        )
        values[f"{place}_dips_count"] = float(dips(speed))
    return values


def _held(rig: Rig) -> tuple[dict[str, float], History]:
    """Hold one command on all four; return speed, jitter and dips of each."""
    rng = senses(rig, Subject.ALL_MOTORS)
    rig.drive_only(PLACES, HOLD_COMMAND, SETTLE_S)
    held = rig.drive_only(PLACES, HOLD_COMMAND, HOLD_S, every=ticks(0.002))
    return held_told(rng, held), held


def snap_reading(values: dict[str, float], held: History | None) -> Reading:
    """Return the reading of chops, hold and snaps, with the speeds of the last second held."""
    if held is None:
        return Reading("ramp-and-snap", values)
    part = held.last(1.0)
    traces = {
        place.replace("_", " "): Series(
            "time_s",
            "speed_rpm",
            tuple(part["time_s"].tolist()),
            tuple((speeds(part, place) / RAD_S_PER_RPM).tolist()),
        )
        for place in PLACES
    }
    return Reading("ramp-and-snap", values, series=traces)


def ramp_and_snap(rig: Rig) -> Reading:
    """Chop to idle, hold all four at one command, then snap them, propellers off."""
    chopped = _chops(rig)
    shown, held = _held(rig)
    values = chopped | shown | _snaps(rig)
    rig.drive_only(PLACES, 0.0, 1.5)
    return snap_reading(values, held)


def touch_after(rig: Rig) -> Reading:
    """Touch the four drives and look at blades and pack after running."""
    rng = senses(rig, Subject.TOUCH)
    warm = FINGER_K * float(rng.standard_normal())  # how the finger itself is today
    values = {"air_degc": read_off(rng, rig.world.site.temperature_degc, AIR_K, 0.5)}
    for i, place in enumerate(PLACES):
        celsius = rig.value(f"rotors.{i}.motor.temperature_k") - KELVIN_AT_0_DEGC
        values[f"{place}_drive_degc"] = read_off(rng, celsius + warm, COMPARED_K, 0.5)
        broken = rig.value(f"rotors.{i}.broken") > 0.0
        values[f"{place}_blade_broken_count"] = float(noticed(rng, "broken blade", broken))
    x, y, _ = rig.world.build.frame.strap_shift_m
    slid = rig.value("shifted") > 0.0 and hypot(x, y) > SLID_M
    values["pack_moved_count"] = float(noticed(rng, "slid pack", slid))
    return Reading("touch-after", values)


CHECKS = (
    Check(
        "one-motor",
        "C14",
        "Each output alone, propellers off, a flag of tape on the bell",
        3.0,
        ("powered", "props_off"),
        one_motor,
        "Which corner turns, which way, from which command, how smoothly, how long does it coast?",
        lines=(Line("motors", 10, "one-motor", "One at a time: say place and turn", killer=True),),
        voided_by=(
            *every("swap:motor-"),
            *every("swap:signal-lead-"),
            *every("swap:phase-leads-"),
            "calibrate:drives",
            "crash",
        ),
        caution="Propellers off: count them. Hair, sleeves and lanyards away from the bells.",
    ),
    Check(
        "ramp-and-snap",
        "C16",
        "All motors, propellers off: chop ten times, hold, snap twenty times",
        2.0,
        ("powered", "linked", "props_off", "in_hands"),
        ramp_and_snap,
        "Does any stop, stutter, screech or lag behind the others?",
        lines=(Line("motors", 20, "snap", "Chop, hold, snap: say what stumbled"),),
        voided_by=(
            *every("swap:motor-"),
            *every("swap:signal-lead-"),
            *every("swap:phase-leads-"),
            "setup.controller.idle",
            "calibrate:drives",
            "crash",
        ),
        caution="Propellers off. Short bursts: without load the motors cool less.",
    ),
    Check(
        "touch-after",
        "C24",
        "Touch the drives and look it over after a run",
        0.5,
        (),
        touch_after,
        "Is one of the four hotter than its siblings, is anything broken or moved?",
        lines=(
            Line("motors", 30, "touch", "Touch each drive at once: say the warmest"),
            Line("load", 20, "touch", "Touch each drive: say the warmest"),
            Line("after-hop", 30, "touch", "Touch each drive: say the warmest, blades and pack"),
        ),
        follows=("ramp-and-snap", "restrained-run-up"),
        voided_by=(*every("swap:motor-"), "crash", "hop"),
        caution="Disarmed and unplugged first; touch with the back of a finger.",
        touches=True,
    ),
)
