"""What each column of a recording was taken for, and on what grounds: to be confirmed or put right."""

from collections.abc import Callable
from pathlib import Path

from sim.aircraft import library
from sim.aircraft.textfile import write_text_atomic
from sim.errors import line_of
from sim.reproduce.channels import CHANNELS
from sim.reproduce.importer.confirming import (
    AIRFRAME,
    ATTITUDE,
    ATTITUDES,
    MISSING,
    OPEN,
    Row,
    Sheet,
)
from sim.reproduce.importer.mapping import Settled, map_text
from sim.window.app import App, Screen
from sim.window.canvas import Rect
from sim.window.screens.own.notes import flagged
from sim.window.screens.paper import (
    Column,
    Roll,
    foot,
    leading_out,
    lower,
    text_height,
    two_sheets,
)
from sim.window.theme import BODY
from sim.window.ui import Ui

LEFT_SHARE = 0.58  # of the window; own: the list, beside what the marked one rests on
TITLE = "What its columns are"
WORDS = "Guessed from names, sizes and motion. What a recording can't tell is asked: the logger's own manual says."
NOT_SAID = "not said yet"
CHOICES = {"column": "Column", "unit": "Unit", "sign": "Its numbers"}
WHERE = {"aboard": "worked out aboard", "outside": "measured from outside"}
Confirmed = Callable[[Settled], None]


def plain_words(words: str) -> str:
    """Return a question without the numbers it is answered by in a file."""
    said = words.replace(" (1)", "").replace(" (-1)", "").replace(" (aboard)", "")
    said = said.replace(" (outside)", "").partition(" One of:")[0]
    return said[:1].upper() + said[1:]


class ColumnsSheet:
    """The guesses of a recording. `back` is shown when it is left; `go_on` gets what was confirmed."""

    def __init__(self, back: Screen, path: Path, sheet: Sheet, go_on: Confirmed) -> None:
        self.back, self.path, self.sheet, self.go_on = back, path, sheet, go_on
        self.order = [row.channel for row in sheet.rows]
        self.picked = 0
        self.said, self.trouble = "", False
        self._right = Roll()
        self._fresh = True

    def show(self, ui: Ui, app: App, area: Rect, dt_s: float) -> None:
        """Draw the list and what the marked one rests on; do what was asked."""
        if self._fresh:
            ui.focus, self._fresh = "channel:0", False
        notice = self.said or app.notice
        left, right, low = two_sheets(ui, area, notice, TITLE, self.path.name, LEFT_SHARE)
        self._list(ui, self._ways(ui, app, left))
        self._right.show(
            ui, "channel-roll", right, "Channel", lambda r: self._marked(ui, r), read=False
        )
        lower(ui, low, notice, leading_out(ui), caution=self.trouble)

    @property
    def channel(self) -> str:
        """The channel that is marked."""
        return self.order[self.picked]

    def _ways(self, ui: Ui, app: App, rect: Rect) -> Rect:
        above, pressed = foot(
            ui,
            rect,
            (
                ("pause", "Back", True),
                ("work-out", "They are right", not self.sheet.missing),
                ("keep-file", "Keep this map", True),
            ),
        )
        if pressed == "pause":
            app.go(self.back)
        elif pressed == "work-out":
            self.go_on(self.sheet.settled)
        elif pressed == "keep-file":
            self._keep()
        return above

    def _keep(self) -> None:
        """Write the map beside the recording, so that the next of this logger needs no asking."""
        path = self.path.with_name(f"{self.path.stem}-map.yaml")
        guesses = self.sheet.guesses
        try:
            write_text_atomic(path, map_text(guesses.settled(), guesses.bases()))
        except OSError as error:
            self.said, self.trouble = f"It could not be kept: {line_of(error)}", True
        else:
            self.said, self.trouble = f"Kept: {path}", False

    def _list(self, ui: Ui, rect: Rect) -> None:
        rows = {row.channel: row for row in self.sheet.rows}
        names = [CHANNELS[name].words for name in self.order]
        scroll = ui.scroll("channel", rect, len(self.order), names=names)
        for i, place in scroll:
            row = rows[self.order[i]]
            if ui.row(f"channel:{i}", place, names[i], told(row), i == self.picked):
                ui.focus = "column"
            if ui.focus == f"channel:{i}":
                self.picked = i
        ui.scrollbar(scroll)

    # --- the one that is marked ------------------------------------------------------------------

    def _marked(self, ui: Ui, rect: Rect) -> float:
        column = Column(ui.canvas, rect)
        channel = CHANNELS[self.channel]
        column.strong(channel.words[:1].upper() + channel.words[1:], 4)
        if why := self.sheet.why(self.channel):
            column.small(f"Rests on: {why}.", 4)
        for question in self.sheet.questions:
            if question.channel == self.channel:
                flagged(column, plain_words(question.words))
        for key in self.sheet.keys(self.channel):
            now = self.sheet.value(self.channel, key)
            options = self.sheet.options(self.channel, key)
            chosen = _choice(ui, column, key, CHOICES[key], options, now)
            if chosen not in (now, OPEN):
                self.sheet.choose(self.channel, key, chosen)
        column.thin_rule()
        self._whole(ui, column)
        column.small(WORDS, 4)
        return column.used

    def _whole(self, ui: Ui, column: Column) -> None:
        """Ask what goes for the whole recording, and tell what is open."""
        now = self.sheet.known.airframe
        names = tuple(dict.fromkeys((now, *library.names("airframes"))))
        chosen = _choice(ui, column, AIRFRAME, "The airframe that flew", names, now)
        if chosen != now:
            self.sheet.take_airframe(chosen)
        where = self.sheet.guesses.attitude
        told_now = NOT_SAID if where is None else WHERE[where]
        options = (*((NOT_SAID,) if where is None else ()), *WHERE.values())
        chosen = _choice(ui, column, ATTITUDE, "Its angles were", options, told_now)
        if chosen not in (told_now, NOT_SAID):
            self.sheet.take_attitude(ATTITUDES[list(WHERE.values()).index(chosen)])
        for words in self.sheet.missing:
            flagged(column, plain_words(words))


def told(row: Row) -> str:
    """Return a row's guess on one line."""
    if row.column in (MISSING, OPEN):
        return row.column
    parts = [row.column, row.unit, row.sign]
    return ", ".join("?" if part == OPEN else part for part in parts if part != "grows")


def _choice(ui: Ui, column: Column, id_: str, name: str, options: tuple[str, ...], now: str) -> str:
    """Draw one of several words under its name; return the word chosen."""
    column.write(name, BODY, 2)
    place = column.top(max(ui.row_height, text_height(ui.canvas, "x", BODY, 1e6)), 8)
    return ui.choice(id_, place, name, options, now)
