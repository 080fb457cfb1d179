"""Plain words, digits and units for the keys of readings and settings.

A key carries its unit at its end (`front_left_no_load_a`); here it becomes what a person would
write. What stands for yes or no, or for a place by its number, is told by tables, never guessed
from the value.
"""

from dataclasses import dataclass
from functools import cache
from typing import Literal, NamedTuple

from sim.aircraft.fields import CHANNELS, PLACES
from sim.window.names import (
    AXES,
    BARE,
    CHOICES,
    CODES,
    COLUMNS,
    DIGITS,
    FAMILIES,
    NAMES,
    NOTES,
    SETTINGS,
    SIGNS,
    YES_NO,
)

Units = Literal["metric", "imperial"]

M_PER_FT = 0.3048  # m/ft; NIST SP 811, exact
MM_PER_IN = 25.4  # mm/in; NIST SP 811, exact
KG_PER_LB = 0.45359237  # kg/lb; NIST SP 811, exact
OZ_PER_LB = 16.0  # oz/lb; NIST SP 811, definition
N_PER_LBF = 4.4482216152605  # N/lbf; NIST SP 811, exact
F_PER_K = 1.8  # degF/K; NIST SP 811, exact
F_AT_0_DEGC = 32.0  # degF; NIST SP 811, exact
PERCENT = 100.0  # %; definition
MINUS = "−"


class Told(NamedTuple):
    """A value as a person would say it: what it is, how much, of what."""

    words: str
    value: str
    unit: str

    @property
    def amount(self) -> str:
        """Return value and unit in one."""
        return f"{self.value} {self.unit}" if self.unit else self.value


@dataclass(frozen=True)
class Unit:
    """How a unit is written, with how many digits after the point, in both systems."""

    text: str
    digits: int
    factor: float = 1.0
    imperial: str | None = None
    imperial_digits: int = 0
    imperial_factor: float = 1.0
    imperial_offset: float = 0.0


UNITS: dict[str, Unit] = {
    "deg": Unit("deg", 1),
    "deg_s": Unit("deg/s", 2),
    "m": Unit("m", 2, 1.0, "ft", 2, 1.0 / M_PER_FT),
    "mm": Unit("mm", 1, 1.0, "in", 3, 1.0 / MM_PER_IN),
    "m_s": Unit("m/s", 2, 1.0, "ft/s", 2, 1.0 / M_PER_FT),
    "m_s2": Unit("m/s²", 3, 1.0, "ft/s²", 3, 1.0 / M_PER_FT),
    "kg": Unit("kg", 3, 1.0, "lb", 0, 1.0 / KG_PER_LB),
    "in": Unit("in", 1),
    "n": Unit("N", 1, 1.0, "lbf", 1, 1.0 / N_PER_LBF),
    "n_m": Unit("N m", 3, 1.0, "lbf in", 2, 1000.0 / MM_PER_IN / N_PER_LBF),
    "g_mm": Unit("g mm", 2),
    "us": Unit("µs", 0),
    "ms": Unit("ms", 0),
    "s": Unit("s", 2),
    "hz": Unit("Hz", 1),
    "rpm": Unit("rpm", 0),
    "v": Unit("V", 2),
    "mv": Unit("mV", 0),
    "v_cell": Unit("V/cell", 3),
    "a": Unit("A", 2),
    "ohm": Unit("Ω", 0),
    "mohm_cell": Unit("mΩ/cell", 1),
    "ut": Unit("µT", 2),
    "ut_a": Unit("µT/A", 3),
    "degc": Unit("°C", 0, 1.0, "°F", 0, F_PER_K, F_AT_0_DEGC),
    "k": Unit("K", 1, 1.0, "°F", 1, F_PER_K),
    "share": Unit("%", 1, PERCENT, "%", 1, PERCENT),
    "count": Unit("", 0),
    "cells": Unit("cells", 0),
    "paces": Unit("paces", 0),
}  # by the end of a key; own digits: what the instrument or the eye can tell
PARTS_OF_UNITS = frozenset(
    {"rad", "deg", "m", "mm", "kg", "g", "n", "v", "mv", "a", "ut", "us", "w", "j", "pa", "per"}
)  # before a unit we know, these make it another


@cache
def suffix_of(key: str) -> str | None:
    """Return the unit at a key's end, as in `UNITS`; None if there is none we know."""
    if key in BARE or key in AXES:
        return BARE.get(key) or AXES[key]
    fits = [name for name in UNITS if key == name or key.endswith("_" + name)]
    best = max(fits, key=len, default=None)
    if best is None:
        return None
    before = key.removesuffix(best).strip("_").rpartition("_")[2]
    return None if before in PARTS_OF_UNITS else best


