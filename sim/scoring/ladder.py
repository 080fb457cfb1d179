"""The ladder: each fault noticed, named, cleared and proved before takeoff, or not."""

from dataclasses import dataclass

from sim.faults.catalogue import CATALOGUE
from sim.faults.fault import Fault
from sim.keys import FaultId
from sim.procedure.rubric import Rubric
from sim.scoring.claims import (
    Claim,
    before_takeoff,
    belongs,
    claims,
    earned,
    family_named,
    not_so,
    price,
    right_claims,
    witnessed,
    wrong_claims,
)
from sim.session.actions import Answer, Prepare, Read, Set, Squawk, Withdraw
from sim.session.record import Event, Record


@dataclass(frozen=True)
class Rung:
    """One fault's story before takeoff.

    named : 1 its cause, a share its family alone, 0 neither; sure : the highest chance stated of
    a right claim, 0 without one; made_by_trainee : it came, or came back, by what was done.
    """

    id: FaultId
    family: str
    hazard: int
    present_at_start: bool
    noticed: bool
    named: float
    sure: float
    cleared: bool
    proved: bool
    present_at_takeoff: bool
    made_by_trainee: bool

    @property
    def naming(self) -> float:
        """Share of the naming that is earned, 0..1."""
        return earned(self.sure) if self.sure else self.named


def _item_named(fault: Fault, events: list[Event], wrong: list[Claim]) -> bool:
    """Tell whether the right item was claimed, if with another cause, after a telling reading."""
    return any(
        CATALOGUE[c.cause].item == fault.item and witnessed(fault.id, c.at, events) for c in wrong
    )


def _seen_to(fault: Fault, record: Record, events: list[Event]) -> bool:
    """Tell whether a precaution ended a fault of conduct; that is noticing it, asked or unasked."""
    before = [record.present_at_start, *(e.present for e in events)]
    return fault.family == "conduct" and any(
        isinstance(e.action, Prepare)
        and belongs(e, fault.id)
        and fault.id in was
        and fault.id not in e.present
        for e, was in zip(events, before, strict=False)
    )


def _made(fault: FaultId, record: Record, events: list[Event]) -> bool:
    """Tell whether a fault came, or came back, by what was done."""
    before = [record.present_at_start, *(e.present for e in events)]
    return any(
        fault in e.present and fault not in was for e, was in zip(events, before, strict=False)
    )


def rung(fault: Fault, record: Record, rubric: Rubric) -> Rung:
    """Return the story of one fault."""
    events = before_takeoff(record)
    counting = claims(events, rubric)
    right = right_claims(fault, record, events, counting)
    item = _item_named(fault, events, not_so(record, events, counting))
    family = fault.id in family_named(record, rubric)
    started = fault.id in record.present_at_start
    ended = record.present_now if record.takeoff_s is None else record.present_at_takeoff
    cleared = fault.id not in ended
    last_there = max((i for i, e in enumerate(events) if fault.id in e.present), default=-1)
    proved = cleared and any(
        isinstance(e.action, Read) and e.action.check in fault.proved_by
        for e in events[last_there + 1 :]
    )
    return Rung(
        id=fault.id,
        family=fault.family,
        hazard=fault.hazard,
        present_at_start=started,
        noticed=bool(right) or item or _seen_to(fault, record, events),
        named=1.0 if right else rubric.right_family * family,
        sure=max((c.sure for c in right), default=0.0),
        cleared=cleared,
        proved=proved,
        present_at_takeoff=record.takeoff_s is not None and fault.id in record.present_at_takeoff,
        made_by_trainee=_made(fault.id, record, events),
    )


def _settled(events: list[Event]) -> list[Event]:
    """Return what was done, less talk and the settings that another followed at once.

    Setting several values back one by one makes faults of the aircraft half set; they count only
    if something else was done to it meanwhile.
    """
    deeds = [e for e in events if not isinstance(e.action, Squawk | Withdraw | Answer)]
    sets = [isinstance(e.action, Set) for e in deeds]
    followed = [*sets[1:], False][: len(sets)]
    return [e for e, one, two in zip(deeds, sets, followed, strict=True) if not (one and two)]


def stories(record: Record, rubric: Rubric) -> list[Rung]:
    """Return the story of every fault hidden, or made and not put right by the next setting."""
    settled = _settled(before_takeoff(record))
    there = set(record.present_at_start).union(*(e.present for e in settled))
    return [rung(CATALOGUE[name], record, rubric) for name in CATALOGUE if name in there]


def _marks(
    story: Rung, rubric: Rubric, refused: frozenset[FaultId], handed_over: frozenset[FaultId]
) -> float:
    """Return the marks of one fault, 0..1."""
    w = rubric.rungs
    if story.id in refused:
        return 1.0
    done = w.cleared * story.cleared + w.proved * story.proved
    if story.id in handed_over:
        done = rubric.handed_over * (w.cleared + w.proved)
    noticed = story.noticed or story.id in handed_over
    return w.noticed * noticed + w.named * story.naming + done


def ladder_share(
    record: Record,
    rubric: Rubric,
    refused: frozenset[FaultId] = frozenset(),
    handed_over: frozenset[FaultId] = frozenset(),
) -> float:
    """Return the ladder's marks, 0..1: hidden faults weighted by hazard, less wrong claims.

    refused : faults wisely refused, which have all their marks.
    handed_over : faults that could be cured, found and left to somebody else.
    """
    hidden = [s for s in stories(record, rubric) if s.present_at_start]
    marks = [s.hazard * _marks(s, rubric, refused, handed_over) for s in hidden]
    total = sum(s.hazard for s in hidden)
    mean = sum(marks) / total if total else 1.0
    return max(0.0, mean - price(wrong_claims(record, rubric), len(hidden), rubric))
