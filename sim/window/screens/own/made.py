"""The aircraft as worked out: sheet, gains, what is likely, every estimate; its file and a drill on it."""

from collections.abc import Callable
from pathlib import Path

from sim.describe.account import CAUTION, Account, sheet_told, write
from sim.errors import DryhopError, line_of
from sim.paths import own_airframes
from sim.window.app import App, Screen
from sim.window.canvas import Canvas, Rect
from sim.window.layout import Cut
from sim.window.screens.home import drills
from sim.window.screens.own.notes import LIKELY, how, likely, measure
from sim.window.screens.paper import Column, Roll, foot, leading_out, lower, two_sheets
from sim.window.theme import HEAD
from sim.window.ui import Ui

BESIDE = "How each value was found"
SHEET = "Build sheet and gains"
DRILL = "The drill to practise on it"
ROWS = 3  # own: drills seen at once, so that the sheet keeps most of the room
LARGE_TEXT = 1.5  # 1; own: from here on one
PractiseOn = Callable[[str, Path], None]  # (drill, airframe file)


class Made:
    """What came of the questions; `back` leads to them, `practise` begins a drill on it."""

    def __init__(self, back: Screen, account: Account, practise: PractiseOn) -> None:
        self.back, self.account, self.practise = back, account, practise
        self.file: Path | None = None
        self.said = ""
        self.trouble = False
        self.drill = 0
        self._left, self._right = Roll(), Roll()
        self._fresh = True

    def show(self, ui: Ui, app: App, area: Rect, dt_s: float) -> None:
        """Draw both sheets; keep the file and begin a drill if asked to."""
        if self._fresh:
            ui.focus, self._fresh = "keep-file", False
        notice = self.said or app.notice
        name = self.account.airframe.name
        left, right, low = two_sheets(ui, area, notice, name, BESIDE)
        rest = self._drill(ui, self._ways(ui, app, left))
        self._left.show(ui, "made-roll", rest, SHEET, lambda r: self._sheet(ui.canvas, r))
        self._right.show(ui, "found-roll", right, BESIDE, lambda r: self._found(ui.canvas, r))
        lower(ui, low, notice, leading_out(ui), caution=self.trouble or not self.said)

    def _ways(self, ui: Ui, app: App, rect: Rect) -> Rect:
        above, pressed = foot(
            ui,
            rect,
            (
                ("pause", "Back to the questions", True),
                ("keep-file", "Keep its file", self.file is None),
                ("practise", "Practise on it", self.file is not None),
            ),
        )
        if pressed == "pause":
            app.go(self.back)
        elif pressed == "keep-file":
            self._keep(ui)
        elif pressed == "practise":
            self._begin()
        return above

    def _drill(self, ui: Ui, rect: Rect) -> Rect:
        """Let the drill be chosen; return what is left above."""
        rows = ROWS if ui.canvas.text_scale < LARGE_TEXT else 1
        head = ui.canvas.measure("x", HEAD)[1]
        parts = Cut(rect, ui.unit)
        place = Column(ui.canvas, parts.bottom(head + rows * ui.row_height + 4 * ui.unit, 8))
        place.head(DRILL)
        listed = drills()
        scroll = ui.scroll("on-it", place.rest, len(listed))
        for i, row in scroll:
            if ui.row(f"on-it:{i}", row, listed[i].title, "", i == self.drill):
                self._begin()
            if ui.focus == f"on-it:{i}":
                self.drill = i
        ui.scrollbar(scroll)
        return parts.rest

    def _begin(self) -> None:
        if self.file is not None:
            self.practise(drills()[self.drill].name, self.file)

    def _keep(self, ui: Ui) -> None:
        path = own_airframes() / f"{self.account.airframe.name}.yaml"
        try:
            write(self.account, path)
        except (DryhopError, OSError) as error:
            self.said, self.trouble = f"It could not be kept: {line_of(error)}", True
            return
        self.kept(path)
        ui.focus = "practise"

    def kept(self, path: Path) -> None:
        """Tell where the file lies; from now on there may be a drill on it."""
        self.file, self.said, self.trouble = path, f"Kept: {path}", False

    def _sheet(self, canvas: Canvas, rect: Rect) -> float:
        column = Column(canvas, rect)
        column.small(CAUTION, 6)
        column.head(LIKELY)
        likely(column, self.account.findings)
        column.thin_rule()
        column.head(SHEET)
        for line in sheet_told(self.account.airframe):
            column.write(line, gap=2)
        return column.used

    def _found(self, canvas: Canvas, rect: Rect) -> float:
        column = Column(canvas, rect)
        before = ""
        for one in self.account.told:
            how(column, one)
            if one.measure != before:
                measure(column, one)
            before = one.measure
            column.gap(4)
        return column.used
