"""A suspicion, how it is written down and what cures it."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from sim.aircraft.airframe import BuildSheet
from sim.aircraft.fields import Place
from sim.aircraft.setup import Setup
from sim.faults.catalogue import CATALOGUE
from sim.keys import FaultId, FixKey
from sim.session.actions import Set, Squawk

Values = dict[str, float]


@dataclass(frozen=True)
class Finding:
    """A suspicion: the claim to write down and the fix that would cure it.

    settings : what to set, where it is known; a fix that is a setting without them takes another
    look first.
    """

    squawk: Squawk
    fix: FixKey
    settings: tuple[Set, ...] = ()


def found(
    cause: FaultId,
    confidence: int = 4,
    item: str | None = None,
    fix: FixKey | None = None,
    settings: tuple[Set, ...] = (),
) -> Finding:
    """Return the finding of a cause; item and fix are those of the catalogue unless given."""
    fault = CATALOGUE[cause]
    squawk = Squawk(item=item or fault.item, cause=cause, confidence=confidence)
    return Finding(squawk, fix or fault.fixes[0], settings)


def planned(sheet: BuildSheet, key: str) -> Any:
    """Return the value a setting is meant to have, as a person would write it."""
    value: Any = {"setup": Setup(controller=sheet.setup).model_dump()}
    for part in key.split("."):
        value = value[part]
    return " ".join(value) if isinstance(value, tuple) else value


def set_back(cause: FaultId, sheet: BuildSheet) -> Finding:
    """Return the finding of a cause whose settings go back to what is planned."""
    keys = [fix for fix in CATALOGUE[cause].fixes if fix.startswith("setup.")]
    return found(cause, settings=tuple(Set(key=key, value=planned(sheet, key)) for key in keys))


def found_at(cause: FaultId, place: Place, confidence: int = 4, item: str | None = None) -> Finding:
    """Return the finding of a cause at one of the four places, cured by its fix there."""
    fault, where = CATALOGUE[cause], place.replace("_", "-")
    there = next((fix for fix in fault.fixes if fix.endswith(where)), fault.fixes[0])
    return found(cause, confidence, f"{item or fault.item} {place.replace('_', ' ')}", there)


Judge = Callable[[Values, BuildSheet], list[Finding]]
