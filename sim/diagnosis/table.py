"""The measured detection table: kept as a data file, asked by fault, check and severity.

The shipped one is of the trainer; that of another airframe, where it was measured, has a file of its own.
"""

from bisect import insort
from collections.abc import Iterable, Iterator
from dataclasses import asdict, dataclass
from functools import cache
from itertools import pairwise
from pathlib import Path
from statistics import fmean as mean

from sim import __version__
from sim.aircraft.library import Design
from sim.bench.checklist import CHECKS
from sim.bench.measured import file_of as table_file
from sim.bench.measured import read_rows, save_rows
from sim.diagnosis.detection import Detection
from sim.diagnosis.readings import AIRFRAME, TECHNICAL
from sim.diagnosis.study import MIDDLING
from sim.faults.catalogue import CATALOGUE
from sim.paths import assets_dir
from sim.scoring.judgement import neat

FILE = "detection.csv"

SENSITIVE = 0.8  # share; the least power of a check that reveals a fault
QUIET = 0.1  # share; own: a check that cries wolf more often reveals nothing


@dataclass(frozen=True)
class Row:
    """One line of the table: what a check is worth against a fault of one severity.

    power, power_low, power_high : share of readings that the careful would call, by their limits,
    or that the controller would not arm for, and its 95 % Wilson interval; false_alarm : the same
    of sound aircraft; revealed_by_refusal : share not armed for; best_line : the measure that
    carries most, and to which side; strength : how far out it lies on average, in sigma; doubtful,
    plain : share of it outside the inner and the outer edge, and of sound aircraft; area : chance
    that it lies further out with the fault than on a sound aircraft, and than with a deviation that
    needs no cure (NaN where there is none).
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
    best_line: str
    strength: float
    doubtful: float
    doubtful_false_alarm: float
    plain: float
    plain_false_alarm: float
    area: float
    area_to_harmless: float
    version: str

    @property
    def sensitive(self) -> bool:
        """Whether the careful call the fault by this check."""
        return self.power >= SENSITIVE and self.false_alarm <= QUIET


REVEALED_BY: dict[str, tuple[str, ...]] = {f.id: f.revealed_by for f in CATALOGUE.values()}


def row_of(fault: str, check: str, severity: float, *, found: Detection) -> Row:
    """Return a line of the table, rounded as it is written."""
    worth = neat(asdict(found)) | {"strength": round(found.strength, 2)}
    return Row(fault, check, severity, **worth, version=__version__)


class Table:
    """All lines, by fault, check and severity."""

    def __init__(self, rows: list[Row]) -> None:
        self._rows = {(row.fault, row.check, row.severity): row for row in rows}
        self._of_check: dict[str, list[Row]] = {}
        self._graded: dict[tuple[str, str], list[tuple[float, float]]] = {}
        for row in self._rows.values():
            self._of_check.setdefault(row.check, []).append(row)
            of_pair = self._graded.setdefault((row.fault, row.check), [])
            insort(of_pair, (row.severity, row.power))

    def __iter__(self) -> Iterator[Row]:
        return iter(self._rows.values())

    def __len__(self) -> int:
        return len(self._rows)

    def row(self, fault: str, check: str, severity: float = MIDDLING) -> Row | None:
        """Return a line, or None if that was not measured."""
        return self._rows.get((fault, check, severity))

    def of_check(self, check: str) -> list[Row]:
        """Return all lines of a check."""
        return self._of_check.get(check, [])

    def power(self, fault: str, check: str, severity: float = MIDDLING) -> float:
        """Return the power at a severity, in a straight line between those measured; 0 if none."""
        known = self._graded.get((fault, check))
        if not known:
            return 0.0
        for (low, a), (high, b) in pairwise(known):
            if low <= severity <= high:
                return a + (b - a) * (severity - low) / (high - low)
        return known[0][1] if severity < known[0][0] else known[-1][1]

    def called(self, fault: str | None, check: str, severity: float) -> float:
        """Return how often a check shows something out of its bands; None is the sound aircraft.

        That is the false alarms of its lines on average, or the power against the fault if that is more.
        """
        alarms = [row.false_alarm for row in self.of_check(check)]
        sound = mean(alarms) if alarms else 0.0
        return sound if fault is None else max(sound, self.power(fault, check, severity))

    def sensitive_checks(self, fault: str) -> tuple[str, ...]:
        """Return the checks that reveal a fault of middling severity, the best first."""
        found = [r for r in self if r.fault == fault and r.severity == MIDDLING and r.sensitive]
        return tuple(r.check for r in sorted(found, key=_merit))

    def best(self, fault: str) -> Row | None:
        """Return the best check against a fault of middling severity, or None if not measured.

        Where first looks showed nothing at any check, that is one of these.
        """
        rows = [r for r in self if r.fault == fault]
        middling = [r for r in rows if r.severity == MIDDLING]
        return min(middling or rows, key=_merit, default=None)

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
    """Order checks: most power less false alarm first, of equals the plainest, then as the catalogue."""
    meant = REVEALED_BY.get(row.fault, ())
    place = meant.index(row.check) if row.check in meant else len(meant)
    return -(row.power - row.false_alarm), -row.strength, place


def renewed(kept: Iterable[Row], rows: Iterable[Row]) -> list[Row]:
    """Return the lines kept with new ones in their places, in the order of faults and checks.

    Lines of a fault or check that is no more are left out.
    """
    faults: dict[str, int] = {fault: place for place, fault in enumerate(CATALOGUE)}
    checks: dict[str, int] = {check: place for place, check in enumerate(CHECKS)}
    lines = {(r.fault, r.check, r.severity): r for r in (*kept, *rows)}
    known = [r for r in lines.values() if r.fault in faults and r.check in checks]
    return sorted(known, key=lambda r: (faults[r.fault], checks[r.check], r.severity))


def file_of(folder: Path | None = None, airframe: Design = AIRFRAME) -> Path:
    """Return the file of the table: the shipped one, or that in a folder; see `sim/bench/measured.py`."""
    if airframe == AIRFRAME:
        return (folder or assets_dir()) / FILE
    return table_file("powers", airframe, folder)


def save(rows: list[Row], path: Path) -> None:
    """Write the table whole or not at all."""
    save_rows(rows, path, Row)


def read(path: Path) -> Table:
    """Return a table; InputError with file, line and key for a bad one."""
    return Table(read_rows(path, Row))


@cache
def shipped() -> Table:
    """Return the shipped table; empty if the package came without one."""
    path = file_of()
    return read(path) if path.is_file() else Table([])


def measured_for(airframe: Design) -> tuple[Table, Design]:
    """Return the table that serves an airframe, and whose it is: its own, or the trainer's."""
    path = file_of(airframe=airframe)
    if airframe == AIRFRAME or not path.is_file():
        return shipped(), AIRFRAME
    return read(path), airframe


def power(fault: str, check: str, severity: float = MIDDLING) -> float:
    """Return the shipped table's power of a check against a fault."""
    return shipped().power(fault, check, severity)
