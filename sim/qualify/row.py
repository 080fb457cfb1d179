"""Published values with their notes, and the test of ours against them."""

import csv
import tomllib
from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cache
from math import inf, isnan
from typing import Any

from sim.paths import authority_dir

UNITS = {
    "m": "m", "m_s": "m/s", "m_s2": "m/s²", "ft_s": "ft/s", "hp": "hp", "w": "W", "k": "K",
    "pa": "Pa", "kg_m3": "kg/m³", "n": "N", "n_m": "N·m", "rpm": "1/min", "s": "s", "v": "V",
    "a": "A", "mv": "mV", "mohm": "mΩ", "ut": "µT", "deg": "°", "hz": "Hz", "rad_s": "rad/s",
    "kg_m2": "kg·m²", "deg_root_h": "°/√h", "m_s_root_h": "m/s/√h", "us": "µs", "ratio": "1",
}  # fmt: skip


@dataclass(frozen=True)
class Row:
    """One objective test: a published value, ours, and whether they agree."""

    item: str
    source: str
    quantity: str
    unit: str
    published: float
    ours: float
    tolerance: float
    tolerance_kind: str
    reason: str
    passed: bool

    @property
    def share(self) -> float:
        """Return the difference as a share of the tolerance (infinite if not a number)."""
        if self.ours == self.published:
            return 0.0
        scale = abs(self.published) if self.tolerance_kind == "relative" else 1.0
        used = abs(self.ours - self.published) / (self.tolerance * scale)
        return inf if isnan(used) else used


@dataclass(frozen=True)
class Table:
    """A file of outside values with its source note."""

    lines: list[dict[str, Any]]
    note: dict[str, Any]

    def row(self, item: str, column: str, published: float, ours: float) -> Row:
        """Return the test of one value by the tolerance the note gives for its column."""
        rule = self.note["tolerance"][column]
        row = Row(
            item, self.note["authority"], column, unit_of(column), float(published), float(ours),
            rule["value"], rule["kind"], rule["why"], False,
        )  # fmt: skip
        return replace(row, passed=row.share <= 1.0)

    def worst(self, item: str, column: str, ours: Iterable[float]) -> Row:
        """Return the least favourable test of a whole column."""
        pairs = list(zip(self.column(column), ours, strict=True))
        tests = [self.row(item, column, published, value) for published, value in pairs]
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
