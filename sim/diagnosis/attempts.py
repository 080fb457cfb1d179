"""Many attempts of the stand-ins at drills, and what they say about the drills and the scoring."""

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from statistics import mean, median
from typing import Any

from sim.bench.evidence import measured
from sim.diagnosis.pool import Mapper
from sim.errors import Refusal
from sim.faults.catalogue import CATALOGUE
from sim.keys import FaultId
from sim.procedure.rubric import shipped
from sim.scoring import detection
from sim.scoring.detection import Calls
from sim.scoring.scorecard import CLEARED, scorecard
from sim.session.record import Record
from sim.session.scenario import Scenario
from sim.session.session import Session
from sim.trainees.driver import Hands
from sim.trainees.standins import STAND_INS, Attempt

BETTER, WORSE = "careful", "hasty"  # the two groups whose points must not overlap


@dataclass(frozen=True)
class Job:
    """One attempt to be made."""

    drill: str
    scenario: Scenario
    stand_in: str
    seed: int


@dataclass(frozen=True)
class Result:
    """What a study keeps of one attempt."""

    drill: str
    stand_in: str
    seed: int
    verdict: str
    points: float
    hidden: tuple[FaultId, ...]
    noticed: tuple[FaultId, ...]
    false_squawks: int
    critical: int
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
    """Return hits and false alarms: each fault of the catalogue is an item in each attempt."""
    hits = sum(len(r.noticed) for r in results)
    hidden = sum(len(r.hidden) for r in results)
    sound = sum(len(CATALOGUE) - len(r.hidden) for r in results)
    false = min(sound, sum(r.false_squawks for r in results))
    return Calls(hits, hidden - hits, false, sound - false)


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
            "most": max(points),
        },
        "faults": _share(pooled.hits, pooled.signals),
        "dangerous": _dangerous(results),
        "false_squawks": pooled.false_alarms,
        "d_prime": round(detection.d_prime(pooled), 4) if enough else None,
        "d_prime_se": round(detection.d_prime_se(pooled), 4) if enough else None,
        "criterion": round(detection.criterion(pooled), 4) if enough else None,
        "d_prime_words": detection.words(pooled),
        "by_fault": _by_fault(results),
    }


def separation(results: Sequence[Result]) -> dict[str, Any] | None:
    """Return how well points tell the careful from the hasty, or None if one was not there."""
    better = [r.points for r in results if r.stand_in == BETTER]
    worse = [r.points for r in results if r.stand_in == WORSE]
    if not better or not worse:
        return None
    area = detection.auc(better, worse)
    error = detection.auc_se(area, len(better), len(worse))
    return {"better": BETTER, "worse": WORSE, "auc": round(area, 4), "auc_se": round(error, 4)}


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
        "separation": separation(results),
    }


def _drill_line(results: Sequence[Result], drill: str, stand_in: str) -> dict[str, Any]:
    mine = [r for r in results if (r.drill, r.stand_in) == (drill, stand_in)]
    return {
        "cleared": sum(r.verdict == CLEARED for r in mine),
        "wise_refusals": sum(r.wise for r in mine),
        "attempts": len(mine),
        "mean_points": round(mean(r.points for r in mine), 2),
    }
