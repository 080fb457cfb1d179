"""A CSV file of any logger as a table of numbers.

Fields may be parted by commas, semicolons, tabs, bars or blanks; numbers may have a decimal comma
where fields are parted otherwise. Lines before the names, comments, a row of units, blank lines, a
torn last line and words for yes and no are taken as they come. What is no number is NaN.
"""

import csv
import math
import re
from array import array
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from stat import S_ISREG
from typing import NoReturn, TextIO

import numpy as np

from sim.aircraft.fields import plain
from sim.errors import InputError, Problem, shown
from sim.reproduce.recording import Values

MOST_BYTES = 256 << 20  # bytes; own: an hour of thirty columns, 200 rows a second
MOST_CELLS = 20_000_000  # 1; own: 160 MB of numbers, so that a table and its work stay below 1 GB
MOST_COLUMNS = 1000  # 1; own: some times the widest log
LONGEST_LINE = 100_000  # letters; own: a thousand columns of a hundred letters
LEAST_ROWS = 20  # 1; own: two seconds at ten rows a second
HEAD_LINES = 60  # lines; own: among which the names stand
RAGGED_SHARE = 0.05  # 1; own: more lines than that of another length are no table
NUMBERS_SHARE = 0.5  # 1; own: half the fields of a data line are numbers, of a header fewer
LARGEST = 1e19  # 1; own: past times in ns since any epoch; squares stay finite
SEPARATORS = (",", ";", "\t", "|")

_WORDS = {
    **dict.fromkeys(("true", "yes", "on", "armed", "active"), 1.0),
    **dict.fromkeys(("false", "no", "off", "disarmed", "unarmed", "inactive", "safe"), 0.0),
}
_CLOCK = re.compile(
    r"(?:\d{4}-\d\d-\d\d[T ])?(\d{1,2}):(\d\d):(\d\d(?:\.\d+)?)(?:Z|[+-]\d\d:?\d\d)?"
)
_DECIMAL_COMMA = re.compile(r"[-+]?\d+,\d+(?:[eE][-+]?\d+)?")


@dataclass(frozen=True)
class Table:
    """The numbers of a file, (rows, columns), with names, units written below them, and lines.

    first_line : the line of the first row; header_line : that of the names, None if there are none.
    """

    path: Path
    names: tuple[str, ...]
    units: tuple[str, ...]
    values: Values
    header_line: int | None
    skipped: int

    def __getitem__(self, name: str) -> Values:
        return self.values[:, self.names.index(name)]

    def problem(self, value: object, rule: str, nearest: str | None = None) -> Problem:
        """Return a problem of this file's header."""
        return Problem(str(self.path), self.header_line, "", shown(value), rule, nearest)


def refuse(path: Path, rule: str, line: int | None = None) -> NoReturn:
    """Refuse a file with one problem."""
    raise InputError((Problem(str(path), line, "", "", rule),))


def read_table(path: Path) -> Table:
    """Return the table of a CSV file; raises InputError with one problem if it is none."""
    encoding = _encoding(path)
    try:
        with path.open(encoding=encoding, errors="replace", newline="") as file:
            return _table(path, file)
    except csv.Error as error:
        refuse(path, f"not readable as CSV: {error}")
    except (OSError, ValueError, UnicodeError) as error:
        refuse(path, f"cannot be read: {getattr(error, 'strerror', None) or error}")


def _encoding(path: Path) -> str:
    try:
        status = path.stat()
        if not S_ISREG(status.st_mode):
            refuse(path, "a folder, not a file" if path.is_dir() else "not a regular file")
        if status.st_size > MOST_BYTES:
            rule = f"too large: more than {MOST_BYTES >> 20} MB; cut the flight out, with some seconds before it"
            refuse(path, rule)
        with path.open("rb") as file:
            head = file.read(1 << 16)
    except FileNotFoundError:
        refuse(path, "no such file")
    except (OSError, ValueError) as error:
        refuse(path, f"cannot be read: {getattr(error, 'strerror', None) or error}")
    if head.startswith((b"\xff\xfe", b"\xfe\xff")):
        return "utf-16"
    try:
        head[: head.rfind(b"\n") + 1].decode("utf-8")
    except UnicodeDecodeError:
        return "latin-1"
    return "utf-8-sig"


Line = tuple[int, str]


def _lines(path: Path, file: TextIO) -> Iterator[Line]:
    """Yield (number, text) of each line that is not blank."""
    number = 0
    while line := file.readline(LONGEST_LINE + 1):
        number += 1
        if len(line) > LONGEST_LINE:
            refuse(path, f"a line longer than {LONGEST_LINE} letters", number)
        if line.strip(" \t\r\n\x00"):
            yield number, line.rstrip("\r\n").replace("\x00", "")


def _split(line: str, separator: str) -> list[str]:
    if separator == " ":
        return line.split()
    return next(csv.reader([line], delimiter=separator, skipinitialspace=True), [])


def _separator(head: list[Line]) -> str:
    """Return what parts the fields: what gives most lines the same number of most fields."""
    text = [line for _, line in head if not line.lstrip().startswith("#")] or [
        line for _, line in head
    ]

    def share(separator: str) -> tuple[float, int]:
        counts = [len(_split(line, separator)) for line in text]
        usual = max(set(counts), key=lambda n: (counts.count(n), n))
        # a decimal comma parts lines evenly too, but leaves no number whole
        whole = sum(_whole(_split(line, separator)) for line in text[-5:])
        return (counts.count(usual) / len(counts) if usual > 1 else 0.0, whole)

    return max((*SEPARATORS, " "), key=lambda s: (round(share(s)[0], 1), share(s)[1]))


