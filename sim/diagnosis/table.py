"""The measured detection table: kept as a data file, asked by fault, check and severity."""

import csv
import io
from collections.abc import Iterable, Iterator
from dataclasses import asdict, dataclass, fields
from functools import cache
from itertools import pairwise
from pathlib import Path

from sim import __version__
from sim.aircraft.textfile import write_text_atomic
from sim.bench.checklist import CHECKS
from sim.diagnosis.detection import Detection
from sim.diagnosis.study import MIDDLING, TECHNICAL
from sim.errors import InputError, Problem
from sim.faults.catalogue import CATALOGUE
from sim.keys import FaultId
from sim.paths import assets_dir

FILE = "detection.csv"

SENSITIVE = 0.8  # share; the least power of a check that reveals a fault
QUIET = 0.1  # share; own: a check that cries wolf more often reveals nothing
BEGIN, END = "<!-- detection table: begin -->", "<!-- detection table: end -->"


@dataclass(frozen=True)
class Row:
    """One line of the table.

    power, power_low, power_high : share of cues with the fault and its 95 % Wilson interval;
    false_alarm : share of cues on the sound aircraft; revealed_by_refusal : share of readings the
    controller would not arm for; best_value, value_power, value_false_alarm : the judge-free rule.
    """

    fault: str
    check: str
    severity: float
    power: float
    power_low: float
    power_high: float
    false_alarm: float
    readings_n: int
    revealed_by_refusal: float
    best_value: str
    value_power: float
    value_false_alarm: float
    version: str

    @property
    def sensitive(self) -> bool:
        """Whether the check, judged by the careful stand-in, reveals the fault."""
        return self.power >= SENSITIVE and self.false_alarm <= QUIET

    @property
    def carries(self) -> bool:
        """Whether the reading carries the fault, whoever judges it."""
        return self.value_power >= SENSITIVE and self.value_false_alarm <= QUIET


REVEALED_BY: dict[str, tuple[str, ...]] = {f.id: f.revealed_by for f in CATALOGUE.values()}
COLUMNS = tuple(f.name for f in fields(Row))


def row_of(fault: str, check: str, severity: float, *, found: Detection) -> Row:
    """Return a line of the table, rounded as it is written."""
    return Row(
        fault=fault,
        check=check,
        severity=severity,
        power=round(found.power, 4),
        power_low=round(found.power_low, 4),
        power_high=round(found.power_high, 4),
        false_alarm=round(found.false_alarm, 4),
        readings_n=found.readings_n,
        revealed_by_refusal=round(found.refused, 4),
        best_value=found.best_value,
        value_power=round(found.value_power, 4),
        value_false_alarm=round(found.value_false_alarm, 4),
        version=__version__,
    )


class Table:
    """All lines, by fault, check and severity."""

    def __init__(self, rows: list[Row]) -> None:
        self._rows = {(row.fault, row.check, row.severity): row for row in rows}

    def __iter__(self) -> Iterator[Row]:
        return iter(self._rows.values())

    def __len__(self) -> int:
        return len(self._rows)

    def row(self, fault: str, check: str, severity: float = MIDDLING) -> Row | None:
        """Return a line, or None if that was not measured."""
        return self._rows.get((fault, check, severity))

    def power(self, fault: str, check: str, severity: float = MIDDLING) -> float:
        """Return the power at a severity, in a straight line between those measured; 0 if none."""
        known = sorted((r.severity, r.power) for r in self if (r.fault, r.check) == (fault, check))
        if not known:
            return 0.0
        for (low, a), (high, b) in pairwise(known):
            if low <= severity <= high:
                return a + (b - a) * (severity - low) / (high - low)
        return known[0][1] if severity < known[0][0] else known[-1][1]

    def sensitive_checks(self, fault: str) -> tuple[str, ...]:
        """Return the checks that reveal a fault of middling severity, the best first."""
        found = [r for r in self if r.fault == fault and r.severity == MIDDLING and r.sensitive]
        return tuple(r.check for r in sorted(found, key=_merit))

    def best(self, fault: str) -> Row | None:
        """Return the best check against a fault of middling severity, or None if not measured."""
        rows = [r for r in self if r.fault == fault and r.severity == MIDDLING]
        return min(rows, key=_merit, default=None)

    def best_value(self, fault: str) -> Row | None:
        """Return the check whose reading carries most of a fault, or None if not measured."""
        rows = [r for r in self if r.fault == fault and r.severity == MIDDLING]
        return max(rows, key=lambda r: r.value_power - r.value_false_alarm, default=None)

    def gaps(self) -> tuple[str, ...]:
        """Return the technical faults no check reveals, but for those said to show in the air."""
        return tuple(
            name
            for name, fault in CATALOGUE.items()
            if fault.family in TECHNICAL
            and not fault.only_in_the_air
            and not self.sensitive_checks(name)
        )


