"""A failure told in words, in the states of its form, made up and always the same."""

from collections.abc import Iterator
from typing import Any

from sim.reproduce.words.form import Form
from sim.window.app import App, Screen
from sim.window.screens.told import Told

FLIPPED: dict[str, Any] = {
    "title": "Over at the first try",
    "story": "It rolled over. I cut.",
    "when": "leaving",
    "moved": ["rolled-right", "flipped"],
    "heard": [],
    "pilot": "cut",
    "changed": ["propellers"],
}
BENCH: dict[str, Any] = {"when": "at-the-bench", "check": "hand-tilt", "worked": ["stick-display"]}
AT_ODDS: dict[str, Any] = {"when": "never", "moved": ["circled"]}


def sheet(app: App, data: dict[str, Any], marked: str = "when") -> Told:
    """Return the form with answers on it, and one question in hand."""
    form = Told(app.screen)
    form.form = Form(data)
    form.mark(marked)
    return form


def told(app: App) -> Iterator[Screen]:
    """Yield the form blank, filled in, of a check at the bench, and with answers that don't agree."""
    yield Told(app.screen)
    yield sheet(app, FLIPPED)
    yield sheet(app, BENCH, "check")
    yield sheet(app, AT_ODDS)
    kept = sheet(app, FLIPPED)
    kept.tell("Kept: report-1.yaml")
    yield kept
