"""The log: what was done, and readings to look at again."""

from typing import ClassVar

from sim.window.action_words import logged
from sim.window.canvas import Rect
from sim.window.screens.pages.lists import foot, headed
from sim.window.screens.workplace import Workplace
from sim.window.ui import Ui


class LogPage:
    """Everything done so far, the newest first."""

    act: ClassVar = "page-log"
    words: ClassVar = "Log"
    first: ClassVar = "log:0"

    def show(self, ui: Ui, desk: Workplace, rect: Rect) -> None:
        """Draw the list; a press lays a check's reading on top again."""
        words = "The newest first, with its minute. Enter on a check lays its sheet on top again."
        at = headed(ui, rect, "Log", words)
        log = desk.practice.log[::-1]
        focus = ui.focus or ""
        at_focus = int(focus[4:]) if focus.startswith("log:") else len(log)
        came = log[at_focus][1].told if at_focus < len(log) else ""
        listed = foot(ui, at, came, 4)
        scroll = ui.scroll("log", listed, len(log))
        for i, row in scroll:
            minutes, said = log[i]
            line = logged(said.action) + (", refused" if said.refused else "")
            if ui.row(f"log:{i}", row, line, f"{minutes:.0f}") and said.reading is not None:
                desk.lay(said.reading)
        ui.scrollbar(scroll)
