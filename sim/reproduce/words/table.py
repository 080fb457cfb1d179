"""What simulated hops show of each fault, kept as a data file: counts of hops alike in all their words.

Kept together, not symptom by symptom: which go with which is half of what they tell.
"""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from sim.bench.measured import read_rows, save_rows
from sim.paths import assets_dir
from sim.reproduce.words.observed import SYMPTOMS

FILE = "symptoms.csv"
SOUND = "none"  # how the sound aircraft is called in the table


@dataclass(frozen=True)
class Row:
    """Hops with one fault of one severity that came out alike.

    hands : steered or let-go; when : the phase something first went wrong in, empty if nothing did;
    symptoms : words with blanks between; hops : how many; place, variation : where the fault was in
    the first of them, in words, and the seed that puts it there.
    """

    fault: str
    severity: float
    hands: str
    when: str
    symptoms: str
    hops: int
    place: str
    variation: int
    version: str

    @property
    def shown(self) -> frozenset[str]:
        """The symptoms one by one."""
        return frozenset(self.symptoms.split())


def in_order(symptoms: Iterable[str]) -> str:
    """Return words of symptoms as the table has them."""
    there = frozenset(symptoms)
    return " ".join(word for word in SYMPTOMS if word in there)


def shares(rows: Iterable[Row]) -> dict[tuple[str, float, str, str], tuple[int, int]]:
    """Return by fault, severity, hands and symptom in how many hops it showed, and of how many."""
    rows = tuple(rows)
    flown: Counter[tuple[str, float, str]] = Counter()
    seen: Counter[tuple[str, float, str, str]] = Counter()
    for row in rows:
        cell = (row.fault, row.severity, row.hands)
        flown[cell] += row.hops
        for word in row.shown:
            seen[(*cell, word)] += row.hops
    return {
        (*cell, word): (seen[(*cell, word)], n) for cell, n in flown.items() for word in SYMPTOMS
    }


def file_of(folder: Path | None = None) -> Path:
    """Return the file of the table: the shipped one, or that in a folder."""
    return (folder or assets_dir()) / FILE


def save(rows: list[Row], path: Path) -> None:
    """Write the table whole or not at all."""
    save_rows(rows, path, Row)


def read(path: Path) -> tuple[Row, ...]:
    """Return a table; InputError with file, line and key for a bad one."""
    return tuple(read_rows(path, Row))


@cache
def shipped() -> tuple[Row, ...]:
    """Return the shipped table."""
    return read(file_of())
