"""Causes from a recording: passes of every hypothesis, evidence of each, and what they add up to."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from sim.aircraft import library
from sim.aircraft.airframe import Airframe
from sim.aircraft.changes import value_at, with_value
from sim.aircraft.design import world_of
from sim.aircraft.fields import Place
from sim.aircraft.world import World
from sim.kernel.air import STANDARD_GRAVITY_M_S2
from sim.keys import FaultId
from sim.reproduce.causes import APART_NATS, NONE, Cause, Causes, Faults, sorted_faults
from sim.reproduce.recorded.again import Progress, again
from sim.reproduce.recorded.evidence import Fit, Noise, together_nats
from sim.reproduce.recorded.features import AT, Features
from sim.reproduce.recorded.flight import Flight, flight_of
from sim.reproduce.recorded.hidden import hidden
from sim.reproduce.recorded.hypotheses import HALF_CELL, Hypothesis, hypotheses
from sim.reproduce.recorded.judging import doubted, judged, judged_pair
from sim.reproduce.recorded.moments import coming_and_going
from sim.reproduce.recorded.noise import ANSWERED, answered, noise_of, timing
from sim.reproduce.recorded.nuisance import NUISANCES, moved, open_sigmas
from sim.reproduce.recorded.pairs import Flying, Pair, Paired, paired
from sim.reproduce.recorded.passes import Vehicle, charge_at, feet_of, passes, tables_of, vehicle_of
from sim.reproduce.recorded.weigher import Weigher
from sim.reproduce.recording import Recording, Values
from sim.units import S_PER_MS

CHARGE = 0.88  # share; own: packs of an evening that one takes off with
MASS = "build.frame.mass_factor"
OVER_MASS: FaultId = "over-mass"
MOST_APART = 0.15  # share; design: mass and inertia of sound ones are off by up to this
LONG_S = 3.0  # s in the air; own: then what it climbs and sinks comes to nothing
LEAST_CHARGE = 0.72  # share; own: with less nobody takes off who has looked
USUAL = 0.15  # share; own: nearer than this to the usual charge a pack is an ordinary one
WITHIN = 0.5  # 1; own: how much of the evidence for one severity over another holds
FAR_OFF = 4.6  # spreads; own: 92 of the aircraft named left at most 3.9, 11 of 14 of others 5.4
LEAST_FIT = 0.5  # 1; by definition of `goodness`, at `FAR_OFF` spreads
FLOWN, PAIRED = 0.5, 0.2  # of the work; own: taking all ways through it, and pairs, which come last
ANY_SEVERITY = (0.1, 0.5, 0.95)  # 1; own: of what comes and goes, how bad is not told


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


class Loader:
    """Makes vehicles with the charge and the mass that a recording tells of."""

    def __init__(self, flight: Flight, world: World, charge: float, mass: float) -> None:
        self.flight, self.charge, self.mass = flight, charge, mass
        self.world = self._heavy(world)

    def _heavy(self, world: World) -> World:
        return with_value(world, MASS, value_at(world, MASS) * self.mass)

    def sound(self) -> Vehicle:
        """Return the vehicle of the sound aircraft."""
        return charged(vehicle_of(self.world, self.flight.aboard), self.charge)

    def unknown(self) -> list[Vehicle]:
        """Return a vehicle for each value that is not known, moved by one sigma."""
        aboard = self.flight.aboard
        return [charged(moved(self.world, n, 1.0, aboard), self.charge) for n in NUISANCES]

    def of(self, hypothesis: Hypothesis) -> Vehicle:
        """Return the vehicle of a hypothesis with a world of its own.

        What is shown of a pack of another kind, or by another scale, tells of another charge; how
        heavy a too heavy one is says the hypothesis.
        """
        world = hypothesis.world
        if world is None:
            raise ValueError("a shift along columns has no vehicle")
        charge = self.charge
        if world.build.pack.cells is not None or world.build.sensors.volt_scale != 1.0:
            charge = _charge(self.flight, world)
        if hypothesis.fault != OVER_MASS:
            world = self._heavy(world)
        return charged(vehicle_of(world, self.flight.aboard), charge)


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
    features, charge = Features(flight, airframe), _charge(flight, world)
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
    answers = fly([load.sound(), *load.unknown(), *(load.of(every[i]) for i in own)])
    columns = (answers[1 : 1 + len(NUISANCES)] - answers[0]).T
    curved = passes(bent, [load.sound()], tables, features.predicted)[0]
    unsure = np.hypot(timing(columns, flight.step_s), curved - answers[0])
    noise = noise_of(features, unsure)
    more = answered(features, columns)
    columns = np.column_stack([columns, more])
    sigmas = np.append(open_sigmas(flight, _hovers(flight)), np.full(more.shape[1], ANSWERED))
    weigher = Weigher(features, noise, answers[0], columns, sigmas, every)
    weigher.predicted |= dict(zip(own, answers[1 + len(NUISANCES) :], strict=True))
    looks = {i: weigher.looked(i) for i in range(len(every))}

    def flying(some: Sequence[Hypothesis]) -> Values:
        return passes(flight, [load.of(one) for one in some], tables, features.predicted)

    return Flown(flight, features, weigher, looks, world, flying)


def weighed(recording: Recording, airframe: Airframe, done: Progress = lambda _: None) -> Weighed:
    """Weigh every hypothesis against a recording. done : called with the share of the work done."""
    found = flown(recording, airframe, done)
    weigher = found.weigher
    fits = again(weigher, found.looks, lambda share: done(FLOWN + (1.0 - FLOWN - PAIRED) * share))
    pairs = paired(weigher, fits, found.world, found.flying)
    done(1.0)
    return Weighed(
        found.flight, found.features, weigher.noise, weigher.columns, weigher.none, weigher.sound,
        weigher.every, weigher.predicted, fits,
        coming_and_going(found.features, weigher.columns, weigher.noise, weigher.none),
        pairs,
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


def _cause(
    fault: FaultId, some: Sequence[tuple[Hypothesis, Fit]], none: float, step_s: float
) -> Cause:
    """Return what the hypotheses of one fault add up to, in a log whose rows are so far apart."""
    evidence = np.array([f.log_evidence - none for _, f in some])
    weights = np.exp(WITHIN * (evidence - evidence.max()))
    best = some[int(np.argmax(evidence))][0]
    severities = np.array([h.severity for h, _ in some])
    told = none + judged(fault, together_nats(evidence), step_s)
    return Cause((fault,), told, best.place, _quantiles(severities, weights), best.variation)


def _pair(found: Weighed, pair: Pair, alone: Mapping[FaultId, float], none: float) -> Cause:
    """Return the cause that a pair of ways is; its place and severity are the likelier one's.

    alone : evidence for each single fault over *none*, nats.
    """
    first, second = found.hypotheses[pair.first], found.hypotheses[pair.second]
    low, high = (max(0.0, min(1.0, first.severity + way * HALF_CELL)) for way in (-1.5, 1.5))
    told = judged_pair(
        first.fault, second.fault, alone[first.fault], pair.log_evidence - none, found.flight.step_s
    )
    places = " and ".join(h.place for h in (first, second) if h.place) or None
    return Cause(
        sorted_faults((first.fault, second.fault)),
        none + told,
        places,
        (low, first.severity, high),
        first.variation,
    )


def goodness(fits: Iterable[Fit], noise: Noise) -> float:
    """Return how well the best of some fits explains a recording, 0..1; `LEAST_FIT` is the limit.

    What counts is the feature that it leaves worst: by how many spreads of sound recordings its scale
    lies above theirs.
    """
    best = max(fits, key=lambda fitted: fitted.log_evidence)
    worst = float(np.max(np.log(best.scale / noise.scale) / noise.spread, initial=0.0))
    return float(0.5 ** ((worst / FAR_OFF) ** 2))


def _by_fault(found: Weighed) -> dict[FaultId, list[tuple[Hypothesis, Fit]]]:
    """Return the ways of each fault, those that come and go left out."""
    by_fault: dict[FaultId, list[tuple[Hypothesis, Fit]]] = {}
    for i, fitted in found.fits.items():
        hypothesis = found.hypotheses[i]
        if hypothesis.fault not in found.going:
            by_fault.setdefault(hypothesis.fault, []).append((hypothesis, fitted))
    return by_fault


def nats_of(found: Weighed) -> dict[FaultId, float]:
    """Return the evidence for each single fault over *none*, nats, as it is."""
    none = found.sound.log_evidence
    nats = {fault: nats for fault, (nats, _) in found.going.items()}
    for fault, ways in _by_fault(found).items():
        nats[fault] = together_nats(np.array([fitted.log_evidence - none for _, fitted in ways]))
    return nats


def hidden_by(found: Weighed, likeliest: Faults) -> dict[FaultId, float]:
    """Return the severity up to which each fault may be there beside the likeliest and not show."""
    every, none = found.hypotheses, found.sound.log_evidence
    evidence = {i: fitted.log_evidence - none for i, fitted in found.fits.items()}
    beside = next((found.pairs.beside[f] for f in likeliest if f in found.pairs.beside), evidence)
    some = hidden(every, beside)
    for fault, (nats, _) in found.going.items():
        some[fault] = 1.0 if nats >= -APART_NATS else 0.0
    return {fault: upto for fault, upto in some.items() if upto > 0.0}


def causes_of(found: Weighed) -> Causes:
    """Return the causes a weighed recording tells of."""
    none, step_s = found.sound.log_evidence, found.flight.step_s
    some = [_cause(fault, ways, none, step_s) for fault, ways in _by_fault(found).items()]
    some += [
        Cause((fault,), none + judged(fault, nats, step_s), place.replace("_", " "), ANY_SEVERITY)
        for fault, (nats, place) in found.going.items()
    ]
    pairs: dict[Faults, Cause] = {}
    alone = nats_of(found)
    for cause in (_pair(found, pair, alone, none) for pair in found.pairs.pairs):
        if cause.faults not in pairs or pairs[cause.faults].log_evidence < cause.log_evidence:
            pairs[cause.faults] = cause
    fit = goodness([found.sound, *found.fits.values()], found.noise)
    every = (*doubted((Cause(NONE, none), *some)), *pairs.values())
    likeliest = Causes(every).posterior()[0][0]
    return Causes(every, fit, fit >= LEAST_FIT, hidden_by(found, likeliest.faults))


def causes(recording: Recording, airframe: Airframe, done: Progress = lambda _: None) -> Causes:
    """Return the causes of what a recording shows. done : called with the share of the work done."""
    return causes_of(weighed(recording, airframe, done))
