"""The squawk sheet: what was claimed, how sure, and struck out again."""

from typing import ClassVar

from sim.session import actions as act
from sim.session.actions import Squawk
from sim.window.action_words import SURE, cause_words
from sim.window.canvas import Rect, fitted, paragraph
from sim.window.evidence import as_read, picked_by, rests_on
from sim.window.layout import Cut, line_in
from sim.window.screens.pages.lists import Marked, button, headed
from sim.window.screens.slips import SquawkSlip
from sim.window.screens.workplace import Workplace
from sim.window.theme import BODY_BOLD, NOTE, SMALL
from sim.window.ui import Ui

LINES = 4  # lines; own: item, cause, and two of what it rests on


class SquawksPage:
    """Every squawk that stands."""

    act: ClassVar = "page-squawks"
    words: ClassVar = "Squawks"
    first: ClassVar = "new-squawk"

    def __init__(self) -> None:
        self.marked = Marked()

    def show(self, ui: Ui, desk: Workplace, rect: Rect) -> None:
        """Draw the sheet, and the button that strikes out the squawk marked."""
        u, canvas = ui.unit, ui.canvas
        words = (
            "Pick the line of a reading that looks wrong, and write down what you take for the "
            "cause. A click marks a squawk, Enter strikes it out."
        )
        at = headed(ui, rect, "Squawk sheet", words)
        h = ui.row_height
        if ui.button("new-squawk", at.top(h), "New squawk", ui.keys.cap("squawk")):
            desk.open_slip(ui, SquawkSlip())
        squawks = list(desk.practice.view.squawks.values())
        listed, do_it = at.below(h + 8 * u), False
        here = self.marked.see(ui, "squawk", len(squawks))
        if squawks:
            listed, do_it = button(ui, listed, "Strike out the squawk marked")
        step = canvas.measure("x", NOTE)[1]
        scroll = ui.scroll("squawk", listed, len(squawks), LINES * step + 4 * u)
        for i, row in scroll:
            self._claim(ui, desk, f"squawk:{i}", row, squawks[i], i == here)
            if self.marked.done(ui, i, do_it):
                desk.ask(act.Withdraw(item=squawks[i].item))
        ui.scrollbar(scroll)

    def _claim(
        self, ui: Ui, desk: Workplace, id_: str, row: Rect, claim: Squawk, marked: bool
    ) -> None:
        canvas, u = ui.canvas, ui.unit
        sure, cause = SURE[claim.confidence - 1], cause_words(claim.cause)
        rests = rests_on(picked_by(claim), as_read(desk.practice.log, claim), desk.units)
        ui.blank_row(id_, row, f"{claim.item}: {cause}", f"{sure}; {rests}", marked)
        x, width = row.x + 8 * u, row.w - 16 * u
        parts = Cut(row, u, 0, 2)
        step = canvas.measure("x", NOTE)[1]
        line_in(canvas, parts.top(step), sure, NOTE, "right", 6)
        canvas.text((x, row.y + 2 * u), claim.item, BODY_BOLD)
        canvas.text((x, parts.top(step).y), fitted(canvas, cause, NOTE, width), NOTE)
        rest = Rect(x, parts.rest.y, width, parts.rest.h)
        paragraph(canvas, rest, rests, SMALL, LINES - 2)
