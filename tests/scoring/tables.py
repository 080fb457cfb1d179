"""Measured tables made by hand: each fault moves a line of its own, one of its family, one of its item.

All lines lie within 2 of 0 on sound aircraft (inner edge) and within 4 (outer edge).
"""

from dataclasses import replace

from sim.bench.bands import Band
from sim.bench.evidence import Measured
from sim.bench.moves import Move, by_measure
from sim.faults.catalogue import CATALOGUE
from sim.keys import CheckKey, FaultId
from sim.procedure.cards import CARDS
from sim.procedure.rubric import shipped
from sim.scoring.case import Case
from sim.scoring.claims import near_claims
from sim.scoring.ladder import Rung, ladder_share, rung, stories
from sim.session.actions import Answer
from sim.session.record import Record

STANDING_M = 0.12  # m; height of the CG on legs as long as those
SOUND, DOUBTFUL, PLAIN = 0.5, 3.0, 10.0  # inside the inner edge, between the edges, past the outer


def own(fault: FaultId) -> str:
    """Return the line that this fault alone moves."""
    return fault.replace("-", "_")


def family(fault: FaultId) -> str:
    """Return the line that all faults of its family move."""
    return f"{CATALOGUE[fault].family}_lean"


def item(fault: FaultId) -> str:
    """Return the line that all faults of its item move."""
    return f"item_{CATALOGUE[fault].item.replace(' ', '_')}"


def checks(*faults: FaultId) -> list[CheckKey]:
    """Return the checks that reveal or prove any of these."""
    told = (CATALOGUE[name] for name in faults)
    return sorted({check for f in told for check in (*f.revealed_by, *f.proved_by)})


def same_item(fault: FaultId) -> list[FaultId]:
    """Return the faults of an item."""
    return [name for name, f in CATALOGUE.items() if f.item == CATALOGUE[fault].item]


MOVES = [
    Move(name, check, line, "above", 1.0, 2.0, 2.0)
    for name in CATALOGUE
    for line, where in (
        (own(name), checks(name)),
        (family(name), checks(name)),
        (item(name), checks(*same_item(name))),
    )
    for check in where
]
BANDS = {
    (m.check, m.measure): Band(m.check, m.measure, -4.0, -2.0, 0.0, 2.0, 4.0, 200, 60)
    for m in MOVES
}
TABLES = Measured(BANDS, by_measure(MOVES))


def values(check: CheckKey, present: frozenset[FaultId], high: float = PLAIN) -> dict[str, float]:
    """Return what a check reads with these faults there."""
    lines = [m for m in MOVES if m.check == check]
    there = {m.measure for m in lines if m.fault in present}
    return {m.measure: high if m.measure in there else SOUND for m in lines}


def answers(present: frozenset[FaultId]) -> list[Answer]:
    """Return every item of the cards answered with the first value of its check."""
    firsts = [(c.key, i, values(i.check, present)) for c in CARDS for i in c.items]
    return [
        Answer(card=card, item=i.key, value=f"{line} {value:.4g}")
        for card, i, read in firsts
        for line, value in list(read.items())[:1]
    ]


def case_of(record: Record) -> Case:
    """Return a record beside the shipped rubric and these tables."""
    return Case(record, shipped(), TABLES)


def share(record: Record) -> float:
    """Return the ladder's marks."""
    case = case_of(record)
    return ladder_share(case, stories(case))


def story(fault: FaultId, record: Record) -> Rung:
    """Return the story of a fault."""
    case = case_of(record)
    return rung(CATALOGUE[fault], case, near_claims(case).get(fault))


def showing_nothing(record: Record, fault: FaultId) -> Case:
    """Return a record beside tables in which a fault moves no line: it is in sight."""
    bare = {at: tuple(m for m in moves if m.fault != fault) for at, moves in TABLES.moves.items()}
    return replace(case_of(record), measured=Measured(TABLES.bands, bare))
