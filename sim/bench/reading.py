"""What a check gives back: values a person reads off, and a trace where one would look at one."""

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

    values : unit in each key; notes : words seen; series : by title.
    """

    check: CheckKey | Calibrated
    values: dict[str, float]
    notes: tuple[str, ...] = ()
    series: dict[str, Series] = field(default_factory=dict)
