"""The debrief: verdict, points, what to practise next; the whole story and the evening beside them."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sim.scoring.scorecard import CLEARED
from sim.session.ownwords import OwnWords
from sim.window import theme
from sim.window.app import App, Screen
from sim.window.canvas import Rect, fitted
from sim.window.debriefing import Debriefed
from sim.window.debriefwords import SAYS
from sim.window.layout import Cut, line_in
from sim.window.lesson import Lesson
from sim.window.pictures import paper
from sim.window.practice import Practice
from sim.window.screens.evening import Evening
from sim.window.screens.keys import Keys
from sim.window.screens.paper import (
    GAP_UNITS,
    Column,
    Roll,
    act_width,
    foot,
    headed,
    labelled,
    leading_out,
    lower,
    stamped,
    taped,
    wood,
)
from sim.window.screens.saving import Saving
from sim.window.screens.signing import Signing
from sim.window.screens.story import Shown, Story
from sim.window.screens.work import minutes_told
from sim.window.theme import BODY, NUMBER, TITLE, Type
from sim.window.ui import Ui

SIDE_SHARE = 0.36  # of the width; own: verdict and points, beside the story
SIDE_MOST_UNITS = 520.0  # units; own
FIGURE = Type("bold", 40, theme.INK)
PARTS = {"ladder": "faults", "conduct": "conduct", "hop": "hop", "seen": "seen"}
SEEN = "Points count as far as you saw what was to be seen."
OF_POINTS = "of 100 points"


NOTHING_TOLD = Debriefed((), (), (), (), (), (), None, None, (), 0, (), Lesson("", "", ""))
SHEETS = ("The whole story", "The evening, line by line")


def nowhere(*_: object) -> None:
    """Lead nowhere, where there is nothing to lead to."""


@dataclass(frozen=True)
class Leads:
    """Where a debrief leads to.

    home, again : the drills, and the same drill again; practise : begins a drill by name; watch : shows
    the run from an act on, with the screen to come back to; page : opens its page; classroom : shows the run to a class.
    """

    home: Callable[[], None]
    again: Callable[[], None]
    practise: Callable[[str], None] = nowhere
    watch: Callable[[Screen, Path, int], None] = nowhere
    page: Callable[[Path], None] = nowhere
    classroom: Callable[[Screen, Path], None] = nowhere


class Debrief:
    """What a drill came to. `card`: its scorecard; `run`: where it lies, or the drill just done.

    `told`: what there is to tell beside the scorecard; `words`: the trainee's own.
    """

    def __init__(
        self,
        card: dict[str, Any],
        run: Path | Practice,
        leads: Leads,
        told: Debriefed = NOTHING_TOLD,
        words: OwnWords | None = None,
    ) -> None:
        self.card, self.run, self.leads = card, run, leads
        self.told, self.words = told, words
        self._saving = None if isinstance(run, Path) else Saving(run)
        self._signing = Signing(self.folder)
        self.sheet = 0
        self._rolls, self._side = [Roll() for _ in SHEETS], Roll()
        self._story, self._evening = Story(), Evening()
        self._fresh = True
        self._left_at: str | None = None  # where the focus was when the run was opened

    @property
    def folder(self) -> Path | None:
        """Return where the run lies; None if it is not saved."""
        if isinstance(self.run, Path):
            return self.run
        return None if self.run.unsaved else self.run.folder

    def show(self, ui: Ui, app: App, area: Rect, dt_s: float) -> None:
        """Draw both sheets and do what was asked."""
        if isinstance(self.run, Practice):
            self.run.poll()
        if self._left_at is not None:
            ui.focus, self._left_at = self._left_at, None
        canvas, u = ui.canvas, ui.unit
        place, low = wood(ui, area, app.notice)
        wide = min(
            SIDE_SHARE * place.w * (0.7 + 0.3 * canvas.text_scale),
            SIDE_MOST_UNITS * u * canvas.text_scale,
        )
        sheets = Cut(place, u)
        side = sheets.left(wide, GAP_UNITS)
        self._right(ui, app, taped(canvas, sheets.rest))
        self._verdict(ui, app, taped(canvas, side, corners=False))
        if self._fresh:
            ui.focus, self._fresh = "pause", False
        lower(ui, low, app.notice, leading_out(ui, "to the drills"))

    def _right(self, ui: Ui, app: App, rect: Rect) -> None:
        """Draw the sheet in front, and do what was asked on it."""
        rest = headed(ui.canvas, self._sheet_ways(ui, app, rect), SHEETS[self.sheet])
        shown = Shown(self.card, self.told, self.words, self.folder, app.settings.units)
        may = self.folder is not None
        draw = (
            lambda r: self._story.draw(ui, r, shown),
            lambda r: self._evening.draw(ui, r, self.told.timeline, may),
        )[self.sheet]
        name = ("story", "evening")[self.sheet]
        read = self.sheet == 0 and not any(one.act is not None for one in self.told.faults)
        self._rolls[self.sheet].show(ui, name, rest, "Debrief", draw, read)
        asked = (self._story.asked, self._evening.asked)[self.sheet]
        if asked is not None and self.folder is not None:
            self._left_at = ui.focus
            self.leads.watch(self, self.folder, asked)

    def _sheet_ways(self, ui: Ui, app: App, rect: Rect) -> Rect:
        """Draw what turns the sheet and leads on; return what is left above."""
        kept = self.folder is not None
        turn = (("page-after", SHEETS[1], True), ("page-before", SHEETS[0], True))[self.sheet]
        ways = (turn, ("classroom", "For a class", kept), ("open-page", "As a page", kept))
        above, pressed = foot(ui, rect, ways)
        if pressed == turn[0]:
            self.sheet = 1 - self.sheet
            ui.focus = ("page-after", "page-before")[self.sheet]
        elif pressed == "classroom" and self.folder is not None:
            self.leads.classroom(self, self.folder)
        elif pressed == "open-page" and self.folder is not None:
            self.leads.page(self.folder)
        return above

    def _verdict(self, ui: Ui, app: App, rect: Rect) -> None:
        above = self._ways(ui, app, rect)
        self._side.show(
            ui,
            "verdict",
            above,
            "Verdict",
            lambda r: self._sheet(ui, app, r),
            self.folder is not None and not (self.told.practise.drill or self._signing.wanted),
        )

    def _sheet(self, ui: Ui, app: App, sheet: Rect) -> float:
        canvas = ui.canvas
        card = self.card
        column = Column(canvas, sheet)
        column.write(card["title"], TITLE, 2)
        column.small(f"seed {card['seed']}, {card['trainee']}", 2)
        column.small(minutes_told(card), 6)
        if self._saving is not None:
            self._saving.show(ui, app, column)
        self._stamp(ui, column)
        self._signing.show(ui, app, column)
        figure = f"{card['points']:.1f}"
        column.write(figure, FIGURE)
        column.small(OF_POINTS, 6)
        for part, words in PARTS.items():
            row = column.top(ui.row_height)
            self._part(ui, row, words, card["parts"][part])
        if card["parts"]["seen"] < 1.0:
            column.small(SEEN)
        column.gap(8)
        if card.get("wise_refusal"):
            column.strong(SAYS.wise, 2)
            told = card["wise_refusal"]
            words = told if isinstance(told, str) else SAYS.why_wise
            column.write(words, BODY, 6)
        if card["sound_decision"]:
            column.strong(SAYS.sound, 2)
            column.write(SAYS.why_sound, BODY, 6)
        if card["locked_up"]:
            column.strong(SAYS.late, 2)
            column.write(SAYS.why_late, BODY, 6)
        self._practise(ui, column)
        column.small("No points buy the verdict: a grave act or a dangerous fault left settles it.")
        return column.used

    def _practise(self, ui: Ui, column: Column) -> None:
        """Write the one thing to practise next, with what begins the drill for it."""
        lesson = self.told.practise
        if not lesson.words:
            return
        column.strong("To practise next", 2)
        column.write(lesson.words, BODY, 4)
        if lesson.drill:
            words = fitted(ui.canvas, lesson.title, BODY, column.rest.w * 0.7)
            strip = column.top(ui.row_height, 8)
            strip = strip._replace(w=min(strip.w, act_width(ui, "practise", words)))
            if ui.act("practise", strip, words):
                self.leads.practise(lesson.drill)

    def _stamp(self, ui: Ui, column: Column) -> None:
        good = self.card["verdict"] == CLEARED
        colour = theme.STAMP_GOOD if good else theme.WARNING
        words = self.card["verdict"]
        place = column.top(1.7 * paper.stamp_size(ui.canvas, words)[1], 4)
        stamped(ui.canvas, place, words, colour, -3.0)

    def _part(self, ui: Ui, row: Rect, words: str, share: float) -> None:
        canvas, u = ui.canvas, ui.unit
        line_in(canvas, row, f"{100.0 * share:.0f} %", NUMBER, "right")
        parts = Cut(labelled(canvas, row, words, "conduct ", 0.0), u)
        parts.right(canvas.measure("100 %", NUMBER)[0], 8)
        bar = parts.rest._replace(y=row.centre[1] - 6 * u, h=12 * u)
        canvas.frame(bar, theme.INK_SOFT, 1.5 * u)
        canvas.fill(bar.inset(2.5 * u)._replace(w=(bar.w - 5 * u) * share), theme.PENCIL)

    def _ways(self, ui: Ui, app: App, rect: Rect) -> Rect:
        """Draw the ways on; return what is left above them."""
        ways = (("pause", "To the drills"), ("again", "The same again"), ("keys", "Keys"))
        above, pressed = foot(ui, rect, [(name, words, True) for name, words in ways])
        if pressed == "pause":
            self.leads.home()
        elif pressed == "again":
            self.leads.again()
        elif pressed == "keys":
            app.go(Keys(self))
        return above
