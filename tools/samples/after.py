"""What follows a drill, in all its states: own words, the debrief, the run watched from a moment."""

import tempfile
from collections.abc import Iterator
from datetime import UTC, datetime
from functools import cache
from pathlib import Path
from typing import Any

from sim.runs import card_of as marks_of
from sim.runs import rehearse
from sim.session.ownwords import own_words as said
from sim.session.record import Record
from sim.session.scenario import load
from sim.trainees.standins import Attempt, rehearsed
from sim.window.app import App, Screen
from sim.window.classrun import ClassRun
from sim.window.debriefing import Debriefed, debriefed
from sim.window.screens.classroom import Classroom
from sim.window.screens.debrief import Debrief, Leads
from sim.window.screens.ownwords import OwnWordsSheets
from tools.samples.drill import DRILL, SEED, waited
from tools.samples.sheets import (
    FULL,
    bad_card,
    card_of,
    drill_stood,
    nothing,
    refused_card,
    stayed_card,
)

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
        "plus-0": "looked from above",
        "plus-1": "asked the spotter",
        "delta-0": "squawk at once",
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
    pulled._rolls[0].top = 760.0
    yield pulled


def classroom(app: App) -> Iterator[Screen]:
    """Yield the screen in each state: a vote, one counted, what was done, the arming, the summary."""
    with tempfile.TemporaryDirectory() as folder:
        where = Path(folder) / "run"
        rehearse(Attempt(load(DRILL), "partial-75", SEED), DRILL, where)
        run = ClassRun(where, load(DRILL).title)
        app.take(run)
        room = Classroom(run, nothing, nothing)
        waited(run)
        yield room
        count(run, 3, 9, 0, 2)
        yield room
        told(run)
        yield room
        for n in range(len(run.decisions) - 1):
            go_on(run)
            if n % 3 == 0:
                count(run, n % 5, 4, 7)
            if run.decision.choices[run.decision.made].kind == "squawk" and n < 40:
                yield room
                told(run)
                yield room
            else:
                told(run)
        go_on(run)
        yield room
        app.leave()


def count(run: ClassRun, *hands: int) -> None:
    """Count hands for the first choices."""
    for at, n in enumerate(hands):
        run.decision.count(at, n)


def told(run: ClassRun) -> None:
    """Show what was done."""
    run.show_done()
    waited(run)


def go_on(run: ClassRun) -> None:
    """Go on to the next decision."""
    run.go_on()
    waited(run)
