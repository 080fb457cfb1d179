"""Claims before takeoff: which were right, which were not so, and what each is worth.

Sureness is marked by the quadratic rule of Brier (1950, Monthly Weather Review 78, 1-3; from
memory): a claim made with the chance p earns 2p - p² of the naming if it is right and costs p² if it
is not. With a chance q of being right that is 2qp - p², which is most at p = q: to say what one
believes pays best. What is the same whatever p one states, as half a name for the right family,
leaves that so.
"""

from dataclasses import dataclass

from sim.faults.catalogue import CATALOGUE
from sim.faults.conduct import said_truly
from sim.faults.fault import Fault
from sim.kernel.clock import TICK_S
from sim.keys import CheckKey, FaultId
from sim.procedure.rubric import Rubric
from sim.session.actions import Read, Squawk, Withdraw
from sim.session.fixes import fix_of
from sim.session.record import Event, Record


@dataclass(frozen=True)
class Claim:
    """One squawk. `at`: its place among what was done; `sure`: the chance it states."""

    at: int
    cause: FaultId
    sure: float


@dataclass(frozen=True)
class WrongClaim:
    """A cause claimed that was not there.

    sure : the highest chance stated; well_founded : half the price; led_to_change : something that
    belongs to the cause was changed, before or after.
    """

    cause: FaultId
    sure: float
    well_founded: bool
    led_to_change: bool


def before_takeoff(record: Record) -> list[Event]:
    """Return what was done, and not refused, before the aircraft left the floor."""
    limit = float("inf") if record.takeoff_s is None else record.takeoff_s
    return [e for e in record.events if e.refused is None and e.tick * TICK_S <= limit]


def causes(fault: Fault, record: Record) -> frozenset[FaultId]:
    """Return what the fault is rightly named by: itself or, unless hidden too, what trips it."""
    if fault.id in record.hidden:
        return frozenset({fault.id})
    return frozenset({fault.id, *(name for name, f in CATALOGUE.items() if fault.id in f.also)})


def earned(sure: float) -> float:
    """Return the share of the naming that a right claim of this chance earns."""
    return sure * (2.0 - sure)


def cost(sure: float) -> float:
    """Return the share of the naming that a wrong claim of this chance costs."""
    return sure**2


def belongs(event: Event, cause: FaultId) -> bool:
    """Tell whether something was changed that is a fix of the cause."""
    return fix_of(event.action) in CATALOGUE[cause].fixes


def _taken_back(squawk: Squawk, later: list[Event]) -> bool:
    """Tell whether a claim was struck out before anything that belongs to it was changed."""
    for event in later:
        if belongs(event, squawk.cause):
            return False
        if isinstance(event.action, Withdraw) and event.action.item == squawk.item:
            return True
    return False


def claims(events: list[Event], rubric: Rubric) -> list[Claim]:
    """Return every squawk that counts; one taken back in time earns and costs nothing."""
    return [
        Claim(i, e.action.cause, rubric.sureness[e.action.confidence - 1])
        for i, e in enumerate(events)
        if isinstance(e.action, Squawk) and not _taken_back(e.action, events[i:])
    ]


def was_there(cause: FaultId, at: int, events: list[Event], record: Record) -> bool:
    """Tell whether a fault was there when claimed, or earlier and cured meanwhile."""
    return cause in record.present_at_start or any(cause in e.present for e in events[: at + 1])


def witnessed(cause: FaultId, at: int, events: list[Event]) -> bool:
    """Tell whether a check that can reveal a fault had been read while it was there."""
    checks = CATALOGUE[cause].revealed_by
    return any(
        isinstance(e.action, Read) and e.action.check in checks and cause in e.present
        for e in events[:at]
    )


def right_claims(
    fault: Fault, record: Record, events: list[Event], counting: list[Claim]
) -> list[Claim]:
    """Return the claims that name a fault by its cause, after a reading that can reveal it."""
    named_by = causes(fault, record)
    return [
        claim
        for claim in counting
        if claim.cause in named_by
        and was_there(fault.id, claim.at, events, record)
        and witnessed(claim.cause, claim.at, events)
    ]


def not_so(record: Record, events: list[Event], counting: list[Claim]) -> list[Claim]:
    """Return the claims of causes that were not there, judged when they were written."""
    return [
        c
        for c in counting
        if not was_there(c.cause, c.at, events, record)
        and not said_truly(c.cause, events[c.at].conduct)
    ]


def _founded_on(claim: Claim, events: list[Event], spent: set[CheckKey]) -> CheckKey | None:
    """Return the check read last before a wrong claim that can reveal its cause and is not spent."""
    for event in reversed(events[: claim.at]):
        if not isinstance(event.action, Read) or event.action.check in spent:
            continue
        if event.action.check in CATALOGUE[claim.cause].revealed_by:
            return event.action.check
    return None


def wrong_claims(record: Record, rubric: Rubric) -> list[WrongClaim]:
    """Return each cause claimed that was not there, once, at the highest chance stated.

    A check that was read halves the price of one wrong claim only.
    """
    events = before_takeoff(record)
    dearest: dict[FaultId, Claim] = {}
    for claim in not_so(record, events, claims(events, rubric)):
        known = dearest.get(claim.cause)
        if known is None or claim.sure > known.sure:
            dearest[claim.cause] = claim
    spent: set[CheckKey] = set()
    found = []
    for claim in dearest.values():
        check = _founded_on(claim, events, spent)
        spent |= {check} if check is not None else set()
        changed = any(belongs(e, claim.cause) for e in events)
        found.append(WrongClaim(claim.cause, claim.sure, check is not None, changed))
    return found


def family_named(record: Record, rubric: Rubric) -> frozenset[FaultId]:
    """Return the hidden faults whose family alone was named, after a reading that can reveal them.

    Each cause claimed names the family of one fault, and each fault is named so once.
    """
    events = before_takeoff(record)
    counting = claims(events, rubric)
    open_ = [
        f
        for f in CATALOGUE.values()
        if f.id in record.present_at_start and not right_claims(f, record, events, counting)
    ]
    named: dict[FaultId, FaultId] = {}
    for claim in not_so(record, events, counting):
        family = CATALOGUE[claim.cause].family
        for fault in open_:
            free = claim.cause not in named and fault.id not in named.values()
            if free and fault.family == family and witnessed(fault.id, claim.at, events):
                named[claim.cause] = fault.id
    return frozenset(named.values())


def price(wrong: list[WrongClaim], hidden: int, rubric: Rubric) -> float:
    """Return what wrong claims take off the ladder's marks.

    The scale is that of the gain: the naming's share of one of the hidden faults.
    """
    w = rubric.wrong
    scale = max(w.least, rubric.rungs.named / hidden) if hidden else w.sound
    shares = [cost(c.sure) * (w.well_founded if c.well_founded else 1.0) for c in wrong]
    return scale * sum(shares) + rubric.false_change * sum(c.led_to_change for c in wrong)
