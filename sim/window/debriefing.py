"""What a debrief tells of a run, in words: the window shows it, and the page is made of it. Pure."""

from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, Protocol

from sim.bench.checklist import CHECKS
from sim.faults.catalogue import CATALOGUE
from sim.keys import FaultId
from sim.procedure.cards import BY_KEY
from sim.procedure.hazards import hazard_harm, hazard_words
from sim.procedure.rubric import shipped
from sim.scoring.calls import called_open
from sim.scoring.case import Case
from sim.scoring.claims import not_so
from sim.scoring.knowable import Cue, Known, best_made, known, would_have_paid
from sim.scoring.search import Search, Weighing, searched
from sim.session.actions import Answer, Declare, Done, Prepare, Read, Squawk
from sim.session.deeds.helping import words as hint_words
from sim.session.record import Event, Record
from sim.window.action_words import cause_words, fix_words, line_words, logged
from sim.window.debriefwords import came_of_it, cue_words, edge_words, minute, why_not_so, why_so
from sim.window.lesson import Lesson, lesson, offered
from sim.window.searchwords import SearchTold, search_told

NOT_READ = ", not done while it was there"
MORE = 3  # checks; own: as many as a person remembers
Card = dict[str, Any]


@dataclass(frozen=True)
class Showing:
    """A check that shows a fault, how often, what it takes, and whether it was read while it was there."""

    check: str
    power: str
    minutes: str
    read: bool


@dataclass(frozen=True)
class FaultTold:
    """A fault's section: symptom, cause, check, fix, proof.

    made : by the trainee; steps : of the ladder, by name; named : 1, or 0.5 for the family only;
    act : number of the act that first showed it, among all that were done; when, check, line, cue : of
    that reading, as is `first`, None if nothing showed it; came : what was made of it; shows : the
    checks that show it, the best first; lucky : why it did not show in the air; left : it was there
    at takeoff.
    """

    id: FaultId
    name: str
    made: bool
    hazard: int
    steps: dict[str, bool]
    named: float
    act: int | None
    when: str | None
    check: str | None
    line: str | None
    cue: str | None
    first: Cue | None
    came: str
    shows: tuple[Showing, ...]
    cause: str
    air: str
    fixes: tuple[str, ...]
    proofs: tuple[str, ...]
    caution: str
    lucky: str
    left: bool

    @property
    def symptom(self) -> str:
        """What first showed it, and what was made of that."""
        if self.cue is None:
            return self.came
        where = f"from {self.when} in “{self.check}”, line “{self.line}”"
        return f"It could be seen {where}: {self.cue} {self.came}"

    @property
    def shown_by(self) -> str:
        """The checks that show it, in a sentence; nothing if none does."""
        told = "; ".join(
            f"“{one.check}” ({one.power} of the time, {one.minutes}{'' if one.read else NOT_READ})"
            for one in self.shows
        )
        return f"It shows in {told}." if told else ""


@dataclass(frozen=True)
class Squawked:
    """A squawk, whether it was so, and why. act : its number among all acts."""

    cause: str
    sure: str
    act: int
    when: str
    so: bool
    why: str


@dataclass(frozen=True)
class CalledOpen:
    """A card called complete over open lines. killers : how many of them can hurt; act : as above."""

    card: str
    act: int
    when: str
    lines: tuple[str, ...]
    killers: int


@dataclass(frozen=True)
class HintTold:
    """A hint that was asked for: when, and what was told."""

    when: str
    words: str


@dataclass(frozen=True)
class OnTheRealOne:
    """What to do about a fault on the real aircraft: where to look, what cures it first, what proves it."""

    name: str
    check: str | None
    fix: str | None
    proof: str | None
    caution: str


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
    """An unsafe act in words, and how it hurts."""

    words: str
    when: str
    grave: bool
    harm: str


@dataclass(frozen=True)
class Debriefed:
    """All that a debrief tells beside the scorecard. best, paid : checks; practise : one thing.

    search : how the search went; None if there is nothing told of it; edge : that how bad the faults
    were follows another aircraft's table, if it does.
    """

    faults: tuple[FaultTold, ...]
    squawks: tuple[Squawked, ...]
    calls: tuple[CalledOpen, ...]
    hints: tuple[HintTold, ...]
    timeline: tuple[Moment, ...]
    hazards: tuple[UnsafeAct, ...]
    best: str | None
    paid: str | None
    needless: tuple[str, ...]
    parts_for_nothing: int
    real: tuple[OnTheRealOne, ...]
    practise: Lesson
    search: SearchTold | None = None
    edge: str = ""


def numbers(case: Case) -> tuple[int, ...]:
    """Return the number, among all acts, of each that was not refused."""
    return tuple(n for n, event in enumerate(case.record.events) if event.refused is None)


