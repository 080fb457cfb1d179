"""The debrief of one run as a page: what happened, what could be known when, and what to take along."""

from pathlib import Path

from markupsafe import Markup

from sim.aircraft.textfile import write_text_atomic
from sim.pages.hopfigure import hop_figure
from sim.pages.render import page
from sim.procedure.rubric import shipped
from sim.scoring.scorecard import CLEARED
from sim.session.record import Record
from sim.window.debriefing import Card, debriefed

DEBRIEF = "debrief.html"


def debrief_page(record: Record, card: Card) -> str:
    """Return the page of a run."""
    figure = hop_figure(record, shipped())
    return page(
        "debrief.html",
        card=card,
        cleared=card["verdict"] == CLEARED,
        story=record.scenario.story,
        figure=None if figure is None else Markup(figure[figure.index("<svg") :]),
        **vars(debriefed(record, card)),
    )


def write(record: Record, card: Card, folder: Path) -> Path:
    """Write the page of a run into its folder; return where it is."""
    path = folder / DEBRIEF
    write_text_atomic(path, debrief_page(record, card))
    return path
