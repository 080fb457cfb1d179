"""What a check gives back: values a person reads off, and a trace where one would look at one."""

from collections.abc import Container, Iterable
from dataclasses import dataclass, field
from typing import Literal

from sim.keys import CheckKey

Calibrated = Literal[
    "sticks-calibration",
    "drives-calibration",
    "voltage-calibration",
    "compass-calibration",
    "accelerometer-calibration",
]
"""A calibration that gives a reading too."""


def not_read(lines: Iterable[str], values: Container[str]) -> tuple[str, ...]:
    """Return which of some lines have no value."""
    return tuple(line for line in lines if line not in values)


@dataclass(frozen=True)
class Series:
    """A trace: x against y, both named with their unit."""

    x_name: str
    y_name: str
    x: tuple[float, ...]
    y: tuple[float, ...]


@dataclass(frozen=True)
class Reading:
    """Outcome of a check; never a verdict.

    values : unit in each key; notes : words seen; series : by title; missing : values it would have
    too, had the check been done whole by hand.
    """

    check: CheckKey | Calibrated
    values: dict[str, float]
    notes: tuple[str, ...] = ()
    series: dict[str, Series] = field(default_factory=dict)
    missing: tuple[str, ...] = ()

    def after(self, earlier: "Reading | None") -> "Reading":
        """Return this reading joined to what was read of the same check before: the later counts."""
        if earlier is None:
            return self
        values = earlier.values | self.values
        left = not_read(self.missing, values)
        notes = tuple(dict.fromkeys((*earlier.notes, *self.notes)))
        return Reading(self.check, values, notes, earlier.series | self.series, left)
