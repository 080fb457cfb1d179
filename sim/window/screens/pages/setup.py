"""The setup sheet as a form: each value, its range, and the build sheet's value a key away."""

from typing import ClassVar, cast

from sim.aircraft.blank import TOLD_BY
from sim.bench.checklist import CHECKS
from sim.bench.connection import HANGS
from sim.keys import CheckKey, FixKey
from sim.session import actions as act
from sim.session.view import View
from sim.window import sheet
from sim.window.canvas import Rect, paragraph
from sim.window.evidence import Picked
from sim.window.keys import KeyMap
from sim.window.names import COLUMNS
from sim.window.screens.pages.lists import headed
from sim.window.screens.panels import LARGE_TEXT
from sim.window.screens.workplace import Workplace
from sim.window.sheet import SheetRow
from sim.window.theme import BODY, BODY_BOLD, SMALL
from sim.window.ui import Ui
from sim.window.values import setting_told

EDITOR_ROWS = 6.8  # rows; own: heading, range, value, build sheet's value, a squawk
EDITOR_ROWS_LARGE = 5.0  # rows; own: with large text the last two share a row
CHECK: CheckKey = "settings-sheet"
PART = "setup.controller."  # what the check reads
NOW = next(iter(COLUMNS))  # end of the line of what is set
READ, READ_AGAIN = "Read the settings", "Changed: read again"
WORDS = (
    "A click marks a line, Enter changes it: one minute. Opened first, or after a change, the settings are "
    "read: two minutes."
)
NOT_CHOSEN = "not chosen"
NO_LINE = "No line of this check; the stick display shows what it does."
WORDS_LARGE = "A change: 1 min, reading: 2."


