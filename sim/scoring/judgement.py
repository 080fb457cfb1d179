"""How well a trainee tells faulty from sound, and how well they know how sure they may be.

An item is a fault of the catalogue that some check they did can show by the measured tables. What
they never looked at is neither a miss nor a correct rejection.
"""

from dataclasses import dataclass
from statistics import mean
from typing import Any

from sim.scoring import detection
from sim.scoring.case import Case
from sim.scoring.claims import not_so, surest, wrong_claims
from sim.scoring.detection import Calls
from sim.scoring.ladder import Rung

DIGITS = 4  # 1; own: a ten-thousandth is below what anybody reads


def neat(values: dict[str, Any]) -> dict[str, Any]:
    """Return values as a card holds them, floats to four digits after the point."""
    return {k: round(v, DIGITS) if isinstance(v, float) else v for k, v in values.items()}


def calls(case: Case, rungs: list[Rung]) -> Calls:
    """Return hits and false alarms over the items looked at.

    What the trainee made, and what was put in so little that it is no fault, is no item.
    """
    read = {check for check, _ in case.readings.values()}
    items = {
        m.fault for (check, _), moves in case.measured.moves.items() if check in read for m in moves
    }
    signals = items & case.record.present_at_start
    noises = items - frozenset().union(*case.present_before) - case.deviations
    hits = {r.id for r in rungs if r.noticed and not r.by_precaution} & signals
    false = {c.cause for c in wrong_claims(case)} & noises
    return Calls(len(hits), len(signals - hits), len(false), len(noises - false))


@dataclass(frozen=True)
class Calibration:
    """Chances stated beside what was so.

    claims : causes claimed, each at its surest; stated : mean chance; right : share that was so;
    brier : mean squared difference (Brier 1950): 0 is best, always saying a half has 0.25.
    """

    claims: int
    stated: float
    right: float
    brier: float


def calibration(case: Case) -> Calibration | None:
    """Return how chances stated agree with what was so; None without claims.

    What is neither so nor not so, as a deviation that is no fault yet, is left out.
    """
    wrong = {(c.at, c.cause) for c in not_so(case)}
    made = [
        (c.sure, case.was_there(c.cause, c.at))
        for c in surest(list(case.claims))
        if case.was_there(c.cause, c.at) or (c.at, c.cause) in wrong
    ]
    if not made:
        return None
    return Calibration(
        claims=len(made),
        stated=mean(sure for sure, _ in made),
        right=mean(float(so) for _, so in made),
        brier=mean((sure - so) ** 2 for sure, so in made),
    )


def told(case: Case, rungs: list[Rung]) -> dict[str, Any]:
    """Return both as plain data; d' only where the counts allow it."""
    counts, known = calls(case, rungs), calibration(case)
    enough = detection.shown(counts)
    d_prime = {
        "d_prime": detection.d_prime(counts) if enough else None,
        "d_prime_se": detection.d_prime_se(counts) if enough else None,
        "d_prime_words": detection.words(counts),
    }
    return {
        "detection": neat({**vars(counts), **d_prime}),
        "calibration": neat(vars(known)) if known else None,
    }
