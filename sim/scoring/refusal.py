"""The wise refusal: who stays on the bench for a right reason has done all that could be done."""

from sim.faults.catalogue import CATALOGUE
from sim.faults.fault import Fault
from sim.keys import FaultId
from sim.procedure.rubric import Rubric
from sim.scoring.ladder import before_takeoff, causes, false_squawks, had_evidence, rung
from sim.session.actions import Squawk, Withdraw
from sim.session.record import Record

STAY = "stay on the bench"


def beyond_fixing(record: Record) -> frozenset[FaultId]:
    """Return the faults still there for which nothing was to be had tonight."""
    drill = record.scenario
    return frozenset(name for name in record.present_now if not drill.can_be_fixed(name))


def _in_words(name: str, reason: str) -> bool:
    """Tell whether a reason names a fault as the sheet does, with hyphens or without."""
    return name.replace("-", " ") in " ".join(reason.lower().replace("-", " ").split())


def _stands(fault: Fault, record: Record) -> bool:
    """Tell whether a claim of just this fault was not taken back afterwards."""
    right, stands = causes(fault, record), False
    for event in before_takeoff(record):
        match event.action:
            case Squawk(item=item, cause=cause) if cause in right:
                claimed, stands = item, True
            case Withdraw(item=item) if stands and item == claimed:
                stands = False
    return stands


def named(fault: Fault, record: Record, rubric: Rubric) -> bool:
    """Tell whether a fault was named, with evidence, in a standing squawk or in the reason."""
    if _stands(fault, record) and rung(fault, record, rubric).named == 1.0:
        return True
    seen = had_evidence(fault.revealed_by, before_takeoff(record))
    return seen and _in_words(fault.id, record.reason)


def wrong_claims(record: Record, rubric: Rubric) -> bool:
    """Tell whether a dangerous fault was claimed, or given as the reason, that was not there."""
    claimed = {cause for cause, _ in false_squawks(record)}
    claimed |= {
        name
        for name in CATALOGUE
        if _in_words(name, record.reason) and name not in record.present_now
    }
    return any(rubric.dangerous(name) for name in claimed)


def wise_refusal(record: Record, rubric: Rubric) -> bool:
    """Tell whether staying on the bench was right, and for the right reason.

    It is if a fault is left that can't be fixed tonight, if each such fault and each dangerous one
    left is named, and if the drill was ended unplugged and with no critical hazard.
    """
    stayed = record.declared == STAY and record.takeoff_s is None and record.finished
    unsafe = any(h.critical or h.id == "still-plugged" for h in record.hazards)
    beyond = beyond_fixing(record)
    if not stayed or unsafe or not beyond or wrong_claims(record, rubric):
        return False
    dangerous = {n for n in record.present_now if rubric.dangerous(n)}
    return all(named(CATALOGUE[name], record, rubric) for name in beyond | dangerous)
