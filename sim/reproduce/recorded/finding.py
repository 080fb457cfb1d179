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
from sim.reproduce.causes import NONE, Cause, Causes, Faults, sorted_faults
from sim.reproduce.recorded.evidence import Fit, Noise
from sim.reproduce.recorded.features import Features
from sim.reproduce.recorded.flight import Flight, flight_of
from sim.reproduce.recorded.hypotheses import HALF_CELL, Hypothesis, hypotheses
from sim.reproduce.recorded.moments import coming_and_going
from sim.reproduce.recorded.noise import noise_of
from sim.reproduce.recorded.nuisance import NUISANCES, moved
from sim.reproduce.recorded.pairs import Pair, paired
from sim.reproduce.recorded.passes import Vehicle, charge_at, passes, tables_of, vehicle_of
from sim.reproduce.recorded.weigher import Weigher
from sim.reproduce.recording import Recording, Values
from sim.units import S_PER_MS

CHARGE = 0.88  # share; own: packs of an evening that one takes off with
LEAST_CHARGE = 0.72  # share; own: with less nobody takes off who has looked
WORTH_NATS = 30.0  # nats; own: what lies further behind stays there
NEIGHBOURS = 3  # own: ways along columns fitted again beside the best of a fault
USUAL = 0.15  # share; own: nearer than this to the usual charge a pack is an ordinary one
MOST_CHAINS, MOST_AGAIN = 24, 40  # own: so many ways at other severities, so many fitted again
TEMPER = 0.5  # 1; own, from a handful of recordings: how much of the evidence holds, as models are never quite right
CHANCE_NATS = 25.0  # nats; own: the few sound recordings tried leave faults up to 27 by chance
PAIR_NATS = 2.0 * CHANCE_NATS  # nats; own: as much again for the second of two
FAR_OFF = 6.0  # spreads; own: the few tried leave at most 3.4, those of other aircraft 9
LEAST_FIT = 0.5  # 1; by definition of `goodness`, at `FAR_OFF` spreads
TOO_SLOW_S = (
    0.022  # s; own: from rows further apart filters can't be told from what is missed between
)
QUICK: frozenset[FaultId] = frozenset({"filter-cutoff-wrong", "sensor-mount-stiff", "sensor-mount-loose", "arm-joint-loose"})  # fmt: skip
ANY_SEVERITY = (0.1, 0.5, 0.95)  # 1; own: of what comes and goes, how bad is not told
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
    pairs: list[Pair]


def sound_world(airframe: Airframe) -> World:
    """Return the aircraft as designed, on an ordinary evening's pack, where there is room for it."""
    return with_value(
        world_of(airframe, library.roomy_site(airframe.name)), "build.pack.charge", CHARGE
    )


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
            better = weigher.fitted(i, looks[i])
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
        paired(weigher, fits),
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


def _cause(fault: FaultId, some: Sequence[tuple[Hypothesis, Fit]], none: float) -> Cause:
    """Return what the hypotheses of one fault add up to: evidence averaged over all of them."""
    evidence = np.array([f.log_evidence - none for _, f in some])
    top = float(evidence.max())
    weights = np.exp(TEMPER * (evidence - top))
    total = top + log(float(np.exp(evidence - top).mean()))
    best = some[int(np.argmax(evidence))][0]
    severities = np.array([h.severity for h, _ in some])
    told = none + TEMPER * (total - CHANCE_NATS)
    return Cause((fault,), told, best.place, _quantiles(severities, weights), best.variation)


def _pair(found: Weighed, pair: Pair, none: float) -> Cause:
    """Return the cause that a pair of ways is; its place and severity are the likelier one's."""
    first, second = found.hypotheses[pair.first], found.hypotheses[pair.second]
    low, high = (max(0.0, min(1.0, first.severity + way * HALF_CELL)) for way in (-1.5, 1.5))
    nats = TEMPER * (pair.log_evidence - none - PAIR_NATS)
    places = " and ".join(h.place for h in (first, second) if h.place) or None
    return Cause(
        sorted_faults((first.fault, second.fault)), none + nats, places,
        (low, first.severity, high), first.variation,
    )  # fmt: skip


def goodness(fits: Iterable[Fit], noise: Noise) -> float:
    """Return how well the best of some fits explains a recording, 0..1; `LEAST_FIT` is the limit.

    What counts is the feature that it leaves worst: by how many spreads of sound recordings its scale
    lies above theirs.
    """
    best = max(fits, key=lambda fitted: fitted.log_evidence)
    worst = float(np.max(np.log(best.scale / noise.scale) / noise.spread, initial=0.0))
    return float(0.5 ** ((worst / FAR_OFF) ** 2))


def causes_of(found: Weighed) -> Causes:
    """Return the causes a weighed recording tells of."""
    by_fault: dict[FaultId, list[tuple[Hypothesis, Fit]]] = {}
    for i, fitted in found.fits.items():
        hypothesis = found.hypotheses[i]
        by_fault.setdefault(hypothesis.fault, []).append((hypothesis, fitted))
    for fault in found.going:
        by_fault.pop(fault, None)
    none = found.sound.log_evidence
    some = [_cause(fault, ways, none) for fault, ways in by_fault.items()]
    some += [
        Cause((fault,), none + TEMPER * (nats - CHANCE_NATS), place.replace("_", " "), ANY_SEVERITY)
        for fault, (nats, place) in found.going.items()
    ]
    if found.flight.step_s > TOO_SLOW_S:
        some = [c._replace(log_evidence=min(c.log_evidence, none)) if c.faults[0] in QUICK else c for c in some]  # fmt: skip
    pairs: dict[Faults, Cause] = {}
    for cause in (_pair(found, pair, none) for pair in found.pairs):
        if found.flight.step_s > TOO_SLOW_S and QUICK & set(cause.faults):
            continue
        if cause.faults not in pairs or pairs[cause.faults].log_evidence < cause.log_evidence:
            pairs[cause.faults] = cause
    fit = goodness([found.sound, *found.fits.values()], found.noise)
    return Causes((Cause(NONE, none), *some, *pairs.values()), fit, fit >= LEAST_FIT)


def causes(recording: Recording, airframe: Airframe, done: Progress = lambda _: None) -> Causes:
    """Return the causes of what a recording shows. done : called with the share of the work done."""
    return causes_of(weighed(recording, airframe, done))
