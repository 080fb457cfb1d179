"""Faults that come and go: joints that open, wires that touch, leads that pick up kicks.

When they come no model can tell, but whence: what the sound aircraft leaves of the angular
acceleration then lies along the lever of one corner. Each block is sound or disturbed along a corner;
how often and how hard is averaged over. Any aircraft meets eddies as often and as hard, but from
anywhere, with such a fault or without: what tells is the direction alone.
"""

from math import log

import numpy as np

from sim.aircraft.fields import PLACES, Place
from sim.keys import FaultId
from sim.reproduce.recorded.evidence import FREEDOM, Fit, Noise, together_nats
from sim.reproduce.recorded.features import Features
from sim.reproduce.recorded.nuisance import COLUMN_OF
from sim.reproduce.recording import Values

OFTEN: dict[FaultId, tuple[float, ...]] = {
    "phase-joint-bad": (0.02, 0.06, 0.15),
    "wire-in-disc": (0.04, 0.10),
    "signal-ground-missing": (1.0,),
}
# share of blocks; trade experience: opened for 0.1 to 0.3 s, once in 1 to 10 s; noise is always there
HARD: dict[FaultId, tuple[float, ...]] = {"phase-joint-bad": (4.0, 12.0, 36.0), "wire-in-disc": (4.0, 12.0, 36.0), "signal-ground-missing": (0.0, 0.7, 1.2, 2.0, 4.0)}  # fmt: skip
# of what is left of a sound aircraft; own: from nothing, or what is just felt, to the whole thrust of a corner
GUSTS_OFTEN, GUSTS_HARD = (
    (0.0, 0.03, 0.1, 0.3),
    (1.5, 3.0, 8.0),
)  # own: eddies of a room, and what a model has wrong where sticks move
ASTRAY = 0.15  # of a kick; own: so far beside its lever it may go
MIDDLE = 0.741  # 1; median of the size of Student's t of four degrees of freedom (scipy.stats.t)
AT_ONCE = 1.5  # 1; tau of changes of rate, as in `sim.reproduce.recorded.noise`


def _own(z: Values) -> Values:
    """Return numbers in units of their own usual size; calm air leaves less than the floor of a model."""
    return np.asarray(z * MIDDLE / max(float(np.median(np.abs(z))), 1e-9)) if len(z) else z


def _density(z: Values) -> Values:
    """Return the logarithm of Student's t, up to a constant."""
    return -0.5 * (FREEDOM + 1.0) * np.log1p(z * z / FREEDOM)


def _levers(features: Features, columns: Values, spread: Values, roll: int, pitch: int) -> Values:
    """Return unit vectors (4, 2) along which each corner turns it, in units of what is left."""
    found = []
    for place in PLACES:
        i = COLUMN_OF[f"blades {place}"]
        way = np.array(
            [
                float(np.median(columns[features.which == k, i] / spread[features.which == k]))
                for k in (roll, pitch)
            ]
        )
        found.append(way / np.hypot(way[0], way[1]))
    return np.array(found)


def _scaled(z: Values, wide: float) -> Values:
    return np.asarray(_density(z / wide) - log(wide))


def _gusty(left: Values, hard: float) -> Values:
    """Return the log density of what is left, (2, n), in gusts from anywhere; calm with none."""
    wide = float(np.hypot(1.0, hard))
    return _scaled(left[0], wide) + _scaled(left[1], wide)


def _kicked(left: Values, lever: Values, always: bool, hard: float) -> Values:
    """Return the log density of what is left, (2, n), in kicks along a lever.

    Where all blocks are disturbed, what is left else must be the smaller for it.
    """
    along, beside = lever @ left, np.array([-lever[1], lever[0]]) @ left
    base = 1.0 / float(np.sqrt(1.0 + 0.5 * hard * hard)) if always else 1.0
    wide, thin = float(np.hypot(1.0, hard)), float(np.hypot(1.0, ASTRAY * hard))
    return _scaled(along, base * wide) + _scaled(beside, base * thin)


def _nats(left: Values, kick: Values, share: float) -> float:
    """Return by how many nats kicks in a share of all blocks explain what is left, (2, n).

    Gusts may come besides; how often and how hard is averaged over.
    """
    calm = _gusty(left, 0.0)
    found = []
    for often, hard in ((g, h) for g in GUSTS_OFTEN for h in GUSTS_HARD):
        rest = 1.0 - often
        kinds = ((1.0 - share) * rest, calm), (share * rest, kick), (often, _gusty(left, hard))
        mixed = np.logaddexp.reduce([log(part) + density for part, density in kinds if part > 0.0])
        found.append(float((mixed - calm).sum()) / AT_ONCE)
    return together_nats(np.array(found))


def coming_and_going(
    features: Features, columns: Values, noise: Noise, sound: Fit
) -> dict[FaultId, tuple[float, Place]]:
    """Return (nats over the sound aircraft, likeliest corner) of each fault that comes and goes."""
    at = {f.axis: k for k, f in enumerate(features.list) if f.name == "turning"}
    if not at:
        return {}
    spread = noise.shape * sound.scale[noise.which]
    left = np.array([_own((sound.residual / spread)[features.which == at[k]]) for k in (0, 1)])
    levers = _levers(features, columns, spread, at[0], at[1])
    by_chance = _nats(left, _gusty(left, 0.0), 0.0)
    found: dict[FaultId, tuple[float, Place]] = {}
    for fault, shares in OFTEN.items():
        ways = [(share, hard) for share in shares for hard in HARD[fault]]
        gains = np.array([
            [_nats(left, _kicked(left, x, share == 1.0, hard), share) for share, hard in ways]
            for x in levers
        ])  # fmt: skip
        corner = int(np.argmax(gains.max(axis=1)))
        found[fault] = together_nats(gains.ravel()) - by_chance, PLACES[corner]
    return found
