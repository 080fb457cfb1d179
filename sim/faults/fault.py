"""What a fault is, and the truth its presence is computed from."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

import numpy as np

from sim.aircraft.setup import Unset
from sim.aircraft.world import World
from sim.kernel.pack import PackState
from sim.kernel.tables import Tables
from sim.kernel.vehicle import Craft
from sim.keys import CheckKey, FaultId, FixKey, ThreatKey

Family = Literal[
    "airframe", "propulsion", "power", "radio", "sensing", "control", "site", "conduct"
]


@dataclass(frozen=True)
class Truth:
    """All that a presence predicate may look at; `craft` as it would fly, propellers on."""

    world: World
    craft: Craft
    tables: Tables
    cells: PackState
    hop_s: float

    def relies_on(self, what: Unset) -> bool:
        """Tell whether the controller relies on what it was told or taught, rather than waits for it."""
        return what not in self.world.setup.unset


def _anywhere(world: World) -> str:
    """Give no reason: most faults can be on any aircraft."""
    return ""


@dataclass(frozen=True)
class Fault:
    """One entry of the catalogue.

    inject takes (world, severity 0..1, random generator) and returns the world with the fault;
    present tells from the truth, however the fault came about. Checks and fixes are named by key;
    `cannot` says in a sentence why there is no such fault on an aircraft or at a place, "" where there
    can be; `opens` names the threat of the bow-ties (sim/procedure/bowties.py) it makes way for. `also`
    names faults whose predicates this one may trip as well; `only_in_the_air` says why no check
    before takeoff can reveal it, where that is so, and what the wise act is then. in_the_air says what
    it does in flight; where the hop as drilled does not show that, `lucky` says why not.
    """

    id: FaultId
    family: Family
    item: str
    hazard: int
    opens: ThreatKey
    inject: Callable[[World, float, np.random.Generator], World]
    present: Callable[[Truth], bool]
    revealed_by: tuple[CheckKey, ...]
    proved_by: tuple[CheckKey, ...]
    fixes: tuple[FixKey, ...]
    in_the_air: str
    explanation: str
    caution: str = ""
    also: tuple[FaultId, ...] = ()
    cannot: Callable[[World], str] = _anywhere
    only_in_the_air: str = ""
    lucky: str = ""

    def __post_init__(self) -> None:
        """Refuse an entry no one could score."""
        if not 1 <= self.hazard <= 5:
            raise ValueError(f"{self.id}: hazard {self.hazard} is not 1..5")
        if not self.only_in_the_air and not (self.revealed_by and self.proved_by):
            raise ValueError(f"{self.id}: needs a check that reveals it and one that proves it")

    @property
    def shown_by(self) -> frozenset[CheckKey]:
        """The checks that reveal or prove it."""
        return frozenset((*self.revealed_by, *self.proved_by))
