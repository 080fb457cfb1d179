"""What a debrief tells of a run, in words: the window shows it, and the page is made of it. Pure."""

from dataclasses import dataclass, replace
from typing import Any

from sim.bench.checklist import CHECKS
from sim.faults.catalogue import CATALOGUE
from sim.procedure.bowties import about
from sim.procedure.hazards import hazard_words
from sim.procedure.rubric import shipped
from sim.scoring.case import Case
from sim.scoring.claims import not_so, speaks
from sim.scoring.knowable import Cue, Known, best_made, known, would_have_paid
from sim.session.actions import Answer, Declare, Done, Prepare, Read, Squawk
from sim.session.record import Event, Record
from sim.window.action_words import cause_words, fix_words, logged
from sim.window.values import reading_told

MORE = 3  # checks; own: as many as a person remembers
Card = dict[str, Any]


@dataclass(frozen=True)
class Unread:
    """A check that would have shown a fault, how often, and what it takes."""

    check: str
    power: str
    minutes: str


@dataclass(frozen=True)
class FaultTold:
    """A fault's section: symptom, cause, check, fix, proof.

    made : by the trainee; steps : of the ladder, by name; named : 1, or 0.5 for the family only;
    act : number of the act that first showed it, among all that were done; when, check, cue : of that
    reading, None if nothing showed it; came : what was made of it; lucky : why it did not show in the
    air; left : it was there at takeoff.
    """

    name: str
    made: bool
    hazard: int
    steps: dict[str, bool]
    named: float
    act: int | None
    when: str | None
    check: str | None
    cue: str | None
    came: str
    unread: tuple[Unread, ...]
    cause: str
    air: str
    fixes: tuple[str, ...]
    proofs: tuple[str, ...]
    caution: str
    lucky: str
    left: bool


@dataclass(frozen=True)
class NotSo:
    """A squawk that was not so. act : its number among all acts."""

    cause: str
    sure: str
    act: int
    when: str
    why: str


@dataclass(frozen=True)
class Moment:
    """A line of what was done. act : number of the first act on it; shown : faults seen from here on."""

    act: int
    when: str
    words: str
    key: bool
    shown: tuple[str, ...]


@dataclass(frozen=True)
class UnsafeAct:
    """An unsafe act in words, and what it can come to."""

    words: str
    when: str
    grave: bool
    harm: str


@dataclass(frozen=True)
class Debriefed:
    """All that a debrief tells beside the scorecard. best, paid : checks; practise : one thing, in words."""

    faults: tuple[FaultTold, ...]
    squawks: tuple[NotSo, ...]
    timeline: tuple[Moment, ...]
    hazards: tuple[UnsafeAct, ...]
    best: str | None
    paid: str | None
    needless: tuple[str, ...]
    practise: str


def minute(minutes: float) -> str:
    """Return a time by the evening's clock."""
    return f"minute {minutes:.0f}"


def said(line: str, value: float) -> str:
    """Return a value of a line with its unit."""
    told = reading_told(line, value)
    return f"{told.value} {told.unit}".strip()


def cue_words(cue: Cue) -> str:
    """Return what a line showed, and what sound aircraft show, in a sentence."""
    band, line = cue.band, cue.line
    words = reading_told(line, 0.0).words
    against = ", against the middle of the four," if cue.off_four else ""
    where = "plainly outside" if cue.plain else "outside"
    low, high = said(line, band.low_inner), said(line, band.high_inner)
    usual = f"nineteen in twenty show {low} to {high}" if low != high else f"it is {low}"
    read = said(line, cue.value)
    return f"{words}{against}: {read}; of sound aircraft, {usual}. That is {where}."


def came_of_it(one: Known) -> str:
    """Return what was made of a fault that could be seen, or why it could not."""
    if one.first is None:
        return "No line that was read showed it while it was there."
    if one.named_min is None:
        return "You had that line in hand, and went on without naming it."
    wait = one.named_min - one.first.minutes
    if wait < 1.0:
        return "You named it there and then."
    return f"You named it at {minute(one.named_min)}, {wait:.0f} minutes later."


def numbers(case: Case) -> tuple[int, ...]:
    """Return the number, among all acts, of each that was not refused."""
    return tuple(n for n, event in enumerate(case.record.events) if event.refused is None)


