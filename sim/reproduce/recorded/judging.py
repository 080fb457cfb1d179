"""What evidence is worth: judged by what recordings of sound aircraft give a fault by chance.

A model is never quite right, so a sound aircraft favours some faults a little, and in slow logs some of
them much. How far is measured (`assets/recorded.csv`): up to there evidence for a fault says nothing;
beyond, a share of it counts; evidence against it may be the model's own mistake. And no answer is surer than
such answers have been right.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from math import expm1, log, log1p
from pathlib import Path
from typing import Literal

import numpy as np

from sim.bench.measured import read_rows
from sim.keys import FaultId
from sim.paths import assets_dir
from sim.reproduce.causes import Cause, Faults, stated_alike

FILE = "recorded.csv"
SLOW_S = 0.022  # s; own: rows further apart miss what filters and gains do between them
TEMPER = 0.6  # 1; own, as good as any on 106 calibrating recordings: of what speaks for a fault, what holds
BLUNT = 0.3  # 1/nat; own, from the same: the more evidence, the more of it is the model's own error
PAIR_BLUNT = 0.4  # 1/nat; own, likeliest on 134 earlier ones: a second fault takes up what the model has wrong of a first
DOUBT_NATS = (
    8.0  # nats; own, as good as any on 241 earlier ones: no single cause lies further behind
)
ONE_IN = (
    6.0  # own, as good as any on the 106: so seldom a sound aircraft passes the limit of a fault
)
MISTAKEN = 0.05  # 1; own, likeliest on 257 recordings once they had been scored: what speaks against a fault is so often wrong

QUICK: frozenset[FaultId] = frozenset(
    {
        "filter-cutoff-wrong",
        "sensor-mount-stiff",
        "sensor-mount-loose",
        "yaw-mix-sign-wrong",
    }
)
"""Faults that show between the rows of a slow log, which then can speak against them only.

Yaw commands, in themselves small, move within a few hundredths of a second: laid straight between slow rows
they favoured a wrong yaw sign in 3 of 20 slow recordings without one, as strongly as in those with it."""

QUICK_BESIDE = QUICK | {"arm-joint-loose"}
"""The same beside another fault: what rings by high gains, and was logged slowly, may be taken for a joint too."""

Log = Literal["quick", "slow"]


@dataclass(frozen=True)
class Row:
    """What recordings of sound aircraft give one fault: how many, and nats over *none* in the mean.

    log : quick or slow; what speaks against the fault counts as 0.
    """

    fault: str
    log: str
    recordings: int
    nats: float
    version: str


def log_of(step_s: float) -> Log:
    """Return the kind of a log whose rows are so far apart, s."""
    return "slow" if step_s > SLOW_S else "quick"


def limit_nats(mean_nats: float) -> float:
    """Return what one sound recording in `ONE_IN` passes; beyond it falls off by the mean."""
    return mean_nats * log(ONE_IN)


def read(path: Path) -> tuple[Row, ...]:
    """Return a table; InputError with file, line and key for a bad one."""
    return tuple(read_rows(path, Row))


def table() -> Path:
    """Return the file of the shipped table."""
    return assets_dir() / FILE


@cache
def _means() -> dict[tuple[str, str], float]:
    return {(row.fault, row.log): row.nats for row in read(table())}


def limit_of(fault: FaultId, step_s: float) -> float:
    """Return the nats from which evidence for a fault counts, in a log whose rows are so far apart.

    A fault that the table does not have, which no recording of the aircraft it was measured on can
    show, gets the largest of all.
    """
    kind, means = log_of(step_s), _means()
    if (fault, kind) in means:
        return limit_nats(means[fault, kind])
    return limit_nats(max(nats for (_, other), nats in means.items() if other == kind))


def judged(fault: FaultId, nats: float, step_s: float) -> float:
    """Return what counts of the evidence for one fault over *none*, nats."""
    against_only = fault in QUICK and log_of(step_s) == "slow"
    return mistrusted(min(nats, 0.0) if against_only else worth(nats, limit_of(fault, step_s)))


def judged_pair(pair: Faults, both: float, alone: Mapping[FaultId, float], step_s: float) -> float:
    """Return what counts of the evidence for two faults at once over *none*, nats.

    both, alone : evidence for the two, and for each single fault. Two faults are worth what the likeliest
    single one is, and what they explain beyond all single ones; that as much as their lesser one by itself.
    """
    lesser = min(pair, key=lambda fault: alone[fault])
    more = both - max(alone.values())
    if log_of(step_s) == "slow" and QUICK_BESIDE.intersection(pair):
        more = min(more, 0.0)
    told = max(judged(fault, nats, step_s) for fault, nats in alone.items())
    return told + worth(more, limit_of(lesser, step_s), PAIR_BLUNT)


def mistrusted(nats: float) -> float:
    """Return evidence over *none*, nats, if it says nothing in a share `MISTAKEN` of all recordings."""
    return log1p((1.0 - MISTAKEN) * expm1(nats))


def worth(nats: float, limit: float, blunt: float = BLUNT) -> float:
    """Return what counts of evidence over *none*, nats: nothing between 0 and a limit.

    Beyond, the more there is the less of it counts: errors of the model grow with what a fault does.
    """
    return min(nats, 0.0) + log1p(blunt * TEMPER * max(nats - limit, 0.0)) / blunt


def doubted(causes: Iterable[Cause]) -> list[Cause]:
    """Return single causes and *none*, none further behind the likeliest of them than doubt allows.

    What looks like the likeliest keeps its own evidence, by which the two are told apart or not.
    """
    some = list(causes)
    top = max(some, key=lambda cause: cause.log_evidence)
    floor = top.log_evidence - DOUBT_NATS
    return [
        c
        if stated_alike(c.faults, top.faults)
        else c._replace(log_evidence=float(np.logaddexp(c.log_evidence, floor)))
        for c in some
    ]
