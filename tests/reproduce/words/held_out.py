"""Hops that no table has seen, told as people tell them: `python -m tests.reproduce.words.held_out`.

Faults, severities and builds are drawn anew; what was seen is kept in `held_out.csv`, and the slips
of the person are drawn when it is told.
"""

from pathlib import Path
from typing import NamedTuple

import numpy as np

from sim import __version__
from sim.aircraft.library import TRAINER
from sim.diagnosis.flown import Asked
from sim.diagnosis.symptomstudy import faults, hop
from sim.keys import FaultId
from sim.reproduce.causes import Faults, groups, sorted_faults, stated_alike
from sim.reproduce.words.hearing import retold
from sim.reproduce.words.observed import CUT, GROUPS
from sim.reproduce.words.report import LET_GO, Report
from sim.reproduce.words.table import Row, in_order, read, save, shipped
from sim.reproduce.words.weighing import causes

FILE = Path(__file__).parent / "held_out.csv"
SEEDS_FROM = 500_000  # far from those of the table
OF_EACH, SOUND = 3, 60
LET_GO_SHARE = 0.2  # of reports; as the weighing takes it


def hops() -> list[Asked]:
    """Return the hops to fly: each fault three times, and sound aircraft."""
    rng = np.random.default_rng(2)
    chosen: list[FaultId | None] = [*(f for f in faults() for _ in range(OF_EACH)), *[None] * SOUND]
    return [
        Asked(
            fault, round(float(rng.uniform(0.2, 1.0)), 3) if fault else 0.0, SEEDS_FROM + n, TRAINER
        )
        for n, fault in enumerate(chosen)
    ]


def fly() -> None:
    """Fly them and write down what was seen."""
    rows = []
    for asked in hops():
        seen = hop(asked)
        rows += [
            Row(asked.fault or "none", asked.severity, one.hands, one.when or "", in_order(one.symptoms),
                1, seen.place, asked.seed, __version__)
            for one in seen.seen
        ]  # fmt: skip
    save(rows, FILE)


class Told(NamedTuple):
    """A report of a held-out hop with what is true."""

    truth: Faults
    severity: float
    place: str
    report: Report


def told(seed: int, tellings: int = 1) -> list[Told]:
    """Return the held-out hops as reports, each told so often by people who slip."""
    rng, found = np.random.default_rng(seed), []
    by_hop: dict[int, list[Row]] = {}
    for row in read(FILE):
        by_hop.setdefault(row.variation, []).append(row)
    for pair in by_hop.values():
        for _ in range(tellings):
            row = pair[int(rng.random() < LET_GO_SHARE)]
            truth: Faults = () if row.fault == "none" else sorted_faults([row.fault])  # type: ignore[list-item]
            found.append(Told(truth, row.severity, row.place, report_of(rng, row)))
    return found


def report_of(rng: np.random.Generator, row: Row) -> Report:
    """Return one hop as somebody tells it who was there."""
    when, said = retold(rng, row.when or "never", row.shown)
    words = {group: tuple(w for w in GROUPS[group] if w in said) for group in GROUPS}
    return Report.model_validate(
        {
            "when": None if when == "never" and words["moved"] else when,
            "moved": words["moved"],
            "heard": words["heard"],
            "sticks": (LET_GO,) if row.hands == "let-go" else words["sticks"],
            "pilot": "cut" if CUT in said else "landed",
        }
    )


class Answered(NamedTuple):
    """How the answer to a report compares with the truth.

    rank : of the truth or a stated look-alike, 0 the first; group : it is among those the answer
    says it can't tell from the first; first, chance : what was put first, and how likely.
    """

    told: Told
    rank: int
    group: bool
    first: Faults
    chance: float
    chances: tuple[tuple[Faults, float], ...]
    severity: tuple[float, float, float]
    place: str | None


def answered(one: Told) -> Answered:
    """Return the answer to a report, compared."""
    found = causes(one.report, shipped())
    order = found.posterior()
    right = [
        i
        for i, (c, _) in enumerate(order)
        if c.faults == one.truth or stated_alike(c.faults, one.truth)
    ]
    own = found.of(one.truth)
    assert own is not None
    return Answered(
        one, right[0], one.truth in groups(found)[0], order[0][0].faults, order[0][1],
        tuple((c.faults, p) for c, p in order), own.severity, own.place,
    )  # fmt: skip


def unseen() -> frozenset[str]:
    """Return the faults of which most hops of the table show no more than sound ones do."""
    rows = shipped()
    sound = {(r.hands, r.symptoms) for r in rows if r.fault == "none"}
    quiet, flown = (
        dict.fromkeys((r.fault for r in rows), 0),
        dict.fromkeys((r.fault for r in rows), 0),
    )
    for r in rows:
        if r.hands == "steered":
            flown[r.fault] += r.hops
            quiet[r.fault] += r.hops * ((r.hands, r.symptoms) in sound)
    return frozenset(f for f, n in flown.items() if f != "none" and quiet[f] > n / 2)


if __name__ == "__main__":
    fly()
