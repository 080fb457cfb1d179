"""The log: what was done, and readings to look at again."""

from typing import ClassVar

from sim.window.action_words import logged
from sim.window.canvas import Rect
from sim.window.screens.pages.lists import Marked, button, foot, headed
from sim.window.screens.workplace import Workplace
from sim.window.ui import Ui


class LogPage:
    """Everything done so far, the newest first."""

    act: ClassVar = "page-log"
    words: ClassVar = "Log"
    first: ClassVar = "log:0"

    def __init__(self) -> None:
        self.marked = Marked()

    def show(self, ui: Ui, desk: Workplace, rect: Rect) -> None:
        """Draw the list, and the button that lays the reading of the check marked on top again."""
        words = (
            "The newest first, with its minute. A click marks a line; Enter lays a check's sheet on top "
            "again."
        )
        at = headed(ui, rect, "Log", words)
        log = desk.practice.log[::-1]
        here = self.marked.see(ui, "log", len(log))
        came = log[here][1].told if here < len(log) else ""
        again = here < len(log) and log[here][1].reading is not None
        at, do_it = button(ui, at, "Lay its sheet on top", again)
        listed = foot(ui, at, came, 4)
        scroll = ui.scroll("log", listed, len(log))
        for i, row in scroll:
            minutes, said = log[i]
            line = logged(said.action) + (", refused" if said.refused else "")
            ui.row(f"log:{i}", row, line, f"{minutes:.0f}", picked=i == here)
            if said.reading is not None and self.marked.done(ui, i, do_it):
                desk.lay(said.reading)
        ui.scrollbar(scroll)
