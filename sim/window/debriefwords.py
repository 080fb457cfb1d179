"""Sentences of a debrief: what a line showed, what was made of it, why a squawk was so or not so. Pure."""

from typing import NamedTuple

from sim.aircraft.library import called
from sim.bench.checklist import CHECKS
from sim.faults.catalogue import CATALOGUE
from sim.scoring.case import Case, Claim
from sim.scoring.claims import right_claims, speaks
from sim.scoring.knowable import Cue, Known
from sim.session.scenario import Scenario
from sim.window.action_words import line_words
from sim.window.values import reading_told

FIRST = "Looking round the room, and propellers off, come before any of it."


class Sentences(NamedTuple):
    """What the debrief says in the window and on its page. What is of the run stands behind them."""

    no_hazards: str = "No unsafe act was seen."
    no_hop: str = "The aircraft did not leave the floor."
    no_faults: str = "There was no hidden fault, and none was made."
    wise: str = "A wise refusal"
    why_wise: str = "It was right not to fly it tonight."
    sound: str = "A sound decision"
    why_sound: str = "What you found was left to the instructor."
    late: str = "The evening was over"
    why_late: str = "The club locked up, and the aircraft stayed on the bench."
    dear: str = "Where another check would have told more"
    habits: str = "Habits worth a thought"
    reckoned: str = (
        "Reckoned from what sound and faulty aircraft were measured to show, with every set of up to "
        f"three faults weighed; one bit halves what is still open. {FIRST}"
    )
    best: str = "The best check you made"
    paid: str = "The check that would have paid most"
    lucky: str = "You were lucky"
    called_open: str = "Called complete over open lines"
    real: str = (
        "Propellers off for all work on the bench, pack out before hands go near the discs. What you "
        "are not sure of is shown to your instructor before it flies."
    )


SAYS = Sentences()


def minute(minutes: float) -> str:
    """Return a time by the evening's clock."""
    return f"minute {minutes:.0f}"


def edge_words(drill: Scenario) -> str:
    """Return that severities at somebody's edge follow another aircraft's measured table, if they do."""
    if drill.edge_by in ("", called(drill.airframe)):
        return ""
    return (
        f"How bad the faults were follows what checks show on {drill.edge_by}: how often they show "
        "them on this aircraft has not been measured."
    )


def said(line: str, value: float) -> str:
    """Return a value of a line with its unit."""
    told = reading_told(line, value)
    return f"{told.value} {told.unit}".strip()


def cue_words(cue: Cue) -> str:
    """Return what a line showed, what the build sheet has, and what sound aircraft show."""
    band, line = cue.band, cue.line
    against = " (against the middle of the four)" if cue.off_four else ""
    middle, low, high = (said(line, x) for x in (band.middle, band.low_inner, band.high_inner))
    usual = f"a sound aircraft always gives {low}"
    if low != high:
        usual = f"a sound aircraft gives {low} to {high}, nineteen times in twenty"
    where = "plainly outside" if cue.plain else "outside, though not by much"
    read = said(line, cue.value)
    return f"you had {read}{against}, the build sheet has {middle}, and {usual}: {where}."


def came_of_it(one: Known) -> str:
    """Return what was made of a fault that could be seen, or why it could not."""
    if one.first is None:
        return _not_shown(one)
    if one.named_min is None:
        if one.changed_min is not None and one.changed_min >= one.first.minutes:
            when = minute(one.changed_min)
            return f"You looked, and changed what cures it at {when}, without naming it."
        return "You looked, and went on."
    wait = one.named_min - one.first.minutes
    if wait < 1.0:
        return "You looked, and named it there and then."
    return f"You looked, and named it at {minute(one.named_min)}, {wait:.0f} minutes later."


def _not_shown(one: Known) -> str:
    if one.in_sight:
        named = "" if one.named_min is None else f" You named it at {minute(one.named_min)}."
        return f"It moves no line of a check: it was there to be seen by looking.{named}"
    if not one.looked:
        return "You did not look: no check that shows it was done while it was there."
    return "You looked, and no line that was read showed it while it was there."


def why_not_so(claim: Claim, case: Case) -> str:
    """Return why a squawk was not so, and why it was thought so."""
    if claim.check is None:
        return "it was not there, and the squawk rests on no line"
    line = line_words(claim.line)
    if speaks(claim, claim.cause, case):
        return (
            f"it was not there, though “{line}” in “{CHECKS[claim.check].title}” "
            "lay outside what sound aircraft show: a fair suspicion"
        )
    return f"it was not there, and “{line}” does not speak for it"


def why_so(claim: Claim, case: Case) -> str:
    """Return why a squawk was so."""
    if not case.was_there(claim.cause, claim.at):
        return "neither so nor not so: what there was of it is too little to be a fault"
    right = any(claim in right_claims(fault, case) for fault in CATALOGUE.values())
    if claim.check is None:
        end = "in plain sight" if right else "but the squawk rests on no line: a guess"
        return f"it was there, {end}"
    line = line_words(claim.line)
    if right:
        return f"it was there, and “{line}” in “{CHECKS[claim.check].title}” shows it"
    return f"it was there, but “{line}” does not speak for it: a guess"