def _merit(row: Row) -> tuple[float, float, int]:
    """Order checks: most power less false alarm first, of equals the one the catalogue puts first."""
    meant = REVEALED_BY.get(row.fault, ())
    place = meant.index(row.check) if row.check in meant else len(meant)
    return -(row.power - row.false_alarm), row.false_alarm, place


def renewed(kept: Iterable[Row], rows: Iterable[Row]) -> list[Row]:
    """Return the lines kept with new ones in their places, in the order of faults and checks.

    Lines of a fault or check that is no more are left out.
    """
    faults: dict[str, int] = {fault: place for place, fault in enumerate(CATALOGUE)}
    checks: dict[str, int] = {check: place for place, check in enumerate(CHECKS)}
    lines = {(r.fault, r.check, r.severity): r for r in (*kept, *rows)}
    known = [r for r in lines.values() if r.fault in faults and r.check in checks]
    return sorted(known, key=lambda r: (faults[r.fault], checks[r.check], r.severity))


def text(rows: list[Row]) -> str:
    """Return the table as CSV."""
    stream = io.StringIO()
    writer = csv.DictWriter(stream, COLUMNS, lineterminator="\n")
    writer.writeheader()
    for row in rows:
        cells = asdict(row)
        writer.writerow({k: f"{v:g}" if isinstance(v, float) else v for k, v in cells.items()})
    return stream.getvalue()


def default_file() -> Path:
    """Return the shipped table's file."""
    return assets_dir() / FILE


def save(rows: list[Row], path: Path) -> None:
    """Write the table whole or not at all."""
    write_text_atomic(path, text(rows))


def read(path: Path) -> Table:
    """Return a table; InputError with file and line for a bad one."""
    kinds = {f.name: f.type for f in fields(Row)}
    try:
        content = path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise InputError((Problem(str(path), None, "", "", f"can't be read: {error}"),)) from None
    reader = csv.DictReader(io.StringIO(content))
    if tuple(reader.fieldnames or ()) != COLUMNS:
        rule = f"the first line must be {','.join(COLUMNS)}"
        raise InputError((Problem(str(path), 1, "", "", rule),))
    rows = []
    for line in reader:
        try:
            rows.append(Row(**{k: kinds[k](v) for k, v in line.items()}))  # type: ignore[operator]
        except (TypeError, ValueError, KeyError) as error:
            problem = Problem(
                str(path), reader.line_num, "", "", f"not a line of the table: {error}"
            )
            raise InputError((problem,)) from None
    return Table(rows)


@cache
def shipped() -> Table:
    """Return the shipped table; empty if the package came without one."""
    path = default_file()
    return read(path) if path.is_file() else Table([])


def power(fault: str, check: str, severity: float = MIDDLING) -> float:
    """Return the shipped table's power of a check against a fault."""
    return shipped().power(fault, check, severity)


# --- the summary for readers ----------------------------------------------------------------------


def summary(table: Table) -> str:
    """Return the best check against each fault, family by family, as markdown."""
    lines = []
    families = dict.fromkeys(fault.family for fault in CATALOGUE.values())
    for family in families:
        lines += [
            f"**{family}**",
            "",
            "| fault | hazard | best check | power | 95 % | false alarm |",
            "|---|---|---|---|---|---|",
        ]
        lines += [_line(name, table) for name, f in CATALOGUE.items() if f.family == family]
        lines.append("")
    return "\n".join(lines).rstrip() + "\n"


def _line(name: FaultId, table: Table) -> str:
    fault, row = CATALOGUE[name], table.best(name)
    head = f"| `{name}` | {fault.hazard} |"
    if row is None:
        return f"{head} not measured | | | |"
    if fault.only_in_the_air and not row.sensitive:
        return f"{head} only in the air | | | |"
    if row.power - row.false_alarm <= 0.0:
        return f"{head} none | | | |"
    between = f"{row.power_low:.2f}–{row.power_high:.2f}"
    return f"{head} `{row.check}` | {row.power:.2f} | {between} | {row.false_alarm:.2f} |"


def with_summary(document: str, table: Table) -> str | None:
    """Return a document with the summary between its two markers, or None if it has no markers."""
    before, begin, rest = document.partition(BEGIN)
    _, end, after = rest.partition(END)
    if not begin or not end:
        return None
    return f"{before}{BEGIN}\n\n{summary(table)}\n{END}{after}"
