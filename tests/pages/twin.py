"""A second reckoning of what could be seen when: from what a run's journal gives and the tables as files.

It takes nothing from `sim/scoring` nor from `sim/bench/evidence.py`, `lines.py` and `bands.py`: it
reads the tables by the standard library and compares numbers itself. Own work.
"""

import csv
import re
from collections.abc import Iterator
from math import hypot, inf, isnan
from pathlib import Path
from statistics import median
from typing import Any, NamedTuple

import yaml

ASSETS = Path(__file__).parents[2] / "assets"
CORNERS = ("front_left", "front_right", "rear_right", "rear_left")
TICKS_A_SECOND = 1000  # 1/s; the journal's ticks
ONE_WAY_BY_DESIGN = re.compile(r"_(sign|corner)$")
OF_THE_FIELD = re.compile(r"(field|standing|lifted|smallest|largest|site)_ut$")


class Seen(NamedTuple):
    """The first reading that showed a fault: its minute, check and the lines that did, plainest first."""

    minutes: float
    check: str
    lines: list[tuple[str, float]]


def field_ut(site: str) -> float:
    """Return the size of the Earth's field at a site, by its file."""
    told = yaml.safe_load((ASSETS / "sites" / f"{site}.yaml").read_text(encoding="utf-8"))
    return hypot(*(told["earth_field"][f"{way}_ut"] for way in ("north", "east", "down")))


class Tables:
    """Bands and moves of an airframe; fields are those of a site, as the tables' site has another."""

    def __init__(self, airframe: str, larger: float) -> None:
        self.larger = larger
        self.bands = {(r["check"], r["measure"]): r for r in self._rows("bands", airframe)}
        self.moves: dict[tuple[str, str, str], str] = {
            (r["fault"], r["check"], r["measure"]): r["side"] for r in self._rows("moves", airframe)
        }

    def _rows(self, kind: str, airframe: str) -> Iterator[dict[str, str]]:
        with (ASSETS / kind / f"{airframe}.csv").open(encoding="utf-8", newline="") as file:
            yield from csv.DictReader(file)

    def off(self, fault: str, check: str, measure: str, value: float) -> float:
        """Return how far out a value lies on a side to which a fault moves it, in half-widths; 0 inside."""
        side, band = self.moves.get((fault, check, measure)), self.bands.get((check, measure))
        if side is None or band is None:
            return 0.0
        times = self.larger if OF_THE_FIELD.search(measure) else 1.0
        low, middle, high = (times * float(band[k]) for k in ("low_inner", "middle", "high_inner"))
        if value > high and side in ("above", "either"):
            return (value - middle) / (high - middle) if high > middle else inf
        if value < low and side in ("below", "either"):
            return (middle - value) / (middle - low) if middle > low else inf
        return 0.0


def ways(values: dict[str, float], line: str) -> Iterator[tuple[str, float]]:
    """Give each way a line is judged, as the tables call it, with its value."""
    mine = inf if isnan(values[line]) else values[line]
    corner = next((c for c in CORNERS if line.startswith(c + "_")), None)
    if corner is None or ONE_WAY_BY_DESIGN.search(line):
        yield line, mine
        return
    rest = line[len(corner) + 1 :]
    four = [values[f"{c}_{rest}"] for c in CORNERS if f"{c}_{rest}" in values]
    middle = median(inf if isnan(v) else v for v in four)
    yield "{place}_" + rest, mine
    yield "{place}_" + rest + "_off_four", 0.0 if mine == middle else mine - middle


def first_seen(fault: str, record: Any, tables: Tables) -> Seen | None:
    """Return the first reading before takeoff that showed a fault while it was there."""
    for event in record.events:
        late = record.takeoff_s is not None and event.tick / TICKS_A_SECOND > record.takeoff_s
        read = event.refused is None and event.action.do in ("read", "done") and event.reading
        if late or not read or fault not in event.present:
            continue
        values = event.reading.values
        out = {
            line: max(
                tables.off(fault, event.reading.check, measure, value)
                for measure, value in ways(values, line)
            )
            for line in values
        }
        lines = sorted(((line, off) for line, off in out.items() if off > 0.0), key=lambda x: -x[1])
        if lines:
            return Seen(event.minutes, event.reading.check, lines)
    return None
