"""Checks of transmitter, link and switches."""

from math import inf

import numpy as np

from sim.aircraft.fields import CHANNELS
from sim.bench.check import Check, armed, disarmed, sticks
from sim.bench.interlocks import reasons_not_to_arm
from sim.bench.reading import Reading
from sim.bench.rig import Rig
from sim.kernel.radio import Sticks, command

DISPLAY_S = 0.1  # s; own: time for a stick to reach the display
PART_THROTTLE = 0.25  # share; own: motors turn well below the hover
STOPPED_RAD_S = 20.0  # rad/s; own: a bell this slow is seen to stand still
WAIT_S = 3.0  # s; own: patience with motors that should stop
POSITIONS = (("low", -1.0), ("centre", 0.0), ("high", 1.0))


def _moved(channel: str, position: float) -> Sticks:
    """Return the sticks with one moved to -1, 0 or 1, the throttle otherwise down."""
    if channel == "throttle":
        return sticks(throttle=0.5 * (position + 1.0))
    return sticks(**{channel: position})


def stick_display(rig: Rig) -> Reading:
    """Move each stick to its ends and read what arrives; low is left, back (nose up) is high."""
    values = {}
    for i, channel in enumerate(CHANNELS):
        for name, position in POSITIONS:
            rig.run(_moved(channel, position), DISPLAY_S)
            pulses = tuple(rig.value(f"radio.pulse_us.{k}") for k in range(4))
            values[f"{channel}_{name}_us"] = pulses[i]
            values[f"{channel}_{name}_share"] = float(command(pulses, rig.craft.radio)[i])
    rig.run(sticks(), DISPLAY_S)
    return Reading(
        "stick-display",
        values,
        notes=(
            "High is stick right (roll, yaw), stick back for nose up (pitch), stick up (throttle).",
        ),
    )


def stick_to_motor(rig: Rig) -> Reading:
    """Arm with propellers off, move each stick half way and see which motors speed up."""
    armed(rig)
    values = {}
    steady = rig.run(sticks(PART_THROTTLE), 1.0).last(0.3)
    groups = {
        "roll_right": ("roll", ("front_left", "rear_left"), ("front_right", "rear_right")),
        "pitch_back": ("pitch", ("front_left", "front_right"), ("rear_right", "rear_left")),
        "yaw_right": ("yaw", _counter_clockwise(rig), tuple(rig.world.airframe.clockwise)),
    }
    for name, (channel, up, down) in groups.items():
        moved = rig.run(sticks(PART_THROTTLE, **{channel: 0.5}), 0.4).last(0.2)
        for side, places in (("gain", up), ("other", down)):
            change = [
                moved[f"speed_{p}_rad_s"].mean() - steady[f"speed_{p}_rad_s"].mean() for p in places
            ]
            values[f"{name}_{side}_rpm"] = float(np.mean(change)) * 60.0 / (2.0 * np.pi)
        rig.run(sticks(PART_THROTTLE), 0.6)
    disarmed(rig)
    return Reading(
        "stick-to-motor",
        values,
        notes=(
            "Gain is the pair that should speed up: left pair for stick right, front pair for stick "
            "back, counter-clockwise pair for yaw right.",
        ),
    )


def _counter_clockwise(rig: Rig) -> tuple[str, ...]:
    clockwise = rig.world.airframe.clockwise
    return tuple(
        p for p in ("front_left", "front_right", "rear_right", "rear_left") if p not in clockwise
    )


def _until_stopped(rig: Rig, held: Sticks) -> float:
    """Return the seconds until all motors stand, or inf after a patient wait."""
    history = rig.run(held, WAIT_S)
    speeds = np.max([history[f"speed_{p}_rad_s"] for p in _all_places()], axis=0)
    standing = np.flatnonzero(speeds < STOPPED_RAD_S)
    if standing.size == 0:
        return inf
    return float(history["time_s"][standing[0]] - history["time_s"][0])


def _all_places() -> tuple[str, ...]:
    return ("front_left", "front_right", "rear_right", "rear_left")


def failsafe(rig: Rig) -> Reading:
    """Switch the transmitter off at part throttle, propellers off, and time the motors."""
    armed(rig)
    rig.run(sticks(PART_THROTTLE), 1.0)
    stopped_s = _until_stopped(rig, sticks(PART_THROTTLE)._replace(transmitter_on=0.0))
    rig.run(sticks(), 0.5)
    disarmed(rig)
    return Reading(
        "failsafe",
        {"stop_s": min(stopped_s, WAIT_S), "still_turning": float(stopped_s == inf)},
        notes=("Transmitter off at part throttle; waited three seconds.",),
    )


def switches(rig: Rig) -> Reading:
    """Try to arm with the throttle up, then arm properly and time the stop switch."""
    rig.run(sticks(0.5), 0.2)
    refused = reasons_not_to_arm(rig, sticks(0.5))
    rig.run(sticks(), 0.2)
    armed(rig)
    rig.run(sticks(PART_THROTTLE), 1.0)
    stopped_s = _until_stopped(rig, sticks(PART_THROTTLE)._replace(kill=1.0))
    disarmed(rig)
    return Reading(
        "switches",
        {
            "armed_with_throttle_up": float(not refused),
            "stop_switch_s": min(stopped_s, WAIT_S),
            "self_level": float(rig.world.conduct.self_level),
        },
        notes=tuple(refused),
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
    ),
    Check(
        "stick-to-motor",
        "C07",
        "Armed with propellers off, move each stick and see which motors speed up",
        1.0,
        ("powered", "linked", "props_off"),
        stick_to_motor,
        "Does the right pair speed up?",
        caution="Propellers off. Judge the first second: the motors creep apart after that.",
    ),
    Check(
        "switches",
        "C08",
        "Try the arming rules and the stop switch",
        1.0,
        ("powered", "linked", "props_off"),
        switches,
        "Does it refuse when it must, and stop at once?",
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
        caution="Propellers off.",
    ),
)
