"""From a table and a map to a recording in our own columns."""

from collections.abc import Iterable

import numpy as np

from sim.reproduce.channels import CHANNELS, COLUMNS, INDEX
from sim.reproduce.importer.clock import stretch
from sim.reproduce.importer.mapping import Settled, Source
from sim.reproduce.importer.reading import LEAST_ROWS, Table, refuse
from sim.reproduce.recording import Recording, Values

DIGITS = 6  # decimals kept of every number; own: below the noise and steps of any sensor aboard
FLAG_OVER = 0.5  # 1; own: a flag is up above the middle


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
