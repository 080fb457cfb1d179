"""A run for a class at a projector: what would you do next, hands counted, then what was done and told."""

from collections.abc import Callable, Sequence

from sim.bench.reading import Reading
from sim.window import theme
from sim.window.action_words import logged
from sim.window.app import App
from sim.window.canvas import Rect
from sim.window.classrun import ClassRun, Phase
from sim.window.debriefwords import FIRST
from sim.window.layout import Cut, line_in
from sim.window.pictures.reading import draw_reading
from sim.window.screens.panels import (
    Recordings,
    draw_state,
    instruments,
    picture_of,
    sheet_title,
)
from sim.window.screens.paper import (
    GAP_UNITS,
    Column,
    Roll,
    foot,
    headed,
    leading_out,
    lower,
    taped,
    text_height,
    wood,
)
from sim.window.screens.watch import fetching
from sim.window.theme import BODY, BODY_BOLD, NOTE, NUMBER, SMALL
from sim.window.ui import Ui
from sim.window.values import Units
from sim.window.votes import MOST_HANDS, Decision, outside, tally

LEAST_TEXT = 1.5  # 1; own: of a projector's text, which is read from the last row
PICTURE_SHARE = 0.40  # of the window; own: the picture and the last reading, beside the question
READING_SHARE = 0.5  # of that; own: the reading, under the picture
BAR_UNITS = 5.0  # units; own: height of the bar of hands
MEANWHILE = 3  # lines; own: of what was done since the last vote
MOST_OUTSIDE = 4  # lines; own: of a reading
ABOUT = "A digit writes how many hands a choice has; Enter or a click adds one."
NEXT, SHOW, ON = "Minute {:.0f}: what next?", "Show what was done", "Go on"
TURN = "Turn the reading over"
SUMMARY, SEE = "What the class decided", "The debrief"
NO_DECISION = "Nothing was decided in this run."
UNREAD = "Nothing has been read yet."
WITHIN = "Every line lies within what sound aircraft show."

Done = Callable[[App, ClassRun], None]


