"""Many attempts of the stand-ins at drills, and what they say about the drills and the scoring."""

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from statistics import mean, median, stdev
from typing import Any

from sim.bench.evidence import measured
from sim.diagnosis.pool import Mapper
from sim.errors import Refusal
from sim.keys import FaultId
from sim.procedure.rubric import shipped
from sim.scoring import detection
from sim.scoring.detection import Calls
from sim.scoring.judgement import Calibration
from sim.scoring.scorecard import CLEARED, scorecard
from sim.session.record import Record
from sim.session.scenario import Scenario
from sim.session.session import Session
from sim.trainees.driver import Hands
from sim.trainees.standins import STAND_INS, Attempt

APART = (("careful", "hasty"), ("partial-75", "partial-25"))
"""Stand-ins whose points must tell them apart, the better first."""

NO_CALLS = Calls(0, 0, 0, 0)
COUNTS = ("hits", "misses", "false_alarms", "correct_rejections")


@dataclass(frozen=True)
class Job:
    """One attempt to be made."""

    drill: str
    scenario: Scenario
    stand_in: str
    seed: int


@dataclass(frozen=True)
class Result:
    """What a study keeps of one attempt.

    calls : over the items it looked at; known : how the chances it stated agree with what was so.
    """

    drill: str
    stand_in: str
    seed: int
    verdict: str
    points: float
    hidden: tuple[FaultId, ...]
    noticed: tuple[FaultId, ...]
    false_squawks: int
    critical: int
    calls: Calls = NO_CALLS
    known: Calibration | None = None
    stuck: bool = False
    wise: bool = False  # it rightly stayed on the bench


def made(attempt: Attempt) -> tuple[Record, bool]:
    """Return the record of an attempt and whether a refusal the stand-in had no answer to ended it.

    Such a run counts as far as it went: not finished, so it stays on the bench.
    """
    session = Session(attempt.scenario, attempt.seed)
    try:
        STAND_INS[attempt.stand_in](Hands(session, session), attempt.scenario, attempt.rng())
    except Refusal:
        return session.record(), True
    return session.record(), False


def attempt(job: Job) -> Result:
    """Make one attempt and score it."""
    record, stuck = made(Attempt(job.scenario, job.stand_in, job.seed))
    tables = measured(job.scenario.airframe)
    card = scorecard(record, job.stand_in, job.drill, shipped(), tables)
    rungs = [r for r in card["faults"] if r["present_at_start"]]
    return Result(
        drill=job.drill,
        stand_in=job.stand_in,
        seed=job.seed,
        verdict=card["verdict"],
        points=card["points"],
        hidden=tuple(r["id"] for r in rungs),
        noticed=tuple(r["id"] for r in rungs if r["noticed"]),
        false_squawks=len({claim["cause"] for claim in card["false_squawks"]}),
        critical=sum(h["critical"] for h in card["hazards"]),
        calls=Calls(*(card["detection"][key] for key in COUNTS)),
        known=Calibration(**card["calibration"]) if card["calibration"] else None,
        stuck=stuck,
        wise=bool(card["wise_refusal"]),
    )


def attempts(
    drills: dict[str, Scenario],
    stand_ins: Sequence[str],
    runs: int,
    spread: Mapper,
    done: Callable[[], None] = lambda: None,
) -> list[Result]:
    """Make all attempts: every drill by every stand-in with seeds 0 to runs - 1."""
    jobs = [
        Job(name, scenario, who, seed)
        for name, scenario in drills.items()
        for who in stand_ins
        for seed in range(runs)
    ]
    return spread(attempt, jobs, done)


def calls(results: Sequence[Result]) -> Calls:
    """Return hits and false alarms of all attempts together."""
    return sum((r.calls for r in results), NO_CALLS)


def calibration(results: Sequence[Result]) -> Calibration | None:
    """Return how the chances stated agree with what was so, over all claims; None without any."""
    known = [r.known for r in results if r.known is not None]
    claims = sum(one.claims for one in known)
    if not claims:
        return None

    def over(value: Callable[[Calibration], float]) -> float:
        return sum(one.claims * value(one) for one in known) / claims

    return Calibration(
        claims, over(lambda k: k.stated), over(lambda k: k.right), over(lambda k: k.brier)
    )