def fault_told(rung: Card, one: Known, acts: tuple[int, ...]) -> FaultTold:
    """Return a fault's section. acts : `numbers` of the run."""
    fault = CATALOGUE[one.fault]
    first = one.first
    return FaultTold(
        id=fault.id,
        name=cause_words(fault.id),
        made=rung["made_by_trainee"],
        hazard=fault.hazard,
        steps={step: rung[step] for step in ("noticed", "cleared", "proved")},
        named=rung["named"],
        act=None if first is None else acts[first.at],
        when=None if first is None else minute(first.minutes),
        check=None if first is None else CHECKS[first.check].title,
        line=None if first is None else line_words(first.line),
        cue=None if first is None else cue_words(first),
        first=first,
        came=came_of_it(one),
        shows=tuple(
            Showing(
                CHECKS[c.check].title,
                f"{100 * c.power:.0f} %",
                f"{c.minutes:g} min",
                c.check in one.read,
            )
            for c in one.chances[:MORE]
        ),
        cause=fault.explanation,
        air=fault.in_the_air,
        fixes=tuple(fix_words(fix) for fix in fault.fixes),
        proofs=tuple(CHECKS[check].title for check in fault.proved_by),
        caution=fault.caution,
        lucky=rung["lucky"],
        left=rung["present_at_takeoff"],
    )


def squawks(case: Case, acts: tuple[int, ...]) -> tuple[Squawked, ...]:
    """Return what was squawked, whether it was so, and why."""
    wrong = {claim.at for claim in not_so(case)}
    return tuple(
        Squawked(
            cause_words(claim.cause),
            f"{100 * claim.sure:.0f} %",
            acts[claim.at],
            minute(case.events[claim.at].minutes),
            claim.at not in wrong,
            why_not_so(claim, case) if claim.at in wrong else why_so(claim, case),
        )
        for claim in case.claims
    )


def calls(case: Case, acts: tuple[int, ...]) -> tuple[CalledOpen, ...]:
    """Return the cards called complete over open lines, and which lines those were."""
    return tuple(
        CalledOpen(
            BY_KEY[call.card].title,
            acts[call.at],
            minute(call.minutes),
            tuple(item.asks for item in call.items),
            sum(item.killer for item in call.items),
        )
        for call in called_open(case)
    )


def on_the_real_one(one: Known) -> OnTheRealOne:
    """Return what to do about a fault on the real aircraft."""
    fault = CATALOGUE[one.fault]
    return OnTheRealOne(
        cause_words(fault.id),
        CHECKS[one.chances[0].check].title if one.chances else None,
        fix_words(fault.fixes[0]) if fault.fixes else None,
        CHECKS[fault.proved_by[0]].title if fault.proved_by else None,
        fault.caution,
    )


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
    return tuple(
        UnsafeAct(
            hazard_words(one["id"]),
            minute(one["minutes"]),
            one["critical"],
            hazard_harm(one["id"]),
        )
        for one in card["hazards"]
    )


def search_of(record: Record) -> Search:
    """Return how the search of a run went, by the measured tables of its airframe."""
    case = Case(record, shipped(), record.scenario.tables)
    return searched(case, Weighing(case.measured))


class Pages(Protocol):
    """What makes the page of a finished run."""

    def __call__(
        self, record: Record, card: Card, folder: Path, search: Search | None = None, /
    ) -> object:
        """Make it. search : of the run, if it is at hand."""


def debriefed(record: Record, card: Card, search: Search | None = None) -> Debriefed:
    """Return what is told of a run and its scorecard. search : of the run, if it is at hand."""
    search = search or search_of(record)
    case = search.case
    rungs = {rung["id"]: rung for rung in card["faults"]}
    stories, acts = [known(fault, case) for fault in rungs], numbers(case)
    made, paid = best_made(stories), would_have_paid(stories)
    return Debriefed(
        faults=tuple(fault_told(rungs[one.fault], one, acts) for one in stories),
        squawks=squawks(case, acts),
        calls=calls(case, acts),
        hints=tuple(HintTold(minute(h.minutes), hint_words(h)) for h in record.hints),
        timeline=timeline(case, stories, acts),
        hazards=unsafe_acts(card),
        best=None if made is None else CHECKS[made].title,
        paid=None if paid is None else CHECKS[paid.check].title,
        needless=tuple(fix_words(name) for name in card["needless"]),
        parts_for_nothing=sum(name.startswith("swap:") for name in card["needless"]),
        real=tuple(on_the_real_one(one) for one in stories),
        practise=lesson(card, record.scenario.rung, stories, offered()),
        search=search_told(search),
        edge=edge_words(record.scenario),
    )
