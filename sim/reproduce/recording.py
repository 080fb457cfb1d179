"""A recording in our own columns: cleaned times, SI, NaN where something is missing."""

from dataclasses import dataclass
from pathlib import Path
from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from sim.aircraft.textfile import write_text_atomic
from sim.reproduce.channels import COLUMNS, INDEX

Values = NDArray[np.float64]
Attitude = Literal["aboard", "outside"]


class Stretch(NamedTuple):
    """Rows kept, in order, and what was found of the times."""

    rows: NDArray[np.intp]
    copies: int
    slips: int
    others: int
    gaps: int
    longest_gap_s: float


@dataclass(frozen=True)
class Recording:
    """Rows by `COLUMNS`, shape (n, 31), times going up from 0.

    attitude : whether angles were worked out aboard, with the errors of that, or measured outside.
    """

    rows: Values
    attitude: Attitude
    airframe: str
    times: Stretch

    def __getitem__(self, name: str) -> Values:
        return self.rows[:, INDEX[name]]

    @property
    def there(self) -> tuple[str, ...]:
        """The columns with at least one number."""
        return tuple(name for name in COLUMNS if np.isfinite(self[name]).any())

    def text(self) -> str:
        """Return it as CSV, with the columns that are there; an empty field is missing."""
        columns = [self[name].tolist() for name in self.there]
        rows = zip(*columns, strict=True)
        lines = (",".join("" if x != x else f"{x:.12g}" for x in row) for row in rows)
        return "\n".join((",".join(self.there), *lines)) + "\n"


def save(path: Path, kept: Recording) -> None:
    """Write a recording as CSV, whole or not at all."""
    write_text_atomic(path, kept.text())
