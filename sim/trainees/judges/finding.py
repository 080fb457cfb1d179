"""A suspicion, and how it is written down."""

from collections.abc import Callable
from dataclasses import dataclass

from sim.aircraft.airframe import BuildSheet
from sim.session.actions import Set, Squawk


@dataclass(frozen=True)
class Finding:
    """A suspicion: the claim to write down and the actions that would cure it."""

    squawk: Squawk
    cure: str
    settings: tuple[Set, ...] = ()


def claim(item: str, cause: str, confidence: int = 4) -> Squawk:
    """Return the claim that an item is faulty for a cause."""
    return Squawk(item=item, cause=cause, confidence=confidence)


Judge = Callable[[dict[str, float], BuildSheet], list[Finding]]
