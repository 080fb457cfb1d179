"""What came of the air: the hops, and what was found after the first takeoff. It earns nothing.

Points and verdict are those of the aircraft that first left the floor. A second hop can only lose
them, by a hazard or by a fault aboard; what it taught is told apart.
"""

from dataclasses import dataclass
from functools import cached_property
from typing import Any

from sim.faults.catalogue import CATALOGUE
from sim.faults.fault import Fault
from sim.keys import FaultId, HazardKey
from sim.scoring.case import Case, Claim
from sim.scoring.claims import causes, speaks
from sim.scoring.judgement import neat
from sim.scoring.ladder import proved, settled
from sim.session.record import Event, Hop

LATE: frozenset[HazardKey] = frozenset(
    {"no-abort-within-2s", "flew-on-past-alarm", "flew-too-high", "flew-at-pilot"}
)  # hazards of a hop that went on when it should have ended

SPENT: frozenset[FaultId] = frozenset({"pack-undercharged", "pack-high-resistance"})
# what a hop makes of any pack until it is charged again; told only of a pack that took off so


class WholeEvening(Case):
    """The same run with all that was done until it ended; its claims are those made after takeoff."""

    @cached_property
    def events(self) -> tuple[Event, ...]:
        """What was done, and not refused, all evening."""
        return tuple(self.done)

    @cached_property
    def later(self) -> list[Claim]:
        """Claims written after the first takeoff."""
        return [c for c in self.claims if not self.before_takeoff(self.events[c.at])]


@dataclass(frozen=True)
class FoundLater:
    """What was made of a fault that flew, or that a crash or a change made after the first takeoff.

    flew : it was aboard at a takeoff; felt : named on no line, by what was felt in the air alone.
    """

    id: FaultId
    flew: bool
    named: bool
    felt: bool
    cleared: bool
    proved: bool


def early(hop: Hop, case: Case) -> bool:
    """Tell whether a hop was ended short of its hover, in one piece: what a doubt is there for."""
    if hop.over_s is None or hop.crash:
        return False
    return hop.over_s - hop.takeoff_s < case.record.scenario.hop.hover_s


def landed_at_first_doubt(case: Case) -> bool:
    """Tell whether each hop with a fault aboard was landed early, and nothing was late or too far."""
    doubtful = [hop for hop in case.record.hops if hop.present]
    late = LATE & {h.id for h in case.record.hazards}
    return bool(doubtful) and not late and all(early(hop, case) for hop in doubtful)


def _found(fault: Fault, case: WholeEvening) -> FoundLater:
    """Return what was made of a fault after the first takeoff.

    A claim names it that points at a line which speaks for it, or at none: it was felt.
    """
    named_by = causes(fault, case)
    mine = [c for c in case.later if c.cause in named_by and case.was_there(fault.id, c.at)]
    felt = [c for c in mine if c.check is None]
    read = [c for c in mine if speaks(c, fault.id, case, fault.id)]
    gone = fault.id not in case.record.present_now
    return FoundLater(
        id=fault.id,
        flew=any(fault.id in hop.present for hop in case.record.hops),
        named=bool(felt or read),
        felt=bool(felt) and not read,
        cleared=gone,
        proved=gone and proved(fault, case),
    )


def found_later(case: Case) -> list[FoundLater]:
    """Return what was made of each fault that flew or came after the first takeoff."""
    if not case.record.hops:
        return []
    whole = WholeEvening(case.record, case.rubric, case.measured)
    after = settled(tuple(e for e in whole.events if not case.before_takeoff(e)))
    came = frozenset().union(*(e.present for e in after)) - SPENT
    there = came.union(*(hop.present for hop in case.record.hops))
    return [_found(CATALOGUE[name], whole) for name in CATALOGUE if name in there]


def flown(case: Case) -> dict[str, Any]:
    """Return hops and what was found later as plain data."""
    return {
        "hops": [
            neat(vars(hop) | {"present": sorted(hop.present), "early": early(hop, case)})
            for hop in case.record.hops
        ],
        "found": [vars(one) for one in found_later(case)],
        "landed_at_first_doubt": landed_at_first_doubt(case),
    }
