"""Causes from a recording: passes of every hypothesis, evidence of each, and what they add up to."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from math import log

import numpy as np

from sim.aircraft import library
from sim.aircraft.airframe import Airframe
from sim.aircraft.changes import with_value
from sim.aircraft.design import world_of
from sim.aircraft.fields import Place
from sim.aircraft.world import World
from sim.keys import FaultId
from sim.reproduce.causes import NONE, Cause, Causes
from sim.reproduce.recorded.evidence import Fit, Look, Noise, fit
from sim.reproduce.recorded.features import Features
from sim.reproduce.recorded.flight import Flight, flight_of
from sim.reproduce.recorded.hypotheses import HALF_CELL, STRAY, Hypothesis, hypotheses
from sim.reproduce.recorded.moments import coming_and_going
from sim.reproduce.recorded.noise import noise_of
from sim.reproduce.recorded.nuisance import NUISANCES, moved
from sim.reproduce.recorded.passes import Vehicle, charge_at, passes, tables_of, vehicle_of
from sim.reproduce.recording import Recording, Values
from sim.units import S_PER_MS

CHARGE = 0.88  # share; own: packs of an evening that one takes off with
LEAST_CHARGE = 0.72  # share; own: with less nobody takes off who has looked
WORTH_NATS = 30.0  # nats; own: what lies further behind stays there
NEIGHBOURS = 3  # own: ways along columns fitted again beside the best of a fault
USUAL = 0.15  # share; own: nearer than this to the usual charge a pack is an ordinary one
MOST_CHAINS, MOST_AGAIN = 24, 40  # own: so many ways at other severities, so many fitted again
ROUNDS = 4  # 1; recipe: four to eight reweightings
ALONE = 0.6  # of what a middling severity does; own: from mild to bad it is less or more by so much
Progress = Callable[[float], None]


@dataclass(frozen=True)
class Weighed:
    """A recording weighed: what was compared, the sound aircraft fitted, and every hypothesis."""

    flight: Flight
    features: Features
    noise: Noise
    columns: Values
    sound: Fit
    sound_predicted: Values
    hypotheses: tuple[Hypothesis, ...]
    predicted: dict[int, Values]
    fits: dict[int, Fit]
    going: dict[FaultId, tuple[float, Place]]


def sound_world(airframe: Airframe) -> World:
    """Return the aircraft as designed, on an ordinary evening's pack, where there is room for it."""
    return with_value(
        world_of(airframe, library.roomy_site(airframe.name)), "build.pack.charge", CHARGE
    )


class Weigher:
    """Fits each hypothesis to what a recording leaves of its prediction."""

    def __init__(
        self, features: Features, noise: Noise, sound: Values, columns: Values,
        every: tuple[Hypothesis, ...],
    ) -> None:  # fmt: skip
        self.recorded, self.noise, self.sound, self.columns = (
            features.recorded,
            noise,
            sound,
            columns,
        )
        self.every = every
        self.predicted: dict[int, Values] = {}
        self.ones = np.ones(columns.shape[1])
        self.none = fit(self.recorded - sound, columns, self.ones, noise)
        self.look = Look(columns, noise, self.none)

    def _worse(self, i: int) -> Values | None:
        """Return how a prediction changes with severity, over the part of it a hypothesis stands for."""
        ours = self.every[i].chain
        chain = [
            k
            for k in range(max(0, i - 2), i + 3)
            if k < len(self.every) and self.every[k].chain == ours
        ]
        if len(chain) < 2:
            return None
        beside = [k for k in chain if abs(k - i) <= 1 and k in self.predicted]
        if len(beside) < 2:
            return (self.predicted[i] - self.sound) * ALONE
        low, high = beside[0], beside[-1]
        away = self.every[high].severity - self.every[low].severity
        return (self.predicted[high] - self.predicted[low]) * (HALF_CELL / away)

    def parts(self, i: int) -> tuple[Values, Values, Values | None]:
        """Return (residual, sigmas, column of severity) of a hypothesis before anything is fitted."""
        hypothesis = self.every[i]
        if hypothesis.world is None:
            amounts = np.zeros(len(self.ones))
            for k, sigmas in hypothesis.shift:
                amounts[k] = sigmas
            size = float(np.linalg.norm(amounts))
            wide = np.where(amounts != 0.0, np.hypot(1.0, STRAY * size), self.ones)
            return self.recorded - self.sound - self.columns @ amounts, wide, None
        residual, worse = self.recorded - self.predicted[i], self._worse(i)
        return residual, self.ones if worse is None else np.append(self.ones, 1.0), worse

    def looked(self, i: int) -> Fit:
        """Return a first fit of a hypothesis."""
        residual, sigmas, worse = self.parts(i)
        return self.look.fit(residual, sigmas, worse)

    def fitted(self, i: int, start: Fit | None, rounds: int) -> Fit:
        """Return the fit of a hypothesis."""
        residual, sigmas, worse = self.parts(i)
        columns = self.columns if worse is None else np.column_stack([self.columns, worse])
        if start is not None and len(start.delta) != columns.shape[1]:
            delta = np.zeros(columns.shape[1])
            kept = min(len(delta), len(start.delta), len(self.ones))
            delta[:kept] = start.delta[:kept]
            start = start._replace(delta=delta)
        return fit(residual, columns, sigmas, self.noise, start, rounds)


