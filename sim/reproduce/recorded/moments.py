"""Faults that come and go: joints that open, wires that touch, leads that pick up kicks.

When they come no model can tell, but whence: what the sound aircraft leaves of the angular
acceleration then lies along the lever of one corner. Each block is sound or disturbed along a corner;
how often and how hard is averaged over. A sound aircraft meets eddies as often and as hard, but from
anywhere: what tells is the direction alone.
"""

from math import log

import numpy as np

from sim.aircraft.fields import PLACES, Place
from sim.keys import FaultId
from sim.reproduce.recorded.evidence import FREEDOM, Fit, Noise, together_nats
from sim.reproduce.recorded.features import Features
from sim.reproduce.recorded.nuisance import NUISANCES
from sim.reproduce.recording import Values

OFTEN = {
    "phase-joint-bad": (0.02, 0.06, 0.15),
    "wire-in-disc": (0.04, 0.10),
    "signal-ground-missing": (1.0,),
}
# share of blocks; trade experience: opened for 0.1 to 0.3 s, once in 1 to 10 s; noise is always there
HARD = {"phase-joint-bad": (4.0, 12.0, 36.0), "wire-in-disc": (4.0, 12.0, 36.0), "signal-ground-missing": (0.7, 1.2, 2.0, 4.0)}  # fmt: skip
# of what is left of a sound aircraft; own: from what is just felt to the whole thrust of a corner
ALWAYS: frozenset[FaultId] = frozenset({"signal-ground-missing"})
GUSTS_OFTEN, GUSTS_HARD = (0.01, 0.03, 0.1, 0.3), (1.5, 3.0, 6.0)  # own: eddies of a room
AT_ONCE = 1.5  # 1; tau of changes of rate, as in `sim.reproduce.recorded.noise`


def _density(z: Values) -> Values:
    """Return the logarithm of Student's t, up to a constant."""
    return -0.5 * (FREEDOM + 1.0) * np.log1p(z * z / FREEDOM)


def _levers(features: Features, columns: Values, spread: Values, roll: int, pitch: int) -> Values:
    """Return unit vectors (4, 2) along which each corner turns it, in units of what is left."""
    found = []
    for place in PLACES:
        i = next(k for k, n in enumerate(NUISANCES) if n.name == f"blades {place}")
        way = np.array(
            [
                float(np.median(columns[features.which == k, i] / spread[features.which == k]))
                for k in (roll, pitch)
            ]
        )
        found.append(way / np.hypot(way[0], way[1]))
    return np.array(found)


def _gain(along: Values, hard: float, often: float) -> float:
    """Return by how many nats blocks disturbed that often and hard explain what lies along a lever.

    Where all are disturbed, what is left else must be the smaller for it.
    """
    base = 1.0 / np.sqrt(1.0 + 0.5 * hard * hard) if often == 1.0 else 1.0
    sound = _density(along)
    wide = base * np.hypot(1.0, hard)
    disturbed = _density(along / wide) - log(wide)
    if often == 1.0:
        return float((disturbed - sound).sum()) / AT_ONCE
    return (
        float((np.logaddexp(np.log1p(-often) + sound, log(often) + disturbed) - sound).sum())
        / AT_ONCE
    )


def coming_and_going(
    features: Features, columns: Values, noise: Noise, sound: Fit
) -> dict[FaultId, tuple[float, Place]]:
    """Return (nats over the sound aircraft, likeliest corner) of each fault that comes and goes."""
    at = {f.axis: k for k, f in enumerate(features.list) if f.name == "turning"}
    if not at:
        return {}
    spread = noise.shape * sound.scale[noise.which]
    left = [(sound.residual / spread)[features.which == at[axis]] for axis in (0, 1)]
    levers = _levers(features, columns, spread, at[0], at[1])
    gusts = [_eddies(*left, often, hard) for often in GUSTS_OFTEN for hard in GUSTS_HARD]
    by_chance = max(0.0, together_nats(np.array(gusts)))
    found: dict[FaultId, tuple[float, Place]] = {}
    for fault in ("phase-joint-bad", "wire-in-disc", "signal-ground-missing"):
        gains = np.empty((4, len(OFTEN[fault]), len(HARD[fault])))
        for i, (x, y) in enumerate(levers):
            along, beside = x * left[0] + y * left[1], -y * left[0] + x * left[1]
            for j, often in enumerate(OFTEN[fault]):
                for k, hard in enumerate(HARD[fault]):
                    gains[i, j, k] = _gain(along, hard, often)
                    if often == 1.0:
                        gains[i, j, k] += _shrunk(beside, hard)
        nats = together_nats(gains) - (0.0 if fault in ALWAYS else by_chance)
        found[fault] = nats, PLACES[int(np.unravel_index(gains.argmax(), gains.shape)[0])]
    return found


def _eddies(x: Values, y: Values, often: float, hard: float) -> float:
    """Return by how many nats gusts from anywhere, that often and hard, explain what is left."""
    wide = float(np.hypot(1.0, hard))
    calm = _density(x) + _density(y)
    gust = _density(x / wide) + _density(y / wide) - 2.0 * log(wide)
    mixed = np.logaddexp(np.log1p(-often) + calm, log(often) + gust)
    return float((mixed - calm).sum()) / AT_ONCE


def _shrunk(beside: Values, hard: float) -> float:
    """Return by how many nats a smaller scale explains what lies across a lever."""
    base = 1.0 / np.sqrt(1.0 + 0.5 * hard * hard)
    return float((_density(beside / base) - log(base) - _density(beside)).sum()) / AT_ONCE
