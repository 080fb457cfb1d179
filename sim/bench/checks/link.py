"""Checks of transmitter, link and switches."""

from math import inf

import numpy as np

from sim.aircraft.changes import with_value
from sim.aircraft.fields import CHANNELS, PLACES
from sim.aircraft.setup import OWN_MEMORY
from sim.bench.changes import LOOP, STICKS, every
from sim.bench.check import Check, Line, armed, disarmed, sticks
from sim.bench.interlocks import reasons_not_to_arm
from sim.bench.person import TACHOMETER_RPM, Subject, noticed, read_off, senses
from sim.bench.reading import Reading
from sim.bench.rig import History, Rig, degrees
from sim.bench.transmitter import pack_v, transmitted
from sim.kernel.radio import Sticks, command
from sim.units import RAD_S_PER_RPM

DISPLAY_S = 0.1  # s; own: time for a stick to reach the display
PART_THROTTLE = 0.25  # share; own: motors turn well below the hover
HALF_STICK = 0.5  # of stick; own: plain to hear, clear of the ends
STEADY_S, MOVED_S, HEARD_S = 0.3, 0.4, 0.2  # s; own: the first moment, before they creep apart
STICK_MOVES = {"roll_right": "roll", "pitch_back": "pitch", "yaw_right": "yaw"}
STOPPED_RAD_S = 20.0  # rad/s; own: a bell this slow is seen to stand still
WAIT_S = 3.0  # s; own: patience with motors that should stop
THUMB_S = 0.1  # s; own: a thumb on a stopwatch
HEARD_RPM = 20.0  # rpm; own: a change of speed by the ear and the tachometer
METER_ERROR_V = 0.05  # V; own: of the transmitter's own meter
NO_LINK_S = 1.0  # s; own: twice the time after which the link counts as lost
ASKEW_DEG = 40.0  # deg; own: plainly not level
Pulses = tuple[float, ...]  # of the four channels, us
POSITIONS = (("low", -1.0), ("centre", 0.0), ("high", 1.0))


def _moved(channel: str, position: float) -> Sticks:
    """Return the sticks with one moved to -1, 0 or 1, the throttle otherwise down."""
    if channel == "throttle":
        return sticks(throttle=0.5 * (position + 1.0))
    return sticks(**{channel: position})


def bars(rig: Rig, pulses: Pulses) -> tuple[float, ...]:
    """Return the bars, -1..1, that the display draws of pulses in us."""
    return tuple(float(bar) for bar in command(pulses, rig.craft.radio))


def screen_lines(rig: Rig) -> dict[str, float]:
    """Return whether the transmitter's screen names this aircraft."""
    own = rig.world.setup.transmitter.memory == OWN_MEMORY
    other = noticed(senses(rig, Subject.SCREEN), "another model's name", not own)
    return {"screen_names_this_aircraft": float(not other)}


def channel_lines(rig: Rig, channel: str, arrived: dict[str, Pulses]) -> dict[str, float]:
    """Return what is read of one stick. arrived : the pulses of all channels by its position."""
    i, values = CHANNELS.index(channel), {}
    shown = {name: bars(rig, pulses) for name, pulses in arrived.items()}
    for name, pulses in arrived.items():
        values[f"{channel}_{name}_us"] = pulses[i]
        values[f"{channel}_{name}_share"] = shown[name][i]
    if {"low", "high"} <= set(arrived):
        moved = np.ptp(np.array(list(shown.values())), axis=0)
        values[f"{channel}_moves_others_share"] = float(np.delete(moved, i).max())
        values[f"{channel}_moves_bar"] = float(np.argmax(moved))
    if arrived:
        in_use = rig.world.setup.transmitter.in_use()
        values[f"{channel}_trim_us"] = getattr(in_use, channel).trim_us
    return values


def display_reading(rig: Rig, values: dict[str, float], missing: tuple[str, ...] = ()) -> Reading:
    """Return the reading of the stick display; the transmitter's meter is looked at last."""
    return Reading(
        "stick-display",
        values | transmitter_meter(rig),
        notes=(
            f"The screen names the model: {rig.world.setup.transmitter.memory}.",
            "High is stick right (roll, yaw), stick back for nose up (pitch), stick up (throttle).",
            "Bars are numbered 0 roll, 1 pitch, 2 throttle, 3 yaw.",
        ),
        missing=missing,
    )


def stick_display(rig: Rig) -> Reading:
    """Move each stick to its ends and read what arrives; low is left, back (nose up) is high."""
    values = screen_lines(rig)
    for channel in CHANNELS:
        arrived: dict[str, Pulses] = {}
        for name, position in POSITIONS:
            rig.run(_moved(channel, position), DISPLAY_S)
            arrived[name] = tuple(rig.value(f"radio.pulse_us.{k}") for k in range(4))
        values |= channel_lines(rig, channel, arrived)
    rig.run(sticks(), DISPLAY_S)
    return display_reading(rig, values)


