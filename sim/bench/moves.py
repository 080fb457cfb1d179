"""To which side each fault moves each line, how surely it is seen there, and from where it is called.

The tables are measured by `dryhop study --detection`, one for each airframe. They belong to what a
practitioner knows of this kind of aircraft, not to the truth of the one on the bench.
"""

from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Literal

from sim.aircraft.library import Design
from sim.bench.bands import Side
from sim.bench.lines import number
from sim.bench.measured import file_of as table_file
from sim.bench.measured import read_rows, save_rows
from sim.keys import CheckKey, FaultId

Way = Literal["below", "above", "either"]
OTHER_WAY: dict[Way, Way] = {"below": "above", "above": "below", "either": "either"}


@dataclass(frozen=True)
class Move:
    """One fault's mark on one measure.

    power : share of readings with the fault outside the inner edge on that side; low, high : the
    limits from which the careful call it, on the sides it is called on (low: below; high: above).
    """

    fault: FaultId
    check: CheckKey
    measure: str
    side: Way
    power: float
    low: float
    high: float

    def __post_init__(self) -> None:
        """Refuse a power that is no share, and limits out of order."""
        if not 0.0 <= self.power <= 1.0:
            raise ValueError(f"power {self.power} is not 0..1")
        if self.low > self.high:
            raise ValueError("low must not lie above high")

    def scaled(self, factor: float) -> "Move":
        """Return the move of what is measured times a factor; a negative one turns it round."""
        low, high = sorted((factor * self.low, factor * self.high))
        side = self.side if factor > 0.0 else OTHER_WAY[self.side]
        return replace(self, side=side, low=low, high=high)

    def goes(self, side: Side) -> bool:
        """Tell whether the fault moves the measure to this side."""
        return self.side in (side, "either")

    def called(self, value: float) -> bool:
        """Tell whether the careful call the fault at this value."""
        x = number(value)
        return (self.goes("above") and x > self.high) or (self.goes("below") and x < self.low)


Moves = dict[tuple[CheckKey, str], tuple[Move, ...]]


def file_of(airframe: Design, folder: Path | None = None) -> Path:
    """Return the file of the moves of an airframe; see `sim/bench/measured.py`."""
    return table_file("moves", airframe, folder)


def by_measure(rows: list[Move]) -> Moves:
    """Return moves by check and measure, the most powerful first."""
    found: dict[tuple[CheckKey, str], tuple[Move, ...]] = {}
    for row in sorted(rows, key=lambda r: -r.power):
        where = (row.check, row.measure)
        found[where] = (*found.get(where, ()), row)
    return found


def read(path: Path) -> list[Move]:
    """Return the moves of a file; raises InputError with file, line and key."""
    return read_rows(path, Move)


def save(rows: list[Move], path: Path) -> None:
    """Write the moves, whole or not at all."""
    save_rows(rows, path, Move)


@cache
def moves(airframe: Design) -> Moves:
    """Return the shipped moves of an airframe; raises InputError if there are none."""
    return by_measure(read(file_of(airframe)))
