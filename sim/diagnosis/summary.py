"""Ten lines that say what the detection table holds, for readers."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import isnan
from statistics import mean, median, quantiles

from sim.bench.moves import Move
from sim.diagnosis.moved import HARMLESS
from sim.diagnosis.sound import Shown
from sim.diagnosis.study import MIDDLING, SEVERITIES
from sim.diagnosis.table import Row, Table
from sim.faults.catalogue import CATALOGUE
from sim.keys import FaultId

BEGIN, END = "<!-- detection table: begin -->", "<!-- detection table: end -->"
DOUBTFUL_POWER = (0.2, 0.8)  # share; design: what is caught so often is neither plain nor hopeless
FULL_POWER = 0.9  # share; own: a fault of middling severity missed more often is named


@dataclass(frozen=True)
class FalseCalls:
    """What the careful's limits call on sound evenings, if every line is read once.

    evenings : how many were read; calling : how many had a call; faults : called on average.
    """

    evenings: int
    calling: int
    faults: float


def false_calls(evenings: Sequence[Shown], moves: Iterable[Move]) -> FalseCalls | None:
    """Return what limits call on sound evenings; None without any."""
    if not evenings:
        return None
    known = tuple(moves)
    called = [
        {
            m.fault
            for m in known
            if any(m.called(value) for value in shown.get((m.check, m.measure), ()))
        }
        for shown in evenings
    ]
    return FalseCalls(len(called), sum(map(bool, called)), mean(map(len, called)))


def by_degrees(table: Table) -> tuple[FaultId, ...]:
    """Return the faults whose severity 0 is a deviation that needs no cure, as far as measured."""
    return tuple(
        fault
        for fault in CATALOGUE
        if any(not isnan(r.area_to_harmless) for r in table if r.fault == fault)
    )


def curve(table: Table, fault: str) -> tuple[Row, ...]:
    """Return the lines of a fault's best check, severity by severity; none if not measured."""
    best = table.best(fault)
    if best is None:
        return ()
    rows = (table.row(fault, best.check, severity) for severity in SEVERITIES)
    return tuple(row for row in rows if row is not None)


def at(table: Table, faults: Iterable[str], severity: float) -> list[Row]:
    """Return the line of each fault's best check at a severity."""
    return [row for f in faults for row in curve(table, f) if row.severity == severity]


def weak(table: Table) -> tuple[str, ...]:
    """Return the faults of middling severity that the best check calls too seldom."""
    best = ((name, table.best(name)) for name in CATALOGUE)
    return tuple(name for name, row in best if row is not None and row.power < FULL_POWER)


def in_doubt(rows: Iterable[Row]) -> int:
    """Return how many lines have a power that is neither plain nor hopeless."""
    return sum(DOUBTFUL_POWER[0] <= row.power <= DOUBTFUL_POWER[1] for row in rows)


def spread(values: Sequence[float]) -> str:
    """Return median and quartiles as one reads them."""
    if len(values) < 2:
        return " ".join(f"{v:.2f}" for v in values)
    low, _, high = quantiles(values, n=4, method="inclusive")
    return f"{median(values):.2f} ({low:.2f}–{high:.2f})"


def _line(rows: Sequence[Row]) -> str:
    severity = rows[0].severity
    harmless = spread([r.area_to_harmless for r in rows]) if severity > HARMLESS else ""
    columns = (
        f"{severity:g}",
        spread([r.power for r in rows]),
        spread([r.doubtful for r in rows]),
        spread([r.plain for r in rows]),
        spread([r.area for r in rows]),
        harmless,
    )
    return f"| {' | '.join(columns)} |"


def _sound_line(rows: Sequence[Row]) -> str:
    shares = (
        [r.false_alarm for r in rows],
        [r.doubtful_false_alarm for r in rows],
        [r.plain_false_alarm for r in rows],
    )
    return f"| sound | {' | '.join(f'mean {mean(one):.3f}' for one in shares)} | | |"


def summary(table: Table) -> str:
    """Return best power at each severity over the faults that have degrees, as markdown."""
    faults = by_degrees(table)
    lines = [
        "| severity | called | doubtful | plain | area to sound | area to severity 0 |",
        "|---|---|---|---|---|---|",
    ]
    for severity in SEVERITIES:
        rows = at(table, faults, severity)
        lines += [_line(rows)] if rows else []
    rows = at(table, faults, MIDDLING)
    lines += [_sound_line(rows)] if rows else []
    return "\n".join(lines) + "\n"


def with_summary(document: str, table: Table) -> str | None:
    """Return a document with the summary between its two markers, or None if it has no markers."""
    before, begin, rest = document.partition(BEGIN)
    _, end, after = rest.partition(END)
    if not begin or not end:
        return None
    return f"{before}{BEGIN}\n\n{summary(table)}\n{END}{after}"
