"""What follows a drill, in all its states: own words, the debrief, the run watched from a moment."""

from collections.abc import Iterator
from datetime import UTC, datetime
from functools import cache
from pathlib import Path
from typing import Any

from sim.runs import card_of as marks_of
from sim.session.ownwords import own_words as said
from sim.session.record import Record
from sim.session.scenario import load
from sim.trainees.standins import Attempt, rehearsed
from sim.window.app import App, Screen
from sim.window.debriefing import Debriefed, debriefed
from sim.window.screens.debrief import Debrief, Leads
from sim.window.screens.ownwords import OwnWordsSheets
from tools.samples.sheets import (
    FULL,
    bad_card,
    card_of,
    drill_stood,
    nothing,
    refused_card,
    stayed_card,
)

DRILL, SEED = "first-evening", 7  # own: any will do
FOLDER = Path("runs/first-evening-1")
LEADS = Leads(nothing, nothing)
SAID = said(
    ["looked at every propeller from above"],
    ["write the squawk at once, not three checks later when the line is forgotten"],
    datetime(2026, 1, 31, 19, 40, tzinfo=UTC),
)


@cache
def came_to(stand_in: str) -> tuple[dict[str, Any], Debriefed]:
    """Return scorecard and debrief of a stand-in's attempt."""
    record: Record = rehearsed(Attempt(load(DRILL), stand_in, SEED))
    card = marks_of(record, "somebody", DRILL)
    return card, debriefed(record, card)


def own_words(app: App) -> Iterator[Screen]:
    """Yield the screen in each state."""
    yield OwnWordsSheets(nothing, nothing)
    full = OwnWordsSheets(nothing, nothing)
    full.lines |= {
        "plus-0": "looked at every propeller from above, twice, before the pack went in",
        "plus-1": "asked the spotter",
        "delta-0": "write the squawk at once, not three checks later when the line is forgotten",
    }
    yield full


def debrief(app: App) -> Iterator[Screen]:
    """Yield the screen in each state."""
    for card in (card_of(), bad_card(), refused_card(), stayed_card()):
        yield Debrief(card, FOLDER, LEADS)
    unsaved = Debrief(card_of(), drill_stood(FULL), LEADS)
    assert unsaved._saving is not None
    unsaved._saving.where = "~/evenings"
    yield unsaved
    for stand_in in ("hasty", "partial-75"):
        card, told = came_to(stand_in)
        yield Debrief(card, FOLDER, LEADS, told, SAID)
    turned = Debrief(card, FOLDER, LEADS, told, SAID)
    turned.sheet = 1
    yield turned
    pulled = Debrief(card, FOLDER, LEADS, told, SAID)
    pulled._rolls[0].top = 520.0
    yield pulled
