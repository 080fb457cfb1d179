"""What sound recordings leave unexplained, feature by feature: the scale beyond which a residual speaks.

Measured on simulated sound flights of 20 to 200 rows a second after everything of `nuisance` was
fitted; the spread says how far another aircraft, room or logger may be from that.
"""

from math import sqrt
from typing import NamedTuple

import numpy as np
from scipy.ndimage import uniform_filter1d

from sim.aircraft.fields import PLACES
from sim.reproduce.recorded.evidence import Noise
from sim.reproduce.recorded.features import AXES, Features
from sim.reproduce.recorded.flight import Flight
from sim.reproduce.recorded.nuisance import BLADES, COLUMN_OF, NUISANCES
from sim.reproduce.recorded.passes import Vehicle
from sim.reproduce.recording import Values

ANSWERED = 12.0  # sigmas of what `answered` lets off; own: drives may then count for nothing, and come a few hundredths of a second late
LATER_S = 0.003  # s; own: unit of the columns of when
LIFTED = 0.10  # of the pitch of blades; own: unit of the columns of what each rotor lifts
RINGS = {
    "amp": 1.5,
    "throttle": 0.3,
    "volt": 0.15,
}  # of what was recorded; own: so far off it is if drives swing by all of themselves
LEAST_DRIVE = 0.05  # share; own: less turns nothing
RING_S, RINGS_S = 0.2, 0.5  # s; own: what swings quicker rings; over so long it is measured
YAW = 2  # which axis
YAW_KEYS = ("dead_band", "yaw_rate_limit_rad_s", "yaw__p")
EDGE = (
    0.012  # of a stick; own: trims and centres of sound ones are off by as much, and frames jitter
)
FLICK = 0.5  # 1; own: at the edge it is on this side about as often as on that
BUSY = 1.0  # 1; own: how restless that makes commands, as a logarithm
RUNG = 0.02  # of their level, mean square; own: a swing of a fifth; drives that ring swing by more, calm ones by a thirtieth
NEAR = 11  # numbers; recipe: the stretch over which what was recorded is measured
GOOD_STEP_S = 0.01  # s; rows at which the scales below hold
FLOOR_STEP = 0.6  # of that; own: quicker logs gain nothing more
LATE = COLUMN_OF["drives late"]


class Left(NamedTuple):
    """What is left of one feature.

    scale : in its own unit at 100 rows a second; grows : the power by which it goes with their
    distance; spread : of its logarithm; share : of what was recorded nearby that is added; together :
    tau, how many numbers in a row count as one.
    """

    scale: float
    grows: float
    spread: float
    share: float
    together: float