def fault_told(rung: Card, one: Known, acts: tuple[int, ...]) -> FaultTold:
    """Return a fault's section. acts : `numbers` of the run."""
    fault = CATALOGUE[one.fault]
    first = one.first
    return FaultTold(
        name=cause_words(fault.id),
        made=rung["made_by_trainee"],
        hazard=fault.hazard,
        steps={step: rung[step] for step in ("noticed", "cleared", "proved")},
        named=rung["named"],
        act=None if first is None else acts[first.at],
        when=None if first is None else minute(first.minutes),
        check=None if first is None else CHECKS[first.check].title,
        cue=None if first is None else cue_words(first),
        came=came_of_it(one),
        unread=tuple(
            Unread(CHECKS[c.check].title, f"{100 * c.power:.0f} %", f"{c.minutes:g}")
            for c in one.unread[:MORE]
        ),
        cause=fault.explanation,
        air=fault.in_the_air,
        fixes=tuple(fix_words(fix) for fix in fault.fixes),
        proofs=tuple(CHECKS[check].title for check in fault.proved_by),
        caution=fault.caution,
        lucky=rung["lucky"],
        left=rung["present_at_takeoff"],
    )


def squawks_not_so(case: Case, acts: tuple[int, ...]) -> tuple[NotSo, ...]:
    """Return what was squawked that was not so, and why it was thought so."""
    found = []
    for claim in not_so(case):
        why = "the line it points at lies outside what sound aircraft show: a fair suspicion"
        if not speaks(claim, claim.cause, case):
            why = "the line it points at does not speak for it" if claim.check else "on no line"
        when = minute(case.events[claim.at].minutes)
        sure = f"{100 * claim.sure:.0f} %"
        found.append(NotSo(cause_words(claim.cause), sure, acts[claim.at], when, why))
    return tuple(found)


def _of_note(event: Event) -> bool:
    return not isinstance(event.action, Answer | Prepare)


def timeline(case: Case, stories: list[Known], acts: tuple[int, ...]) -> tuple[Moment, ...]:
    """Return what was done, in order, with what could be known from then on."""
    shown: dict[int, list[str]] = {}
    for one in stories:
        if one.first is not None:
            shown.setdefault(one.first.at, []).append(cause_words(one.fault))
    rows: list[Moment] = []
    for at, event in enumerate(case.done):
        if not (_of_note(event) or at in shown):
            continue
        words, key = logged(event.action), isinstance(event.action, Read | Done | Squawk | Declare)
        when = minute(event.minutes)
        last = rows[-1] if rows else None
        if last is not None and not key and not last.key and last.when == when:
            rows[-1] = replace(last, words=f"{last.words}; {words[0].lower()}{words[1:]}")
            continue
        rows.append(Moment(acts[at], when, words, key, tuple(shown.get(at, ()))))
    return tuple(rows)


def unsafe_acts(card: Card) -> tuple[UnsafeAct, ...]:
    """Return the unsafe acts in words."""
    found = []
    for one in card["hazards"]:
        tie = about(one["id"])
        harm = ", ".join(tie.consequences).lower() if tie is not None else ""
        found.append(
            UnsafeAct(hazard_words(one["id"]), minute(one["minutes"]), one["critical"], harm)
        )
    return tuple(found)


def practise_next(card: Card, stories: list[Known]) -> str:
    """Return the one thing to practise next."""
    if any(h["critical"] for h in card["hazards"]):
        return "Safety before speed: the same drill again, with a word aloud before power and propellers."
    over = next((one for one in stories if one.passed_over), None)
    if over is not None and over.first is not None:
        check = CHECKS[over.first.check].title
        return f"Read each line of “{check}” against the build sheet before the next item."
    if (chance := would_have_paid(stories)) is not None:
        return f"Make “{CHECKS[chance.check].title}” part of every evening: {chance.minutes:g} minutes."
    for step, words in (
        ("proved", "After a change, do the check that showed it once more, before takeoff."),
        ("cleared", "Do not leave the bench with a fault that has a name."),
    ):
        if any(not rung[step] for rung in card["faults"]):
            return words
    if card["false_squawks"]:
        return "Before a squawk, take the reading twice: what is outside once is outside by chance at times."
    return "The next rung."


def debriefed(record: Record, card: Card) -> Debriefed:
    """Return what is told of a run and its scorecard."""
    case = Case(record, shipped(), record.scenario.tables)
    rungs = {rung["id"]: rung for rung in card["faults"]}
    stories, acts = [known(fault, case) for fault in rungs], numbers(case)
    made, paid = best_made(stories), would_have_paid(stories)
    return Debriefed(
        faults=tuple(fault_told(rungs[one.fault], one, acts) for one in stories),
        squawks=squawks_not_so(case, acts),
        timeline=timeline(case, stories, acts),
        hazards=unsafe_acts(card),
        best=None if made is None else CHECKS[made].title,
        paid=None if paid is None else CHECKS[paid.check].title,
        needless=tuple(fix_words(name) for name in card["needless"]),
        practise=practise_next(card, stories),
    )