def _share(noticed: int, hidden: int) -> dict[str, Any]:
    low, high = detection.wilson(noticed, hidden)
    share = round(noticed / hidden, 4) if hidden else None
    return {
        "noticed": noticed,
        "hidden": hidden,
        "share": share,
        "low": round(low, 4),
        "high": round(high, 4),
    }


def _dangerous(results: Sequence[Result]) -> dict[str, Any]:
    chosen = [(r, f) for r in results for f in r.hidden if shipped().dangerous(f)]
    return _share(sum(f in r.noticed for r, f in chosen), len(chosen))


def _by_fault(results: Sequence[Result]) -> dict[str, dict[str, Any]]:
    hidden = Counter(f for r in results for f in r.hidden)
    noticed = Counter(f for r in results for f in r.noticed)
    return {fault: _share(noticed[fault], hidden[fault]) for fault in sorted(hidden)}


def of_stand_in(results: Sequence[Result]) -> dict[str, Any]:
    """Return what one stand-in's attempts come to."""
    points = [r.points for r in results]
    pooled = calls(results)
    enough = detection.shown(pooled) and pooled.hits + pooled.false_alarms > 0
    known = calibration(results)
    hidden = sum(len(r.hidden) for r in results)
    return {
        "attempts": len(results),
        "verdicts": dict(sorted(Counter(r.verdict for r in results).items())),
        "wise_refusals": sum(r.wise for r in results),
        "critical": sum(r.critical > 0 for r in results),
        "stuck": sum(r.stuck for r in results),
        "points": {
            "least": min(points),
            "median": round(median(points), 2),
            "mean": round(mean(points), 2),
            "spread": round(stdev(points), 2) if len(points) > 1 else None,
            "most": max(points),
        },
        "faults": _share(sum(len(r.noticed) for r in results), hidden),
        "dangerous": _dangerous(results),
        "false_squawks": sum(r.false_squawks for r in results),
        "calls": vars(pooled),
        "calibration": {k: round(v, 4) for k, v in vars(known).items()} if known else None,
        "d_prime": round(detection.d_prime(pooled), 4) if enough else None,
        "d_prime_se": round(detection.d_prime_se(pooled), 4) if enough else None,
        "criterion": round(detection.criterion(pooled), 4) if enough else None,
        "d_prime_words": detection.words(pooled),
        "by_fault": _by_fault(results),
    }


def separations(results: Sequence[Result]) -> list[dict[str, Any]]:
    """Return how well points tell apart each pair that should be, of those that were there."""
    found = []
    for good, bad in APART:
        better = [r.points for r in results if r.stand_in == good]
        worse = [r.points for r in results if r.stand_in == bad]
        if better and worse:
            area = detection.auc(better, worse)
            error = detection.auc_se(area, len(better), len(worse))
            row = {"better": good, "worse": bad, "auc": round(area, 4), "auc_se": round(error, 4)}
            found.append(row)
    return found


def studied(results: Sequence[Result]) -> dict[str, Any]:
    """Return a whole study as plain data."""
    names = list(dict.fromkeys(r.stand_in for r in results))
    return {
        "drills": list(dict.fromkeys(r.drill for r in results)),
        "runs": len({r.seed for r in results}),
        "stand_ins": {n: of_stand_in([r for r in results if r.stand_in == n]) for n in names},
        "by_drill": {
            drill: {n: _drill_line(results, drill, n) for n in names}
            for drill in dict.fromkeys(r.drill for r in results)
        },
        "separations": separations(results),
    }


def _drill_line(results: Sequence[Result], drill: str, stand_in: str) -> dict[str, Any]:
    mine = [r for r in results if (r.drill, r.stand_in) == (drill, stand_in)]
    return {
        "cleared": sum(r.verdict == CLEARED for r in mine),
        "wise_refusals": sum(r.wise for r in mine),
        "attempts": len(mine),
        "mean_points": round(mean(r.points for r in mine), 2),
    }