class SetupPage:
    """All values that can be set."""

    act: ClassVar = "page-setup"
    words: ClassVar = "Setup"
    first: ClassVar = "setting:0"

    def __init__(self) -> None:
        self.at = 0
        self.trouble = ""
        self.picked: dict[str, str] = {}
        self._opened = False

    def opened(self, desk: Workplace) -> None:
        """Read the settings as the page is opened, unless nothing was changed since they were."""
        self._opened = True
        view = desk.practice.view
        if not missing(view, desk.app.ui.keys) and CHECK not in view.facts:
            desk.ask(act.Read(check=CHECK))

    def show(self, ui: Ui, desk: Workplace, rect: Rect) -> None:
        """Draw the rows and the editor of the chosen one."""
        u = ui.unit
        large = ui.canvas.text_scale >= LARGE_TEXT
        at = headed(ui, rect, "Setup sheet", WORDS_LARGE if large else WORDS)
        view = desk.practice.view
        values = sheet.rows(view)
        if not values or CHECK not in view.readings:
            self._unread(ui, desk, at)
            return
        h = ui.row_height
        if CHECK not in view.facts:
            at = self._again(ui, desk, at)
        if self._opened:
            self._opened, ui.focus = False, f"setting:{self.at}"
        editor_h = (EDITOR_ROWS_LARGE if large else EDITOR_ROWS) * h
        listed = Rect(at.x, at.y, at.w, at.h - editor_h - 8 * u)
        scroll = ui.scroll("setting", listed, len(values))
        for i, row in scroll:
            value = values[i]
            told = setting_told(value.key, value.value)
            label = f"{sheet.SHORT[value.part]}{told.words}"
            amount = NOT_CHOSEN if wanted(view, value.key) else told.amount
            pressed = ui.row(f"setting:{i}", row, label, amount, i == self.at)
            if ui.focus == f"setting:{i}":
                self.at = i
            if pressed and not ui.clicked:
                ui.focus = f"value-{value.key}"
        ui.scrollbar(scroll)
        chosen = values[self.at]
        place = Rect(at.x, at.bottom - editor_h, at.w, editor_h)
        self._editor(ui, desk, place, chosen, wanted(view, chosen.key))

    def _unread(self, ui: Ui, desk: Workplace, at: Rect) -> None:
        """Tell what is missing, or let the settings be read."""
        why = missing(desk.practice.view, ui.keys)
        words = "They are being read." if desk.practice.busy else "They have not been read yet."
        used = paragraph(ui.canvas, at, why or words, BODY)
        if not why and not desk.practice.busy:
            self._again(ui, desk, at.below(used + 8 * ui.unit))

    def _again(self, ui: Ui, desk: Workplace, at: Rect) -> Rect:
        """Let the settings be read; return what is left below."""
        minutes = CHECKS[CHECK].minutes
        words = READ if CHECK not in desk.practice.view.readings else READ_AGAIN
        if ui.button("read-settings", at.top(ui.row_height), f"{words} ({minutes:g} min)"):
            self._opened = True
            desk.ask(act.Read(check=CHECK))
        return at.below(ui.row_height + 6 * ui.unit)

    def _editor(self, ui: Ui, desk: Workplace, rect: Rect, row: SheetRow, wanted: bool) -> None:
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
            if ui.button("set-it", right, f"Set: {picked}", enabled=wanted or picked != now.amount):
                desk.ask(act.Set(key=row.key, value=row.options[options.index(picked)]))
                self.picked = {}
                ui.focus = f"setting:{self.at}"
        else:
            written = ui.field(name, line, sheet.entry(row.value), name=now.words)
            if written is not None:
                self._set(ui, desk, row, written)
        self._ways(ui, desk, line._replace(y=line.bottom + 5 * u), row)

    def _ways(self, ui: Ui, desk: Workplace, rect: Rect, row: SheetRow) -> None:
        """Draw what can be done with a line: the build sheet's value, a squawk that rests on it."""
        u = ui.unit
        pointed = row.key.startswith(PART)
        first, second = rect, rect._replace(y=rect.bottom + 5 * u)
        if pointed and ui.canvas.text_scale >= LARGE_TEXT:
            first, second = rect.column(0, 2, 6 * u), rect.column(1, 2, 6 * u)
        told = setting_told(row.key, row.sheet).amount
        if ui.act("sheet-value", first, f"Build sheet: {told}", short=told):
            self.trouble = ""
            desk.ask(act.Set(key=row.key, value=row.sheet))
        if not pointed:
            paragraph(ui.canvas, second, NO_LINE, SMALL)
        else:
            wanted = ui.button("squawk-setting", second, "Squawk on it")
            if wanted or (ui.focus == f"setting:{self.at}" and ui.struck("squawk")):
                desk.rest_on(ui, Picked(CHECK, row.key.removeprefix(PART) + NOW))

    def _set(self, ui: Ui, desk: Workplace, row: SheetRow, written: str) -> None:
        value = sheet.read(row, written)
        if value is None:
            kind = "a whole number" if row.whole else "a number"
            self.trouble = f"{written!r} is not {kind}."
            return
        self.trouble = ""
        ui.focus = f"setting:{self.at}"
        desk.ask(act.Set(key=row.key, value=value))


def missing(view: View, keys: KeyMap) -> str:
    """Return what is missing before the settings can be read, and how to get it; nothing if all is there."""
    adjust = f"page {keys.cap('page-calibrate')}"
    if not view.conduct.pack_plugged:
        return (
            "The controller has no power from the pack, and without it the settings can't be read. "
            f"Propellers off first; then {keys.cap('pack')} plugs the pack in."
        )
    if view.setup is not None:
        return ""
    if view.board == HANGS:
        return (
            "One light stands still: the board does not answer. Take its power away, give it power "
            f"again, then load its software on {adjust}."
        )
    return (
        "The board has power, but nothing is connected to it. Open the connection on "
        f"{adjust}. If nothing comes over it, the board holds no software: load it there."
    )


def wanted(view: View, key: str) -> bool:
    """Tell whether a value was never chosen, so that the controller waits for it."""
    return view.setup is not None and TOLD_BY.get(cast(FixKey, key)) in view.setup.unset


def limits(row: SheetRow) -> str:
    """Return what a value may be, in words."""
    if row.options:
        return "One of: " + ", ".join(setting_told(row.key, o).amount for o in row.options) + "."
    if row.low is None and row.high is None:
        return "Words."
    if row.high is None:
        return f"More than {row.low:g}."
    return f"From {row.low:g} to {row.high:g}."
