"""Many attempts of the stand-ins at drills."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from sim.diagnosis.pool import Mapper, no_matter
from sim.errors import Refusal
from sim.keys import FaultId
from sim.procedure.rubric import shipped
from sim.scoring.detection import Calls
from sim.scoring.judgement import Calibration
from sim.scoring.scorecard import scorecard
from sim.session.record import Record
from sim.session.scenario import Scenario
from sim.session.session import Session
from sim.trainees.driver import Hands
from sim.trainees.standins import STAND_INS, Attempt

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
    card = scorecard(record, job.stand_in, job.drill, shipped(), job.scenario.tables)
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
    done: Callable[[], None] = no_matter,
) -> Iterator[Result]:
    """Make all attempts: every drill by every stand-in with seeds 0 to runs - 1."""
    jobs = (
        Job(name, scenario, who, seed)
        for name, scenario in drills.items()
        for who in stand_ins
        for seed in range(runs)
    )
    return spread(attempt, jobs, done)
