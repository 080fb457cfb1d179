"""What somebody brings: a recording or a report, opened from a folder."""

from collections.abc import Callable
from pathlib import Path

from sim.errors import DryhopError, line_of
from sim.reproduce.answer.ranking import CAUTION
from sim.window.app import App, Screen
from sim.window.canvas import Rect
from sim.window.layout import Cut
from sim.window.screens.paper import Column, Roll, foot, leading_out, lower, two_sheets, written
from sim.window.ui import Ui

TITLE, HELPS = "What somebody reported", "What helps"
FOLDER = "Folder or file"
KINDS = (".csv", ".yaml", ".yml")
MAP = "-map.yaml"  # what the columns of a recording are, beside it
MOST = 400  # files; own: nobody looks through more
ABOUT = (
    (
        "A recording",
        "A CSV file of any logger: time, the four sticks, angles and turn rates, the commands of the "
        "four motors, and whether it was armed; volts, amps, accelerometer and compass help. Ten "
        "seconds in the air are plenty, and so is the half second in which it turned over.",
    ),
    (
        "A report",
        "A YAML file that says when it went wrong, which way it went, what was heard, what the sticks "
        "did, and what had been changed; or tell it on the form.",
    ),
)

Opens = Callable[[Path], None]
Tells = Callable[[Screen], None]  # (the screen to come back to)


def listed(folder: Path) -> list[Path]:
    """Return what may be opened in a folder, the newest first; nothing if it can't be read."""
    return [path for path in _newest(folder) if not path.name.endswith(MAP)][:MOST]


def maps_in(folder: Path) -> list[Path]:
    """Return the maps of columns kept in a folder, the newest first."""
    return [path for path in _newest(folder) if path.name.endswith(MAP)][:MOST]


def map_of(recording: Path) -> Path:
    """Return where the map of a recording's columns is kept."""
    return recording.with_name(f"{recording.stem}{MAP}")


def _newest(folder: Path) -> list[Path]:
    try:
        found = [path for path in folder.iterdir() if path.suffix.lower() in KINDS]
        found = [path for path in found if not path.name.startswith(".") and path.is_file()]
        return sorted(found, key=lambda path: -path.stat().st_mtime)
    except OSError:
        return []


class BroughtSheet:
    """The files of a folder. `back` is shown when it is left; `opens` gets the file chosen.

    tells : leads to the form on which a failure is told in words.
    """

    def __init__(
        self, back: Screen, folder: Path, opens: Opens, tells: Tells = lambda back: None
    ) -> None:
        self.back, self.opens, self.tells = back, opens, tells
        self.said = ""
        self._right = Roll()
        self.look_in(folder)

    def look_in(self, folder: Path) -> None:
        """List another folder."""
        self.folder = folder
        self.files = listed(folder)
        self.picked = 0

    def open_(self, path: Path) -> None:
        """Open a file, or say what is wrong with it."""
        self.said = ""
        try:
            self.opens(path)
        except (DryhopError, OSError) as error:
            self.said = line_of(error)

    def show(self, ui: Ui, app: App, area: Rect, dt_s: float) -> None:
        """Draw the files and what may be brought; do what was asked."""
        if ui.focus is None:
            ui.focus = f"file:{self.picked}" if self.files else "told"
        notice = self.said or app.notice
        left, right, low = two_sheets(ui, area, notice, TITLE, HELPS)
        self._list(ui, self._where(ui, self._ways(ui, app, left)))
        self._right.show(ui, "helps-roll", right, HELPS, lambda r: self._about(ui, r))
        lower(ui, low, notice, leading_out(ui))

    def _ways(self, ui: Ui, app: App, rect: Rect) -> Rect:
        above, pressed = foot(
            ui,
            rect,
            (
                ("pause", "Back", True),
                ("work-out", "Look at it", bool(self.files)),
                ("told", "Tell it in words", True),
            ),
        )
        if pressed == "pause":
            app.go(self.back)
        elif pressed == "work-out":
            self.open_(self.files[self.picked])
        elif pressed == "told":
            self.tells(self)
        return above

    def _where(self, ui: Ui, rect: Rect) -> Rect:
        parts = Cut(rect, ui.unit)
        column = Column(ui.canvas, parts.top(2.2 * ui.row_height, 8))
        column.small(FOLDER, 2)
        text = written(ui, "folder", column.rest.top(ui.row_height), str(self.folder), "", FOLDER)
        if text is not None:
            path = Path(text.strip()).expanduser()
            if path.is_dir():
                self.look_in(path)
                self.said = "" if self.files else f"No CSV or YAML file in {path}."
            else:
                self.open_(path)
                if self.said and ui.focus is None:  # Enter left the line: what is on it stays
                    ui.draft("folder", text)
                    ui.focus = "folder"
        return parts.rest

    def _list(self, ui: Ui, rect: Rect) -> None:
        names = [path.name for path in self.files]
        scroll = ui.scroll("file", rect, len(names), names=names)
        for i, row in scroll:
            kind = "recording" if self.files[i].suffix.lower() == ".csv" else "report"
            pressed = ui.row(f"file:{i}", row, names[i], kind, i == self.picked)
            if ui.focus == f"file:{i}":
                self.picked = i
            if pressed and not ui.clicked:
                self.open_(self.files[i])
        ui.scrollbar(scroll)

    def _about(self, ui: Ui, rect: Rect) -> float:
        column = Column(ui.canvas, rect)
        for head, words in ABOUT:
            column.head(head)
            column.write(words, gap=8)
        column.thin_rule()
        column.small(CAUTION)
        return column.used
