"""The curves of an answer: each channel as recorded, as the likeliest cause has it, and as its rival."""

from collections.abc import Mapping
from typing import NamedTuple

import numpy as np

from sim.aircraft.fields import PLACES
from sim.reproduce.answer.curves import Curve
from sim.reproduce.answer.ranking import name
from sim.reproduce.causes import NONE, Cause, Causes
from sim.reproduce.recorded.evidence import FREEDOM, Fit, Noise
from sim.reproduce.recorded.finding import Weighed
from sim.reproduce.recording import Values

AXES = ("roll", "pitch", "yaw")
WAYS = ("forward", "to the right", "down")


class Channel(NamedTuple):
    """What a kind of number is called, its unit, and what its axes are called."""

    words: str
    unit: str
    axes: tuple[str, ...] = ("",)


CHANNELS: Mapping[str, Channel] = {
    "turning": Channel("change of {} rate", "rad/s", AXES),
    "tipping": Channel("change of {} rate, on its feet", "rad/s", AXES),
    "force": Channel("specific force {}", "m/s²", WAYS),
    "speed": Channel("speed of the {} motor", "rad/s", tuple(p.replace("_", " ") for p in PLACES)),
    "command": Channel("{} command", "of full", AXES),
    "push": Channel("{} command, in all", "of full", AXES),
    "busy": Channel("restlessness of the {} command", "ln of full", AXES),
    "throttle": Channel("throttle command", "of full"),
    "error": Channel("{} rate error, mean", "rad/s", AXES),
    "volt": Channel("pack voltage", "V"),
    "amp": Channel("pack current", "A"),
    "field": Channel("magnetic field {}", "µT", WAYS),
    "shake": Channel("shake {}", "ln m/s²", ("forward", "sideways")),
    "lean": Channel("{} at rest", "rad", AXES),
    "still": Channel("{} gyro at rest", "rad/s", AXES),
}
"""Kinds of numbers that are compared, by name."""
FEWEST = 2  # numbers; own: fewer make no line


def fit_of(found: Weighed, cause: Cause) -> Fit:
    """Return the fit of a cause: of its likeliest hypothesis; of two faults that of the first."""
    if not cause.faults:
        return found.sound
    fits = (f for i, f in found.fits.items() if found.hypotheses[i].fault in cause.faults)
    return max(fits, key=lambda fitted: fitted.log_evidence, default=found.sound)


def rival_of(causes: Causes) -> Cause:
    """Return what the likeliest cause is held against: none, or the next where that is the likeliest."""
    order = [cause for cause, _ in causes.posterior()]
    if order[0].faults or len(order) == 1:
        return next(cause for cause in order if cause.faults == NONE)
    return order[1]


def rival_told(causes: Causes) -> str:
    """Return what the likeliest cause is held against, in words."""
    faults = rival_of(causes).faults
    return name(faults) if faults else "a sound one"


def left_by_rival(found: Weighed, likeliest: Fit, rival: Cause) -> Values:
    """Return what is held against the likeliest cause leaves of each number.

    That is the same aircraft without the fault: all else that was fitted stays, or it would be bent
    until it did as the fault does. Another fault, held against none, has its own fit.
    """
    if rival.faults:
        return fit_of(found, rival).residual
    own = found.columns @ likeliest.delta[: found.columns.shape[1]]
    return np.asarray(found.features.recorded - found.sound_predicted - own)


def speaking(noise: Noise, likeliest: Fit, left: Values) -> Values:
    """Return by how much each number speaks for the likeliest cause, nats: (n,).

    left : what is held against it leaves of each. Both are judged by the precision of the likeliest.
    """
    spread = noise.shape * likeliest.scale[noise.which]

    def density(residual: Values) -> Values:
        z = residual / spread
        return np.asarray(-0.5 * (FREEDOM + 1.0) * np.log1p(z * z / FREEDOM))

    told = (density(likeliest.residual) - density(left)) / noise.together[noise.which]
    return np.asarray(told)


def curves(found: Weighed, causes: Causes) -> tuple[Curve, ...]:
    """Return a curve for each channel compared; only those numbers that are there."""
    likeliest = fit_of(found, causes.posterior()[0][0])
    left = left_by_rival(found, likeliest, rival_of(causes))
    features, speaks = found.features, speaking(found.noise, likeliest, left)
    made: list[Curve] = []
    for n, feature in enumerate(features.list):
        rows = features.which == n
        if rows.sum() < FEWEST:
            continue
        channel = CHANNELS[feature.name]
        recorded = features.recorded[rows]
        made.append(
            Curve(
                channel.words.format(channel.axes[feature.axis]),
                channel.unit,
                features.times_s[rows],
                recorded,
                recorded - likeliest.residual[rows],
                recorded - left[rows],
                speaks[rows],
            )
        )
    return tuple(made)
