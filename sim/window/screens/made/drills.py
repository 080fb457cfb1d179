"""One's own drills: made, made of reports, or given; from here one is made, begun, given away or opened."""

from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

from sim.errors import DryhopError, line_of
from sim.session.scenario import RUNGS, Scenario, load
from sim.sharing.container import EXTENSION
from sim.sharing.shared import drill_content, write
from sim.window.app import App, Screen
from sim.window.canvas import Rect
from sim.window.layout import Cut
from sim.window.screens.made.sheet import free
from sim.window.screens.paper import Column, Roll, foot, leading_out, lower, two_sheets, written
from sim.window.theme import SMALL
from sim.window.ui import Ui

TITLE = "Drills of your own"
NONE = "There is none yet. Make one, or open one that somebody gave you."
OPEN_LABEL = "Open a shared file: a drill, or a run to be watched"
GIVEN = f"A file ending in {EXTENSION} holds it with its aircraft. Whoever unpacks it can read what is hidden."
MOST = 400  # files; own: nobody looks through more

Leads = Callable[[Screen], None]  # (the screen to come back to)
Opens = Callable[[Path], None]


class Mine(NamedTuple):
    """One drill: its file, and what it says, or why it can't be read."""

    path: Path
    drill: Scenario | None
    trouble: str = ""


def listed(folder: Path) -> list[Mine]:
    """Return the drills of a folder, the newest first; nothing if it can't be read."""
    try:
        files = sorted(folder.glob("*.yaml"), key=lambda path: -path.stat().st_mtime)[:MOST]
    except OSError:
        return []
    found = []
    for path in files:
        try:
            found.append(Mine(path, load(str(path))))
        except (DryhopError, OSError) as error:
            found.append(Mine(path, None, line_of(error)))
    return found


class DrillsSheet:
    """The drills. `back` is shown when it is left; `make` leads to the sheet on which one is made.

    practise : begins one; opens : opens a shared file.
    """

    def __init__(
        self,
        back: Screen,
        folder: Path,
        make: Leads,
        practise: Opens,
        opens: Opens,
        share_into: Path,
    ) -> None:
        self.back, self.folder, self.share_into = back, folder, share_into
        self.make, self.practise, self.opens = make, practise, opens
        self.said, self.trouble = "", False
        self.picked = 0
        self._right = Roll()
        self._fresh, self._next = True, ""
        self.drills: list[Mine] = []

    def lists(self, drills: list[Mine], picked: int = 0) -> None:
        """List these drills, one of them in hand."""
        self.drills, self.picked, self._fresh = drills, picked, False
        self._next = f"mine:{picked}" if drills else "blank"

    @property
    def _mine(self) -> Mine | None:
        return self.drills[self.picked] if self.drills else None

    def show(self, ui: Ui, app: App, area: Rect, dt_s: float) -> None:
        """Draw the drills and what is told of one; do what was asked."""
        if self._fresh:
            found = listed(self.folder)
            self.lists(found, min(self.picked, max(0, len(found) - 1)))
        if self._next:
            ui.focus, self._next = self._next, ""
        notice = self.said or app.notice
        head = self._mine.drill.title if self._mine and self._mine.drill else "What it is"
        left, right, low = two_sheets(ui, area, notice, TITLE, head)
        self._list(ui, self._shared(ui, self._ways(ui, app, left)))
        self._right.show(ui, "told-roll", right, head, lambda r: self._about(ui, r))
        lower(ui, low, notice, leading_out(ui), caution=self.trouble or not self.said)

    def _ways(self, ui: Ui, app: App, rect: Rect) -> Rect:
        good = self._mine is not None and self._mine.drill is not None
        above, pressed = foot(
            ui,
            rect,
            (
                ("pause", "Back", True),
                ("practise", "Practise", good),
                ("blank", "Make one", True),
                ("keep-file", "A file to give away", good),
            ),
        )
        if pressed == "pause":
            app.go(self.back)
        elif pressed == "practise":
            self._begin()
        elif pressed == "blank":
            self._fresh, self.said = True, ""
            self.make(self)
        elif pressed == "keep-file":
            self._share()
        return above

    def _tried(self, work: Callable[[], None]) -> None:
        """Do something; what goes wrong is told below the sheets."""
        self.said, self.trouble = "", False
        try:
            work()
        except (DryhopError, OSError) as error:
            self.said, self.trouble = line_of(error), True

    def _begin(self) -> None:
        if self._mine is not None:
            path = self._mine.path
            self._tried(lambda: self.practise(path))

    def _share(self) -> None:
        if self._mine is None:
            return
        path = self._mine.path
        to = free(self.share_into, f"{path.stem}{EXTENSION}")
        self._tried(lambda: write(drill_content(str(path)), to))
        if not self.trouble:
            self.said = f"To give away: {to}"

    def _shared(self, ui: Ui, rect: Rect) -> Rect:
        """Draw the line on which a shared file is named; return what is left above."""
        parts = Cut(rect, ui.unit)
        step = ui.canvas.measure("x", SMALL)[1]
        column = Column(ui.canvas, parts.bottom(step + ui.row_height + 6 * ui.unit, 8))
        column.small(OPEN_LABEL, 2)
        place = column.rest.top(ui.row_height)
        text = written(
            ui, "shared-file", place, "", f"its place, ending in {EXTENSION}", OPEN_LABEL
        )
        if text is not None and text.strip():
            path = Path(text.strip()).expanduser()
            self._tried(lambda: self.opens(path))
        return parts.rest

    def _list(self, ui: Ui, rect: Rect) -> None:
        if not self.drills:
            Column(ui.canvas, rect).write(NONE)
            return
        names = [mine.drill.title if mine.drill else mine.path.name for mine in self.drills]
        scroll = ui.scroll("mine", rect, len(names), names=names)
        for i, row in scroll:
            drill = self.drills[i].drill
            right = f"{drill.rung} {RUNGS[drill.rung - 1]}" if drill else "can't be read"
            pressed = ui.row(f"mine:{i}", row, names[i], right, i == self.picked)
            if ui.focus == f"mine:{i}":
                self.picked = i
            if pressed and not ui.clicked:
                self._begin()
        ui.scrollbar(scroll)

    def _about(self, ui: Ui, rect: Rect) -> float:
        column = Column(ui.canvas, rect)
        if self._mine is not None and self._mine.drill is not None:
            column.write(self._mine.drill.story or "Nothing more is known.", gap=6)
        if self._mine is not None and self._mine.trouble:
            column.write(self._mine.trouble, gap=6)
        if self._mine is not None:
            column.small(f"File: {self._mine.path}", 6)
        column.thin_rule()
        column.small(GIVEN)
        return column.used
