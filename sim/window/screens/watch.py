"""Watching a run: the stand-in's acts told one by one, at one to eight times the speed."""

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

from sim.bench.reading import Reading
from sim.kernel.frames import Quat, from_angles
from sim.runs import card_of
from sim.session import actions as act
from sim.session.attempt import noted
from sim.session.journal import Step, begun
from sim.session.session import Session
from sim.units import RAD_PER_DEG
from sim.window import theme
from sim.window.action_words import logged
from sim.window.app import App
from sim.window.canvas import Canvas, Rect, fitted, wrapped
from sim.window.debriefing import Debriefed, debriefed
from sim.window.drill import Drill
from sim.window.layout import Cut, cells, centred
from sim.window.pictures import paper
from sim.window.pictures.reading import draw_reading
from sim.window.said import Said, said_of
from sim.window.screens.desk import wait
from sim.window.screens.panels import (
    Recordings,
    draw_state,
    instruments,
    note,
    picture_of,
    sheet_title,
)
from sim.window.sticks.positions import Positions
from sim.window.theme import BODY, BODY_BOLD, NUMBER_SMALL, SMALL, TITLE
from sim.window.ui import Ui

RATES = (1.0, 2.0, 4.0, 8.0)  # 1; own: an evening of an hour or two is seen in minutes
DWELL_S = {"read": 2.2, "squawk": 2.5, "swap": 2.0, "set": 2.0, "declare": 2.0, "turn": 0.5}
PAGE_S = 1.1  # s; own: half of what a reading is dwelt on
USUAL_DWELL_S = 1.0  # s; own: long enough to read a line
PAPER_UNITS = 400.0  # units; own: width of the log
LOWER_UNITS = 240.0  # units; own: height of the reading or the recordings


class Showing(Drill):
    """A journal done again at a pace one can follow.

    `until`: the number of an act, after which it opens and holds; what comes before is done at once.
    `card`, `told`: scorecard and debrief of what has been shown, once all has been.
    """

    def __init__(
        self,
        folder: Path,
        title: str,
        find: Callable[[], Path] | None = None,
        until: int | None = None,
    ) -> None:
        self.folder = folder
        self.title = title
        self.until = until
        self.far = 0.0  # 0..1; how far it has come on the way to where it opens
        self.steps: list[Step] = []
        self.card: dict[str, Any] | None = None
        self.told: Debriefed | None = None
        self.at = 0
        self.log: list[tuple[float, Said]] = []
        self.reading: Reading | None = None
        self.pose: Quat | None = None
        self._find = find
        self._session: Session | None = None
        self._dwell_s = 0.0
        super().__init__()
        self.begin("The run is fetched", self._open)

    def _open(self) -> None:
        if self._find is not None:
            self.folder = self._find()
        session, self.steps = begun(self.folder)
        self._session = session
        if self.until is not None:
            acts = [i for i, step in enumerate(self.steps) if step.action is not None]
            self._through(acts[min(self.until, len(acts) - 1)] if acts else -1)
            self.paused = True
        self.seen = session.view()

    def _through(self, last: int) -> None:
        """Do every step up to one at once."""
        first = self.at
        while self.at <= last:
            step = self.steps[self.at]
            if step.action is not None:
                self._heard(said_of(self.session.do, step.action))
            else:
                self._let(step)
            self.far = (self.at - first) / (last + 1 - first)
        if self.at == len(self.steps) - 1 and self.steps[-1].trace is not None:
            self.at += 1  # the line that ends a journal is no more to be waited for

    def _on_to_next(self) -> None:
        left = range(self.at, len(self.steps))
        last = next((i for i in left if self.steps[i].action is not None), len(self.steps) - 1)
        self._through(last)
        self.seen = self.session.view()

    def next_act(self) -> None:
        """Do everything up to the next act and it as well, then hold."""
        if self.ready and not self.busy and not self.over:
            self.paused = True
            self.begin("On to the next act", self._on_to_next)

    @property
    def over(self) -> bool:
        """Tell whether the last step has been done."""
        return self.ready and self.at >= len(self.steps)

    def _mark(self) -> None:
        """Work out what the run came to."""
        note, record = noted(self.folder), self.session.record()
        trainee, drill = (note.trainee, note.scenario) if note else ("unknown", self.title)
        card = card_of(record, trainee, drill)
        self.told, self.card = debriefed(record, card), card

    @property
    def session(self) -> Session:
        """Return the session; the run must have been fetched."""
        assert self._session is not None
        return self._session

    def step(self, dt_s: float) -> None:
        """Go on by a frame: dwell on an act, or let the sticks' time pass."""
        job = self.finished()
        if job is not None:
            said = self.outcome(job)
            if isinstance(said, Said):
                self._heard(said)
        if self.over and not self.busy and self.card is None:
            self.begin("The debrief is written", self._mark)
        if self.busy or self.paused or self.over or not self.ready:
            if self.paused or self.over:
                self.silence()
            return
        self._dwell_s -= dt_s * self.rate
        if self._dwell_s > 0.0:
            return
        self._flow(dt_s)

    def _flow(self, dt_s: float) -> None:
        moved_s = 0.0
        while self.at < len(self.steps) and moved_s < dt_s * self.rate:
            step = self.steps[self.at]
            if step.action is not None:
                action = step.action
                self.silence()
                self.begin(logged(action), partial(self._do, action))
                return
            moved_s += self._let(step)
        self.seen = self.session.view()
        self._dwell_s += moved_s

    def _let(self, step: Step) -> float:
        """Let the time of a step pass that is no act; return it, s."""
        self.at += 1
        if step.inputs is None:
            return 0.0
        s = step.inputs.sticks
        self.sticks = Positions(s.roll, s.pitch, s.throttle, s.yaw)
        self.hear(self.session.advance(step.inputs, step.seconds), step.seconds)
        return step.seconds

    def _do(self, action: act.Action) -> Said:
        said = said_of(self.session.do, action)
        self.seen = self.session.view()
        return said

    def _heard(self, said: Said) -> None:
        self.at += 1
        self.log.append((self.session.minutes, said))
        if said.reading is not None:
            self.reading = said.reading
        action = said.action
        if isinstance(action, act.Turn):
            angles = (action.roll_deg, action.pitch_deg, action.heading_deg)
            self.pose = from_angles(*(a * RAD_PER_DEG for a in angles))
        elif isinstance(action, act.Carry):
            self.pose = None
        self._dwell_s = DWELL_S.get(action.do, USUAL_DWELL_S)


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
