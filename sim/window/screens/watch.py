"""Watching a run: its acts told one by one, at one to eight times the speed."""

from collections.abc import Callable

from sim.bench.reading import Reading
from sim.session import actions as act
from sim.window import theme
from sim.window.action_words import logged
from sim.window.app import App
from sim.window.canvas import Canvas, Rect, fitted, wrapped
from sim.window.layout import Cut, cells, centred
from sim.window.pictures import paper
from sim.window.pictures.reading import draw_reading
from sim.window.said import Said
from sim.window.screens.desk import wait
from sim.window.screens.panels import (
    Recordings,
    draw_state,
    instruments,
    note,
    picture_of,
    sheet_title,
)
from sim.window.showing import Showing
from sim.window.theme import BODY, BODY_BOLD, NUMBER_SMALL, SMALL, TITLE
from sim.window.ui import Ui

RATES = (1.0, 2.0, 4.0, 8.0)  # 1; own: an evening of an hour or two is seen in minutes
PAGE_S = 1.1  # s; own: half of what a reading is dwelt on
PAPER_UNITS = 400.0  # units; own: width of the log
LOWER_UNITS = 240.0  # units; own: height of the reading or the recordings


class Watch:
    """The screen of a run being shown. `came_to` is done at its end; back : words of what leaves it."""

    def __init__(
        self,
        showing: Showing,
        leave: Callable[[App], None],
        came_to: Callable[[App, Showing], None],
        back: str = "Leave",
    ) -> None:
        self.showing = showing
        self.leave, self.came_to, self.back = leave, came_to, back
        self.strips = Recordings()
        self._read: Reading | None = None
        self._read_s = 0.0
        self._pages = 1

    def show(self, ui: Ui, app: App, area: Rect, dt_s: float) -> None:
        """Draw the run and take the keys of the clock."""
        showing, canvas, u = self.showing, ui.canvas, ui.unit
        showing.step(dt_s)
        canvas.fill(area, theme.BENCH)
        if showing.failed:
            self.leave(app)
            app.notice = showing.failed
            return
        if not showing.ready:
            fetching(ui, area, showing)
            if ui.struck("pause"):
                self.leave(app)
            return
        paper_w = PAPER_UNITS * u * (1.0 + 0.5 * (canvas.text_scale - 1.0))
        lower_h = LOWER_UNITS * u * (1.0 + 0.5 * (canvas.text_scale - 1.0))
        parts = Cut(area, u)
        log, lower, scene = parts.right(paper_w), parts.bottom(lower_h), parts.rest
        picture_of(canvas, app, showing, scene, showing.pose)
        draw_state(canvas, scene, showing)
        lower = lower.inset(8 * u)
        if showing.view.phase == "hop" or showing.view.armed or showing.reading is None:
            instruments(canvas, app, showing, self.strips, lower)
        else:
            self._reading(canvas, app, lower, dt_s)
        if showing.busy or showing.log:
            said = showing.log[-1][1] if showing.log else None
            words = showing.busy or (logged(said.action) if said else "")
            note(canvas, scene, words, bool(said and said.refused and not showing.busy))
        self._log(ui, app, log)

    def _reading(self, canvas: Canvas, app: App, rect: Rect, dt_s: float) -> None:
        """Draw the last reading; a long one turns its pages by itself."""
        showing, units = self.showing, app.settings.units
        assert showing.reading is not None
        if self._read is not showing.reading:
            self._read, self._read_s = showing.reading, 0.0
        self._read_s += dt_s * showing.rate
        page = int(self._read_s / PAGE_S) % self._pages
        drawn = draw_reading(
            canvas, rect, sheet_title(showing.reading), showing.reading, units, None, page
        )
        self._pages = drawn.pages

    def _log(self, ui: Ui, app: App, rect: Rect) -> None:
        canvas, u, showing = ui.canvas, ui.unit, self.showing
        paper.sheet(canvas, rect)
        parts = Cut(rect, u, 16)
        head = parts.top(canvas.measure("x", TITLE)[1], 6)
        canvas.text((head.x, head.y), fitted(canvas, showing.title, TITLE, head.w), TITLE)
        self._clock(ui, app, parts.top(3 * ui.row_height + 10 * u, 8))
        at = parts.rest
        y, lines = at.bottom, showing.log[::-1]
        for minutes, said in lines:  # the newest lowest
            y -= log_line(canvas, Rect(at.x, at.y, at.w, y - at.y), minutes, said)
            if y < at.y + 2 * ui.row_height:
                break

    def _clock(self, ui: Ui, app: App, rect: Rect) -> None:
        showing, u = self.showing, ui.unit
        slower, faster, hold, onward, leave = cells(rect, 5, 2, 6 * u, 5 * u)
        at = RATES.index(showing.rate) if showing.rate in RATES else 0
        if ui.act("slower", slower, "Slower", at > 0):
            showing.rate = RATES[at - 1]
        if ui.act("faster", faster, "Faster", at < 3):
            showing.rate = RATES[at + 1]
        words = "Go on" if showing.paused else "Hold"
        if showing.over:
            if ui.act("hold", hold, "Debrief", showing.card is not None):
                self.came_to(app, showing)
        elif ui.act("hold", hold, words):
            showing.paused = not showing.paused
        if ui.act("page-after", onward, "Next act", not showing.over, "Next"):
            showing.next_act()
        if ui.act("pause", leave, self.back):
            self.leave(app)


def fetching(ui: Ui, area: Rect, showing: Showing) -> None:
    """Say that the run is being fetched, and how far it has come on the way to where it opens."""
    canvas, u = ui.canvas, ui.unit
    wait(canvas, area, showing.busy + " …")
    if showing.until is not None:
        bar = centred(area, 320 * u, 14 * u)
        bar = bar._replace(y=area.centre[1] + canvas.measure("x", BODY)[1])
        canvas.frame(bar, theme.CHALK_SOFT, 1.5 * u)
        canvas.fill(bar.inset(3 * u)._replace(w=(bar.w - 6 * u) * showing.far), theme.CHALK)


def log_line(canvas: Canvas, rect: Rect, minutes: float, said: Said) -> float:
    """Write one act at the foot of a rectangle, with its minute; return the height used."""
    u = canvas.scale
    w = canvas.measure("0000", NUMBER_SMALL)[0] + 6 * u
    strong = isinstance(said.action, act.Squawk | act.Set | act.Swap | act.Declare)
    style = BODY_BOLD if strong else SMALL.on(theme.INK)
    words = logged(said.action) + ("  (refused)" if said.refused else "")
    lines = wrapped(canvas, words, style, rect.w - w)
    step = canvas.measure("x", style)[1]
    used = step * len(lines) + 4 * u
    if used > rect.h:
        return used
    top = rect.bottom - used
    canvas.text((rect.x, top + 2 * u), f"{minutes:4.0f}", NUMBER_SMALL)
    for i, line in enumerate(lines):
        canvas.text((rect.x + w, top + i * step), line, style)
    return used
