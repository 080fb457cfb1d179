"""Claims before takeoff: which were right, which were not so, and what each is worth.

A claim earns by its evidence: the line it points at, as last read before the claim and while the
fault was there, has to lie outside what sound aircraft show, on a side to which that fault moves it.

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
from sim.keys import CheckKey, FaultId
from sim.procedure.rubric import Rubric
from sim.scoring.case import Case, Claim, belongs

Spent = tuple[CheckKey, str, int]  # a line, as read at one event


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


def causes(fault: Fault, case: Case) -> frozenset[FaultId]:
    """Return what the fault is rightly named by: itself or, unless hidden too, what trips it."""
    if fault.id in case.record.hidden:
        return frozenset({fault.id})
    return frozenset({fault.id, *(name for name, f in CATALOGUE.items() if fault.id in f.also)})


def earned(sure: float) -> float:
    """Return the share of the naming that a right claim of this chance earns."""
    return sure * (2.0 - sure)


def cost(sure: float) -> float:
    """Return the share of the naming that a wrong claim of this chance costs."""
    return sure**2


def speaks(claim: Claim, cause: FaultId, case: Case, there: FaultId | None = None) -> bool:
    """Tell whether the line of a claim, as last read before it, speaks for a cause.

    there : only readings taken while this fault was there count.
    """
    return _line_read(claim, cause, case, there) is not None


def _line_read(
    claim: Claim, cause: FaultId, case: Case, there: FaultId | None = None
) -> Spent | None:
    if claim.check is None:
        return None
    at = case.last_read(claim.check, claim.at, there)
    if at is None:
        return None
    found = case.measured.speaks_for(cause, claim.check, case.readings[at][1], claim.line)
    return (claim.check, claim.line, at) if found else None


def right_claims(fault: Fault, case: Case) -> list[Claim]:
    """Return the claims that name a fault by its cause, on a line that speaks for it.

    A fault that moves no line, as propellers on at the bench, is in sight: it is named while there.
    """
    named_by = causes(fault, case)
    in_sight = fault.id not in case.measured.moving
    return [
        claim
        for claim in case.claims
        if claim.cause in named_by
        and (
            any(speaks(claim, cause, case, fault.id) for cause in {claim.cause, fault.id})
            or (in_sight and fault.id in case.events[claim.at].present)
        )
    ]


def on_nothing(case: Case) -> list[FaultId]:
    """Return the causes claimed on no line that had been read; one that moves no line needs none."""
    return [
        claim.cause
        for claim in case.claims
        if claim.cause in case.measured.moving and not _was_read(claim, case)
    ]


def _was_read(claim: Claim, case: Case) -> bool:
    at = None if claim.check is None else case.last_read(claim.check, claim.at)
    return at is not None and claim.line in case.readings[at][1]


def not_so(case: Case) -> list[Claim]:
    """Return the claims of causes that were not there, judged when they were written.

    What was put in so little that it is no fault is neither so nor not so.
    """
    return [
        c
        for c in case.claims
        if not case.was_there(c.cause, c.at)
        and c.cause not in case.deviations
        and not said_truly(c.cause, case.events[c.at].conduct)
    ]


def surest(found: list[Claim]) -> list[Claim]:
    """Return one claim of each cause, that with the highest chance stated."""
    best: dict[FaultId, Claim] = {}
    for claim in found:
        known = best.get(claim.cause)
        if known is None or claim.sure > known.sure:
            best[claim.cause] = claim
    return list(best.values())


def wrong_claims(case: Case) -> list[WrongClaim]:
    """Return each cause claimed that was not there, once, at the highest chance stated.

    A line that speaks for the cause halves the price; as read once, that of one wrong claim only.
    """
    spent: set[Spent | None] = {None}
    found = []
    for claim in surest(not_so(case)):
        line = _line_read(claim, claim.cause, case)
        changed = any(belongs(e, claim.cause) for e in case.events)
        found.append(WrongClaim(claim.cause, claim.sure, line not in spent, changed))
        spent.add(line)
    return found


def near_claims(case: Case) -> dict[FaultId, FaultId]:
    """Return, by hidden fault, the wrong cause that came near: of its family, or about its item.

    The line must speak for the cause claimed and for the fault that is there. Each cause claimed
    comes near one fault, and each fault has one such claim.
    """
    open_ = [
        f
        for f in CATALOGUE.values()
        if f.id in case.record.present_at_start and not right_claims(f, case)
    ]
    near: dict[FaultId, FaultId] = {}
    for claim in not_so(case):
        said = CATALOGUE[claim.cause]
        for fault in open_:
            free = claim.cause not in near.values() and fault.id not in near
            akin = fault.family == said.family or fault.item == said.item
            told = speaks(claim, claim.cause, case) and speaks(claim, fault.id, case, fault.id)
            if free and akin and told:
                near[fault.id] = claim.cause
    return near


def price(wrong: list[WrongClaim], hidden: int, rubric: Rubric) -> float:
    """Return what wrong claims take off the ladder's marks.

    The scale is that of the gain: the naming's share of one of the hidden faults.
    """
    w = rubric.wrong
    scale = max(w.least, rubric.rungs.named / hidden) if hidden else w.sound
    shares = [cost(c.sure) * (w.well_founded if c.well_founded else 1.0) for c in wrong]
    return scale * sum(shares)
