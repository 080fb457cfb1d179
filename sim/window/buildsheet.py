"""The build sheet: all that is judged, as designed and as sound aircraft of this kind show it.

The rule is the one readings are judged by: the measured bands of the airframe (`sim/bench/bands.py`).
Normal is inside the inner edge, beyond the outer edge lies what is not sound.
"""

from collections.abc import Mapping
from typing import NamedTuple

from sim.aircraft import library
from sim.aircraft.airframe import Airframe
from sim.bench.bands import Band
from sim.bench.checklist import CHECKS
from sim.bench.lines import OFF_FOUR, PLACE, every_measure
from sim.bench.reading import Reading
from sim.keys import CheckKey
from sim.window.evidence import IN_WORDS, between, check_name, limits_told, shipped_bands
from sim.window.names import COLUMNS
from sim.window.values import Units, kind_of, measured, plain, reading_told

DESIGN = "As designed"
AGAINST = "against the middle of the four"
SHEET_COLUMN = list(COLUMNS)[1]  # a reading's copy of the sheet is not judged
EITHER = "one or the other"


class SheetLine(NamedTuple):
    """One line: what, what was read so far, what is normal, where the limits are, and who says so."""

    key: str
    words: str
    read: str
    normal: str
    limit: str
    source: str


class Section(NamedTuple):
    """The lines of one check, or those of the design where `check` is None."""

    title: str
    check: CheckKey | None
    lines: tuple[SheetLine, ...]


def key_of(measure: str) -> str:
    """Return the key by which a measure's values are written, without its place."""
    return measure.removeprefix(PLACE).removesuffix(OFF_FOUR)


def words_of(measure: str, value: float) -> str:
    """Return a measure in words. value : one it has, as a setting may be no other."""
    key = key_of(measure)
    words = reading_told(key, value).words if key.endswith(tuple(COLUMNS)) else plain(key)
    if not measure.startswith(PLACE):
        return words
    return f"{words}, {AGAINST if measure.endswith(OFF_FOUR) else 'each corner'}"


def normal_of(band: Band, key: str, units: Units) -> str:
    """Return what 95 of 100 sound aircraft show."""
    if kind_of(key) in IN_WORDS and band.low_outer != band.high_outer:
        return EITHER
    return between(key, band.low_inner, band.high_inner, units)


def limit_of(band: Band, key: str, units: Units) -> str:
    """Return where a sound aircraft hardly ever is any more; nothing where all show the same."""
    if kind_of(key) in IN_WORDS or band.low_outer == band.high_outer:
        return ""
    return limits_told(band, key, units)


def source_of(band: Band) -> str:
    """Return who says so."""
    return f"measured on {band.builds} sound builds and in {band.evenings} evenings"


def _read(values: list[float], key: str, units: Units) -> str:
    """Return what was read, one value or those of the four corners."""
    told = [reading_told(key, value, units) for value in values]
    return "  ".join([*(one.value for one in told[:-1]), told[-1].amount]) if told else ""


def _of_check(
    check: CheckKey, found: Mapping[str, Band], reading: Reading | None, units: Units
) -> Section:
    values = every_measure(reading.values) if reading is not None else {}
    lines = []
    for measure, band in found.items():
        key = key_of(measure)
        lines.append(
            SheetLine(
                measure,
                words_of(measure, band.middle),
                _read(values.get(measure, []), key, units),
                normal_of(band, key, units),
                limit_of(band, key, units),
                source_of(band),
            )
        )
    return Section(check_name(check).capitalize(), check, tuple(lines))


def designed(airframe: Airframe, units: Units = "metric") -> Section:
    """Return what the airframe's own file says of the aircraft and of its build sheet."""
    spec, sheet = library.pack(airframe.pack), airframe.sheet
    rows: tuple[tuple[str, str, float], ...] = (
        ("mass_kg", "mass, ready to fly", airframe.mass_kg),
        ("span_mm", "propeller's diameter", 1000.0 * airframe.propeller.diameter_m),
        ("label_cells", "cells of the pack", float(airframe.cells)),
        ("resistance_mohm_cell", "resistance of a new cell", 1000.0 * spec.r0_ohm),
        ("no_load_a", "current of a motor, no load", airframe.motor.no_load_a),
        ("hover_share", "throttle to hover", sheet.hover_throttle),
        ("current_a", "current in the hover", sheet.hover_current_a),
        ("loaded_drop_v_cell", "drop light on the legs", sheet.loaded_drop_v_cell),
        ("roughness_share", "roughness of command", sheet.roughness_share),
        ("ringing_share", "ringing light on the legs", sheet.ringing_share),
    )
    source = f"airframe file {airframe.name!r}, {airframe.origin}"
    lines = [
        SheetLine(key, words, "", " ".join(measured(key, value, units)), "", source)
        for key, words, value in rows
    ]
    return Section(DESIGN, None, tuple(lines))


def judged(
    design: library.Design, place: library.Place = ""
) -> list[tuple[CheckKey, dict[str, Band]]]:
    """Return the checks with lines that are judged, as they are listed, and the bands of those lines."""
    found: dict[CheckKey, dict[str, Band]] = {}
    for (check, measure), band in shipped_bands(design, place).items():
        in_words = measure.endswith(OFF_FOUR) and kind_of(key_of(measure)) in IN_WORDS
        if not measure.endswith(SHEET_COLUMN) and not in_words:
            found.setdefault(check, {})[measure] = band
    return [(check.key, found[check.key]) for check in CHECKS.values() if check.key in found]


def section(
    airframe: Airframe,
    of: list[tuple[CheckKey, dict[str, Band]]],
    at: int,
    readings: Mapping[CheckKey, Reading],
    units: Units = "metric",
) -> Section:
    """Return one part of the sheet: the design first, then check by check. of : what is judged."""
    if at == 0:
        return designed(airframe, units)
    check, found = of[at - 1]
    return _of_check(check, found, readings.get(check), units)