@cache
def member_of(key: str) -> tuple[str, str, str, str] | None:
    """Return (family, what stands before, member, rest) of a key that names one of four."""
    for family, members in FAMILIES.items():
        for member in members:
            before, found, rest = f"_{key}".partition(f"_{member}_")
            if found and rest:
                return family, before.strip("_"), member, rest
    return None


@cache
def _alone(key: str) -> bool:
    """Tell whether a key is written by itself, not as one of four."""
    return key in NAMES or member_of(key) is None


def plain(key: str) -> str:
    """Return a key in words, without its unit."""
    if _alone(key):
        if key in NAMES:
            return NAMES[key]
        suffix = "" if key in YES_NO or key in BARE else suffix_of(key) or ""
        return key.removesuffix(suffix).strip("_").replace("_", " ")
    _, before, member, rest = member_of(key) or ("", "", "", key)
    head = ", ".join(plain(part) for part in (before, member) if part)
    tail = plain(rest)
    return f"{head}: {tail}" if tail else head


def _rest(key: str) -> str:
    """Return the part of a key by which its value is written."""
    found = None if _alone(key) else member_of(key)
    return found[3] if found else key


def kind_of(key: str) -> str | None:
    """Return what a key's value is: yes-no, code, sign or a unit's name; None if not known."""
    if key.endswith(tuple(COLUMNS)):
        return "setting"
    rest = _rest(key)
    if rest in YES_NO:
        return "yes-no"
    if rest in CODES:
        return "code"
    if rest.endswith("_sign"):
        return "sign"
    return suffix_of(rest)


def number(value: float, digits: int) -> str:
    """Return a number with a true minus sign and never a minus zero."""
    text = f"{round(value, digits) + 0.0:.{digits}f}"
    return text.replace("-", MINUS)


def _digits(key: str, unit: Unit) -> int:
    if key.startswith("cell_"):
        return 3  # own: a cell meter's last digit
    return DIGITS.get(key, unit.digits)


def measured(key: str, value: float, units: Units = "metric") -> tuple[str, str]:
    """Return (value, unit) of a number in its key's unit, shown in these units."""
    suffix = suffix_of(key)
    if suffix is None:
        return f"{value:.6g}".replace("-", MINUS), ""
    unit = UNITS[suffix]
    if units == "imperial" and suffix == "kg":
        return _pounds(value), "oz"
    if units == "imperial" and unit.imperial is not None:
        digits = unit.imperial_digits if unit.imperial != unit.text else _digits(key, unit)
        shown = value * unit.imperial_factor + unit.imperial_offset
        return number(shown, digits), unit.imperial
    return number(value * unit.factor, _digits(key, unit)), unit.text


def _pounds(kg: float) -> str:
    ounces = round(kg / KG_PER_LB * OZ_PER_LB, 1)
    return f"{int(ounces // OZ_PER_LB)} lb {ounces % OZ_PER_LB:.1f}"


def reading_told(key: str, value: float, units: Units = "metric") -> Told:
    """Return what a reading's value says: words, value and unit."""
    for end, column in COLUMNS.items():
        if key.endswith(end):
            said = setting_told(key.removesuffix(end), value)
            return said._replace(words=f"{said.words}, {column}")
    kind, rest = kind_of(key), _rest(key)
    if kind == "yes-no":
        return Told(plain(key), "yes" if value else "no", "")
    if kind == "sign":
        return Told(plain(key), SIGNS[round(value)], "")
    if kind == "code":
        return Told(plain(key), CODES[rest][round(value)], "")
    return Told(plain(key), *measured(rest, value, units))


def axis(key: str, units: Units = "metric") -> tuple[str, str, float, float]:
    """Return (words, unit, factor, offset) of a trace's axis; shown = value * factor + offset."""
    unit = UNITS[suffix_of(key) or "count"]
    if units == "imperial" and unit.imperial is not None:
        return plain(key), unit.imperial, unit.imperial_factor, unit.imperial_offset
    return plain(key), unit.text, unit.factor, 0.0


def noted(note: str) -> str:
    """Return a note as it is shown: what became words among the values is not told again."""
    for old, new in NOTES.items():
        note = note.replace(old, new)
    for place in PLACES:
        if note.startswith(f"{place}:"):
            return ""
    return note


def setting_told(key: str, value: bool | int | float | str) -> Told:
    """Return what a setting's value says; the number is as it is set, to six digits.

    key : dotted, with or without `setup.` and the part it belongs to.
    """
    *axis_of, last = key.removeprefix("setup.").split(".")
    name, unit = SETTINGS[last]
    channel = axis_of[-1] if axis_of and axis_of[-1] in CHANNELS else ""
    words = f"{channel} {name}" if channel else name
    if isinstance(value, str):
        return Told(words, value, "")
    if unit in CHOICES:
        return Told(words, CHOICES[unit][float(value)], "")
    return Told(words, f"{value + 0.0:.6g}".replace("-", MINUS), unit)
