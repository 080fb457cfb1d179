"""A recording weighed: every hypothesis taken through it, and the evidence of each."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from sim.aircraft.airframe import Airframe
from sim.aircraft.fields import Place
from sim.aircraft.world import World
from sim.kernel.air import STANDARD_GRAVITY_M_S2
from sim.keys import FaultId
from sim.reproduce.recorded.again import Progress, again
from sim.reproduce.recorded.evidence import Fit, Noise, together_nats
from sim.reproduce.recorded.features import AT, Features
from sim.reproduce.recorded.flight import Flight, flight_of
from sim.reproduce.recorded.hypotheses import Hypothesis, by_fault, hypotheses
from sim.reproduce.recorded.judging import judged
from sim.reproduce.recorded.loading import Loader, charged, sound_world, told_charge
from sim.reproduce.recorded.moments import coming_and_going
from sim.reproduce.recorded.noise import (
    ANSWERED,
    answered,
    flicking,
    giving,
    noise_of,
    ringing,
    swinging,
    timing,
)
from sim.reproduce.recorded.nuisance import NUISANCES, open_sigmas
from sim.reproduce.recorded.pairs import Flying, Paired, paired
from sim.reproduce.recorded.passes import Vehicle, feet_of, passes, tables_of, vehicle_of
from sim.reproduce.recorded.weigher import Weigher
from sim.reproduce.recording import Recording, Values
from sim.units import S_PER_MS

MOST_APART = 0.15  # share; design: mass and inertia of sound ones are off by up to this
LONG_S = 3.0  # s in the air; own: then what it climbs and sinks comes to nothing
FLOWN, PAIRED = 0.5, 0.2  # of the work; own: taking all ways through it, and pairs, which come last


@dataclass(frozen=True)
class Weighed:
    """A recording weighed: what was compared, the sound aircraft fitted, and every hypothesis."""

    flight: Flight
    features: Features
    noise: Noise
    columns: Values
    sigmas: Values
    sound: Fit
    sound_predicted: Values
    hypotheses: tuple[Hypothesis, ...]
    fits: dict[int, Fit]
    going: dict[FaultId, tuple[float, Place]]
    pairs: Paired


@dataclass(frozen=True)
class Flown:
    """A recording with every hypothesis taken through it, and a first look at each.

    world : the aircraft as designed; flying : takes more hypotheses through.
    """

    flight: Flight
    features: Features
    weigher: Weigher
    looks: dict[int, Fit]
    world: World
    flying: Flying


def _hovers(flight: Flight) -> bool:
    """Tell whether it is in the air for so long that its mean force is its weight."""
    return bool(flight.air.sum() * flight.step_s >= LONG_S)


def _mass(flight: Flight, answers: Values) -> float:
    """Return how many times as heavy as designed it is, as its own hover tells: what it feels is gravity.

    answers : of the aircraft as designed, (rows, ANSWER). Neither thrust nor weight of a build is known
    well, and far from gravity the model's own estimate trusts nothing that it feels.
    """
    if not _hovers(flight):
        return 1.0
    felt = -float(answers[flight.air, AT["felt_z_m_s2"]].mean()) / STANDARD_GRAVITY_M_S2
    return min(1.0 + MOST_APART, max(1.0 - MOST_APART, felt))


def flown(recording: Recording, airframe: Airframe, done: Progress = lambda _: None) -> Flown:
    """Take every hypothesis through a recording. done : called with the share of the work done."""
    world = sound_world(airframe)
    aboard = recording.attitude == "aboard"
    sound = vehicle_of(world, aboard)
    standing = -float(sound.state["body__position_m__z"][0])
    delay_s = airframe.sheet.setup.output_delay_ms * S_PER_MS
    flight, bent = (
        flight_of(recording, standing, delay_s, feet_of(sound), curved) for curved in (False, True)
    )
    features, charge = Features(flight, airframe), told_charge(flight, world)
    every = hypotheses(world)
    own = [i for i, h in enumerate(every) if h.world is not None]
    tables = tables_of(world)

    def fly(vehicles: list[Vehicle]) -> Values:
        counted = 0

        def more(count: int) -> None:
            nonlocal counted
            counted += count
            done(FLOWN * counted / len(vehicles))

        return passes(flight, vehicles, tables, features.predicted, more)

    alone = passes(flight, [charged(sound, charge)], tables, lambda answers, _: answers)[0]
    load = Loader(flight, world, charge, _mass(flight, alone))
    loose = load.loose()
    answers = fly([load.sound(), *load.unknown(), *loose, *(load.of(every[i]) for i in own)])
    known = 1 + len(NUISANCES)
    columns = (answers[1:known] - answers[0]).T
    curved = passes(bent, [load.sound()], tables, features.predicted)[0]
    swing = swinging(flight)
    unsure = np.hypot(timing(columns, flight.step_s), curved - answers[0])
    unsure = np.hypot(unsure, np.hypot(ringing(features, swing), flicking(features, sound)))
    noise = noise_of(features, unsure)
    gives = giving(features, (answers[known : known + len(loose)] - answers[0]).T, swing)
    more = np.hstack([answered(features, columns), gives])
    columns = np.column_stack([columns, more])
    sigmas = np.append(open_sigmas(flight, _hovers(flight)), np.full(more.shape[1], ANSWERED))
    weigher = Weigher(features, noise, answers[0], columns, sigmas, every)
    weigher.predicted |= dict(zip(own, answers[known + len(loose) :], strict=True))
    looks = {i: weigher.looked(i) for i in range(len(every))}

    def flying(some: Sequence[Hypothesis]) -> Values:
        return passes(flight, [load.of(one) for one in some], tables, features.predicted)

    return Flown(flight, features, weigher, looks, world, flying)


def nats_by_fault(
    every: Sequence[Hypothesis], fits: Mapping[int, Fit], none: Fit
) -> dict[FaultId, float]:
    """Return the evidence of the ways of each fault over *none*, nats, as it is."""
    return {
        fault: together_nats(np.array([fits[i].log_evidence for i in some]) - none.log_evidence)
        for fault, some in by_fault(every, fits).items()
    }


def likeliest_faults(weigher: Weigher, fits: dict[int, Fit], step_s: float) -> list[int]:
    """Return the best way of each fault for which the evidence counts, likeliest first."""
    nats, ways = nats_by_fault(weigher.every, fits, weigher.none), by_fault(weigher.every, fits)
    worth = {fault: judged(fault, nats[fault], step_s) for fault in ways}
    some = sorted((fault for fault in ways if worth[fault] > 0.0), key=lambda fault: -worth[fault])
    return [max(ways[fault], key=lambda i: fits[i].log_evidence) for fault in some]


def weighed(recording: Recording, airframe: Airframe, done: Progress = lambda _: None) -> Weighed:
    """Weigh every hypothesis against a recording. done : called with the share of the work done."""
    found = flown(recording, airframe, done)
    weigher = found.weigher
    fits = again(weigher, found.looks, lambda share: done(FLOWN + (1.0 - FLOWN - PAIRED) * share))
    firsts = likeliest_faults(weigher, fits, found.flight.step_s)
    pairs = paired(weigher, fits, firsts, found.world, found.flying)
    done(1.0)
    return Weighed(
        found.flight, found.features, weigher.noise, weigher.columns, weigher.sigmas, weigher.none,
        weigher.sound, weigher.every, fits,
        coming_and_going(found.features, weigher.columns, weigher.noise, weigher.none),
        pairs,
    )  # fmt: skip
