"""What a person's eye, finger, ruler and stopwatch add to what is there."""

from zlib import crc32

import numpy as np

from sim.bench.rig import Rig


def senses(rig: Rig, subject: int) -> np.random.Generator:
    """Return the chance in one look; fixed by the whole state of the aircraft and the subject."""
    return np.random.default_rng([crc32(rig.fingerprint()), subject])


def read_off(
    rng: np.random.Generator, value: float, error: float, step: float, least: float = -np.inf
) -> float:
    """Return a value as read off: with a normal error, in steps of the scale, not below `least`."""
    seen = value + error * float(rng.standard_normal())
    return float(max(least, round(seen / step) * step))
