"""The build sheet: all that is judged, check by check, beside what was read so far."""

from typing import ClassVar

from sim.aircraft import library
from sim.window.buildsheet import Section, SheetLine, judged, section
from sim.window.canvas import Rect, fitted
from sim.window.layout import Cut, line_in
from sim.window.screens.pages.lists import Marked, foot, headed
from sim.window.screens.workplace import Workplace
from sim.window.theme import BODY, NOTE, SMALL
from sim.window.ui import Ui

WORDS = "Normal: what 95 of 100 sound aircraft show. Limits: beyond them it is not sound."
UNREAD = "not read yet"
FOOT_LINES = 4  # lines; own: a line's words, what is normal, its limits and their source


class BuildSheetPage:
    """One check's lines at a time, the design first."""

    act: ClassVar = "page-sheet"
    words: ClassVar = "Build"
    first: ClassVar = "sheet:0"

    def __init__(self) -> None:
        self.at = 0
        self.marked = Marked()

    def show(self, ui: Ui, desk: Workplace, rect: Rect) -> None:
        """Draw the lines of the check in hand, and the way to the next."""
        scenario, view = desk.practice.scenario, desk.practice.view
        airframe = library.airframe(scenario.airframe)
        of = judged(scenario.airframe, scenario.place)
        self._turn(ui, rect.top(ui.row_height), 1 + len(of))
        shown = section(airframe, of, self.at, view.readings, desk.units)
        at = headed(ui, rect.below(ui.row_height + 4 * ui.unit), shown.title, WORDS)
        here = self.marked.see(ui, "sheet", len(shown.lines))
        listed = foot(ui, at, told(shown.lines[here]), FOOT_LINES)
        self._lines(ui, listed, shown, here)

    def _turn(self, ui: Ui, rect: Rect, sheets: int) -> None:
        u = ui.unit
        self.at = min(self.at, sheets - 1)
        w = 96 * u * ui.canvas.text_scale
        line_in(ui.canvas, rect, f"Page {self.at + 1} of {sheets}", SMALL)
        before = Rect(rect.right - 2 * w - 6 * u, rect.y, w, rect.h)
        step = -1 if ui.act("card-before", before, "Previous", self.at > 0) else 0
        after = Rect(rect.right - w, rect.y, w, rect.h)
        step += 1 if ui.act("card-after", after, "Next", self.at < sheets - 1) else 0
        if step:
            self.at += step
            self.marked.at, ui.focus = 0, self.first

    def _lines(self, ui: Ui, rect: Rect, shown: Section, here: int) -> None:
        canvas, u = ui.canvas, ui.unit
        styles = (BODY, BODY) if shown.check is None else (BODY, NOTE, SMALL)
        heights = [canvas.measure("x", style)[1] for style in styles]
        names = [line.words for line in shown.lines]
        scroll = ui.scroll("sheet", rect, len(names), sum(heights) + 6 * u, names)
        for i, row in scroll:
            line = shown.lines[i]
            ui.blank_row(
                f"sheet:{i}", row, line.words, f"{read_of(line)}; {spans(line)}", i == here
            )
            parts = Cut(row, u, 6, 3)
            if shown.check is None:
                texts = [(line.words, BODY), (line.normal, BODY)]
            else:
                texts = [(line.words, BODY), (read_of(line), NOTE if line.read else SMALL)]
                texts.append((spans(line), SMALL))
            for (words, style), h in zip(texts, heights, strict=False):
                cell = parts.top(h)
                canvas.text((cell.x, cell.y), fitted(canvas, words, style, cell.w), style)
        ui.scrollbar(scroll)


def read_of(line: SheetLine) -> str:
    """Return what was read of a line so far, in words."""
    return f"read: {line.read}" if line.read else UNREAD


def spans(line: SheetLine) -> str:
    """Return what is normal, and the limits where there are any."""
    return f"normal {line.normal}" + (f"; limits {line.limit}" if line.limit else "")


def told(line: SheetLine) -> str:
    """Return all there is to say of a line, with its source."""
    return f"{line.words[:1].upper()}{line.words[1:]}: {spans(line)}. Source: {line.source}."
