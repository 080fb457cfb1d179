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
    return case.first_shown(fault.id) is not None and _in_words(fault.id, case.record.reason)


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
    """Return the faults left and named of somebody who rightly stayed; none if it was not right.

    It was right if a fault left is named that is reason enough, or each fault that is dangerous or
    can't be fixed tonight, if nothing dangerous was claimed that was not there, and if the drill was
    ended unplugged and with no critical hazard. Who has found reason enough need look no further.
    """
    record = case.record
    stayed = record.declared == STAY and record.takeoff_s is None and record.finished
    unsafe = any(h.critical or h.id == "still-plugged" for h in record.hazards)
    if not stayed or unsafe or _false_danger(case):
        return frozenset()
    left = frozenset(n for n in record.present_now if named(CATALOGUE[n], case))
    enough = any(CATALOGUE[n].hazard >= case.rubric.stay_from for n in left)
    return left if enough or _grave(case) <= left else frozenset()


def _grave(case: Case) -> frozenset[FaultId]:
    """Return the faults left that are dangerous or can't be fixed tonight."""
    dangerous = {n for n in case.record.present_now if case.rubric.dangerous(n)}
    return beyond_fixing(case.record) | dangerous


def wise_refusal(case: Case) -> bool:
    """Tell whether staying on the bench was right, and all that could be done is done.

    A fault is left that can't be fixed tonight, and every grave fault left is named.
    """
    left = _named_left(case)
    return bool(beyond_fixing(case.record) & left) and _grave(case) <= left


def sound_decision(case: Case) -> bool:
    """Tell whether staying on the bench was right, though something could still have been done."""
    return bool(_named_left(case)) and not wise_refusal(case)


def handed_over(case: Case) -> frozenset[FaultId]:
    """Return the faults found and rightly left to somebody else."""
    left = _named_left(case)
    return left - beyond_fixing(case.record) if wise_refusal(case) else left


def stopped_at(case: Case) -> int | None:
    """Return which event first showed a fault that was rightly left: there the work may stop."""
    return _first_told(_named_left(case), case)


def _first_told(left: frozenset[FaultId], case: Case) -> int | None:
    return min((_told_at(name, case) for name in left), default=None)


def _told_at(fault: FaultId, case: Case) -> int:
    """Return which event first showed a named fault, or first claimed one that moves no line."""
    shown = case.first_shown(fault)
    return right_claims(CATALOGUE[fault], case)[0].at if shown is None else shown


def excused(case: Case) -> frozenset[FaultId]:
    """Return the faults left that nothing had shown when somebody rightly stopped."""
    left = _named_left(case)
    stop = _first_told(left, case)
    if stop is None:
        return frozenset()
    shown = {n: case.first_shown(n) for n in case.record.present_now - left}
    return frozenset(n for n, at in shown.items() if at is None or at >= stop)
