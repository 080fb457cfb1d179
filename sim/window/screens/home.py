"""The first screen: who practises, which drill, with which seed; and the way to everything else."""

import random
from collections.abc import Callable, Mapping, Sequence
from datetime import datetime
from functools import cache
from pathlib import Path
from typing import NamedTuple

from sim.aircraft.fields import plain
from sim.logbook.ahead import shipped
from sim.logbook.book import now
from sim.logbook.way import Way, beginning, told
from sim.runs import Left
from sim.session import scenario
from sim.window import theme
from sim.window.app import App, Screen
from sim.window.canvas import Canvas, Rect
from sim.window.layout import Cut, centred
from sim.window.pictures import pencil
from sim.window.screens.keys import Keys
from sim.window.screens.paper import (
    EDGE_UNITS,
    GAP_UNITS,
    USUAL_HINTS,
    Column,
    Roll,
    act_width,
    board,
    flow_height,
    flowed,
    headed,
    labelled,
    lower,
    lower_height,
    taped,
    text_height,
    width_of,
    written,
)
from sim.window.screens.settings import SettingsSheet
from sim.window.screens.walk import Walk
from sim.window.theme import BODY, BODY_BOLD, NOTE, SMALL, Type
from sim.window.ui import Ui

WORDMARK = Type("bold", 36, theme.CHALK)
BEGIN_HERE = "first-evening"
SEEDS = 10_000  # own: seeds a person can still say aloud
MOST_LEFT = 3  # attempts; own: seen at once, so that the drills keep most of the sheet
MOST_SEED = 999_999_999  # own: nine digits fit the line
SKETCH_UNITS = 130.0  # units; own: less room holds no sketch
NAME_LENGTH = 60  # letters; as the settings keep it
SAFETY = (
    "A rehearsal does not replace your club's rules, local codes or licensed practice. "
    "Real propellers cut and real lithium packs burn."
)
TAGLINE = "Rehearse a first hop before there is one."
BY_CHANCE = "What is in it is drawn by chance; the seed decides."
HELP: dict[scenario.Help, str] = {
    "shown": "The helper tells what is hidden and points at it. A check done by hand may be had shown once.",
    "hints": "The helper gives hints if you ask; what is told can't be earned any more.",
    "none": "Nobody helps. Every check that hands can do is yours to do.",
}
WAY_SHARE = 0.3  # of the sheet; own: the drills keep most of it

WAYS = (
    ("own", "Your own aircraft"),
    ("reported", "What somebody reported"),
    ("made", "Drills of your own"),
    ("walk", "Walk round"),
    ("settings", "Settings"),
    ("keys", "Keys"),
    ("quit", "Quit"),
)

Begin = Callable[[str, int], None]  # (drill, seed)
GoOn = Callable[[Path], None]  # (folder of the attempt)
Leads = Callable[[Screen], None]  # (the screen to come back to)
WayOf = Callable[[str], Way]  # (who practises)


class Listed(NamedTuple):
    """What may be told of a drill before it is done."""

    name: str
    title: str
    story: str
    drawn: bool
    rung: int
    help: scenario.Help


@cache
def drills() -> tuple[Listed, ...]:
    """Return every shipped drill as it may be told, rung by rung, the one to begin with first."""
    found = []
    for name, drill in scenario.shipped().items():
        told = (name, drill.title, drill.story.strip(), drill.draw is not None, drill.rung)
        found.append(Listed(*told, drill.helping))
    order = lambda drill: (drill.rung, drill.name != BEGIN_HERE, drill.title)  # noqa: E731
    return tuple(sorted(found, key=order))


def ladder(done: Mapping[str, bool]) -> tuple[Listed, ...]:
    """Return the drills rung by rung; on each those not cleared yet come first."""
    return tuple(sorted(drills(), key=lambda drill: (drill.rung, done.get(drill.name, False))))


def standing(drill: Listed, way: Way) -> str:
    """Return a drill's rung, what came of it before, and whether it is next."""
    came = {True: "cleared, ", False: "done, "}
    so_far = came[way.done[drill.name]] if drill.name in way.done else ""
    is_next = "next, " if drill.name == way.next.drill.name else ""
    return f"{is_next}{so_far}{drill.rung} {scenario.RUNGS[drill.rung - 1]}"


