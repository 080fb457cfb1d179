"""What a person's eye, finger, ruler and stopwatch add to what is there."""

from enum import IntEnum
from math import floor, log10
from typing import Literal, NamedTuple, get_args
from zlib import crc32

import numpy as np

from sim.bench.rig import Rig
from sim.units import RAD_S_PER_RPM


class Subject(IntEnum):
    """What is looked at: each look has a chance of its own."""

    FRAME = 1
    PROPELLERS = 2
    SCALES = 3
    ONE_MOTOR = 4
    ALL_MOTORS = 5
    TOUCH = 6
    PACK = 7
    CONNECTOR = 8
    FIRST_POWER = 9
    VOLTAGE = 10
    BOARD = 11
    TRANSMITTER = 12
    SCREEN = 13
    RUN_UP = 14
    RAILS = 15
    RAMP = 16
    BREATH = 17
    LEVEL = 18
    STILL = 19
    PEOPLE = 20
    SURVEY = 21
    MARKS = 22
    FIELD = 23
    FACES = 24
    LEGS = 25
    STOPPING = 26
    EAR = 27
    WALK = 28
    CHOPS = 29
    INTERRUPTION = 35
    DRIVES = 31
    METER = 32
    OWN_HANDS = 33


class Impression(NamedTuple):
    """Chances of one look: that what is there is overlooked, what is not there imagined."""

    overlooked: float
    imagined: float


Sight = Literal[
    "wrong hand", "upside down", "nick", "rubbing lead", "kinked aerial", "bulge",
    "broken blade", "slid pack", "turning the wrong way", "another model's name",
    "person in the ring", "bare eyes", "litter", "no mark", "habit", "gap in the log",
    "charger alone",
]  # fmt: skip
"""What is told by looking alone, without an instrument whose error and step are stated."""

SIGHTS: dict[Sight, Impression] = {  # own judgement, every one
    "wrong hand": Impression(0.01, 0.0003),
    "upside down": Impression(0.01, 0.0003),
    "nick": Impression(0.03, 0.001),
    "rubbing lead": Impression(0.02, 0.0003),
    "kinked aerial": Impression(0.04, 0.001),
    "bulge": Impression(0.02, 0.0003),
    "broken blade": Impression(0.005, 0.0),
    "slid pack": Impression(0.02, 0.0),
    "turning the wrong way": Impression(0.005, 0.0),
    "another model's name": Impression(0.01, 0.0),
    "person in the ring": Impression(0.005, 0.0),
    "bare eyes": Impression(0.01, 0.0),
    "litter": Impression(0.02, 0.0),
    "no mark": Impression(0.01, 0.0),
    "habit": Impression(0.02, 0.0),
    "gap in the log": Impression(0.02, 0.0),
    "charger alone": Impression(0.01, 0.0),
}
if set(SIGHTS) != set(get_args(Sight)):
    raise ValueError("every sight needs its chances")


HUNDRED = 100.0  # 1; own: a scale is read to a hundredth of what is measured, or better
TACHOMETER = 0.004  # share; own: error of an optical tachometer with tape
TACHOMETER_RPM = 10.0  # rpm; own: its last digit that stands still


def senses(rig: Rig, subject: Subject) -> np.random.Generator:
    """Return the chance in one look; a second look errs anew, though nothing has moved meanwhile.

    It is fixed by the whole state of the aircraft, how often it was looked at, and the subject.
    """
    rig.looks += 1
    return np.random.default_rng([crc32(rig.fingerprint()), rig.looks, subject])


def read_off(
    rng: np.random.Generator, value: float, error: float, step: float, least: float = -np.inf
) -> float:
    """Return a value as read off: with a normal error, in steps of the scale, not below `least`."""
    seen = value + error * float(rng.standard_normal())
    return float(max(least, round(seen / step) * step))


def half_step(size: float) -> float:
    """Return the step of a scale fit for a size: half a unit of its second digit before the point.

    Who weighs sixty grams takes finer scales than who weighs four kilograms.
    """
    return 0.5 * 10.0 ** floor(log10(size / HUNDRED))


def noticed(rng: np.random.Generator, sight: Sight, there: bool) -> bool:
    """Return whether a person has the impression that something is so."""
    chance = float(rng.random())
    return chance >= SIGHTS[sight].overlooked if there else chance < SIGHTS[sight].imagined


def tachometer_rpm(rng: np.random.Generator, speed_rad_s: float) -> float:
    """Return a speed as an optical tachometer shows it, rpm."""
    rpm = speed_rad_s / RAD_S_PER_RPM
    return read_off(rng, rpm, TACHOMETER * rpm, TACHOMETER_RPM)
