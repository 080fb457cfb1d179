"""What is written beside a drill being made: what is in it, what stands in the way, how hard it is."""

from collections.abc import Sequence

from sim.aircraft.library import called
from sim.logbook.ahead import WORDS as FAMILY_WORDS
from sim.maker.form import HELP_TOLD, QUESTIONS, Form
from sim.session.scenario import RUNGS, Scenario
from sim.session.severities import AT_EDGE
from sim.window.action_words import cause_words
from sim.window.canvas import Canvas, Rect
from sim.window.screens.own.notes import flagged
from sim.window.screens.paper import Column

CAUTION = (
    "A rehearsal does not replace your club's rules, local codes or licensed practice. A drill proves "
    "nothing of a real aircraft."
)
NOT_YET = "Stand-ins find out: one that does everything, and two that leave checks out."
EDGE = (
    "How bad it is follows the person's logbook when they begin; stand-ins rehearse it at the middle, "
    "0.5."
)
HARD = "How hard it is"


def beside(canvas: Canvas, rect: Rect, form: Form, lines: Sequence[str]) -> float:
    """Write what comes of the answers; return the height used, px. lines : how hard it is, once rated."""
    column = Column(canvas, rect)
    for question in QUESTIONS:
        if form.wrong(question.key):
            flagged(column, f"{question.words}: {form.wrong(question.key)}")
    for words in (form.said, *form.away):
        if words:
            flagged(column, words)
    if form.drill is not None:
        _inside(column, form.drill)
        column.thin_rule()
        column.head(HARD)
        for line in lines or (NOT_YET,):
            column.write(line, gap=4)
        column.thin_rule()
    elif not form.said and form.open_ == "title":
        column.write("It has no title yet.", gap=6)
    column.small(CAUTION)
    return column.used


def _inside(column: Column, drill: Scenario) -> None:
    column.strong(f"Rung {drill.rung}, {RUNGS[drill.rung - 1]}; {HELP_TOLD[drill.helping]}", 4)
    for fault in drill.faults:
        column.write(f"Hidden: {cause_words(fault.id)}", gap=2)
    if drill.draw is not None:
        families = ", ".join(FAMILY_WORDS[family] for family in drill.draw.families)
        column.write(f"Drawn, {drill.draw.count} at a time: {families}", gap=2)
    if not drill.faults and drill.draw is None:
        column.write(
            "Nothing is wrong with it: to leave a sound aircraft alone is the drill.", gap=2
        )
    if AT_EDGE in (*(f.severity for f in drill.faults), drill.draw and drill.draw.severity):
        column.small(EDGE, 2)
    column.small(f"On {called(drill.airframe)}, in {called(drill.place)}.", 4)
