"""A recording in our own columns: cleaned times, SI, NaN where something is missing."""

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from sim.aircraft.textfile import write_text_atomic
from sim.reproduce.channels import CHANNELS, COLUMNS, INDEX
from sim.reproduce.clock import Stretch, stretch
from sim.reproduce.mapping import Attitude, Settled, Source
from sim.reproduce.reading import LEAST_ROWS, Table, Values, refuse

DIGITS = 6  # decimals kept of every number; own: below the noise and steps of any sensor aboard
FLAG_OVER = 0.5  # 1; own: a flag is up above the middle


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


def converted(channel: str, source: Source, raw: Values) -> Values:
    """Return the numbers of a column in our unit and with our sign, rounded to six decimals."""
    kind = CHANNELS[channel].kind
    if kind == "armed":
        over = FLAG_OVER if source.over is None else source.over
        up = np.where(raw > over, 1.0, 0.0)
        value = up if source.sign == 1 else 1.0 - up
        return np.where(np.isfinite(raw), value, np.nan)
    unit = source.unit_as(kind)
    value = raw if unit.exact else (raw - unit.zero) * unit.factor
    if source.sign == -1:
        value = 1.0 - value if kind == "throttle" else -value
    if channel == "heading_rad":
        value = np.where(np.abs(value) <= np.pi, value, np.arctan2(np.sin(value), np.cos(value)))
    return np.round(value, DIGITS) + 0.0  # no negative zeros


def times_s(table: Table, source: Source) -> Values:
    """Return the time of each row, s since the first."""
    raw = table[source.column]
    seen = raw[np.isfinite(raw)]
    return np.round((raw - (seen[0] if seen.size else 0.0)) * source.unit_as("time").factor, 9)


def recording(table: Table, settled: Settled) -> Recording:
    """Return the recording in our columns; all that `settled` names must be settled."""
    sources = {name: source for name, source in settled.sources.items() if source is not None}
    times = times_s(table, sources["time_s"])
    kept = stretch(times, table.values)
    if len(kept.rows) < LEAST_ROWS:
        refuse(table.path, f"too short: {len(kept.rows)} rows in which time goes on")
    rows = np.full((len(kept.rows), len(COLUMNS)), np.nan)
    for name, source in sources.items():
        if name != "time_s":
            rows[:, INDEX[name]] = converted(name, source, table[source.column][kept.rows])
    rows[:, INDEX["time_s"]] = np.round(times[kept.rows] - times[kept.rows[0]], DIGITS)
    return Recording(rows, settled.attitude or "aboard", settled.airframe, kept)


def is_ours(names: Iterable[str]) -> bool:
    """Tell whether all columns bear our own names, the drives and the time among them."""
    found = set(names)
    return found <= set(COLUMNS) and any(c.startswith("drive_") for c in found)


def save(path: Path, kept: Recording) -> None:
    """Write a recording as CSV, whole or not at all."""
    write_text_atomic(path, kept.text())
