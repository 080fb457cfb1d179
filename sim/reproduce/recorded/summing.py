"""What the evidence of all ways adds up to: causes, how well the best fits, what may be there unseen."""

from collections.abc import Mapping, Sequence

import numpy as np

from sim.aircraft.airframe import Airframe
from sim.keys import FaultId
from sim.reproduce.causes import APART_NATS, NONE, Cause, Causes, Faults, sorted_faults
from sim.reproduce.recorded.again import Progress
from sim.reproduce.recorded.evidence import Fit
from sim.reproduce.recorded.finding import Weighed, nats_by_fault, weighed
from sim.reproduce.recorded.goodness import LEAST_FIT, goodness
from sim.reproduce.recorded.hidden import hidden
from sim.reproduce.recorded.hypotheses import HALF_CELL, Hypothesis, by_fault
from sim.reproduce.recorded.judging import doubted, judged, judged_pair
from sim.reproduce.recorded.pairs import Pair
from sim.reproduce.recording import Recording, Values

WITHIN = 0.5  # 1; own: how much of the evidence for one severity over another holds
ANY_SEVERITY = (0.1, 0.5, 0.95)  # 1; own: of what comes and goes, how bad is not told


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


def _cause(fault: FaultId, some: Sequence[tuple[Hypothesis, Fit]], told: float) -> Cause:
    """Return the cause that the ways of one fault are. told : what counts of their evidence."""
    evidence = np.array([f.log_evidence for _, f in some])
    weights = np.exp(WITHIN * (evidence - evidence.max()))
    best = some[int(np.argmax(evidence))][0]
    severities = np.array([h.severity for h, _ in some])
    severity = _quantiles(severities, weights) if best.degrees else (best.severity,) * 3
    return Cause((fault,), told, best.place, severity, best.variation)


def _pair(found: Weighed, pair: Pair, alone: Mapping[FaultId, float], none: float) -> Cause:
    """Return the cause that a pair of ways is; its place and severity are the likelier one's.

    alone : evidence for each single fault over *none*, nats.
    """
    first, second = found.hypotheses[pair.first], found.hypotheses[pair.second]
    wide = 1.5 * HALF_CELL if first.degrees else 0.0
    low, high = (max(0.0, min(1.0, first.severity + way * wide)) for way in (-1.0, 1.0))
    faults = sorted_faults((first.fault, second.fault))
    told = judged_pair(faults, pair.log_evidence - none, alone, found.flight.step_s)
    places = " and ".join(h.place for h in (first, second) if h.place) or None
    return Cause(
        faults,
        none + told,
        places,
        (low, first.severity, high),
        first.variation,
    )


def _ways(found: Weighed) -> dict[FaultId, list[tuple[Hypothesis, Fit]]]:
    """Return the ways of each fault, those that come and go left out."""
    return {
        fault: [(found.hypotheses[i], found.fits[i]) for i in some]
        for fault, some in by_fault(found.hypotheses, found.fits).items()
        if fault not in found.going
    }


def nats_of(found: Weighed) -> dict[FaultId, float]:
    """Return the evidence for each single fault over *none*, nats, as it is."""
    going = {fault: nats for fault, (nats, _) in found.going.items()}
    return nats_by_fault(found.hypotheses, found.fits, found.sound) | going


def hidden_by(found: Weighed, likeliest: Faults) -> dict[FaultId, float]:
    """Return the severity up to which each fault may be there beside the likeliest and not show."""
    every, none = found.hypotheses, found.sound.log_evidence
    evidence = {i: fitted.log_evidence - none for i, fitted in found.fits.items()}
    beside = next((found.pairs.beside[f] for f in likeliest if f in found.pairs.beside), evidence)
    seen = {f: upto for f, upto in hidden(every, beside).items() if f not in found.going}
    return seen | {f: 1.0 for f, (nats, _) in found.going.items() if nats >= -APART_NATS}


def causes_of(found: Weighed) -> Causes:
    """Return the causes a weighed recording tells of."""
    none, step_s, alone = found.sound.log_evidence, found.flight.step_s, nats_of(found)
    told = {fault: none + judged(fault, nats, step_s) for fault, nats in alone.items()}
    some = [_cause(fault, ways, told[fault]) for fault, ways in _ways(found).items()]
    some += [
        Cause((fault,), told[fault], place.replace("_", " "), ANY_SEVERITY)
        for fault, (_, place) in found.going.items()
    ]
    pairs: dict[Faults, Cause] = {}
    for cause in (_pair(found, pair, alone, none) for pair in found.pairs.pairs):
        if cause.faults not in pairs or pairs[cause.faults].log_evidence < cause.log_evidence:
            pairs[cause.faults] = cause
    fits = [found.sound, *found.fits.values(), *(pair.fit for pair in found.pairs.pairs)]
    fit = goodness(fits, found.columns, found.sigmas, found.noise, found.features.times_s)
    every = (*doubted((Cause(NONE, none), *some)), *pairs.values())
    likeliest = Causes(every).posterior()[0][0]
    return Causes(every, fit, fit >= LEAST_FIT, hidden_by(found, likeliest.faults))


def causes(recording: Recording, airframe: Airframe, done: Progress = lambda _: None) -> Causes:
    """Return the causes of what a recording shows. done : called with the share of the work done."""
    return causes_of(weighed(recording, airframe, done))
