"""A suspicion, the line that shows it, how it is written down and what cures it."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from math import nan
from typing import Any

from sim.aircraft.airframe import Airframe, BuildSheet
from sim.aircraft.changes import value_at
from sim.aircraft.fields import Place
from sim.aircraft.setup import Setup
from sim.bench.bands import Band
from sim.bench.evidence import Measured
from sim.bench.lines import measures
from sim.faults.catalogue import CATALOGUE
from sim.keys import CheckKey, FaultId, FixKey
from sim.session.actions import Set, Squawk


@dataclass(frozen=True)
class Look:
    """A reading as it is judged, beside the design with its sheet and what is measured of such aircraft.

    A line of it is had by its key. What was not read is NaN, so no comparison with it is true and
    nothing shows there: ask `v[line] == 0.0`, never `not v[line]`.
    """

    check: CheckKey
    values: dict[str, float]
    airframe: Airframe
    measured: Measured

    @property
    def sheet(self) -> BuildSheet:
        """The build sheet."""
        return self.airframe.sheet

    def usual(self, line: str) -> Band | None:
        """Return what sound aircraft show on a line that is one measure; None if none has shown it."""
        return self.measured.bands.get((self.check, line))

    def __getitem__(self, line: str) -> float:
        """Return the value of a line; NaN if it was not read."""
        return self.values.get(line, nan)

    def read(self, *lines: str) -> bool:
        """Tell whether all of some lines were read."""
        return all(line in self.values for line in lines)

    def furthest(self, lines: Iterable[str], middle: float = 0.0) -> str:
        """Return the line furthest from a middle of those that were read; "" if none was."""
        seen = (line for line in lines if line in self.values)
        return max(seen, key=lambda line: abs(self.values[line] - middle), default="")

    def off(self, line: str) -> float:
        """Return how far a line lies off the middle of its band, in half widths of the inner edges."""
        return max(
            (
                self.measured.bands[self.check, measure].half_widths(value)
                for measure, value in measures(self.values, line).items()
                if (self.check, measure) in self.measured.bands
            ),
            default=0.0,
        )

    def past(self, cause: FaultId, *lines: str) -> str:
        """Return the line of these that is furthest past the measured limit of a cause; none: ""."""
        beyond = [line for line in lines if self._past(cause, line)]
        return max(beyond, key=self.off, default="")

    def _past(self, cause: FaultId, line: str) -> bool:
        where = (cause, self.check, self.values, line)
        return self.measured.past_limit(*where) and self.measured.speaks_for(*where)

    def pointed(self, cause: FaultId, line: str) -> str:
        """Return the line to point at: that of the sign, or the one that speaks plainest.

        Of signs that take two lines, as which way a motor turns and which way its arrow points,
        only one may lie outside what sound aircraft show.
        """
        speak = [
            one
            for one in self.values
            if self.measured.speaks_for(cause, self.check, self.values, one)
        ]
        return line if line in speak else max(speak, key=self.off, default=line)

    def plain(self, cause: FaultId, line: str) -> bool:
        """Tell whether a line speaks for a cause where sound aircraft are hardly ever."""
        return self.measured.speaks_for(cause, self.check, self.values, line, "outer")


Signs = dict[FaultId, str]
"""Causes and, for each, the line that shows it; none: it does not show."""


def shows(line: str, seen: bool) -> str:
    """Return the line a cause shows on, if it is seen there."""
    return line if seen else ""


def first(signs: Signs) -> tuple[FaultId, str] | None:
    """Return the first cause that shows and its line, or None; each explains what comes after it."""
    return next(((cause, line) for cause, line in signs.items() if line), None)


@dataclass(frozen=True)
class Finding:
    """A suspicion: the claim to write down and the fix that would cure it.

    settings : what to set, where it is known; a fix that is a setting without them takes another
    look first. plain : whether its line lies where a sound aircraft is hardly ever.
    """

    squawk: Squawk
    fix: FixKey
    settings: tuple[Set, ...] = ()
    plain: bool = False

    @property
    def suspicion(self) -> tuple[str, FaultId]:
        """Which item is suspected of what."""
        return self.squawk.item, self.squawk.cause


def found(
    cause: FaultId,
    line: str,
    confidence: int = 4,
    item: str | None = None,
    fix: FixKey | None = None,
    settings: tuple[Set, ...] = (),
) -> Finding:
    """Return the finding of a cause; item and fix are those of the catalogue unless given."""
    fault = CATALOGUE[cause]
    squawk = Squawk(item=item or fault.item, cause=cause, confidence=confidence, line=line)
    return Finding(squawk, fix or fault.fixes[0], settings)


def planned(sheet: BuildSheet, key: str) -> Any:
    """Return the value a setting is meant to have, as a person would write it."""
    value = value_at(Setup(controller=sheet.setup), key.removeprefix("setup."))
    return " ".join(value) if isinstance(value, tuple) else value


def set_back(cause: FaultId, line: str, sheet: BuildSheet) -> Finding:
    """Return the finding of a cause whose settings go back to what is planned."""
    keys = [fix for fix in CATALOGUE[cause].fixes if fix.startswith("setup.")]
    return found(
        cause, line, settings=tuple(Set(key=key, value=planned(sheet, key)) for key in keys)
    )


def found_at(
    cause: FaultId, line: str, place: Place, confidence: int = 4, item: str | None = None
) -> Finding:
    """Return the finding of a cause at one of the four places, cured by its fix there."""
    fault, where = CATALOGUE[cause], place.replace("_", "-")
    there = next((fix for fix in fault.fixes if fix.endswith(where)), fault.fixes[0])
    return found(cause, line, confidence, f"{item or fault.item} {place.replace('_', ' ')}", there)


Judge = Callable[[Look], list[Finding]]
