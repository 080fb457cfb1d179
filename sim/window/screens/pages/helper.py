"""The helper's page: what is hidden and where it shows, told at once or hint by hint."""

from typing import ClassVar

from sim.aircraft.library import Design
from sim.bench.checklist import CHECKS
from sim.bench.reading import Reading
from sim.faults.catalogue import CATALOGUE
from sim.session import actions as act
from sim.session.hints import MEANING, WHERE, Cue, Pointer
from sim.window import theme
from sim.window.action_words import cause_words
from sim.window.buildsheet import key_of
from sim.window.canvas import Rect
from sim.window.evidence import IN_WORDS
from sim.window.nextcheck import line_name, line_told
from sim.window.screens.pages.lists import headed
from sim.window.screens.paper import Column, Roll
from sim.window.screens.workplace import Workplace
from sim.window.theme import BODY, SMALL
from sim.window.ui import Ui
from sim.window.values import kind_of

SHOWN = (
    "At this rung the fault is told. Find it where the helper points, write the squawk, cure it, and "
    "read the check again."
)
HINTS = (
    "A hint tells where to look, the next one which line, the third what it means. What was told "
    "can't be earned by finding it."
)
SOUND = "The helper knows of nothing that is wrong with this one. Show that it is so."
NONE_YET = "No hint so far."
LATER = "From the third rung on nobody helps. On a real bench your club's instructor does."
EYES = "No line of a reading: it is to be seen with the eyes."


def line_words(cue: Cue, airframe: Design) -> str:
    """Return the line the helper points at, and how it is off."""
    if kind_of(key_of(cue.measure)) in IN_WORDS:
        told_of = f"{line_name(cue.check, cue.measure, airframe)} is not as on a sound aircraft"
    else:
        told_of = line_told(cue.check, f"{cue.measure} {cue.side}", airframe)
    return told_of if cue.sure else f"{told_of}, or another line like it"


def told(pointer: Pointer, airframe: Design) -> list[str]:
    """Return what has been told of one fault, a sentence for each step."""
    cue = pointer.cue
    found = [f"Where to look: {CHECKS[cue.check].title}."]
    if pointer.step > WHERE:
        found.append(f"Which line: {line_words(cue, airframe)}." if cue.measure else EYES)
    if pointer.fault is not None:
        found.append(f"What it means: {CATALOGUE[pointer.fault].explanation}")
    return found


def pointed(desk: Workplace, reading: Reading) -> str:
    """Return where the helper points on a reading just laid down, or nothing."""
    airframe = desk.practice.scenario.airframe
    lines = [
        line_words(p.cue, airframe)
        for p in desk.practice.view.pointers
        if p.cue.check == reading.check and p.cue.measure
    ]
    return f"The helper points at {' and at '.join(lines)}." if lines else ""


def heard(ui: Ui, desk: Workplace) -> bool:
    """Ask for a hint if its key was struck while another page lies open; tell whether it was."""
    hints = desk.practice.view.helping == "hints" and desk.page != HelperPage.act
    return hints and ui.struck("hint") and desk.ask(act.Hint())


class HelperPage:
    """What the helper has told so far, and the button that asks for the next hint."""

    act: ClassVar = "page-helper"
    words: ClassVar = "Helper"
    first: ClassVar = "hint"

    def __init__(self) -> None:
        self._told = Roll()

    def show(self, ui: Ui, desk: Workplace, rect: Rect) -> None:
        """Draw the page and do what was asked on it."""
        view, u = desk.practice.view, ui.unit
        hints = view.helping == "hints"
        at = headed(ui, rect, "Helper", HINTS if hints else SHOWN)
        if hints:
            if ui.act("hint", at.top(ui.row_height), "Ask for a hint"):
                desk.ask(act.Hint())
            at = at.below(ui.row_height + 8 * u)
        at = at._replace(h=at.h - ui.row_height)  # a line begun at the end still ends in the window
        nothing = NONE_YET if hints else SOUND

        def write(sheet: Rect) -> float:
            column = Column(ui.canvas, sheet)
            if not view.pointers:
                column.write(nothing, BODY)
            for n, pointer in enumerate(view.pointers, 1):
                named = "" if pointer.fault is None else f": {cause_words(pointer.fault)}"
                column.strong(f"{n}{named or ': something is hidden'}", 2)
                for sentence in told(pointer, desk.practice.scenario.airframe):
                    column.write(sentence, BODY, 2)
                if pointer.step < MEANING:
                    column.small(f"Hint {pointer.step} of {MEANING}.")
                column.gap(8)
            column.write(LATER, SMALL.on(theme.INK))
            return column.used

        self._told.show(ui, "helper-told", at, "What the helper says", write)
