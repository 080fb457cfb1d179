"""The line a squawk rests on, and what sound aircraft show on it, in words."""

from collections.abc import Iterable
from typing import NamedTuple

from sim.aircraft.library import Design, Place
from sim.bench.bands import Band, Bands, bands
from sim.bench.ends import limits
from sim.bench.evidence import measured
from sim.bench.lines import OFF_FOUR, measures
from sim.errors import InputError
from sim.keys import CheckKey
from sim.session import actions as act
from sim.window.said import Said
from sim.window.values import Units, kind_of, reading_told

NOTHING = "Rests on nothing: it will not count as noticing"
NO_BAND = "Nothing was measured on sound aircraft for this line."
IN_WORDS = ("yes-no", "code", "sign")  # kinds of value that have no more and less


class Picked(NamedTuple):
    """A line of a reading: the check and the value's key."""

    check: CheckKey
    line: str


def check_name(check: CheckKey) -> str:
    """Return a check as its sheet is headed."""
    return check.replace("-", " ")


def line_told(picked: Picked, value: float, units: Units) -> str:
    """Return a line as it was read, in words."""
    said = reading_told(picked.line, value, units)
    return f"“{said.words}”, read as {said.amount} ({check_name(picked.check)})"


def rests_on(picked: Picked | None, value: float | None, units: Units) -> str:
    """Return what a squawk rests on, in words. value : as last read; None if it was not."""
    if picked is None or value is None:
        return NOTHING
    return f"Rests on {line_told(picked, value, units)}"


def picked_by(claim: act.Squawk) -> Picked | None:
    """Return the line a squawk points at, if it does."""
    return None if claim.check is None else Picked(claim.check, claim.line)


def as_read(log: Iterable[tuple[float, Said]], claim: act.Squawk) -> float | None:
    """Return the value a squawk rests on, as last read when it was written; None if it never was."""
    last = found = None
    for _, said in log:
        if said.reading is not None and said.reading.check == claim.check:
            last = said.reading.values.get(claim.line)
        if said.action == claim and not said.refused:
            found = last
    return found


# --- what sound aircraft show ---------------------------------------------------------------------


def shipped_bands(airframe: Design, place: Place = "") -> Bands:
    """Return what sound aircraft of this kind show; nothing if nobody has measured it."""
    try:
        return measured(airframe, place).bands if place else bands(airframe)
    except InputError:
        return {}


def sound_told(known: Bands, picked: Picked, values: dict[str, float], units: Units) -> list[str]:
    """Return what sound aircraft show on a line, a sentence for each way it is judged."""
    name = reading_told(picked.line, values[picked.line], units).words
    found = []
    for measure in measures(values, picked.line):
        band = known.get((picked.check, measure))
        against = measure.endswith(OFF_FOUR)
        if band is None or (against and kind_of(picked.line) in IN_WORDS):
            continue
        who = "Against the middle of the four" if against else name[0].upper() + name[1:]
        found.append(f"{who}: {_band_told(band, picked.line, units)}")
    return found or [f"{name[0].upper()}{name[1:]}: {NO_BAND}"]


def _band_told(band: Band, key: str, units: Units) -> str:
    if band.low_outer == band.high_outer:
        return f"sound aircraft all show {reading_told(key, band.middle, units).amount}."
    if kind_of(key) in IN_WORDS:
        return "sound aircraft show one or the other."
    usual = between(key, band.low_inner, band.high_inner, units)
    return f"sound aircraft show {usual}, doubtful beyond; {_not_sound(band, key, units)}."


def between(key: str, low: float, high: float, units: Units) -> str:
    """Return a span of values with its unit; one value where both ends say the same."""
    first, last = reading_told(key, low, units), reading_told(key, high, units)
    return first.amount if first == last else f"{first.value} … {last.amount}"


def limits_told(band: Band, key: str, units: Units) -> str:
    """Return where a sound aircraft hardly ever is any more: from … to, or one limit where one is."""
    low, high = limits(band)
    if low is not None and high is not None:
        return between(key, low, high, units)
    if high is not None:
        return f"at most {reading_told(key, high, units).amount}"
    return "" if low is None else f"at least {reading_told(key, low, units).amount}"


def _not_sound(band: Band, key: str, units: Units) -> str:
    low, high = limits(band)
    if low is not None and high is not None:
        return f"not sound beyond {between(key, low, high, units)}"
    if high is not None:
        return f"not sound above {reading_told(key, high, units).amount}"
    return "" if low is None else f"not sound below {reading_told(key, low, units).amount}"
