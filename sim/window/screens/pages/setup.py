"""The setup sheet as a form: each value, its range, and the build sheet's value a key away."""

from typing import ClassVar

from sim.session import actions as act
from sim.window import sheet
from sim.window.canvas import Rect, paragraph
from sim.window.screens.pages.lists import headed
from sim.window.screens.workplace import Workplace
from sim.window.sheet import SheetRow
from sim.window.theme import BODY_BOLD, SMALL
from sim.window.ui import Ui
from sim.window.values import setting_told

EDITOR_ROWS = 5.6  # rows; own: heading, range, value, build sheet's value
UNREAD = "The settings can't be read: the controller has no power, no software or no connection."


class SetupPage:
    """All values that can be set."""

    act: ClassVar = "page-setup"
    words: ClassVar = "Setup"
    first: ClassVar = "setting:0"

    def __init__(self) -> None:
        self.at = 0
        self.trouble = ""
        self.picked: dict[str, str] = {}

    def show(self, ui: Ui, desk: Workplace, rect: Rect) -> None:
        """Draw the rows and the editor of the chosen one."""
        u = ui.unit
        at = headed(ui, rect, "Setup sheet", "Enter on a line changes it. Setting costs a minute.")
        values = sheet.rows(desk.practice.view)
        if not values:
            paragraph(ui.canvas, at, UNREAD, SMALL)
            return
        h = ui.row_height
        editor_h = EDITOR_ROWS * h
        listed = Rect(at.x, at.y, at.w, at.h - editor_h - 8 * u)
        scroll = ui.scroll("setting", listed, len(values))
        for i, row in scroll:
            value = values[i]
            told = setting_told(value.key, value.value)
            label = f"{sheet.SHORT[value.part]}{told.words}"
            if ui.row(f"setting:{i}", row, label, told.amount, i == self.at):
                self.at = i
                ui.focus = f"value-{value.key}"
            if ui.focus == f"setting:{i}":
                self.at = i
        ui.scrollbar(scroll)
        self._editor(ui, desk, Rect(at.x, at.bottom - editor_h, at.w, editor_h), values[self.at])

    def _editor(self, ui: Ui, desk: Workplace, rect: Rect, row: SheetRow) -> None:
        h, u = ui.row_height, ui.unit
        now = setting_told(row.key, row.value)
        title = f"{sheet.TITLES[row.part]}: {now.words}" + (f", {now.unit}" if now.unit else "")
        at = rect.below(paragraph(ui.canvas, rect, title, BODY_BOLD, 2))
        at = at.below(paragraph(ui.canvas, at, self.trouble or limits(row), SMALL, 2) + 3 * u)
        line = at.top(h)
        name = f"value-{row.key}"
        if row.options:
            options = tuple(setting_told(row.key, o).amount for o in row.options)
            picked = self.picked.get(row.key, now.amount)
            left, right = line.column(0, 2, 6 * u), line.column(1, 2, 6 * u)
            picked = ui.choice(name, left, now.words, options, picked)
            self.picked = {row.key: picked}
            if ui.button("set-it", right, f"Set: {picked}", enabled=picked != now.amount):
                desk.ask(act.Set(key=row.key, value=row.options[options.index(picked)]))
                self.picked = {}
                ui.focus = f"setting:{self.at}"
        else:
            written = ui.field(name, line, sheet.entry(row.value), name=now.words)
            if written is not None:
                self._set(ui, desk, row, written)
        if ui.act(
            "sheet-value",
            line.below(h + 5 * u)._replace(h=h),
            f"Build sheet: {setting_told(row.key, row.sheet).amount}",
        ):
            self.trouble = ""
            desk.ask(act.Set(key=row.key, value=row.sheet))

    def _set(self, ui: Ui, desk: Workplace, row: SheetRow, written: str) -> None:
        value = sheet.read(row, written)
        if value is None:
            kind = "a whole number" if row.whole else "a number"
            self.trouble = f"{written!r} is not {kind}."
            return
        self.trouble = ""
        ui.focus = f"setting:{self.at}"
        desk.ask(act.Set(key=row.key, value=value))


def limits(row: SheetRow) -> str:
    """Return what a value may be, in words."""
    if row.options:
        return "One of: " + ", ".join(setting_told(row.key, o).amount for o in row.options) + "."
    if row.low is None and row.high is None:
        return "Words."
    if row.high is None:
        return f"More than {row.low:g}."
    return f"From {row.low:g} to {row.high:g}."