def beginner(who: str) -> Way:
    """Return the way of somebody of whom nothing is known."""
    return beginning(shipped(), now())


def chance_seed() -> int:
    """Return a seed nobody chose."""
    return random.SystemRandom().randrange(SEEDS)


def way_widths(ui: Ui) -> list[float]:
    """Return the widths of the lowest buttons, px."""
    return [act_width(ui, name, words) for name, words in WAYS]


def seed_of(text: str) -> int | None:
    """Return a seed as it was written, or None if it is none."""
    plain = text.strip()
    if not (plain.isascii() and plain.isdigit()) or int(plain) > MOST_SEED:
        return None
    return int(plain)


def what_is_left(left: Left) -> str:
    """Return which attempt was left, in words."""
    titles = {drill.name: drill.title for drill in drills()}
    note = left.note
    return f"Go on: {titles.get(note.scenario, note.scenario)}, seed {note.seed}, {note.trainee}"


def when(last: datetime) -> str:
    """Return when something was done last: the time, of another day with its date."""
    today = last.date() == datetime.now(last.tzinfo).date()
    return f"{last:%H:%M}" if today else f"{last:%Y-%m-%d}"


class Home:
    """The list of drills. `practise` and `watch` begin one; `seed` is by chance if not given.

    `left`: attempts left in the middle, the last one first; `go_on` takes one up. `who`: practises;
    `way_of`: where they are on the ladder.
    `own`: leads to where an aircraft of one's own is described; `reported`: to where a failure is;
    `made`: to where drills of one's own are.
    """

    def __init__(
        self,
        practise: Begin,
        watch: Begin,
        seed: int | None = None,
        left: Sequence[Left] = (),
        go_on: GoOn = lambda folder: None,
        own: Leads = lambda back: None,
        reported: Leads = lambda back: None,
        made: Leads = lambda back: None,
        way_of: WayOf = beginner,
        who: str = "",
    ) -> None:
        self.way_of = way_of
        self.practise, self.watch = practise, watch
        self.own, self.reported, self.made = own, reported, made
        self.left, self.go_on = left, go_on
        self.seed = chance_seed() if seed is None else seed
        self._take(who)
        self.resumed: Left | None = None  # the attempt marked, if that is what is in hand
        self.said = ""
        self._story = Roll()
        self._fresh = True
        self._inside = False

    def _take(self, who: str) -> None:
        """Lay out the way of whoever practises, the drill that comes next in hand."""
        self.who, self.way = who, self.way_of(who)
        self.listed = ladder(self.way.done)
        names = [drill.name for drill in self.listed]
        self.picked = names.index(self.way.next.drill.name)

    def show(self, ui: Ui, app: App, area: Rect, dt_s: float) -> None:
        """Draw the sheets and do what was asked."""
        if app.settings.trainee != self.who:
            self._take(app.settings.trainee)
        canvas, u = ui.canvas, ui.unit
        if self._fresh:
            ui.focus, self._fresh = ui.focus or f"drill:{self.picked}", False
        board(canvas, area)
        gap = GAP_UNITS * u
        parts = Cut(area, u, EDGE_UNITS)
        self._top(ui, app, parts.top(canvas.measure("x", WORDMARK)[1], GAP_UNITS))
        notice = self.said or app.notice
        note_h = lower_height(ui, notice, area) - 10 * u
        low = parts.bottom(self._ways_height(ui, parts.rest) + note_h + 2 * u, GAP_UNITS)
        left, right = parts.rest.column(0, 2, gap), parts.rest.column(1, 2, gap)
        self._list(ui, left)
        self._ticket(ui, right)
        self._ways(ui, app, low)
        note = Cut(low, u).bottom(note_h)
        lower(ui, note._replace(h=note.h + 12 * u), notice, USUAL_HINTS)

    def _top(self, ui: Ui, app: App, rect: Rect) -> None:
        canvas, u = ui.canvas, ui.unit
        parts = Cut(rect, u)
        canvas.text((rect.x, rect.y), "dryhop", WORDMARK)
        parts.left(canvas.measure("dryhop", WORDMARK)[0], 18)
        strip = parts.right(rect.w * 0.36, 12)
        tall = text_height(canvas, TAGLINE, SMALL, parts.rest.w)
        tagline = parts.bottom(tall + 6 * u)
        Column(canvas, tagline).write(TAGLINE, SMALL.on(theme.CHALK_SOFT))
        strip = centred(strip, strip.w, ui.row_height + 8 * u)
        canvas.fill(strip, theme.PAPER, 2 * u)
        label = "Who practises"
        canvas.text((strip.x + 10 * u, strip.y + 7 * u), label, BODY)
        line = Cut(strip, u, 0, 4)
        line.left(canvas.measure(label, BODY)[0], 20)
        line.right(0, 8)
        box = line.rest
        name = written(ui, "trainee", box, app.settings.trainee, "your name", label)
        if name is not None and plain(name.strip(), NAME_LENGTH) != app.settings.trainee:
            app.change(trainee=plain(name.strip(), NAME_LENGTH))

    def _list(self, ui: Ui, rect: Rect) -> None:
        canvas = ui.canvas
        inner = self._left(ui, taped(canvas, rect))
        inner = self._way(canvas, headed(canvas, inner, "Drills"))
        listed = self.listed
        inside = (ui.focus or "").startswith("drill:")
        if inside and not self._inside:  # come back to the one picked, not to the topmost
            ui.focus = f"drill:{self.picked}"
        self._inside = inside
        scroll = ui.scroll("drill", inner, len(listed), names=[drill.title for drill in listed])
        for i, row in scroll:
            id_ = f"drill:{i}"
            right = standing(listed[i], self.way)
            pressed = ui.row(id_, row, listed[i].title, right, i == self.picked)
            if ui.focus == id_:
                self.picked, self.resumed = i, None
            if pressed and not ui.clicked:
                self._begin(self.practise)
        ui.scrollbar(scroll)

    def _way(self, canvas: Canvas, rect: Rect) -> Rect:
        """Write where one is on the ladder, as much as leaves room for the drills; return the rest."""
        lines = told(self.way)
        while sum(text_height(canvas, line, SMALL, rect.w) for line in lines) > WAY_SHARE * rect.h:
            lines.pop(0)  # what is due is said before what is done
        column = Column(canvas, rect)
        for line in lines:
            column.small(line)
        return rect.below(column.used + 4 * canvas.scale) if lines else rect

    def _left(self, ui: Ui, rect: Rect) -> Rect:
        """Draw the attempts left in the middle, if there are any; return what is left below."""
        if not self.left:
            return rect
        inner = headed(ui.canvas, rect, "Left in the middle")
        place = inner.top(min(len(self.left), MOST_LEFT) * ui.row_height)
        scroll = ui.scroll("left", place, len(self.left))
        for i, row in scroll:
            left = self.left[i]
            picked = left == self.resumed
            pressed = ui.row(f"left:{i}", row, what_is_left(left), when(left.last), picked)
            if ui.focus == f"left:{i}":
                self.resumed = left
            if pressed and not ui.clicked:
                self.go_on(left.folder)
        ui.scrollbar(scroll)
        return inner.below(place.h + GAP_UNITS * ui.unit)

    def _begin(self, begin: Begin) -> None:
        if self.resumed is not None and begin == self.practise:
            self.go_on(self.resumed.folder)
        else:
            begin(self._drill.name, self.seed)

    @property
    def _drill(self) -> Listed:
        """Return the drill in hand: that picked, or that of the attempt marked."""
        name = self.resumed.note.scenario if self.resumed is not None else ""
        return next((d for d in self.listed if d.name == name), self.listed[self.picked])

    def _ticket(self, ui: Ui, rect: Rect) -> None:
        canvas, u = ui.canvas, ui.unit
        drill = self._drill
        inner = headed(canvas, taped(canvas, rect, corners=False), drill.title)
        h, gap = ui.row_height, 8 * u
        words = ("Go on" if self.resumed else "Practise", "Watch the stand-in")
        ids = ("practise", "watch")
        widths = [
            width_of(ui, w, ui.keys.cap(id_), BODY_BOLD) for id_, w in zip(ids, words, strict=True)
        ]
        buttons_h = flow_height(inner, widths, h, gap)
        parts = Cut(inner, u)
        buttons = parts.bottom(buttons_h, 12)
        seed = parts.bottom(h, 8)

        def story(sheet: Rect) -> float:
            column = Column(canvas, sheet)
            if drill.name == self.way.next.drill.name:
                column.write(f"Next for you. {self.way.next.reason}", BODY_BOLD, 6)
            column.write(drill.story or "Nothing more is known.", BODY, 6)
            if drill.drawn:
                column.write(BY_CHANCE, SMALL.on(theme.INK), 6)
            column.write(HELP[drill.help], SMALL.on(theme.INK), 6)
            if missing := self.way.missing.get(drill.name):
                column.write(f"Better after: {', '.join(missing)}.", SMALL.on(theme.INK), 6)
            column.small(f"On the command line: {drill.name}")
            return column.used

        place = parts.rest
        self._story.show(ui, "story", place, "Story", story)
        sketch(canvas, place.below(self._story.length + gap))
        self._seed(ui, seed)
        places = flowed(buttons, widths, h, gap)
        for place, label, id_, begin in zip(
            places, words, ids, (self.practise, self.watch), strict=True
        ):
            if ui.act(id_, place, label, style=BODY_BOLD if id_ == "practise" else BODY):
                self._begin(begin)

    def _seed(self, ui: Ui, rect: Rect) -> None:
        canvas, u = ui.canvas, ui.unit
        label, other = "Seed", "Another"
        parts = Cut(labelled(canvas, rect, label), u)
        line = parts.left(max(90 * u, canvas.measure("0" * 10, NOTE)[0] + 16 * u), 10)
        text = written(ui, "seed", line, str(self.seed), "by chance", label)
        if text is not None:
            seed = chance_seed() if not text.strip() else seed_of(text)
            self.said = "" if seed is not None else "A seed is a whole number, at most nine digits."
            self.seed = self.seed if seed is None else seed
        if ui.act("another-seed", parts.left(act_width(ui, "another-seed", other)), other):
            self.seed, self.said = chance_seed(), ""

    def _ways_height(self, ui: Ui, rect: Rect) -> float:
        safety = text_height(ui.canvas, SAFETY, SMALL, rect.w)
        ways = flow_height(rect, way_widths(ui), ui.row_height, 8 * ui.unit)
        return ways + 8 * ui.unit + safety

    def _ways(self, ui: Ui, app: App, rect: Rect) -> None:
        places = flowed(rect, way_widths(ui), ui.row_height, 8 * ui.unit)
        for (name, words), place in zip(WAYS, places, strict=True):
            if ui.act(name, place, words):
                self._go(app, name)
        line = rect.below(places[-1].bottom - rect.y + 8 * ui.unit)
        Column(ui.canvas, line).write(SAFETY, SMALL.on(theme.CHALK))

    def _go(self, app: App, way: str) -> None:
        if way == "own":
            self.own(self)
        elif way == "reported":
            self.reported(self)
        elif way == "made":
            self.made(self)
        elif way == "walk":
            app.go(Walk(self))
        elif way == "settings":
            app.go(SettingsSheet(self))
        elif way == "keys":
            app.go(Keys(self))
        else:
            app.quits = True


def sketch(canvas: Canvas, rect: Rect) -> None:
    """Draw the aircraft from above and from behind in what is left of a sheet, if that is enough."""
    u = canvas.scale
    if rect.h < SKETCH_UNITS * u:
        return
    size = min(0.3 * rect.w, 0.56 * rect.h)
    left, right = rect.column(0, 2), rect.column(1, 2)
    hubs = pencil.plan(canvas, left.centre, size)
    pencil.discs(canvas, hubs, size)
    pencil.profile(canvas, right.centre, 1.15 * size, 0.0, False)
    y = right.centre[1] + 0.28 * size
    canvas.line(((right.x + 20 * u, y), (right.right - 20 * u, y)), theme.INK_SOFT, 1.5 * u)