def transmitter_meter(rig: Rig) -> dict[str, float]:
    """Return what the transmitter's own meter shows of its pack."""
    eye = senses(rig, Subject.TRANSMITTER)
    volts = pack_v(rig.world, rig.transmitter_s) + METER_ERROR_V * float(eye.standard_normal())
    return {"transmitter_pack_v": round(volts, 1)}


def stick_to_motor(rig: Rig) -> Reading:
    """Arm with propellers off, move each stick half way and see which motors speed up."""
    armed(rig)
    rng = senses(rig, Subject.EAR)
    values: dict[str, float] = {}
    steady = rig.run(sticks(PART_THROTTLE), 1.0).last(STEADY_S)
    for move, channel in STICK_MOVES.items():
        moved = rig.run(sticks(PART_THROTTLE, **{channel: HALF_STICK}), MOVED_S).last(HEARD_S)
        values |= pair_lines(rig, rng, move, steady, moved)
        rig.run(sticks(PART_THROTTLE), 0.6)
    disarmed(rig)
    return stick_to_motor_reading(values)


def pair_lines(
    rig: Rig,
    rng: np.random.Generator,
    move: str,
    steady: History,
    moved: History,
    share: float = 1.0,
) -> dict[str, float]:
    """Return by how much each pair of motors speeds up when a stick is moved half way, rpm.

    share : how far it was moved, of half way: what answers in proportion is told for half way, with
    the error of the ear.
    """
    clockwise = tuple(rig.world.airframe.clockwise)
    others = tuple(p for p in PLACES if p not in clockwise)
    up, down = {
        "roll_right": (("front_left", "rear_left"), ("front_right", "rear_right")),
        "pitch_back": (("front_left", "front_right"), ("rear_right", "rear_left")),
        "yaw_right": (others, clockwise),
    }[move]
    values = {}
    for side, places in (("gain", up), ("other", down)):
        change = [
            moved[f"speed_{p}_rad_s"].mean() - steady[f"speed_{p}_rad_s"].mean() for p in places
        ]
        rpm = float(np.mean(change)) / RAD_S_PER_RPM
        values[f"{move}_{side}_rpm"] = read_off(rng, rpm / share, HEARD_RPM / share, TACHOMETER_RPM)
    return values


def stick_to_motor_reading(values: dict[str, float], missing: tuple[str, ...] = ()) -> Reading:
    """Return the reading of which pair speeds up for which stick."""
    return Reading(
        "stick-to-motor",
        values,
        notes=(
            "Gain is the pair that should speed up: left pair for stick right, front pair for stick "
            "back, counter-clockwise pair for yaw right.",
        ),
        missing=missing,
    )


def until_stopped_s(history: History) -> float:
    """Return the seconds until all motors stand, or inf if one turned to the end."""
    speeds = np.max([history[f"speed_{p}_rad_s"] for p in PLACES], axis=0)
    standing = np.flatnonzero(speeds < STOPPED_RAD_S)
    if standing.size == 0:
        return inf
    return float(history["time_s"][standing[0]] - history["time_s"][0])


def timed_s(rig: Rig, stopped_s: float) -> float:
    """Return a time until the motors stood as stopped by hand, s."""
    rng = senses(rig, Subject.STOPPING)
    return WAIT_S if stopped_s == inf else read_off(rng, stopped_s, THUMB_S, 0.01, 0.0)


def failsafe(rig: Rig) -> Reading:
    """Switch the transmitter off at part throttle, propellers off, and time the motors."""
    armed(rig)
    rig.run(sticks(PART_THROTTLE), 1.0)
    off = sticks(PART_THROTTLE)._replace(transmitter_on=0.0)
    stopped_s = until_stopped_s(rig.run(off, WAIT_S))
    rig.run(sticks(), 0.5)
    disarmed(rig)
    return failsafe_reading(rig, stopped_s)


def failsafe_reading(rig: Rig, stopped_s: float) -> Reading:
    """Return the reading of a time until the motors stood, s; inf: they turned on."""
    return Reading(
        "failsafe",
        {"stop_s": timed_s(rig, stopped_s), "still_turning": float(stopped_s == inf)},
        notes=("Transmitter off at part throttle; waited three seconds.",),
    )


def _refused(rig: Rig, held: Sticks) -> bool:
    rig.run(held, 0.2)
    return bool(reasons_not_to_arm(rig, held))