LEFT: dict[tuple[str, int], Left] = {
    ("turning", 0): Left(0.020, 0.5, 0.7, 0.10, 1.5),
    ("turning", 1): Left(0.020, 0.5, 0.7, 0.10, 1.5),
    ("turning", 2): Left(0.005, 0.5, 0.8, 0.10, 1.5),
    **{("tipping", i): Left(0.15, 0.3, 0.7, 0.20, 1.5) for i in range(3)},
    ("force", 0): Left(0.02, 0.9, 0.6, 0.10, 2.0),
    ("force", 1): Left(0.02, 0.9, 0.6, 0.10, 2.0),
    ("force", 2): Left(0.07, 0.3, 0.6, 0.05, 2.0),
    **{("speed", i): Left(2.0, 0.5, 0.7, 0.01, 2.0) for i in range(4)},
    ("command", 0): Left(0.00025, 0.9, 0.7, 0.20, 2.0),
    ("command", 1): Left(0.00025, 0.9, 0.7, 0.20, 2.0),
    ("command", 2): Left(0.00030, 0.8, 0.8, 0.20, 2.0),
    ("push", 0): Left(0.00012, 0.7, 0.7, 0.10, 2.0),
    ("push", 1): Left(0.00012, 0.7, 0.7, 0.10, 2.0),
    ("push", 2): Left(0.00020, 0.7, 0.8, 0.15, 2.0),
    ("busy", 0): Left(0.14, 0.0, 0.4, 0.0, 1.5),
    ("busy", 1): Left(0.14, 0.0, 0.4, 0.0, 1.5),
    ("busy", 2): Left(0.25, 0.0, 0.6, 0.0, 2.0),
    ("throttle", 0): Left(0.0006, 0.3, 0.7, 0.005, 1.5),
    ("error", 0): Left(0.033, 0.0, 0.5, 0.0, 1.5),
    ("error", 1): Left(0.033, 0.0, 0.5, 0.0, 1.5),
    ("error", 2): Left(0.015, 0.0, 0.8, 0.0, 5.0),
    ("volt", 0): Left(0.015, 0.2, 0.6, 0.02, 8.0),
    ("amp", 0): Left(0.03, 0.8, 0.6, 0.02, 4.0),
    **{("field", i): Left(0.12, 0.0, 0.6, 0.03, 2.0) for i in range(3)},
    ("shake", 0): Left(0.20, 0.0, 0.4, 0.0, 1.5),
    ("shake", 1): Left(0.20, 0.0, 0.4, 0.0, 1.5),
    ("lean", 0): Left(0.003, 0.0, 0.05, 0.0, 1.0),
    ("lean", 1): Left(0.003, 0.0, 0.05, 0.0, 1.0),
    **{("still", i): Left(0.0006, 0.0, 0.05, 0.0, 1.0) for i in range(3)},
}


def _near(x: Values) -> Values:
    """Return the rms of what was recorded around each number, the whole stretch's mean taken off."""
    if len(x) < NEAR:
        return np.zeros(len(x))
    away = x - np.median(x)
    return np.sqrt(np.convolve(away * away, np.ones(NEAR) / NEAR, mode="same"))


def _calm(x: Values) -> Values:
    """Return how calm it is around each number: a half where it is as calm as usual, less where it moves."""
    near = _near(x)
    return np.asarray(1.0 / (1.0 + (near / max(float(np.median(near)), 1e-9)) ** 2))


def answered(features: Features, columns: Values) -> Values:
    """Return (n, k): how much less, and how much later, than they are worth drives count in each axis.

    columns : (n, NUISANCES). Loops answer what disturbs the aircraft, so in calm flight drives and what
    disturbs it go against each other, and it looks heavier to turn than it is, and slow to answer. So what
    each rotor lifts, and when, is let off there, and counts in full where sticks turn it; inertia is let off
    wherever it turns. Nothing is in the mean over the flight, in which drives hold it level: what that tells,
    of balance and of what each rotor lifts, is left as it is.
    """
    blades = [COLUMN_OF[f"blades {place}"] for place in PLACES]
    found = []
    for k, feature in enumerate(features.list):
        if feature.name != "turning":
            continue
        ours = features.which == k
        calm = _calm(features.recorded[ours])
        moved = columns[ours] - columns[ours].mean(axis=0)
        lifted = moved[:, blades] * (LIFTED / BLADES)
        inertia = moved[:, COLUMN_OF[f"{AXES[feature.axis]} inertia"]]
        per_s = moved[:, LATE] / NUISANCES[LATE].sigma
        late = calm * per_s * LATER_S
        own = np.column_stack([calm[:, None] * lifted, inertia, late])
        here = np.zeros((len(columns), own.shape[1]))
        here[ours] = own - own.mean(axis=0)
        found.append(here)
    return np.hstack(found) if found else np.zeros((len(columns), 0))


def giving(features: Features, loose: Values, swing: Values) -> Values:
    """Return (n, k): what loose mounts do where drives do not ring, as noise that loops answer does the same.

    loose : (n, k) what each does to what is predicted; swing : of drives, row by row. A gyro's noise is in the readings logged and, a
    moment later, in the drives; it then seems to come to the gyro by a spring. Nothing is in the mean.
    """
    found = np.zeros_like(loose)
    for k, feature in enumerate(features.list):
        if feature.name == "turning":
            ours = features.which == k
            there = np.interp(features.times_s[ours], features.flight.times_s, swing)
            own = loose[ours] / (1.0 + (there[:, None] / RUNG) ** 2)
            found[ours] = own - own.mean(axis=0)
    return found


