"""Values from outside with their notes, and the test of ours against them."""

import csv
import tomllib
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cache
from math import inf, isnan
from typing import Any, Literal, get_args

from sim.paths import authority_dir

Kind = Literal["outside", "library", "closed form", "twin", "transcription"]
KINDS: tuple[Kind, ...] = get_args(Kind)
MEANING: dict[Kind, str] = {
    "outside": "a value somebody else published",
    "library": "computed by a library that is not ours",
    "closed form": "a formula of the books, worked out apart from the model",
    "twin": "a second model of our own, slow and plain",
    "transcription": "our own table or constant against the source it was copied from",
}
UNITS = {
    "m": "m", "m_s": "m/s", "m_s2": "m/s²", "w": "W", "k": "K",
    "pa": "Pa", "kg_m3": "kg/m³", "n": "N", "n_m": "N·m", "rpm": "1/min", "s": "s", "v": "V",
    "a": "A", "mv": "mV", "ut": "µT", "deg": "°", "deg_s": "°/s", "hz": "Hz", "rad_s": "rad/s",
    "kg_m2": "kg·m²", "us": "µs", "ms": "ms", "mm": "mm", "ratio": "1",
    "deg_s_root_hz": "°/s/√Hz", "ug_root_hz": "µg/√Hz",
}  # fmt: skip


@dataclass(frozen=True)
class Row:
    """One objective test: a value from outside, ours, and whether they agree."""

    item: str
    kind: Kind
    status: str
    source: str
    quantity: str
    unit: str
    value: float
    ours: float
    tolerance: float
    tolerance_kind: str
    reason: str
    passed: bool

    @property
    def share(self) -> float:
        """Return the difference as a share of the tolerance (infinite if not a number)."""
        if self.ours == self.value:
            return 0.0
        scale = abs(self.value) if self.tolerance_kind == "relative" else 1.0
        used = abs(self.ours - self.value) / (self.tolerance * scale)
        return inf if isnan(used) else used


@dataclass(frozen=True)
class Table:
    """A file of outside values with its source note."""

    lines: list[dict[str, Any]]
    note: dict[str, Any]

    def row(self, item: str, column: str, value: float, ours: float) -> Row:
        """Return the test of one value by the tolerance the note gives for its column."""
        rule = self.note["tolerance"][column]
        row = Row(
            item, self.note["kind"], self.note["status"], self.note["authority"], column,
            unit_of(column), float(value), float(ours),
            rule["value"], rule["kind"], rule["why"], False,
        )  # fmt: skip
        return replace(row, passed=row.share <= 1.0)

    def worst(self, item: str, column: str | Sequence[str], ours: Iterable[Any]) -> Row:
        """Return the least favourable test of a whole column, or of several that belong together.

        ours : one number a line; with several columns one sequence of numbers a line.
        """
        single = isinstance(column, str)
        names = [column] if isinstance(column, str) else column
        tests = [
            self.row(item, name, line[name], value)
            for line, found in zip(self.lines, ours, strict=True)
            for name, value in zip(names, [found] if single else found, strict=True)
        ]
        worst = max(tests, key=lambda row: row.share)
        return worst if len(tests) == 1 else replace(worst, item=f"{item}, worst of {len(tests)}")

    def column(self, name: str) -> list[Any]:
        """Return one column."""
        return [line[name] for line in self.lines]


def _cell(text: str) -> Any:
    try:
        return float(text)
    except ValueError:
        return text


@cache
def table(name: str) -> Table:
    """Return a file of outside values by its name."""
    folder = authority_dir()
    with (folder / f"{name}.csv").open(newline="", encoding="utf-8") as stream:
        lines = [{k: _cell(v) for k, v in line.items()} for line in csv.DictReader(stream)]
    note = (folder / f"{name}.source.toml").read_text(encoding="utf-8")
    return Table(lines, tomllib.loads(note))


def unit_of(column: str) -> str:
    """Return the unit a column name ends in; 1 for a pure number."""
    words = column.split("_")
    ends = ("_".join(words[i:]) for i in range(1, len(words)))
    return next((UNITS[end] for end in ends if end in UNITS), "1")


def counts(rows: Sequence[Row]) -> dict[Kind, dict[str, int]]:
    """Return how many rows there are of each kind, and of each status within it."""
    statuses = {kind: Counter(row.status for row in rows if row.kind == kind) for kind in KINDS}
    return {kind: dict(sorted(found.items())) for kind, found in statuses.items()}


def sentence(rows: Sequence[Row]) -> str:
    """Return the counts in words: by kind, and for published values by how they were read."""
    parts = []
    for kind, statuses in counts(rows).items():
        part = f"{sum(statuses.values())} {kind}"
        if kind == "outside":
            part += f" ({', '.join(f'{n} {status}' for status, n in statuses.items())})"
        parts.append(part)
    return f"{sum(row.passed for row in rows)} of {len(rows)} rows pass: {', '.join(parts)}."