class Classroom:
    """The screen. `leave` goes back; `came_to` shows the debrief at the end."""

    def __init__(self, run: ClassRun, leave: Callable[[App], None], came_to: Done) -> None:
        self.run, self.leave, self.came_to = run, leave, came_to
        self.strips = Recordings()
        self._roll = Roll()
        self._at = (-1, "")  # decision and phase last drawn
        self._units: Units = "metric"
        self._read: Reading | None = None
        self._page, self._pages = 0, 1  # of the last reading
        self._usual = 1.0  # text scale of the window

    def show(self, ui: Ui, app: App, area: Rect, dt_s: float) -> None:
        """Draw the run and the question, in letters for a projector; take the votes."""
        run, canvas = self.run, ui.canvas
        run.step(dt_s)
        if run.failed:
            self.leave(app)
            app.notice = run.failed
            return
        if not run.ready:
            canvas.fill(area, theme.BENCH)
            fetching(ui, area, run)
            if ui.struck("pause"):
                self.leave(app)
            return
        self._usual, canvas.text_scale = canvas.text_scale, max(LEAST_TEXT, canvas.text_scale)
        self._draw(ui, app, area)
        canvas.text_scale = self._usual

    def _draw(self, ui: Ui, app: App, area: Rect) -> None:
        run = self.run
        place, low = wood(ui, area, app.notice)
        parts = Cut(place, ui.unit)
        self._pictures(ui, app, parts.left(PICTURE_SHARE * place.w, GAP_UNITS))
        sheet = taped(ui.canvas, parts.rest)
        if (run.n, run.phase) != self._at:
            self._at, self._roll = (run.n, run.phase), Roll()
            ui.focus = "vote:0" if run.phase == "vote" else "work-out"
        sheet = self._ways(ui, app, sheet)
        title = SUMMARY if run.phase == "over" else NEXT.format(run.decision.minutes)
        rest = headed(ui.canvas, sheet, title)
        draws: dict[Phase, Callable[[Ui, Column], float]] = {
            "vote": self._vote,
            "told": self._told,
            "over": self._summary,
        }
        draw, read = draws[run.phase], run.phase == "over"
        self._units = app.settings.units
        show = lambda r: draw(ui, Column(ui.canvas, r))  # noqa: E731
        self._roll.show(ui, "question", rest, title, show, read)
        lower(ui, low, app.notice, leading_out(ui, "leave"))

    def _ways(self, ui: Ui, app: App, sheet: Rect) -> Rect:
        """Draw the ways on; return what is left above."""
        run = self.run
        words = {"vote": SHOW, "told": ON, "over": SEE}[run.phase]
        turn = (("page-after", TURN, True),) if self._pages > 1 else ()
        ways = (("work-out", words, not run.busy), *turn, ("pause", "Leave", True))
        above, pressed = foot(ui, sheet, ways)
        if pressed == "pause":
            self.leave(app)
        elif pressed == "page-after":
            self._page = (self._page + 1) % self._pages
        elif pressed == "work-out":
            if run.phase == "vote":
                run.show_done()
            elif run.phase == "told":
                run.go_on()
            else:
                self.came_to(app, run)
        return above

    def _pictures(self, ui: Ui, app: App, rect: Rect) -> None:
        """Draw the aircraft as it stood, and the last reading or the recordings of the hop."""
        run = self.run
        canvas, parts = ui.canvas, Cut(rect, ui.unit)
        below = parts.bottom(READING_SHARE * rect.h, GAP_UNITS)
        large, canvas.text_scale = canvas.text_scale, self._usual  # so that the picture is seen
        picture_of(canvas, app, run, parts.rest, run.pose)
        draw_state(canvas, parts.rest, run)
        canvas.text_scale = large
        reading = run.reading
        self._pages = 1
        if run.view.armed:
            instruments(canvas, app, run, self.strips, below)
        elif reading is None:
            canvas.fill(below, theme.PAPER)
            Column(canvas, below, 12).write(UNREAD)
        else:
            if reading is not self._read:
                self._read, self._page = reading, 0
            title, units = sheet_title(reading), app.settings.units
            drawn = draw_reading(canvas, below, title, reading, units, None, self._page)
            self._pages = drawn.pages

    # --- the question --------------------------------------------------------------------------

    def _vote(self, ui: Ui, column: Column) -> float:
        run = self.run
        column.small(f"Decision {run.n + 1} of {len(run.decisions)}. {ABOUT}", 4)
        for said in run.stand.said[-MEANWHILE:]:
            column.write(logged(said.action), NOTE)
        column.gap(6)
        places = self._places(column)
        choices = run.decision.choices
        hands = run.decision.hands
        spots = [(c.words, str(n), p) for c, n, p in zip(choices, hands, places, strict=True)]
        at = ui.spots("vote", spots)
        if at is not None:
            run.decision.count(at, hands[at] + 1)
        _typed(ui, run.decision)
        for i, place in enumerate(places):
            _choice(ui, place, run.decision, i, "")
        return column.used

    def _places(self, column: Column, noted: Sequence[str] = ()) -> list[Rect]:
        """Return where the choices stand. noted : what is said of each below its words."""
        room = _room(column)
        found = []
        for i, choice in enumerate(self.run.decision.choices):
            tall = text_height(column.canvas, choice.words, BODY, column.rest.w - room)
            if noted and noted[i]:
                tall += text_height(column.canvas, noted[i], SMALL, column.rest.w - room)
            found.append(column.top(tall + (BAR_UNITS + 6) * column.unit, 3))
        return found

    def _told(self, ui: Ui, column: Column) -> float:
        """Tell what was done and what it told, and how the hands fell."""
        run = self.run
        decision = run.decision
        first, last = run.stand.said[0], run.stand.said[-1]
        column.strong(logged(first.action), 3)
        column.write(last.told, BODY, 3)
        if last.reading is not None:
            self._outside(column, last.reading, decision)
        column.gap(4)
        noted = [_noted(decision, i) for i in range(len(decision.choices))]
        for i, place in enumerate(self._places(column, noted)):
            _choice(ui, place, decision, i, noted[i])
        if decision.best is not None:
            column.small(FIRST)
        return column.used

    def _outside(self, column: Column, reading: Reading, decision: Decision) -> None:
        check = decision.choices[decision.made].check
        if check is None:
            return
        lines = outside(reading, check, self.run.known, self._units)
        if not lines:
            column.small(WITHIN)
            return
        column.small("Outside what sound aircraft show:", 0)
        for line in lines[:MOST_OUTSIDE]:
            column.strong(line)
        if len(lines) > MOST_OUTSIDE:
            column.small(f"and {len(lines) - MOST_OUTSIDE} more")

    def _summary(self, ui: Ui, column: Column) -> float:
        """Tell how the votes fell, and where the class would have done something else."""
        asked = self.run.decisions
        came = tally(asked)
        if not asked:
            column.write(NO_DECISION)
            return column.used
        column.write(
            f"{came.asked} decisions, {came.voted} of them voted on, {came.hands} hands.", BODY, 4
        )
        if not came.voted:
            return column.used
        column.write(f"As the trainee did: {came.trainee} of {came.voted}.", BODY_BOLD, 2)
        column.write(
            f"For the check that told most a minute: {came.best} of {came.voted}.", BODY_BOLD, 8
        )
        other = [one for one in asked if one.favourite not in (None, one.made)]
        if other:
            column.head("Where the class would have done something else")
        for one in other:
            assert one.favourite is not None
            column.small(f"minute {one.minutes:.0f}", 0)
            column.write(f"the class: {one.choices[one.favourite].words}", BODY)
            column.write(f"the trainee: {one.choices[one.made].words}", BODY, 5)
        return column.used


