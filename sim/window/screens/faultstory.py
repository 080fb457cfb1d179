"""The debrief's sections on faults: the rungs climbed, then symptom, cause, check, fix and proof."""

from typing import Any

from sim.faults.catalogue import CATALOGUE
from sim.faults.fault import Fault
from sim.window import theme
from sim.window.action_words import cause_words
from sim.window.canvas import Rect
from sim.window.debriefing import FaultTold
from sim.window.debriefwords import SAYS
from sim.window.pictures import paper
from sim.window.screens.paper import Column
from sim.window.theme import BODY, BODY_BOLD
from sim.window.ui import Ui

Card = dict[str, Any]

RUNGS = ("noticed", "named", "cleared", "proved")
BOX_UNITS = 15.0  # units; own: a rung's box at 100 % text
LEVEL = "danger {level} of 5"
WATCH = "Watch from here"


def faults(
    ui: Ui, column: Column, card: Card, told: tuple[FaultTold, ...], may: bool, edge: str = ""
) -> int | None:
    """Write every fault; return the act to watch from, if that was asked.

    may : the run can be watched; edge : by whose table they are as bad as they are, if that is told.
    """
    column.head("Faults")
    if edge:
        column.small(edge, 6)
    if not card["faults"]:
        column.write(SAYS.no_faults, BODY, 8)
    stories = {one.id: one for one in told}
    asked = None
    for rung in card["faults"]:
        _head(column, rung, card)
        one = stories.get(rung["id"])
        if one is not None:
            _symptom(column, one)
            if may and one.act is not None and watch_row(ui, column, one.id, one.when or ""):
                asked = one.act
        _what_it_is(column, CATALOGUE.get(rung["id"]), one)
        column.gap(10)
    return asked


def watch_row(ui: Ui, column: Column, name: str, when: str) -> bool:
    """Draw the line that opens the run at a moment; tell whether it was pressed."""
    place = column.top(ui.row_height, 4)
    wide = ui.canvas.measure(f"{WATCH}  {when}", theme.NUMBER)[0] + 40 * ui.unit
    place = place._replace(w=min(place.w, wide))
    ui.canvas.fill(place, theme.TAPE, 3 * ui.unit)
    return ui.row(f"watch-{name}", place, WATCH, when)


def _head(column: Column, rung: Card, card: Card) -> None:
    made = ", made by yourself" if rung["made_by_trainee"] else ""
    column.strong(cause_words(rung["id"]).capitalize() + made)
    column.small(f"{rung['family']}, {LEVEL.format(level=rung['hazard'])}", 3)
    _rungs(column, rung)
    if rung["sure"]:
        column.small(f"Named {100 * rung['sure']:.0f} % sure.", 3)
    _at_the_end(column, rung, card)


def labelled(column: Column, label: str, words: str) -> None:
    """Write a paragraph under its label, in small print."""
    column.small(label, 0)
    column.write(words, BODY, 4)


def _symptom(column: Column, one: FaultTold) -> None:
    labelled(column, "Symptom", one.symptom)
    if one.shown_by:
        labelled(column, "Check", one.shown_by)


def _what_it_is(column: Column, fault: Fault | None, one: FaultTold | None) -> None:
    if fault is None:
        return
    labelled(column, "Cause", fault.explanation)
    labelled(column, "In the air", fault.in_the_air)
    if fault.only_in_the_air:
        column.write(fault.only_in_the_air, BODY, 3)
    if one is None:
        return
    if one.fixes:
        labelled(column, "Fix", f"{'; '.join(one.fixes)}. {one.caution}".strip())
    if one.proofs:
        labelled(column, "Proof", f"{'; '.join(one.proofs)}.")


def _rungs(column: Column, rung: Card) -> None:
    """Draw the four rungs as boxes with a tick; a half one says so."""
    canvas, u = column.canvas, column.canvas.scale
    size = BOX_UNITS * u * min(1.5, canvas.text_scale)
    x, row = column.rest.x, column.top(0.0)
    line = canvas.measure("x", BODY)[1] + 5 * u
    y = row.y
    for name in RUNGS:
        value = float(rung[name])
        words = f"{name} (family)" if 0.0 < value < 1.0 else name
        if name == "noticed" and rung["by_precaution"]:
            words = "ended by a precaution"
        wide = size + 8 * u + canvas.measure(words, BODY)[0] + 22 * u
        if x + wide > row.right and x > row.x:
            x, y = row.x, y + line
        paper.box(canvas, Rect(x + 2 * u, y + (line - size) / 2, size, size), value >= 1.0)
        if 0.0 < value < 1.0:
            half = ((x + 2 * u, y + (line + size) / 2), (x + 2 * u + size, y + (line - size) / 2))
            canvas.line(half, theme.PENCIL, 2 * u)
        canvas.text((x + size + 9 * u, y + 2 * u), words, BODY)
        x += wide
    column.top(y + line - row.y, 3)


def _at_the_end(column: Column, rung: Card, card: Card) -> None:
    """Tell what became of a fault: gone, there and left, or made and left."""
    flew = card["takeoff_s"] is not None
    if flew and not rung["present_at_takeoff"]:
        column.write("Gone before takeoff.", BODY, 3)
    elif flew or not rung["cleared"]:
        made = rung["made_by_trainee"]
        whose = "You made it, and left it" if made else "It was there, and you left it"
        rightly = card["sound_decision"] or card["wise_refusal"]
        then = " in at takeoff." if flew else " to the instructor." if rightly else "."
        column.write(whose + then, BODY_BOLD.on(theme.WARNING) if flew else BODY_BOLD, 3)
    if rung["lucky"]:
        column.write(f"{SAYS.lucky}: {rung['lucky']}", BODY_BOLD, 3)
