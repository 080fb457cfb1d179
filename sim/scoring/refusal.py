"""Staying on the bench for a right reason.

A wise refusal: what is left can't be put right tonight, so all that could be done is done. A sound
decision: what is left could have been cured, was found, and is left to the instructor.
"""

from sim.faults.catalogue import CATALOGUE
from sim.faults.fault import Fault
from sim.keys import FaultId
from sim.scoring.case import Case
from sim.scoring.claims import causes, right_claims, wrong_claims
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


def _stands(fault: Fault, case: Case) -> bool:
    """Tell whether a claim of just this fault was not taken back afterwards."""
    right, stands = causes(fault, case), False
    for event in case.events:
        match event.action:
            case Squawk(item=item, cause=cause) if cause in right:
                claimed, stands = item, True
            case Withdraw(item=item) if stands and item == claimed:
                stands = False
    return stands


def named(fault: Fault, case: Case) -> bool:
    """Tell whether a fault was named, with evidence, in a standing squawk or in the reason."""
    if _stands(fault, case) and right_claims(fault, case):
        return True
    return case.shown(fault.id) and _in_words(fault.id, case.record.reason)


def _false_danger(case: Case) -> bool:
    """Tell whether a dangerous fault was claimed, or given as the reason, that was not there."""
    record = case.record
    claimed = {claim.cause for claim in wrong_claims(case)}
    claimed |= {
        name
        for name in CATALOGUE
        if _in_words(name, record.reason) and name not in record.present_now
    }
    return any(case.rubric.dangerous(name) for name in claimed)


def _named_left(case: Case) -> frozenset[FaultId]:
    """Return the faults left, each named, of somebody who rightly stayed; none if it was not right.

    It was right if each fault left is named that can't be fixed tonight or is dangerous, if nothing
    dangerous was claimed that was not there, and if the drill was ended unplugged and with no
    critical hazard.
    """
    record = case.record
    stayed = record.declared == STAY and record.takeoff_s is None and record.finished
    unsafe = any(h.critical or h.id == "still-plugged" for h in record.hazards)
    if not stayed or unsafe or _false_danger(case):
        return frozenset()
    left = frozenset(n for n in record.present_now if named(CATALOGUE[n], case))
    dangerous = {n for n in record.present_now if case.rubric.dangerous(n)}
    return left if beyond_fixing(record) | dangerous <= left else frozenset()


def wise_refusal(case: Case) -> bool:
    """Tell whether staying on the bench was right, as a fault is left that can't be fixed tonight."""
    return bool(beyond_fixing(case.record) & _named_left(case))


def sound_decision(case: Case) -> bool:
    """Tell whether staying on the bench was right, though what is left could have been cured."""
    return bool(_named_left(case)) and not beyond_fixing(case.record)


def handed_over(case: Case) -> frozenset[FaultId]:
    """Return the faults found, curable tonight and rightly left to somebody else."""
    return _named_left(case) - beyond_fixing(case.record)
