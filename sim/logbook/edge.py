"""A drill fitted to a person: cues as doubtful as they can do with, and hints that fade. Pure functions.

How often the careful would call a fault is measured, check by check and severity by severity (the
detection table). The abler somebody is, the less often the best check shows what is drawn for them:
from nine times in ten for a beginner down to six in ten, where one must look twice or elsewhere.
"""

from collections.abc import Iterable
from functools import cache
from itertools import pairwise

import numpy as np

from sim.aircraft.library import called
from sim.diagnosis.table import Table, measured_for
from sim.faults.catalogue import CATALOGUE
from sim.faults.severity import LIMIT_AT
from sim.keys import FaultId
from sim.logbook.skill import Skill, at_first, chance, difficulty
from sim.logbook.standing import Standings
from sim.session.scenario import DRAWN, HINT_STEPS, HiddenFault, Scenario, Steps
from sim.session.severities import AT_EDGE, AT_EDGE_USUAL

PLAIN = 0.9  # share; own: power for who proves none of the rung's faults
FAINT = 0.6  # share; own: power for who proves all of them
Curve = list[tuple[float, float]]  # (severity, power), severities rising


def wanted(skill: Skill) -> float:
    """Return the power a cue is to have for somebody of this skill, between `FAINT` and `PLAIN`."""
    return PLAIN - (PLAIN - FAINT) * chance(skill, difficulty(DRAWN))


@cache
def curves(table: Table, fault: FaultId) -> list[Curve]:
    """Return the measured power of each check against a fault, from where it is a fault."""
    rows = [row for row in table if row.fault == fault]
    severities = sorted({row.severity for row in rows})
    checks = sorted({row.check for row in rows})
    from_limit = [LIMIT_AT, *(s for s in severities if s > LIMIT_AT)]
    return [[(s, table.power(fault, check, s)) for s in from_limit] for check in checks]


def severity_at(curve: Curve, power: float) -> float | None:
    """Return the least severity of a curve with at least some power, or None if there is none."""
    if curve[0][1] >= power:
        return curve[0][0]
    for (low, a), (high, b) in pairwise(curve):
        if b >= power:
            return low + (high - low) * (power - a) / (b - a)
    return None


def edge(found: Iterable[Curve], power: float) -> float | None:
    """Return the least severity at which the best check has at least some power, or None."""
    reached = [s for curve in found if (s := severity_at(curve, power)) is not None]
    return min(reached, default=None)


def can_be_faint(table: Table, fault: FaultId) -> bool:
    """Tell whether a fault goes so far by degrees that its best check can be left in doubt."""
    found = curves(table, fault)
    plain = edge(found, PLAIN)
    return plain is not None and max(curve[0][1] for curve in found) <= PLAIN


def severity_for(fault: FaultId, skill: Skill, table: Table) -> float:
    """Return the severity of a fault for somebody of this skill.

    The measured power of its best check is then `wanted`, or what it has where it is just a fault if
    that is more. The middling severity where the fault can't be faint: there it makes no difference.
    """
    if not can_be_faint(table, fault):
        return AT_EDGE_USUAL
    found = edge(curves(table, fault), wanted(skill))
    return AT_EDGE_USUAL if found is None else found


def drawable(drill: Scenario, table: Table) -> frozenset[FaultId]:
    """Return the faults to draw from: of each family those that can be faint, or all if none can."""
    families = () if drill.draw is None else drill.draw.families
    found: set[FaultId] = set()
    for family in families:
        every = {name for name, fault in CATALOGUE.items() if fault.family == family}
        found |= {name for name in every if can_be_faint(table, name)} or every
    return frozenset(found)


def hint_steps(standings: Standings) -> Steps:
    """Return how many hints somebody is given on faults of each family they were tried in.

    One less for each rung they are ready for: who is ready to go alone is given none.
    """
    return {
        topic: max(0, HINT_STEPS - one.ready_for)
        for topic, one in standings.items()
        if topic != "sound"
    }


def fits_whoever(drill: Scenario) -> bool:
    """Tell whether a drill is the same for everybody."""
    named = all(fault.severity != AT_EDGE for fault in drill.faults)
    return named and not _is_drawn_at_edge(drill) and drill.helping != "hints"


def _is_drawn_at_edge(drill: Scenario) -> bool:
    return drill.draw is not None and drill.draw.severity == AT_EDGE


def fitted(
    drill: Scenario, seed: int, standings: Standings, table: Table | None = None
) -> Scenario:
    """Return a drill as it is for one person and seed, all numbers stated: nothing is left to fit.

    What the drill states itself stays. A fault put in at somebody's edge is exactly as bad as worked
    out, so it has a variation of its own, by the seed. table : of the drill's airframe; if none is given,
    its own where that was measured, else the trainer's. Whose it was is written into the drill.
    """
    of = drill.airframe
    if table is None:
        table, of = measured_for(of)
    rng = np.random.default_rng(seed)
    unknown = at_first([one.skill for one in standings.values()])
    hidden = drill.faults
    drawn = _is_drawn_at_edge(drill)
    if drawn:
        hidden = drill.hidden(rng, drawable(drill, table))

    def exact(fault: HiddenFault) -> HiddenFault:
        if fault.severity != AT_EDGE:
            return fault
        standing = standings.get(CATALOGUE[fault.id].family)
        skill = unknown if standing is None else standing.skill
        variation = int(rng.integers(2**32)) if fault.variation is None else fault.variation
        severity = severity_for(fault.id, skill, table)
        return fault.model_copy(update={"severity": severity, "variation": variation})

    changes: dict[str, object] = {"faults": tuple(exact(fault) for fault in hidden)}
    if any(fault.severity == AT_EDGE for fault in hidden):
        changes["edge_by"] = called(of)
    if drawn:
        changes["draw"] = None
    if drill.helping == "hints":
        changes["hint_steps"] = hint_steps(standings) | drill.hint_steps
    return drill.model_copy(update=changes)
