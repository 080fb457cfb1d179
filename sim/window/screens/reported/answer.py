"""The answer: which faults explain it, what can't be told apart, what decided, and the check to do next."""

from collections.abc import Callable
from pathlib import Path

from sim.diagnosis.reported import Answer
from sim.errors import DryhopError, line_of, sentence
from sim.reproduce.answer.compared import rival_told
from sim.reproduce.answer.curves import NOTHING_DECIDED, moments
from sim.reproduce.answer.ranking import (
    CAUTION,
    Ranked,
    alike_told,
    name,
    ranked,
    severity_told,
    verdict,
)
from sim.window.app import App, Screen
from sim.window.canvas import Canvas, Rect
from sim.window.layout import Cut
from sim.window.nextcheck import BIT, MOST_CHECKS, NO_CHECK, first, meaning, told
from sim.window.pictures import overlay
from sim.window.screens.own.notes import flagged
from sim.window.screens.paper import Column, Roll, foot, leading_out, lower, two_sheets
from sim.window.theme import BODY, HEAD, NUMBER
from sim.window.ui import Ui

LEFT_SHARE = 0.5  # of the window; own: words, beside the curves
TITLE, BESIDE = "What explains it", "What decided"
CAUSES = "Causes: probability, severity from 0 to 1"
CAUSES_SHORT = "Causes: probability"
NEXT = "The next check on the bench"
MARKED = "Marked"
ROWS = 5  # own: causes seen at once, so that the words keep room
LARGE_TEXT = 1.5  # 1; own: from here on two
MOST_OUTCOMES = 4  # own: more is not read
NO_CURVES = "A report has no curves. Bring the recording of the flight, if there is one."

Practise = Callable[[Ranked], None]
Keep = Callable[[Ranked, Path], None]


class AnswerSheet:
    """An answer. `back` is shown when it is left; `practise` makes a drill of a cause and begins it."""

    def __init__(self, back: Screen, answer: Answer, practise: Practise) -> None:
        self.back, self.answer, self.practise = back, answer, practise
        self.ranking = ranked(answer.causes)
        self.picked = 0
        self.said = ""
        self._left, self._right = Roll(), Roll()
        self._short = False  # the list has no room for severities

    def show(self, ui: Ui, app: App, area: Rect, dt_s: float) -> None:
        """Draw the words and the curves; do what was asked."""
        if ui.focus is None:
            ui.focus = f"cause:{self.picked}"
        notice = self.said or app.notice
        left, right, low = two_sheets(ui, area, notice, TITLE, BESIDE, LEFT_SHARE)
        rest = self._causes(ui, self._ways(ui, app, left))
        self._left.show(ui, "answer-roll", rest, TITLE, lambda r: self._words(ui.canvas, r))
        self._right.show(ui, "curves-roll", right, BESIDE, lambda r: self._curves(ui.canvas, r))
        lower(ui, low, notice, leading_out(ui))

    @property
    def cause(self) -> Ranked:
        """The cause that is marked."""
        return self.ranking[self.picked]

    @property
    def _can(self) -> bool:
        """Whether the cause that is marked can be practised."""
        return self.cause.cause is not None and bool(self.cause.cause.faults)

    def _ways(self, ui: Ui, app: App, rect: Rect) -> Rect:
        above, pressed = foot(
            ui, rect, (("pause", "Back", True), ("practise", "Practise this", self._can))
        )
        if pressed == "pause":
            app.go(self.back)
        elif pressed == "practise":
            self._begin()
        return above

    def _begin(self) -> None:
        self.said = ""
        try:
            self.practise(self.cause)
        except (DryhopError, OSError) as error:
            self.said = line_of(error)

    def _causes(self, ui: Ui, rect: Rect) -> Rect:
        """Let one of the causes be marked; return what is left above."""
        rows = min(len(self.ranking), ROWS if ui.canvas.text_scale < LARGE_TEXT else 2)
        parts = Cut(rect, ui.unit)
        head = ui.canvas.measure("x", HEAD)[1]
        place = Column(ui.canvas, parts.bottom(head + rows * ui.row_height + 4 * ui.unit, 8))
        told = self._told_in(ui.canvas, place.rest.w - 40 * ui.unit)
        self._short = told is percent
        place.head(CAUSES_SHORT if self._short else CAUSES)
        scroll = ui.scroll("cause", place.rest, len(self.ranking))
        for i, row in scroll:
            one = self.ranking[i]
            if ui.row(f"cause:{i}", row, name(one.faults), told(one), i == self.picked):
                self.picked = i
                ui.focus = "practise" if self._can else ui.focus
            if ui.focus == f"cause:{i}":
                self.picked = i
        ui.scrollbar(scroll)
        return parts.rest

    def _told_in(self, canvas: Canvas, room: float) -> Callable[[Ranked], str]:
        """Return what stands beside the causes: all of it, or what leaves their names room, px."""

        def wide(one: Ranked) -> float:
            return canvas.measure(name(one.faults), BODY)[0] + canvas.measure(share(one), NUMBER)[0]

        return share if all(wide(one) <= room for one in self.ranking) else percent

    # --- what is written -------------------------------------------------------------------------

    def _words(self, canvas: Canvas, rect: Rect) -> float:
        column = Column(canvas, rect)
        column.write(verdict(self.answer.causes), gap=6)
        if self.picked or self._short:
            column.small(f"{MARKED}: {name(self.cause.faults)}, {share(self.cause)}.", 4)
        for line in alike_told(self.cause):
            column.write(line, gap=4)
        column.thin_rule()
        column.head(NEXT)
        self._checks(column)
        column.thin_rule()
        for line in self.answer.blind:
            column.small(line, 3)
        column.small(CAUTION)
        return column.used

    def _checks(self, column: Column) -> None:
        checks = self.answer.checks[:MOST_CHECKS]
        if not checks:
            column.write(NO_CHECK, gap=4)
        for n, one in enumerate(checks):
            column.strong(told(one)) if n == 0 else column.write(told(one))
            if n == 0:
                flagged(column, " ".join(first(one)))
                for outcome in one.outcomes[:MOST_OUTCOMES]:
                    column.small(f"{meaning(one.check, outcome, self.answer.airframe)}.", 2)
            column.gap(4)
        if checks:
            column.small(sentence(BIT))

    def _curves(self, canvas: Canvas, rect: Rect) -> float:
        column, curves = Column(canvas, rect), self.answer.deciding
        if not self.answer.curves:
            column.write(NO_CURVES)
            return column.used
        if not curves:
            column.write(NOTHING_DECIDED, gap=6)
        marks = moments(curves)
        overlay.key(canvas, column, rival_told(self.answer.causes))
        for curve in curves or self.answer.curves:
            place = column.top(
                overlay.TALL_UNITS * column.unit * max(1.0, canvas.text_scale * 0.8), 6
            )
            overlay.draw(canvas, place, curve, marks)
        for moment in marks:
            column.small(sentence(moment.told))
        return column.used


def percent(one: Ranked) -> str:
    """Return a cause's probability."""
    return f"{100.0 * one.chance:.0f} in 100"


def share(one: Ranked) -> str:
    """Return a cause's probability and severity on one line."""
    severity = "" if one.cause is None else severity_told(one.cause)
    return f"{percent(one)}, {severity}" if severity else percent(one)