def charged(vehicle: Vehicle, charge: float) -> Vehicle:
    """Return a vehicle whose pack, if it is the evening's usual one, has another charge."""
    state = vehicle.state
    away = charge - CHARGE
    if abs(float(state["pack__charge"][0]) - CHARGE) > USUAL:
        return vehicle
    state = state.copy()
    for cell in ("pack__charge", "pack__weak_charge"):
        state[cell] = np.clip(state[cell] + away, 0.0, 1.0)
    return vehicle._replace(state=state)


def _charge(flight: Flight, world: World) -> float:
    """Return the charge that the voltage at rest tells of, as far as an evening's pack goes."""
    volts = flight.recording["pack_v"][flight.rest]
    if not np.isfinite(volts).any():
        return CHARGE
    told = charge_at(world, tables_of(world), float(np.nanmean(volts)))
    return min(1.0, max(LEAST_CHARGE, told))


def _best(looks: dict[int, Fit], some: Iterable[int]) -> list[int]:
    """Return some hypotheses, likeliest first."""
    return sorted(some, key=lambda i: -looks[i].log_evidence)


def _chains(every: tuple[Hypothesis, ...], looks: dict[int, Fit]) -> set[int]:
    """Return the ways worth taking through the recording at other severities too."""
    order = [every[i].chain for i in _best(looks, looks) if every[i].world is not None]
    return set(list(dict.fromkeys(order))[:MOST_CHAINS])


def _nearest(weigher: Weigher, i: int, fitted: Fit, looks: Iterable[int]) -> list[int]:
    """Return the ways along columns next to where the fit of one of them came to lie."""
    every = weigher.every
    of = [k for k in looks if every[k].fault == every[i].fault]

    def amounts(k: int) -> Values:
        out = np.zeros(len(weigher.ones))
        for column, sigmas in every[k].shift:
            out[column] = sigmas
        return out

    moved_columns = sorted({column for k in of for column, _ in every[k].shift})
    there = (amounts(i) + fitted.delta)[moved_columns]
    return sorted(of, key=lambda k: float(np.linalg.norm(amounts(k)[moved_columns] - there)))[
        :NEIGHBOURS
    ]


def _again(weigher: Weigher, looks: dict[int, Fit], done: Progress) -> dict[int, Fit]:
    """Fit again what may be the cause: the likeliest way of each fault, and all near the best."""
    every, fits = weigher.every, dict(looks)
    by_fault: dict[FaultId, list[int]] = {}
    for i in looks:
        by_fault.setdefault(every[i].fault, []).append(i)
    firsts = [_best(looks, some)[0] for some in by_fault.values()]
    tried: set[int] = set()

    def refit(some: Iterable[int], share: float, width: float) -> None:
        todo = [i for i in some if i not in tried]
        for n, i in enumerate(todo):
            better = weigher.fitted(i, looks[i], ROUNDS)
            if better.log_evidence > fits[i].log_evidence:
                fits[i] = better
            tried.add(i)
            done(share + width * (n + 1) / len(todo))

    refit(firsts, 0.0, 0.5)
    shifted = [i for i in firsts if every[i].world is None]
    beside = [k for i in shifted for k in _nearest(weigher, i, fits[i], looks)]
    best = max(fit.log_evidence for fit in fits.values())
    worth = [k for k in beside if fits[k].log_evidence > best - 3.0 * WORTH_NATS]
    refit(worth[:MOST_AGAIN], 0.5, 0.2)
    best = max(fit.log_evidence for fit in fits.values())
    worth = [i for i in _best(fits, fits) if fits[i].log_evidence > best - WORTH_NATS]
    refit(worth[:MOST_AGAIN], 0.7, 0.3)
    return fits


