"""The clock stands: go on, at what pace, begin again, or leave."""

from collections.abc import Callable

from sim.window.app import App, Screen
from sim.window.canvas import Rect
from sim.window.practice import Practice
from sim.window.screens.keys import Keys
from sim.window.screens.paper import (
    Column,
    Roll,
    act_width,
    flow_height,
    flowed,
    headed,
    labelled,
    leading_out,
    lower,
    taped,
    wood,
)
from sim.window.screens.saving import Saving
from sim.window.screens.settings import SettingsSheet
from sim.window.screens.walk import Walk
from sim.window.theme import BODY, SMALL
from sim.window.ui import Ui

SHEET_UNITS = 660.0  # units; own: width of the sheet at 100 % text
RATES: dict[float, str] = {0.25: "a quarter", 0.5: "half", 1.0: "as it is"}  # 1; own: slow motion
AGAIN, GIVE_UP = "Begin this drill again", "Give up, to the drills"
SURE_AGAIN, SURE_GIVE_UP = "Really begin again?", "Really give up?"
KEPT = "What was done so far is kept, and can be taken up again from the drills."
LOST = "What was done so far is not saved and will be lost."


class Pause:
    """The pause of a drill. `back` goes on with it, `again` begins it anew, `home` gives it up."""

    def __init__(
        self, back: Screen, drill: Practice, again: Callable[[], None], home: Callable[[], None]
    ) -> None:
        self.back, self.drill = back, drill
        self.again, self.home = again, home
        self._sure = ""
        self._roll, self._saving = Roll(), Saving(drill)
        self._fresh = True

    def show(self, ui: Ui, app: App, area: Rect, dt_s: float) -> None:
        """Draw the sheet and do what was asked."""
        canvas = ui.canvas
        self.drill.paused = True
        if self._fresh:
            ui.focus, self._fresh = "pause", False
        place, low = wood(ui, area, app.notice)
        sheet = self._roll.sheet(canvas, place, SHEET_UNITS)
        rest = headed(canvas, taped(canvas, sheet, corners=False), "The clock is stopped")
        self._roll.show(ui, "pause-roll", rest, "Pause", lambda r: self._sheet(ui, app, r), False)
        lower(ui, low, app.notice, (*leading_out(ui, "go on"), ("← →", "change")))

    def _sheet(self, ui: Ui, app: App, sheet: Rect) -> float:
        column = Column(ui.canvas, sheet)
        column.write(f"{self.drill.scenario.title}, seed {self.drill.seed}", BODY, 10)
        self._saving.show(ui, app, column)
        h, gap = ui.row_height, 10
        words = "Go on"
        if ui.act("pause", self._place(column, act_width(ui, "pause", words) * 1.3, h), words):
            self.drill.paused, app.notice = False, ""
            app.go(self.back)
        column.gap(gap)
        self._pace(ui, column.top(h, gap))
        self._ways(ui, app, column)
        column.thin_rule()
        self._leave(ui, column)
        return column.used

    def _place(self, column: Column, width: float, height: float) -> Rect:
        return column.top(height)._replace(w=min(width, column.rect.w))

    def _pace(self, ui: Ui, rect: Rect) -> None:
        label = "Pace of the clock"
        place = labelled(ui.canvas, rect, label, gap=14)
        options = {f"× {rate:g}  {words}": rate for rate, words in RATES.items()}
        now = next((w for w, rate in options.items() if rate == self.drill.rate), "")
        self.drill.rate = options[ui.choice("pace", place, label, tuple(options), now)]

    def _ways(self, ui: Ui, app: App, column: Column) -> None:
        h, gap = ui.row_height, 8 * ui.unit
        ways: tuple[tuple[str, str, Callable[[], Screen]], ...] = (
            ("settings", "Settings", lambda: SettingsSheet(self)),
            ("keys", "Keys", lambda: Keys(self)),
            ("walk", "Walk round", lambda: Walk(self)),
        )
        widths = [act_width(ui, name, words) for name, words, _ in ways]
        rect = column.top(flow_height(column.rest, widths, h, gap), 4)
        for (name, words, screen), place in zip(ways, flowed(rect, widths, h, gap), strict=True):
            if ui.act(name, place, words):
                app.go(screen())

    def _leave(self, ui: Ui, column: Column) -> None:
        """Draw the two ways out of the attempt; each asks once."""
        h, gap = ui.row_height, 8 * ui.unit
        asks = (
            ("again", AGAIN, SURE_AGAIN, self.again),
            ("give-up", GIVE_UP, SURE_GIVE_UP, self.home),
        )
        shown = [sure if self._sure == id_ else words for id_, words, sure, _ in asks]
        widths = [act_width(ui, ask[0], words) for ask, words in zip(asks, shown, strict=True)]
        rect = column.top(flow_height(column.rest, widths, h, gap), 6)
        places = flowed(rect, widths, h, gap)
        for (id_, _, _, leave), words, place in zip(asks, shown, places, strict=True):
            if not ui.act(id_, place, words):
                continue
            if self._sure == id_:
                leave()
            self._sure = "" if self._sure == id_ else id_
        lost = LOST if self.drill.unsaved else KEPT
        column.write(lost if self._sure else "", SMALL)  # an empty line keeps the sheet's length
