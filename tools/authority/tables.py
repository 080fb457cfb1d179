"""What the makers share: the folder, tables as text, constants of the standards."""

import csv
import io
from collections.abc import Callable, Sequence
from pathlib import Path

FOLDER = Path(__file__).resolve().parents[2] / "tests" / "authority"
DENSITY_KG_M3 = 1.225  # kg/m3, ISO 2533 sea level
GRAVITY_M_S2 = 9.80665  # m/s2, ISO 2533

Cell = float | str
Table = tuple[str, Sequence[Sequence[Cell]]]
Builder = Callable[[], Table]


def read(name: str) -> list[dict[str, str]]:
    """Return the rows of a table already in the folder."""
    with (FOLDER / f"{name}.csv").open(newline="") as stream:
        return list(csv.DictReader(stream))


def numbers(name: str) -> list[dict[str, float]]:
    """Return the rows of a table that holds nothing but numbers."""
    return [{key: float(cell) for key, cell in row.items()} for row in read(name)]


def as_csv(table: Table) -> str:
    """Return the text of a table: twelve significant digits, rounding noise about zero dropped."""
    header, rows = table
    text = io.StringIO()
    text.write(header + "\n")
    for row in rows:
        text.write(",".join(c if isinstance(c, str) else f"{round(c, 14) + 0.0:.12g}" for c in row))
        text.write("\n")
    return text.getvalue()
