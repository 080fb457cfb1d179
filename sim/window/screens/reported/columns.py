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
    Key,
    Row,
    Sheet,
)
from sim.reproduce.importer.mapping import Settled, map_text
from sim.reproduce.importer.questions import grows_when
from sim.window.app import App, Screen
from sim.window.canvas import Canvas, Rect
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
from sim.window.screens.reported.brought import map_of
from sim.window.theme import BODY, NUMBER
from sim.window.ui import Ui

LEFT_SHARE = 0.58  # of the window; own: the list, beside what the marked one rests on
TITLE = "What its columns are"
WORDS = "Guessed from names, sizes and motion. What a recording can't tell is asked: the logger's own manual says."
RIGHT, OPEN_NEXT = "They are right", "What is open next"
UNITS = {
    "us": "µs",
    "deg": "°",
    "rad_s": "rad/s",
    "deg_s": "°/s",
    "m_s2": "m/s²",
    "cm_s2": "cm/s²",
    "ut": "µT",
    "nt": "nT",
    "v": "V",
    "dv": "0.1 V",
    "cv": "0.01 V",
    "mv": "mV",
    "a": "A",
    "da": "0.1 A",
    "ca": "0.01 A",
    "ma": "mA",
    "percent_of_travel": "percent of travel",
    "share_about_middle": "share about the middle",
    "percent_about_middle": "percent about the middle",
}
"""How units are written where they are not spelt as in a map."""
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

    def show(self, ui: Ui, app: App, area: Rect, dt_s: float) -> None:
        """Draw the list and what the marked one rests on; do what was asked."""
        if ui.focus is None:
            ui.focus = f"channel:{self.picked}"
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
        asks = any(question.needed for question in self.sheet.questions)
        above, pressed = foot(
            ui,
            rect,
            (
                ("pause", "Back", True),
                ("work-out", OPEN_NEXT if asks else RIGHT, asks or not self.sheet.missing),
                ("keep-file", "Keep this map", True),
            ),
        )
        if pressed == "pause":
            app.go(self.back)
        elif pressed == "work-out" and asks:
            self._lead(ui)
        elif pressed == "work-out":
            self.go_on(self.sheet.settled)
        elif pressed == "keep-file":
            self._keep()
        return above

    def _lead(self, ui: Ui) -> None:
        """Lead to the first question without which it can't be used."""
        question = self.sheet.questions[0]
        if question.channel:
            self.picked = self.order.index(question.channel)
        ui.focus, self._right = question.key, Roll()

    def _keep(self) -> None:
        """Write the map beside the recording, so that the next of this logger needs no asking."""
        path = map_of(self.path)
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
            name, said = fitting_words(ui.canvas, place.w - 24 * ui.unit, names[i], row)
            if ui.row(f"channel:{i}", place, name, said, i == self.picked):
                ui.focus = self._first(self.order[i])
            if ui.focus == f"channel:{i}":
                self.picked = i
        ui.scrollbar(scroll)

    def _first(self, channel: str) -> str:
        """Return what of a channel is open, or else its column."""
        found = (q.key for q in self.sheet.questions if q.channel == channel)
        return next(found, "column")

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
            self._choose(ui, column, key)
        column.thin_rule()
        self._whole(ui, column)
        column.small(WORDS, 4)
        return column.used

    def _choose(self, ui: Ui, column: Column, key: Key) -> None:
        """Let column, unit or sign of the marked channel be chosen."""
        now = self.sheet.value(self.channel, key)
        options = self.sheet.options(self.channel, key)
        shown = options if key == "column" else tuple(UNITS.get(name, name) for name in options)
        words = {"column": "Column", "unit": "Unit"}.get(key, "")
        if not words:
            words = f"When {grows_when(self.channel)}, {self.sheet.value(self.channel, 'column')}"
        chosen = _choice(ui, column, key, words, shown, shown[options.index(now)])
        value = options[shown.index(chosen)]
        if value not in (now, OPEN):
            self.sheet.choose(self.channel, key, value)

    def _whole(self, ui: Ui, column: Column) -> None:
        """Ask what goes for the whole recording, and tell what is open."""
        now = self.sheet.known.airframe
        names = tuple(dict.fromkeys((now, *library.names("airframes"))))
        chosen = _choice(ui, column, AIRFRAME, "The airframe that flew", names, now)
        if chosen != now:
            self.sheet.take_airframe(chosen)
        where = self.sheet.guesses.attitude
        told_now = OPEN if where is None else WHERE[where]
        options = (*((OPEN,) if where is None else ()), *WHERE.values())
        chosen = _choice(ui, column, ATTITUDE, "Its angles were", options, told_now)
        if chosen not in (told_now, OPEN):
            self.sheet.take_attitude(ATTITUDES[list(WHERE.values()).index(chosen)])
        self._open(column)

    def _open(self, column: Column) -> None:
        """Tell what has to be there or answered, and what is left out while it is open."""
        for words in self.sheet.lacking:
            flagged(column, words)
        needed = [q for q in self.sheet.questions if q.needed]
        if needed:
            column.strong(f"Still open: {len(needed)}", 3)
        for question in needed:
            column.small(plain_words(question.words))
        spare = dict.fromkeys(q.channel for q in self.sheet.questions if not q.needed)
        if spare:
            names = "; ".join(CHANNELS[name].words for name in spare)
            column.small(f"Left out while open: {names}.", 4)


def told(row: Row) -> str:
    """Return a row's guess on one line."""
    if row.column in (MISSING, OPEN):
        return row.column
    parts = [row.column, UNITS.get(row.unit, row.unit), row.sign]
    return ", ".join("?" if part == OPEN else part for part in parts if part != "grows")


def fitting_words(canvas: Canvas, room: float, name: str, row: Row) -> tuple[str, str]:
    """Return what a channel is called and its guess, as far as there is room, px; all stands beside."""
    short = name.partition(",")[0].partition(" (")[0]
    brief = f"{row.column} ?" if row.open and row.column != OPEN else row.column
    for called, said in ((name, told(row)), (short, told(row)), (short, brief)):
        if canvas.measure(called, BODY)[0] + canvas.measure(said, NUMBER)[0] <= room:
            return called, said
    return short, "?" if row.open else ""


def _choice(ui: Ui, column: Column, id_: str, name: str, options: tuple[str, ...], now: str) -> str:
    """Draw one of several words under its name; return the word chosen."""
    column.write(name, BODY, 2)
    place = column.top(max(ui.row_height, text_height(ui.canvas, "x", BODY, 1e6)), 8)
    return ui.choice(id_, place, name, options, now)
