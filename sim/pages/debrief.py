"""The debrief of one run as a page: what happened, what could be known when, and what to take along."""

from pathlib import Path

from markupsafe import Markup

from sim.aircraft.textfile import write_text_atomic
from sim.pages.beliefstrip import belief_strip
from sim.pages.cuefigure import cue_figure
from sim.pages.hopfigure import hop_figure
from sim.pages.inline import inline
from sim.pages.render import page
from sim.procedure.rubric import shipped
from sim.scoring.case import Case
from sim.scoring.scorecard import CLEARED
from sim.scoring.search import Search
from sim.session.ownwords import OwnWords, words_of
from sim.session.record import Record
from sim.window.debriefing import Card, FaultTold, debriefed, search_of
from sim.window.debriefwords import SAYS

DEBRIEF = "debrief.html"
STRIP_WORDS = "How likely what was read made each hidden fault, over the evening"
HOP_WORDS = "The hop from above, and its height and heading over time, within the bands that count"


def figures(faults: tuple[FaultTold, ...], case: Case) -> dict[str, Markup]:
    """Return the drawing of what first showed each fault, by fault; those with nothing to draw left out."""
    found: dict[str, Markup] = {}
    for one in faults:
        drawn = None if one.first is None else cue_figure(one.first, one.id, case)
        if drawn is not None:
            words = f"{one.name}: what was read, beside what a sound aircraft gives"
            found[one.id] = inline(drawn, one.id, words)
    return found


def debrief_page(
    record: Record, card: Card, own: OwnWords | None = None, search: Search | None = None
) -> str:
    """Return the page of a run.

    own : the trainee's own words on it, if there are any; search : of the run, if it is at hand.
    """
    search = search or search_of(record)
    told, hop = debriefed(record, card, search), hop_figure(record, shipped())
    strip = belief_strip(search)
    return page(
        "debrief.html",
        card=card,
        says=SAYS,
        own=own,
        cleared=card["verdict"] == CLEARED,
        story=record.scenario.story,
        figures=figures(told.faults, search.case),
        strip=None if strip is None else inline(strip, "belief", STRIP_WORDS),
        hop=None if hop is None else inline(hop, "hop", HOP_WORDS),
        **vars(told),
    )


def write(
    record: Record,
    card: Card,
    folder: Path,
    search: Search | None = None,
    *,
    to: Path | None = None,
) -> Path:
    """Write the page of a run, with the trainee's own words if they lie in its folder.

    search : as of `debrief_page`; to : where; into the folder if not given.
    """
    path = to or folder / DEBRIEF
    write_text_atomic(path, debrief_page(record, card, words_of(folder), search))
    return path