def _whole(cells: list[str]) -> int:
    return sum(bool(_DECIMAL_COMMA.fullmatch(c.strip()) or _number(c.strip()) is not None) for c in cells) - (
        10 * any(";" in c or "\t" in c for c in cells)
    )  # fmt: skip


def _number(cell: str) -> float | None:
    """Return a plain number; None if it is none."""
    try:
        number = float(cell)
    except ValueError:
        return None
    return number if "_" not in cell else None


def _meaning(cell: str, comma: bool) -> float:
    """Return the number a field holds, NaN if none: a number, a clock's time, yes or no."""
    cell = cell.strip()
    if comma and _DECIMAL_COMMA.fullmatch(cell):
        cell = cell.replace(",", ".")
    number = _number(cell)
    if number is None:
        if (clock := _CLOCK.fullmatch(cell)) is not None:
            return 3600.0 * int(clock[1]) + 60.0 * int(clock[2]) + float(clock[3])
        number = _WORDS.get(cell.lower(), math.nan)
    return number if abs(number) <= LARGEST else math.nan


def _is_data(cells: list[str], comma: bool) -> bool:
    filled = [cell for cell in cells if cell.strip()]
    numbers = sum(not math.isnan(_meaning(cell, comma)) for cell in filled)
    return len(filled) > 1 and numbers > NUMBERS_SHARE * len(filled)


def _table(path: Path, file: TextIO) -> Table:
    lines = _lines(path, file)
    head = list(islice(lines, HEAD_LINES))
    if not head:
        refuse(path, "the file is empty")
    separator = _separator(head)
    comma = separator != "," and any(
        _DECIMAL_COMMA.fullmatch(cell.strip()) for _, line in head for cell in _split(line, separator)
    )  # fmt: skip
    fields = [_split(line, separator) for _, line in head]
    start = next((i for i, cells in enumerate(fields) if _is_data(cells, comma)), None)
    if start is None:
        refuse(path, "no rows of numbers; a recording is a table with names above its columns")
    names, units, header_line = _names(head, fields, start, separator)
    if len(names) > MOST_COLUMNS:
        refuse(path, f"too many columns: more than {MOST_COLUMNS}", header_line)
    data = _Data(path, len(names), comma)
    for number, line in (*head[start:], *lines):
        data.add(number, _split(line, separator))
    return Table(path, names, units, data.values(), header_line, data.skipped)


def _names(
    head: list[Line], fields: list[list[str]], start: int, separator: str
) -> tuple[tuple[str, ...], tuple[str, ...], int | None]:
    """Return (names, units below them, line of the names); without a header names are numbers."""
    width = len(fields[start])
    above = [i for i in range(start) if len(_bare(fields[i], head[i][1], separator)) >= 2]
    near = [i for i in above if abs(len(_bare(fields[i], head[i][1], separator)) - width) <= 1]
    blank = ("",) * width
    if not near:
        return tuple(f"column {i + 1}" for i in range(width)), blank, None
    row = near[-1]
    units = blank
    if len(near) > 1 and near[-2] == row - 1:  # two rows of words: the lower one holds units
        row, units = near[-2], tuple(plain(c.strip()) for c in fields[near[-1]])
    cells = _bare(fields[row], head[row][1], separator)
    names: list[str] = []
    for i in range(max(width, len(cells))):
        name = plain(cells[i].strip(), 100) if i < len(cells) else ""
        name = name or f"column {i + 1}"
        names.append(name if name not in names else f"{name} ({i + 1})")
    units = (*units, *([""] * len(names)))[: len(names)]
    return tuple(names), units, head[row][0]


def _bare(cells: list[str], line: str, separator: str) -> list[str]:
    """Return the fields of a line, without the mark of a comment before them."""
    mark = line.lstrip()[:1]
    return _split(line.lstrip().lstrip(mark).strip(), separator) if mark in "#%" and mark else cells


class _Data:
    """Numbers as they are read; lines of another length are left out, up to a share."""

    def __init__(self, path: Path, width: int, comma: bool) -> None:
        self._path, self._width, self._comma = path, width, comma
        self._cells = array("d")
        self._rows = 0
        self._first_odd: int | None = None
        self.skipped = 0

    def add(self, number: int, cells: list[str]) -> None:
        while len(cells) > self._width and not cells[-1].strip():
            cells = cells[:-1]
        if len(cells) != self._width:
            if cells[0].lstrip().startswith("#"):
                return
            self.skipped += 1
            self._first_odd = self._first_odd or number
            return
        try:
            row = [float(cell) for cell in cells]
            if any("_" in cell for cell in cells) or not all(abs(x) <= LARGEST for x in row):
                raise ValueError
        except ValueError:
            row = [_meaning(cell, self._comma) for cell in cells]
        self._cells.extend(row)
        self._rows += 1
        if len(self._cells) > MOST_CELLS:
            rule = f"too large: more than {MOST_CELLS} fields; cut the flight out, with some seconds before it"
            refuse(self._path, rule, number)

    def values(self) -> Values:
        """Return the numbers, (rows, columns)."""
        if self.skipped > max(1.0, RAGGED_SHARE * (self._rows + self.skipped)):
            rule = f"must have {self._width} fields, as the lines above have, or the names"
            refuse(self._path, rule, self._first_odd)
        if self._rows < LEAST_ROWS:
            refuse(self._path, f"too short: {self._rows} rows of numbers; {LEAST_ROWS} at least")
        return np.frombuffer(self._cells, dtype=np.float64).reshape(self._rows, self._width)