def weighed(recording: Recording, airframe: Airframe, done: Progress = lambda _: None) -> Weighed:
    """Weigh every hypothesis against a recording. done : called with the share of the work done."""
    world = sound_world(airframe)
    aboard = recording.attitude == "aboard"
    sound = vehicle_of(world, aboard)
    standing = -float(sound.state["body__position_m__z"][0])
    flight = flight_of(recording, standing, airframe.sheet.setup.output_delay_ms * S_PER_MS)
    features, charge = Features(flight, airframe), _charge(flight, world)
    every = hypotheses(world)
    flown = [i for i, h in enumerate(every) if h.world is not None and h.middle]
    through = 0.0

    def fly(vehicles: list[Vehicle], upto: float) -> Values:
        begun, counted = through, 0

        def more(count: int) -> None:
            nonlocal counted
            counted += count
            done(begun + (upto - begun) * counted / len(vehicles))

        loaded = [charged(vehicle, charge) for vehicle in vehicles]
        return passes(flight, loaded, tables_of(world), features.predicted, more)

    def of(some: list[int]) -> list[Vehicle]:
        return [vehicle_of(w, aboard) for i in some if (w := every[i].world) is not None]

    answers = fly([sound, *(moved(world, n, 1.0, aboard) for n in NUISANCES), *of(flown)], 0.7)
    through = 0.7
    columns = (answers[1 : 1 + len(NUISANCES)] - answers[0]).T
    noise = noise_of(features)
    weigher = Weigher(features, noise, answers[0], columns, every)
    weigher.predicted |= dict(zip(flown, answers[1 + len(NUISANCES) :], strict=True))
    looks = {i: weigher.looked(i) for i, h in enumerate(every) if h.world is None or h.middle}
    near = _chains(every, looks)
    further = [i for i, h in enumerate(every) if h.chain in near and i not in looks]
    if further:
        weigher.predicted |= dict(zip(further, fly(of(further), 0.85), strict=True))
    looks |= {i: weigher.looked(i) for i, h in enumerate(every) if h.chain in near}
    fits = _again(weigher, looks, lambda share: done(0.85 + 0.15 * share))
    return Weighed(
        flight, features, noise, columns, weigher.none, answers[0], every, weigher.predicted, fits,
        coming_and_going(features, columns, noise, weigher.none),
    )  # fmt: skip


def _quantiles(severities: Values, weights: Values) -> tuple[float, float, float]:
    """Return 5 %, 50 % and 95 % of severity, each hypothesis a cell of its own width."""
    spread = HALF_CELL * np.linspace(-1.5, 1.5, 7)
    at = np.clip((severities[:, None] + spread).ravel(), 0.0, 1.0)
    share = np.repeat(weights, len(spread))
    order = np.argsort(at)
    summed = np.cumsum(share[order])
    low, mid, high = (
        float(at[order][np.searchsorted(summed, q * summed[-1])]) for q in (0.05, 0.5, 0.95)
    )
    return low, mid, high


def _cause(fault: FaultId, some: Sequence[tuple[Hypothesis, Fit]], temper: float) -> Cause:
    """Return what the hypotheses of one fault add up to: evidence averaged over all of them."""
    evidence = np.array([f.log_evidence for _, f in some]) * temper
    top = float(evidence.max())
    weights = np.exp(evidence - top)
    total = top + log(float(weights.mean()))
    best = some[int(np.argmax(evidence))][0]
    severities = np.array([h.severity for h, _ in some])
    return Cause((fault,), total, best.place, _quantiles(severities, weights), best.variation)


TEMPER = 1.0  # 1; how much of the evidence holds


def causes_of(found: Weighed) -> Causes:
    """Return the causes a weighed recording tells of."""
    by_fault: dict[FaultId, list[tuple[Hypothesis, Fit]]] = {}
    for i, fitted in found.fits.items():
        hypothesis = found.hypotheses[i]
        by_fault.setdefault(hypothesis.fault, []).append((hypothesis, fitted))
    for fault in found.going:
        by_fault.pop(fault, None)
    none = found.sound.log_evidence * TEMPER
    going = [
        Cause((fault,), none + nats * TEMPER, place.replace("_", " "), (0.1, 0.5, 0.95))
        for fault, (nats, place) in found.going.items()
    ]
    single = [_cause(fault, some, TEMPER) for fault, some in by_fault.items()]
    return Causes((Cause(NONE, none), *single, *going))


def causes(recording: Recording, airframe: Airframe, done: Progress = lambda _: None) -> Causes:
    """Return the causes of what a recording shows. done : called with the share of the work done."""
    return causes_of(weighed(recording, airframe, done))