def _noted(decision: Decision, at: int) -> str:
    """Return what is said of a choice once it is told."""
    said = ["this was done"] if at == decision.made else []
    if at == decision.best:
        said.append("expected to tell most a minute")
    return ", ".join(said)


def _typed(ui: Ui, decision: Decision) -> None:
    """Take digits, and what rubs one out, as the hands of the choice in focus."""
    name, _, at = (ui.focus or "").rpartition(":")
    if name != "vote" or int(at) >= len(decision.choices):
        return
    i = int(at)
    for digit in range(10):
        if ui.inputs.take(str(digit)):
            decision.count(i, decision.hands[i] * 10 + digit)
    if ui.inputs.take("backspace"):
        decision.count(i, decision.hands[i] // 10)


def _room(column: Column) -> float:
    """Return the width that the hands of a choice need, px."""
    return column.canvas.measure(str(MOST_HANDS), NUMBER)[0] + 16 * column.unit


def _choice(ui: Ui, place: Rect, decision: Decision, at: int, noted: str) -> None:
    """Write a choice with its hands, and a bar as long as its share of them."""
    u, canvas = ui.unit, ui.canvas
    hands, total = decision.hands[at], sum(decision.hands)
    room = _room(Column(canvas, place))
    words = Column(canvas, Rect(place.x, place.y + 2 * u, place.w - room, place.h))
    words.write(decision.choices[at].words, BODY_BOLD if noted else BODY)
    if noted:
        words.small(noted, 0)
    count = Rect(place.right - room, place.y, room, canvas.measure("0", NUMBER)[1] + 4 * u)
    line_in(canvas, count, str(hands), NUMBER, "right", 6)
    bar = Rect(place.x, place.bottom - BAR_UNITS * u - 1, place.w, BAR_UNITS * u)
    canvas.fill(bar, theme.PAPER_SHADE)
    if total:
        canvas.fill(bar._replace(w=bar.w * hands / total), theme.PENCIL)
