"""The squawk sheet: what was claimed, how sure, and struck out again."""

from typing import ClassVar

from sim.session import actions as act
from sim.window.action_words import SURE, cause_words
from sim.window.canvas import Rect, fitted
from sim.window.screens.pages.lists import headed
from sim.window.screens.slips import SquawkSlip
from sim.window.screens.workplace import Workplace
from sim.window.theme import BODY_BOLD, NOTE
from sim.window.ui import Ui


class SquawksPage:
    """Every squawk that stands."""

    act: ClassVar = "page-squawks"
    words: ClassVar = "Squawks"
    first: ClassVar = "new-squawk"

    def show(self, ui: Ui, desk: Workplace, rect: Rect) -> None:
        """Draw the sheet; a press on a line strikes it out."""
        u, canvas = ui.unit, ui.canvas
        words = "Write down what you find before you cure it. Enter on a line strikes it out."
        at = headed(ui, rect, "Squawk sheet", words)
        h = ui.row_height
        if ui.button("new-squawk", at.top(h), "New squawk", ui.keys.cap("squawk")):
            desk.open_slip(ui, SquawkSlip())
        squawks = list(desk.practice.view.squawks.values())
        listed = at.below(h + 8 * u)
        step = 2.2 * canvas.measure("x", BODY_BOLD)[1]
        scroll = ui.scroll("squawk", listed, len(squawks), step)
        for i, row in scroll:
            claim = squawks[i]
            sure = SURE[claim.confidence - 1]
            cause = cause_words(claim.cause)
            if ui.blank_row(f"squawk:{i}", row, f"{claim.item}: {cause}", sure, False):
                desk.ask(act.Withdraw(item=claim.item))
            x = row.x + 8 * u
            canvas.text((x, row.y + 2 * u), claim.item, BODY_BOLD)
            canvas.text((row.right - 6 * u, row.y + 2 * u), sure, NOTE, "right")
            shown = fitted(canvas, cause, NOTE, row.w - 16 * u)
            canvas.text((x, row.y + 2 * u + step * 0.45), shown, NOTE)
        ui.scrollbar(scroll)
