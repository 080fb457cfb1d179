"""The debrief of one run as a page: what happened, what could be known when, and what to take along."""

from pathlib import Path
from typing import Any

from markupsafe import Markup

from sim.aircraft.textfile import write_text_atomic
from sim.bench.checklist import CHECKS
from sim.faults.catalogue import CATALOGUE
from sim.pages.hopfigure import hop_figure
from sim.pages.render import page
from sim.procedure.hazards import hazard_words
from sim.procedure.rubric import shipped
from sim.scoring.case import Case
from sim.scoring.claims import not_so, speaks
from sim.scoring.knowable import Cue, Known, best_made, known, would_have_paid
from sim.scoring.scorecard import CLEARED
from sim.session.actions import Answer, Declare, Done, Prepare, Read, Squawk
from sim.session.record import Event, Record
from sim.window.action_words import cause_words, fix_words, logged
from sim.window.values import reading_told

DEBRIEF = "debrief.html"
MORE = 3  # checks; own: as many as a person remembers
Data = dict[str, Any]


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


def fault_data(rung: Data, one: Known) -> Data:
    """Return a fault's section: symptom, cause, check, fix, proof."""
    fault = CATALOGUE[one.fault]
    first = one.first
    return {
        "name": cause_words(fault.id),
        "made": rung["made_by_trainee"],
        "hazard": fault.hazard,
        "steps": {step: rung[step] for step in ("noticed", "cleared", "proved")},
        "named": rung["named"],
        "from": None if first is None else minute(first.minutes),
        "check": None if first is None else CHECKS[first.check].title,
        "cue": None if first is None else cue_words(first),
        "came": came_of_it(one),
        "unread": [
            {
                "check": CHECKS[c.check].title,
                "power": f"{100 * c.power:.0f} %",
                "minutes": f"{c.minutes:g}",
            }
            for c in one.unread[:MORE]
        ],
        "cause": fault.explanation,
        "air": fault.in_the_air,
        "fixes": [fix_words(fix) for fix in fault.fixes],
        "proofs": [CHECKS[check].title for check in fault.proved_by],
        "caution": fault.caution,
        "lucky": rung["lucky"],
        "left": rung["present_at_takeoff"],
    }


def squawk_data(case: Case) -> list[Data]:
    """Return what was squawked that was not so, and why it was thought so."""
    found = []
    for claim in not_so(case):
        on_line = speaks(claim, claim.cause, case)
        why = "the line it points at lies outside what sound aircraft show: a fair suspicion"
        if not on_line:
            why = "the line it points at does not speak for it" if claim.check else "on no line"
        found.append(
            {"cause": cause_words(claim.cause), "sure": f"{100 * claim.sure:.0f} %",
             "when": minute(case.events[claim.at].minutes), "why": why}
        )  # fmt: skip
    return found


def _of_note(event: Event) -> bool:
    return not isinstance(event.action, Answer | Prepare)


def timeline(case: Case, stories: list[Known]) -> list[Data]:
    """Return what was done, in order, with what could be known from then on."""
    shown: dict[int, list[str]] = {}
    for one in stories:
        if one.first is not None:
            shown.setdefault(one.first.at, []).append(cause_words(one.fault))
    rows: list[Data] = []
    for at, event in enumerate(case.done):
        if not (_of_note(event) or at in shown):
            continue
        words, key = logged(event.action), isinstance(event.action, Read | Done | Squawk | Declare)
        when = minute(event.minutes)
        if rows and not key and not rows[-1]["key"] and rows[-1]["when"] == when:
            rows[-1]["words"] += f"; {words[0].lower()}{words[1:]}"
            continue
        rows.append({"when": when, "words": words, "key": key, "shown": shown.get(at, [])})
    return rows


def hazard_data(card: Data) -> list[Data]:
    """Return the unsafe acts in words."""
    return [
        {"words": hazard_words(h["id"]), "when": minute(h["minutes"]), "grave": h["critical"]}
        for h in card["hazards"]
    ]


def practise_next(card: Data, stories: list[Known]) -> str:
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


def debrief_page(record: Record, card: Data) -> str:
    """Return the page of a run."""
    case = Case(record, shipped(), record.scenario.tables)
    rungs = {rung["id"]: rung for rung in card["faults"]}
    stories = [known(fault, case) for fault in rungs]
    made, paid = best_made(stories), would_have_paid(stories)
    figure = hop_figure(record, case.rubric)
    return page(
        "debrief.html",
        card=card,
        cleared=card["verdict"] == CLEARED,
        story=record.scenario.story,
        faults=[fault_data(rungs[one.fault], one) for one in stories],
        squawks=squawk_data(case),
        timeline=timeline(case, stories),
        hazards=hazard_data(card),
        best=None if made is None else CHECKS[made].title,
        paid=None if paid is None else CHECKS[paid.check].title,
        needless=[cause_words(name) for name in card["needless"]],
        figure=None if figure is None else Markup(figure[figure.index("<svg") :]),
        practise=practise_next(card, stories),
    )


def write(record: Record, card: Data, folder: Path) -> Path:
    """Write the page of a run into its folder; return where it is."""
    path = folder / DEBRIEF
    write_text_atomic(path, debrief_page(record, card))
    return path
