"""The ladder: each fault noticed, named, cleared and proved before takeoff, or not."""

from dataclasses import dataclass

from sim.faults.catalogue import CATALOGUE
from sim.faults.fault import Fault
from sim.kernel.clock import TICK_S
from sim.keys import CheckKey, FaultId
from sim.procedure.rubric import Rubric
from sim.session.actions import Answer, Read, Set, Squawk, Withdraw
from sim.session.fixes import fix_of
from sim.session.record import Event, Record


@dataclass(frozen=True)
class Rung:
    """One fault's story. named is 0..1; the others are yes or no."""

    id: FaultId
    family: str
    hazard: int
    present_at_start: bool
    noticed: bool
    named: float
    cleared: bool
    proved: bool
    present_at_takeoff: bool


def before_takeoff(record: Record) -> list[Event]:
    """Return what was done, and not refused, before the aircraft left the floor."""
    limit = float("inf") if record.takeoff_s is None else record.takeoff_s
    return [e for e in record.events if e.refused is None and e.tick * TICK_S <= limit]


def causes(fault: Fault, record: Record) -> frozenset[FaultId]:
    """Return what the fault is rightly named by: itself or, unless hidden too, what trips it."""
    if fault.id in record.hidden:
        return frozenset({fault.id})
    return frozenset({fault.id, *(name for name, f in CATALOGUE.items() if fault.id in f.also)})


def _naming(
    squawk: Squawk, fault: Fault, present: frozenset[FaultId], rubric: Rubric
) -> float | None:
    """Return how well a squawk names a fault that is there, 0..1; None if it means another."""
    if squawk.cause in present:
        return None
    if CATALOGUE[squawk.cause].family == fault.family:
        return rubric.right_family
    return 0.0 if squawk.item == fault.item else None


def _squawks(events: list[Event]) -> list[tuple[Event, Squawk, frozenset[FaultId]]]:
    """Return every squawk with the faults that were there when it was made."""
    return [(e, e.action, e.present) for e in events if isinstance(e.action, Squawk)]


def had_evidence(checks: tuple[CheckKey, ...], earlier: list[Event]) -> bool:
    """Tell whether a check that can reveal it had been read; a mere guess is no notice."""
    return any(isinstance(e.action, Read) and e.action.check in checks for e in earlier)


def _names(fault: Fault, record: Record, events: list[Event], rubric: Rubric) -> list[float]:
    """Return how well each squawk that means this fault, and had evidence, names it, 0..1."""
    right_causes, names = causes(fault, record), []
    for event, squawk, present in _squawks(events):
        if fault.id not in present:
            continue
        right = squawk.cause in right_causes & present
        shows = CATALOGUE[squawk.cause].revealed_by if right else fault.revealed_by
        named = 1.0 if right else _naming(squawk, fault, present, rubric)
        if named is not None and had_evidence(shows, events[: events.index(event)]):
            names.append(named)
    return names


def rung(fault: Fault, record: Record, rubric: Rubric) -> Rung:
    """Return the story of one fault."""
    events = before_takeoff(record)
    names = _names(fault, record, events, rubric)
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
        noticed=bool(names),
        named=max(names, default=0.0),
        cleared=cleared,
        proved=proved,
        present_at_takeoff=record.takeoff_s is not None and fault.id in record.present_at_takeoff,
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


def false_squawks(record: Record) -> list[tuple[FaultId, bool]]:
    """Return (cause claimed, whether a change followed from it) for every claim that was wrong."""
    events = before_takeoff(record)
    found = []
    for event, squawk, present in _squawks(events):
        family = CATALOGUE[squawk.cause].family
        if any(CATALOGUE[name].family == family for name in present):
            continue
        later = events[events.index(event) :]
        changed = any(fix_of(e.action) in CATALOGUE[squawk.cause].fixes for e in later)
        found.append((squawk.cause, changed))
    return found


def ladder_share(
    record: Record, rubric: Rubric, refused: frozenset[FaultId] = frozenset()
) -> float:
    """Return the ladder's marks, 0..1: hidden faults weighted by hazard, less false changes.

    refused : faults wisely refused, which have all their marks.
    """
    w = rubric.rungs
    hidden = [s for s in stories(record, rubric) if s.present_at_start]
    marks = [
        1.0
        if s.id in refused
        else w.noticed * s.noticed + w.named * s.named + w.cleared * s.cleared + w.proved * s.proved
        for s in hidden
    ]
    total = sum(s.hazard for s in hidden)
    mean = sum(s.hazard * m for s, m in zip(hidden, marks, strict=True)) / total if total else 1.0
    wrong = sum(changed for _, changed in false_squawks(record))
    return max(0.0, mean - rubric.false_change * wrong)
