"""The ladder: each fault noticed, named, cleared and proved before takeoff, or not."""

from dataclasses import dataclass

from sim.faults.catalogue import CATALOGUE
from sim.faults.fault import Fault
from sim.keys import FaultId
from sim.procedure.preparations import ORDINARY
from sim.scoring.case import Case, belongs
from sim.scoring.claims import earned, near_claims, price, right_claims, wrong_claims
from sim.scoring.needless import needless
from sim.session.actions import Action, Answer, Prepare, RemoveProps, Set, Squawk, Withdraw
from sim.session.record import Event


@dataclass(frozen=True)
class Rung:
    """One fault's story before takeoff.

    by_precaution : noticed by no claim, but ended by a precaution; named : 1 its cause, a share its
    family alone, 0 neither; sure : the highest chance stated of a right claim, 0 without one;
    made_by_trainee : it came, or came back, by what was done; lucky : why the hop, whole as it was,
    showed nothing of it that was aboard, or empty.
    """

    id: FaultId
    family: str
    hazard: int
    present_at_start: bool
    noticed: bool
    by_precaution: bool
    named: float
    sure: float
    cleared: bool
    proved: bool
    present_at_takeoff: bool
    made_by_trainee: bool
    lucky: str

    @property
    def naming(self) -> float:
        """Share of the naming that is earned, 0..1."""
        return earned(self.sure) if self.sure else self.named


def _seen_to(fault: Fault, case: Case) -> bool:
    """Tell whether an ordinary precaution ended a fault of conduct; that is noticing it, unasked.

    What is not everybody's habit has to be noticed first.
    """
    return fault.family == "conduct" and any(
        (isinstance(e.action, RemoveProps) or _ordinary(e.action))
        and belongs(e, fault.id)
        and fault.id in was
        and fault.id not in e.present
        for e, was in zip(case.events, case.present_before, strict=False)
    )


def _ordinary(action: Action) -> bool:
    return isinstance(action, Prepare) and action.what in ORDINARY


def _made(fault: FaultId, case: Case) -> bool:
    """Tell whether a fault came, or came back, by what was done."""
    return any(
        fault in e.present and fault not in was
        for e, was in zip(case.events, case.present_before, strict=False)
    )


def proved(fault: Fault, case: Case) -> bool:
    """Tell whether a check that can prove a fault gone was read since it went, and shows none.

    It still shows one if a line outside its outer edge speaks for the fault. Half a check done by hand
    proves nothing.
    """
    last_there = max((i for i, e in enumerate(case.events) if fault.id in e.present), default=-1)
    return any(
        at > last_there
        and check in fault.proved_by
        and case.whole(at)
        and case.measured.proves_gone(fault.id, check, values)
        for at, (check, values) in case.readings.items()
    )


def rung(fault: Fault, case: Case, near: FaultId | None) -> Rung:
    """Return the story of one fault; `near`: the wrong cause that came near it."""
    record = case.record
    right = right_claims(fault, case)
    akin = near is not None and CATALOGUE[near].family == fault.family
    ended = record.present_now if record.takeoff_s is None else record.present_at_takeoff
    cleared = fault.id not in ended
    aboard = record.takeoff_s is not None and fault.id in record.present_at_takeoff
    claimed = bool(right) or near is not None
    seen_to = _seen_to(fault, case)
    return Rung(
        id=fault.id,
        family=fault.family,
        hazard=fault.hazard,
        present_at_start=fault.id in record.present_at_start,
        noticed=claimed or seen_to,
        by_precaution=seen_to and not claimed,
        named=1.0 if right else case.rubric.right_family * akin,
        sure=max((c.sure for c in right), default=0.0),
        cleared=cleared,
        proved=cleared and proved(fault, case),
        present_at_takeoff=aboard,
        made_by_trainee=_made(fault.id, case),
        lucky=fault.lucky if aboard and not record.crash else "",
    )


def settled(events: tuple[Event, ...]) -> list[Event]:
    """Return what was done, less talk and the settings that another followed at once.

    Setting several values back one by one makes faults of the aircraft half set; they count only
    if something else was done to it meanwhile.
    """
    deeds = [e for e in events if not isinstance(e.action, Squawk | Withdraw | Answer)]
    sets = [isinstance(e.action, Set) for e in deeds]
    followed = [*sets[1:], False][: len(sets)]
    return [e for e, one, two in zip(deeds, sets, followed, strict=True) if not (one and two)]


def stories(case: Case) -> list[Rung]:
    """Return the story of every fault hidden, or made and not put right by the next setting."""
    deeds = settled(case.events)
    there = set(case.record.present_at_start).union(*(e.present for e in deeds))
    near = near_claims(case)
    return [rung(CATALOGUE[name], case, near.get(name)) for name in CATALOGUE if name in there]


def _marks(
    story: Rung, case: Case, refused: frozenset[FaultId], handed_over: frozenset[FaultId]
) -> float:
    """Return the marks of one fault, 0..1; what was not noticed was not cleared on purpose.

    What a hint has told was neither noticed nor named by who asked for it.
    """
    w = case.rubric.rungs
    noticing, naming = left_by_hints(story.id, case)
    if story.id in refused:
        return 1.0 - w.noticed * (1.0 - noticing) - w.named * (1.0 - naming)
    if not (story.noticed or story.id in handed_over):
        return 0.0
    done = w.cleared * story.cleared + w.proved * story.proved
    if story.id in handed_over:
        done = case.rubric.handed_over * (w.cleared + w.proved)
    return w.noticed * noticing + w.named * story.naming * naming + done


def left_by_hints(fault: FaultId, case: Case) -> tuple[float, float]:
    """Return what hints have left to be earned by noticing and by naming a fault, 0..1 each."""
    steps = case.steps_told.get(fault, 0)
    if steps == 0:
        return 1.0, 1.0
    return case.rubric.hinted.noticed[steps - 1], case.rubric.hinted.named[steps - 1]


def ladder_share(
    case: Case,
    rungs: list[Rung],
    refused: frozenset[FaultId] = frozenset(),
    handed_over: frozenset[FaultId] = frozenset(),
) -> float:
    """Return the ladder's marks, 0..1: hidden faults weighted by hazard, less what was uncalled for.

    refused : faults wisely refused, which have all their marks.
    handed_over : faults that could be cured, found and left to somebody else.
    """
    hidden = [s for s in rungs if s.present_at_start]
    marks = [s.hazard * _marks(s, case, refused, handed_over) for s in hidden]
    total = sum(s.hazard for s in hidden)
    mean = sum(marks) / total if total else 1.0
    idle = len(needless(case, frozenset(r.id for r in rungs if r.noticed)))
    less = price(wrong_claims(case), len(hidden), case.rubric) + case.rubric.needless * idle
    less += case.rubric.hinted.nothing * case.asked_for_nothing
    return max(0.0, mean - less)