def forbidden_cases(rig: Rig) -> dict[str, float]:
    """Return for each forbidden case of arming whether it armed all the same."""
    values = {
        "armed_with_throttle_up": not _refused(rig, sticks(0.5)),
        "armed_with_stop_switch_on": not _refused(rig, sticks()._replace(stop=1.0)),
    }
    rig.run(sticks()._replace(transmitter_on=0.0), NO_LINK_S)
    values["armed_without_link"] = not reasons_not_to_arm(rig)
    rig.run(sticks(), 0.3)
    heading = degrees(rig.run(sticks(), 0.1)["heading_rad"][-1])
    rig.turn(ASKEW_DEG, 0.0, heading)
    values["armed_askew"] = not _refused(rig, sticks())
    rig.turn(0.0, 0.0, heading)
    return {name: float(armed_anyway) for name, armed_anyway in values.items()}


def _modes(rig: Rig) -> tuple[bool, bool]:
    """Return whether the mode switch gives self-level forward, and back."""
    forward, back = (
        transmitted(
            sticks(), with_value(rig.world, "conduct.self_level", ahead), rig.transmitter_s
        ).self_level
        for ahead in (True, False)
    )
    return forward > 0.0, back > 0.0


def switches(rig: Rig) -> Reading:
    """Try the four cases in which it must not arm, then the stop switch, then the mode switch."""
    values = forbidden_cases(rig)
    rig.run(sticks(), 0.2)
    armed(rig)
    rig.run(sticks(PART_THROTTLE), 1.0)
    stopped_s = until_stopped_s(rig.run(sticks(PART_THROTTLE)._replace(stop=1.0), WAIT_S))
    disarmed(rig)
    values["stop_switch_s"] = timed_s(rig, stopped_s)
    return switches_reading(rig, values | mode_lines(rig))


def mode_lines(rig: Rig) -> dict[str, float]:
    """Return what each position of the mode switch gives."""
    forward, back = _modes(rig)
    return {"forward_gives_self_level": float(forward), "back_gives_self_level": float(back)}


def switches_reading(rig: Rig, values: dict[str, float], missing: tuple[str, ...] = ()) -> Reading:
    """Return the reading of arming rules, stop switch and mode switch."""
    forward, back = _modes(rig)
    return Reading(
        "switches",
        values,
        notes=(
            f"Mode switch forward: {'self-level' if forward else 'rate'}; "
            f"back: {'self-level' if back else 'rate'}.",
        ),
        missing=missing,
    )


CHECKS = (
    Check(
        "stick-display",
        "C07",
        "Move each stick to its ends and read the display",
        1.0,
        ("powered", "linked", "props_off"),
        stick_display,
        "Which way does each bar move, and how far?",
        lines=(
            Line("link", 10, "sticks", "Stick display: say model, sense and ends", killer=True),
        ),
        voided_by=(*STICKS, "calibrate:sticks", "swap:transmitter-pack"),
    ),
    Check(
        "stick-to-motor",
        "C07",
        "Armed with propellers off, move each stick and see which motors speed up",
        1.0,
        ("powered", "linked", "props_off"),
        stick_to_motor,
        "Does the right pair speed up?",
        lines=(
            Line(
                "control",
                20,
                "stick-motor",
                "Stick to motor: say which pair speeds up",
                killer=True,
            ),
        ),
        voided_by=(*LOOP, *STICKS, *every("swap:signal-lead-"), "calibrate:sticks", "crash"),
        caution="Propellers off. Judge the first second: the motors creep apart after that.",
    ),
    Check(
        "switches",
        "C08",
        "Try the arming rules, the stop switch and the mode switch",
        1.0,
        ("powered", "linked", "props_off", "in_hands"),
        switches,
        "Does it refuse when it must, stop at once, and what does each position give?",
        lines=(
            Line(
                "link", 20, "stop-switch", "Arming rules and stop switch: say the time", killer=True
            ),
            Line(
                "last-gate",
                30,
                "stop-switch",
                "Stop switch under the thumb: say the time",
                killer=True,
            ),
        ),
        voided_by=(
            *STICKS,
            "setup.controller.arming_rules",
            "setup.controller.stop_switch",
            "calibrate:sticks",
        ),
        caution="Propellers off.",
    ),
    Check(
        "failsafe",
        "C09",
        "Switch the transmitter off at part throttle",
        1.0,
        ("powered", "linked", "props_off"),
        failsafe,
        "How long until the motors stop?",
        lines=(
            Line("link", 30, "failsafe", "Transmitter off: say how long to stop", killer=True),
            Line("last-gate", 20, "failsafe", "Failsafe seen: say the time again", killer=True),
        ),
        voided_by=(*STICKS, "setup.controller.failsafe", "calibrate:sticks"),
        caution="Propellers off.",
    ),
)
