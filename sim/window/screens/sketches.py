"""Sketches on squared paper for the walk round: the way of a drill, the ladder, the verdicts."""

from typing import Protocol

from sim.scoring.refusal import STAY
from sim.scoring.scorecard import CLEARED
from sim.window import theme
from sim.window.app import App
from sim.window.canvas import Canvas, Rect
from sim.window.pictures import paper, pencil
from sim.window.screens.paper import Column, stamped
from sim.window.theme import BODY_BOLD, HEAD, NOTE, SMALL
from sim.window.ui import Ui

STATIONS = ("bench", "pad", "hop", "debrief")
RUNGS = ("noticed", "named", "cleared", "proved")
PATH_UNITS, FINAL_UNITS = 430.0, 430.0  # units; own: most height of the sketches at 100 % text


class Try(Protocol):
    """Something to try. `first`: what the keys begin at."""

    first: str | None

    def show(self, ui: Ui, app: App, rect: Rect, dt_s: float) -> None:
        """Draw it and do what was asked."""


def ground(canvas: Canvas, rect: Rect) -> Rect:
    """Draw the squared paper things are tried on; return the part within its edge."""
    u = canvas.scale
    canvas.fill(rect, theme.PAPER, 2 * u)
    step = 20 * u
    for i in range(1, int(rect.w // step) + 1):
        canvas.fill(Rect(rect.x + i * step, rect.y, 1, rect.h), theme.PAPER_SHADE)
    for i in range(1, int(rect.h // step) + 1):
        canvas.fill(Rect(rect.x, rect.y + i * step, rect.w, 1), theme.PAPER_SHADE)
    canvas.frame(rect, theme.PAPER_LINE, 1.5 * u, 2 * u)
    return rect.inset(14 * u)


class PathTry:
    """The way of a drill, from the bench to the debrief, as a pencil sketch."""

    first: str | None = "page-after"

    def show(self, ui: Ui, app: App, rect: Rect, dt_s: float) -> None:
        """Draw the four stations."""
        canvas, u = ui.canvas, ui.unit
        inner = ground(canvas, rect.top(PATH_UNITS * u * canvas.text_scale))
        for i, words in enumerate(STATIONS):
            cell = inner.row(i // 2, 2, 12 * u).column(i % 2, 2, 34 * u)
            self._station(canvas, cell, i)
            h = canvas.measure("x", NOTE)[1]
            canvas.text((cell.centre[0], cell.bottom - h), f"{i + 1}  {words}", NOTE, "middle")
        y = inner.row(0, 2, 12 * u).centre[1]
        for row, way in ((0, 1), (1, 1)):
            mid = inner.centre[0]
            at = y + row * (inner.h + 12 * u) / 2
            ends = ((mid - 13 * u, at), (mid + 13 * u * way, at))
            canvas.line(ends, theme.PENCIL, 2.5 * u)
            pencil.arrow_head(canvas, (mid + 17 * u, at), 90.0, 11 * u, theme.PENCIL)

    def _station(self, canvas: Canvas, cell: Rect, i: int) -> None:
        u = canvas.scale
        size = min(cell.w * 0.5, cell.h * 0.5)
        x, y = cell.centre
        floor = y + 0.24 * size + 8 * u
        if i == 3:
            paper.box(canvas, Rect(x - 0.3 * size, y - 0.3 * size, 0.6 * size, 0.6 * size), True)
            return
        line = ((x - 0.9 * size, floor), (x + 0.9 * size, floor))
        canvas.line(line, theme.INK, 2 * u)
        if i == 0:
            for dx in (-0.7, 0.7):
                canvas.line(
                    ((x + dx * size, floor), (x + dx * size, floor + 14 * u)), theme.INK, 2 * u
                )
        if i > 0:
            pad = ((x - 0.5 * size, floor + 3 * u), (x + 0.5 * size, floor + 3 * u))
            canvas.line(pad, theme.PENCIL, 4 * u)
        lift = 0.42 * size if i == 2 else 0.0
        pencil.profile(canvas, (x, floor - 0.23 * size - lift), size, 0.0, False)
        if lift:
            canvas.line(
                ((x, floor - 4 * u), (x, floor - lift + 2 * u)), theme.PENCIL, 2 * u, (4, 4)
            )


class FinalTry:
    """The four rungs, the line of takeoff, and both verdicts as stamps."""

    first: str | None = "page-after"

    def show(self, ui: Ui, app: App, rect: Rect, dt_s: float) -> None:
        """Draw the ladder and the stamps."""
        canvas, u = ui.canvas, ui.unit
        inner = ground(canvas, rect.top(FINAL_UNITS * u * canvas.text_scale))
        _, stamp_h = paper.stamp_size(canvas, STAY)
        tall = max(60 * u, inner.h - 2 * stamp_h - 44 * u)
        ladder(canvas, inner.top(tall))
        for i, (words, colour) in enumerate(((CLEARED, theme.STAMP_GOOD), (STAY, theme.WARNING))):
            y = inner.y + tall + 22 * u + (i + 0.5) * (stamp_h + 12 * u)
            place = Rect(inner.x, y - 0.65 * stamp_h, inner.w, 1.3 * stamp_h)
            stamped(canvas, place, words, colour, -2.0 if i else 1.5)


def ladder(canvas: Canvas, rect: Rect) -> None:
    """Draw the four rungs, lowest first, and what comes after them."""
    u = canvas.scale
    h = canvas.measure("x", BODY_BOLD)[1]
    wide = max(canvas.measure(words, BODY_BOLD)[0] for words in RUNGS) + 28 * u
    left, right = rect.x + 8 * u, rect.x + 8 * u + wide
    for x in (left, right):
        canvas.line(((x, rect.y), (x, rect.bottom)), theme.PENCIL, 4 * u)
    for i, words in enumerate(RUNGS):
        cell = rect.row(len(RUNGS) - 1 - i, len(RUNGS))
        y = cell.bottom - 4 * u
        canvas.line(((left, y), (right, y)), theme.PENCIL, 3 * u)
        canvas.text(((left + right) / 2, y - h - 1 * u), words, BODY_BOLD, "middle")
    aside = Column(canvas, Rect(right + 18 * u, rect.y, rect.right - right - 18 * u, rect.h))
    aside.write("takeoff", HEAD, 0)
    y = aside.rest.y
    canvas.line(((right + 10 * u, y), (rect.right, y)), theme.INK, 2 * u, (7, 4))
    aside.gap(6)
    aside.write("What comes later does not count.", SMALL)
