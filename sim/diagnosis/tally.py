"""What many attempts say about the drills and the scoring, counted one by one as they come."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from itertools import islice
from statistics import mean, stdev
from typing import Any

from sim.diagnosis.attempts import NO_CALLS, Result
from sim.keys import FaultId
from sim.procedure.rubric import shipped
from sim.scoring import detection
from sim.scoring.detection import Calls
from sim.scoring.judgement import Calibration, neat
from sim.scoring.scorecard import CLEARED

APART = (("careful", "hasty"), ("partial-75", "partial-25"))
"""Stand-ins whose points must tell them apart, the better first."""


@dataclass
class Known:
    """How chances stated agree with what was so, each claim alike: sums over all claims."""

    claims: int = 0
    stated: float = 0.0
    right: float = 0.0
    brier: float = 0.0

    def add(self, one: Calibration) -> None:
        """Count the claims of an attempt."""
        self.claims += one.claims
        self.stated += one.claims * one.stated
        self.right += one.claims * one.right
        self.brier += one.claims * one.brier

    def together(self) -> Calibration | None:
        """Return the means over all claims; None without any."""
        n = self.claims
        return Calibration(n, self.stated / n, self.right / n, self.brier / n) if n else None


@dataclass
class Tally:
    """What attempts come to. points : how often each was given; they have two digits."""

    attempts: int = 0
    points: Counter[float] = field(default_factory=Counter)
    verdicts: Counter[str] = field(default_factory=Counter)
    hidden: Counter[FaultId] = field(default_factory=Counter)
    noticed: Counter[FaultId] = field(default_factory=Counter)
    wise: int = 0
    critical: int = 0
    stuck: int = 0
    false_squawks: int = 0
    calls: Calls = NO_CALLS
    known: Known = field(default_factory=Known)

    def add(self, one: Result) -> None:
        """Count an attempt."""
        self.attempts += 1
        self.points[one.points] += 1
        self.verdicts[one.verdict] += 1
        self.hidden.update(one.hidden)
        self.noticed.update(one.noticed)
        self.wise += one.wise
        self.critical += one.critical > 0
        self.stuck += one.stuck
        self.false_squawks += one.false_squawks
        self.calls += one.calls
        if one.known is not None:
            self.known.add(one.known)

    def summary(self) -> dict[str, Any]:
        """Return what it comes to as plain data."""
        enough = detection.shown(self.calls)
        known, by_danger = self.known.together(), [f for f in self.hidden if shipped().dangerous(f)]
        return {
            "attempts": self.attempts,
            "verdicts": dict(sorted(self.verdicts.items())),
            "wise_refusals": self.wise,
            "critical": self.critical,
            "stuck": self.stuck,
            "points": _points(self.points),
            "faults": self._share(self.hidden),
            "dangerous": self._share(by_danger),
            "false_squawks": self.false_squawks,
            "calls": vars(self.calls),
            "calibration": neat(vars(known)) if known else None,
            "d_prime": round(detection.d_prime(self.calls), 4) if enough else None,
            "d_prime_se": round(detection.d_prime_se(self.calls), 4) if enough else None,
            "criterion": round(detection.criterion(self.calls), 4) if enough else None,
            "d_prime_words": detection.words(self.calls),
            "by_fault": {fault: self._share([fault]) for fault in sorted(self.hidden)},
        }

    def in_short(self) -> dict[str, Any]:
        """Return what is said of one drill."""
        return {
            "cleared": self.verdicts[CLEARED],
            "wise_refusals": self.wise,
            "attempts": self.attempts,
            "mean_points": round(mean(self.points.elements()), 2),
        }

    def _share(self, faults: Iterable[FaultId]) -> dict[str, Any]:
        """Return how many of some hidden faults were noticed."""
        chosen = list(faults)
        noticed, hidden = (sum(n[f] for f in chosen) for n in (self.noticed, self.hidden))
        low, high = detection.wilson(noticed, hidden)
        return {
            "noticed": noticed,
            "hidden": hidden,
            "share": round(noticed / hidden, 4) if hidden else None,
            "low": round(low, 4),
            "high": round(high, 4),
        }


def _points(points: Counter[float]) -> dict[str, float | None]:
    rising = Counter({value: points[value] for value in sorted(points)})
    n = rising.total()
    middle = list(islice(rising.elements(), (n - 1) // 2, n // 2 + 1))  # one, or two
    return {
        "least": min(points),
        "median": round(mean(middle), 2),
        "mean": round(mean(points.elements()), 2),
        "spread": round(stdev(points.elements()), 2) if n > 1 else None,
        "most": max(points),
    }


class Tallies:
    """Tallies by stand-in, and by drill and stand-in."""

    def __init__(self) -> None:
        self.by_stand_in: dict[str, Tally] = {}
        self.by_drill: dict[str, dict[str, Tally]] = {}

    def add(self, one: Result) -> None:
        """Count an attempt."""
        self.by_stand_in.setdefault(one.stand_in, Tally()).add(one)
        self.by_drill.setdefault(one.drill, {}).setdefault(one.stand_in, Tally()).add(one)

    def separations(self) -> list[dict[str, Any]]:
        """Return how well points tell apart each pair that should be, of those that were there."""
        found = []
        for good, bad in APART:
            if good in self.by_stand_in and bad in self.by_stand_in:
                better, worse = (self.by_stand_in[name].points for name in (good, bad))
                area = detection.auc(better, worse)
                error = detection.auc_se(area, better.total(), worse.total())
                numbers = {"auc": round(area, 4), "auc_se": round(error, 4)}
                found.append({"better": good, "worse": bad, **numbers})
        return found


def studied(results: Iterable[Result]) -> dict[str, Any]:
    """Return a whole study as plain data; results are taken one at a time."""
    tallies = Tallies()
    for one in results:
        tallies.add(one)
    lines = [tally for line in tallies.by_drill.values() for tally in line.values()]
    return {
        "drills": list(tallies.by_drill),
        "runs": max(tally.attempts for tally in lines),
        "stand_ins": {name: one.summary() for name, one in tallies.by_stand_in.items()},
        "by_drill": {
            drill: {name: one.in_short() for name, one in line.items()}
            for drill, line in tallies.by_drill.items()
        },
        "separations": tallies.separations(),
    }
