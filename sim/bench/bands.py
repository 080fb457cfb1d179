"""What sound aircraft show on each line of a reading: measured bands with two edges.

The inner edge holds 95 % of what sound aircraft show: from there on a reading is doubtful. The outer
edge is where a sound aircraft is hardly ever (z = 4): beyond it a change is justified, inside it a
proof counts. The tables are measured by `dryhop study --bands`, one for each airframe.
"""

from dataclasses import astuple, dataclass
from functools import cache
from math import inf
from pathlib import Path
from typing import Literal

from sim.aircraft.library import Design
from sim.bench.lines import number
from sim.bench.measured import file_of as table_file
from sim.bench.measured import read_rows, save_rows
from sim.keys import CheckKey

Edge = Literal["inner", "outer"]
Side = Literal["below", "above"]


@dataclass(frozen=True)
class Band:
    """What sound aircraft show on one measure; `builds` and `evenings` are how many were measured.

    Edges belong to the band.
    """

    check: CheckKey
    measure: str
    low_outer: float
    low_inner: float
    middle: float
    high_inner: float
    high_outer: float
    builds: int
    evenings: int

    def __post_init__(self) -> None:
        """Refuse edges out of order."""
        edges = astuple(self)[2:7]
        if list(edges) != sorted(edges):
            raise ValueError("low_outer, low_inner, middle, high_inner, high_outer must rise")

    def scaled(self, factor: float) -> "Band":
        """Return the band of what is measured times a factor; a negative one turns it round."""
        a, b, c, d, e = sorted(factor * edge for edge in astuple(self)[2:7])
        return Band(self.check, self.measure, a, b, c, d, e, self.builds, self.evenings)

    def side(self, value: float, edge: Edge) -> Side | None:
        """Return on which side a value lies outside an edge; None inside."""
        inner = edge == "inner"
        if number(value) > (self.high_inner if inner else self.high_outer):
            return "above"
        if number(value) < (self.low_inner if inner else self.low_outer):
            return "below"
        return None

    def half_widths(self, value: float) -> float:
        """Return how far a value lies off the middle, in widths from there to the inner edge."""
        off = number(value) - self.middle
        width = (self.high_inner if off > 0.0 else self.low_inner) - self.middle
        if off == 0.0:
            return 0.0
        return off / width if width else inf


Bands = dict[tuple[CheckKey, str], Band]


def file_of(airframe: Design, folder: Path | None = None) -> Path:
    """Return the file of the bands of an airframe; see `sim/bench/measured.py`."""
    return table_file("bands", airframe, folder)


def read(path: Path) -> Bands:
    """Return the bands of a file; raises InputError with file, line and key."""
    return {(row.check, row.measure): row for row in read_rows(path, Band)}


def save(rows: list[Band], path: Path) -> None:
    """Write the bands, whole or not at all."""
    save_rows(rows, path, Band)


@cache
def bands(airframe: Design) -> Bands:
    """Return the shipped bands of an airframe; raises InputError if there are none."""
    return read(file_of(airframe))
