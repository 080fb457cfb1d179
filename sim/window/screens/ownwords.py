"""What a trainee would keep and change, written on two sheets before the score is shown."""

from collections.abc import Callable
from datetime import UTC, datetime

from sim.session.ownwords import MOST_LINES, OwnWords, own_words
from sim.window.app import App
from sim.window.canvas import Rect
from sim.window.layout import Cut
from sim.window.screens.paper import (
    GAP_UNITS,
    PAD_UNITS,
    USUAL_HINTS,
    Column,
    Roll,
    foot,
    headed,
    lower,
    middle,
    taped,
    text_height,
    wood,
)
from sim.window.theme import BODY, SMALL
from sim.window.ui import Ui

ASKED = {
    "plus": ("Keep", "What went well, and you would do the same way again?"),
    "delta": ("Change", "What would you do another way next time?"),
}  # heading and question of each sheet
ABOUT = (
    "First, your own view. A few words on a line are enough, and lines may stay empty. This is asked once, "
    "before the score is shown; it is kept with the run, and nobody marks it."
)
ON = "See how it went"
DESK_UNITS = (1240.0, 430.0)  # units; own: room for both sheets and the strip, at 100 % text
LINE_GAP_UNITS = 8.0  # units; own: between two lines to write on
FIELDS = tuple(f"{side}-{i}" for side in ASKED for i in range(MOST_LINES))

Said = Callable[[OwnWords], None]


class OwnWordsSheets:
    """Two sheets to write on. `then` gets what was written; `home` leaves without a word."""

    def __init__(self, then: Said, home: Callable[[], None]) -> None:
        self.then, self.home = then, home
        self.lines = dict.fromkeys(FIELDS, "")
        self._rolls = {side: Roll() for side in ASKED}
        self._next: str | None = FIELDS[0]

    def show(self, ui: Ui, app: App, area: Rect, dt_s: float) -> None:
        """Draw the sheets and do what was asked."""
        if self._next is not None:
            ui.focus, self._next = self._next, None
        place, low = wood(ui, area, app.notice)
        low_h = self._below_height(ui, place)
        parts = Cut(middle(ui.canvas, place, *DESK_UNITS), ui.unit)
        below = parts.bottom(low_h, GAP_UNITS)
        for i, (side, (heading, question)) in enumerate(ASKED.items()):
            sheet = parts.rest.column(i, len(ASKED), GAP_UNITS * ui.unit)
            rest = headed(ui.canvas, taped(ui.canvas, sheet), heading)
            self._rolls[side].show(
                ui,
                f"{side}-roll",
                rest,
                heading,
                lambda r, side=side, question=question: self._sheet(ui, r, side, question),  # type: ignore[misc]
                read=False,
            )
        self._below(ui, below)
        lower(ui, low, app.notice, (*USUAL_HINTS[:2], ("Enter", "next line, or press")))

    def _sheet(self, ui: Ui, rect: Rect, side: str, question: str) -> float:
        column = Column(ui.canvas, rect)
        column.write(question, BODY, 8)
        for i in range(MOST_LINES):
            self._line(ui, column.top(ui.row_height, LINE_GAP_UNITS), f"{side}-{i}", question)
        return column.used

    def _line(self, ui: Ui, place: Rect, id_: str, question: str) -> None:
        done = ui.field(id_, place, self.lines[id_], name=question)
        self.lines[id_] = ui.node(id_).value if done is None else done
        if done is not None:
            following = FIELDS.index(id_) + 1
            self._next = FIELDS[following] if following < len(FIELDS) else "work-out"

    def _below_height(self, ui: Ui, place: Rect) -> float:
        wide = place.w - 2 * PAD_UNITS * ui.unit
        words = text_height(ui.canvas, ABOUT, SMALL, wide)
        return words + ui.row_height + (2 * PAD_UNITS + GAP_UNITS) * ui.unit

    def _below(self, ui: Ui, rect: Rect) -> None:
        """Draw what this is about, and the ways on."""
        inside = taped(ui.canvas, rect, corners=False)
        above, pressed = foot(
            ui, inside, (("work-out", ON, True), ("pause", "To the drills", True))
        )
        Column(ui.canvas, above).small(ABOUT)
        if pressed == "work-out":
            self.then(self.written(datetime.now(UTC)))
        elif pressed == "pause":
            self.home()

    def written(self, at_utc: datetime) -> OwnWords:
        """Return what stands on the sheets."""
        plus, delta = ([self.lines[f"{side}-{i}"] for i in range(MOST_LINES)] for side in ASKED)
        return own_words(plus, delta, at_utc)