def timing(columns: Values, step_s: float) -> Values:
    """Return what rows so far apart leave open by when, between two of them, a command changed.

    columns : (n, NUISANCES), what a sigma of each does. A change is laid straight between its rows; the
    moment it came at is off by an even chance over them, each change on its own.
    """
    found = np.zeros(len(columns))
    for k, nuisance in enumerate(NUISANCES):
        if nuisance.late:
            per_s = columns[:, k] / nuisance.sigma
            found = np.hypot(found, per_s * step_s / sqrt(12.0))
    return found


def swinging(flight: Flight) -> Values:
    """Return how much drives swing quickly by themselves, mean square of their level, row by row."""
    drives = np.column_stack([flight.recording[f"drive_{place}"] for place in PLACES])
    if not np.isfinite(drives).all():
        return np.zeros(len(drives))
    quick, slow = (max(4, round(seconds / flight.step_s)) for seconds in (RING_S, RINGS_S))
    mean = uniform_filter1d(drives, quick, axis=0, mode="nearest")
    level = np.maximum(mean.mean(axis=1), LEAST_DRIVE)
    return np.asarray(
        uniform_filter1d(((drives - mean) ** 2).mean(axis=1) / level**2, slow, mode="nearest")
    )


def ringing(features: Features, swing: Values) -> Values:
    """Return how far off what drives ask of the pack is where they ring, (n,).

    swing : of drives, row by row. Between rows drives are laid straight, so of what swings from row to row much is lost; current, which
    grows faster than drives do, is then more than they seem to ask for, by the square of their swing.
    """
    found = np.zeros(len(features.times_s))
    for k, feature in enumerate(features.list):
        if feature.name in RINGS:
            ours = features.which == k
            at = np.interp(features.times_s[ours], features.flight.times_s, swing)
            found[ours] = RINGS[feature.name] * at * np.abs(features.recorded[ours])
    return found


def flicking(features: Features, vehicle: Vehicle) -> Values:
    """Return what a yaw stick near the edge of its dead band leaves open, (n,).

    There the last bit of a frame decides whether the heading is held or the stick asks for a rate, so the
    rate asked for flicks between none and the stick's own.
    """
    craft, flight = vehicle.craft, features.flight
    band, limit, gain = (float(craft[f"controller__{key}"][0]) for key in YAW_KEYS)
    away = (np.abs(flight.recording["stick_yaw"]) - band) / EDGE
    near = np.exp(-0.5 * away**2)
    jump_rad_s = FLICK * band * limit
    by_name = {"command": gain * jump_rad_s, "push": gain * jump_rad_s, "error": jump_rad_s, "busy": BUSY}  # fmt: skip
    found = np.zeros(len(features.times_s))
    for k, feature in enumerate(features.list):
        if feature.axis == YAW and feature.name in by_name:
            ours = features.which == k
            there = np.interp(features.times_s[ours], flight.times_s, near)
            found[ours] = by_name[feature.name] * np.nan_to_num(there)
    return found


def noise_of(features: Features, unsure: Values) -> Noise:
    """Return the noise of the features of a recording.

    unsure : (n,) what of each number the log's rows leave open.
    """
    step = max(features.flight.step_s / GOOD_STEP_S, FLOOR_STEP)
    known = [LEFT[f.name, f.axis] for f in features.list]
    scale = np.array([left.scale * step**left.grows for left in known])
    parts = []
    for k, left in enumerate(known):
        ours = features.which == k
        near = left.share * step * _near(features.recorded[ours])
        parts.append(np.sqrt(1.0 + (near**2 + unsure[ours] ** 2) / scale[k] ** 2))
    return Noise(
        features.which,
        np.concatenate(parts) if parts else np.zeros(0),
        scale,
        np.array([left.spread for left in known]),
        np.array([left.together for left in known]),
    )
