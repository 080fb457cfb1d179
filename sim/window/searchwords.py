"""What a debrief says of the search: when each fault was as good as known, the shortest way, and habits that cost."""

from dataclasses import dataclass

from sim.bench.checklist import CHECKS
from sim.keys import CheckKey, FaultId
from sim.scoring.case import Case
from sim.scoring.faultsets import MOST
from sim.scoring.findings import (
    again_for_nothing,
    changed_blind,
    dearest,
    named_early,
    stuck,
)
from sim.scoring.search import Search, Step, ideal_path
from sim.window.action_words import cause_words, fix_words
from sim.window.debriefwords import minute

DEAREST = 3  # checks; own: as many as a person remembers


@dataclass(frozen=True)
class SearchTold:
    """The search in sentences.

    known : of each fault, when it was as good as known; way : the checks of the shortest way, empty if
    there was nothing to find; beside : that way beside the trainee's; dear : checks that told little
    while another would have told much; habits : what was done again, named or changed for nothing.
    """

    known: tuple[str, ...]
    way: tuple[str, ...]
    beside: str
    dear: tuple[str, ...]
    habits: tuple[str, ...]


def title(check: CheckKey) -> str:
    """Return a check by its title."""
    return f"“{CHECKS[check].title}”"


def _share(chance: float) -> str:
    return "less than 1 %" if chance < 0.01 else f"{100.0 * chance:.0f} %"


def _known(fault: FaultId, search: Search) -> str:
    at = search.known_at(fault)
    name = cause_words(fault).capitalize()
    if at is not None:
        step = search.steps[at]
        return (
            f"{name}: as good as known from {minute(step.minutes)} on, by {title(step.done.check)}."
        )
    places = search.by.index([fault])
    if not places:
        return f"{name}: no check shows it; it is seen by looking round."
    there = [s for s in search.steps if fault in search.case.events[s.at].present]
    most = max((float(step.chances[places[0]]) for step in there), default=0.0)
    return f"{name}: never as good as known; what was read made it {_share(most)} likely at most."


def _dear(step: Step) -> str:
    done, best = step.done, step.best
    return (
        f"{minute(step.minutes).capitalize()}: {title(done.check)}, {done.minutes:g} min for "
        f"{done.bits:.2f} bit; {title(best.check)} would have given {best.bits:.2f} bit in "
        f"{best.minutes:g} min."
    )


def _habits(search: Search) -> list[str]:
    events = search.case.events
    found = [
        f"{minute(step.minutes).capitalize()}: {title(step.done.check)} once more, though nothing was "
        "changed since and nothing had been outside."
        for step in again_for_nothing(search)
    ]
    for claim, chance in named_early(search):
        when, so = events[claim.at].minutes, search.case.was_there(claim.cause, claim.at)
        end = "It was so, by luck." if so else "It was not so."
        found.append(
            f"{minute(when).capitalize()}: {cause_words(claim.cause)} named early; what had been read "
            f"made it {_share(chance)} likely. {end}"
        )
    found += [
        f"{minute(events[one.at].minutes).capitalize()}: {fix_words(one.fix)} changed without evidence; "
        f"no cause of it was more than {_share(max(one.chance, 0.01))} likely."
        for one in changed_blind(search)
    ]
    found += [
        f"{minute(one.steps[0].minutes).capitalize()}: stuck on {one.family}: {len(one.steps)} checks of "
        f"it in a row, done before, while any of it was {_share(one.chance)} likely at most."
        for one in stuck(search)
    ]
    return found


def _beside(search: Search, hidden: list[FaultId]) -> tuple[tuple[str, ...], str]:
    """Return the shortest way, and that way beside the trainee's."""
    if not hidden:
        return (), "There was nothing to find: the checks were there to say so."
    if len(hidden) > MOST:
        return (), f"More than {MOST} faults at once: no way is worked out."
    path = ideal_path(search.case, search.by)
    way = tuple(f"{title(one.check)}, {one.minutes:g} min" for one in path.checks)
    all_known = "all of it is as good as known" if path.whole else "the checks have no more to tell"
    words = f"Whoever always takes the check that tells most a minute needs {path.minutes:g} min until {all_known}"
    known = [search.known_at(fault) for fault in hidden]
    last = [n for n in known if n is not None]
    if len(last) < len(hidden):
        took = f"{search.minutes:.1f} min of checks had not shown all of it"
    else:
        took = f"you had done {search.minutes_until(max(last)):.1f} min of checks by then"
    return way, f"{words}; {took}."


def search_told(search: Search) -> SearchTold:
    """Return what is told of a search."""
    case: Case = search.case
    hidden = sorted(case.record.present_at_start & set(search.by.faults))
    way, beside = _beside(search, hidden)
    return SearchTold(
        tuple(_known(fault, search) for fault in sorted(case.record.present_at_start)),
        way,
        beside,
        tuple(_dear(step) for step in dearest(search, DEAREST)),
        tuple(_habits(search)),
    )
