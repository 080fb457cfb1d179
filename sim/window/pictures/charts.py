"""Strips: pencil-line recordings on ruled paper, the live number in a header of its own."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from sim.window import theme
from sim.window.canvas import Canvas, Rect, fitted
from sim.window.pictures.graphs import digits_of, nice_step
from sim.window.values import number

LINES = 3  # own: most lines ruled across a strip
SHRINK = 0.45  # 1; own: a strip goes back to a smaller range only if the trace leaves it room
UPRIGHT = 5  # own: most upright lines of a strip
LEAST_PX = 4.0  # px; own: less paper than this stays blank
GRAIN_PX = 2.0  # px; own: of points closer than this the least and the most are drawn

Reals = NDArray[np.float64]


Anchor = Literal["zero", "foot", "floating"]


@dataclass
class Strip:
    """One recording on paper with fixed ranges, which it changes in steps and never breathes.

    ranges : widths of paper to choose from, rising; anchor : where the paper lies: about zero, up
    from zero, or anywhere by half its width.
    """

    name: str
    unit: str
    ranges: tuple[float, ...]
    anchor: Anchor = "zero"
    digits: int = 1
    low: float = 0.0
    high: float = 0.0

    def fit(self, least: float, most: float) -> None:
        """Take the next larger range as soon as the trace leaves the paper, a smaller one late."""
        held = self.high - self.low
        if held > 0.0 and self.low <= least and most <= self.high:
            if held <= self.ranges[0]:
                return
            smaller = [r for r in self.ranges if r < held and self._needs(least, most) < SHRINK * r]
            if not smaller:
                return
        for width in self.ranges:
            self.low, self.high = self._paper(width, (least + most) / 2.0)
            if self.low <= least and most <= self.high:
                return

    def _needs(self, least: float, most: float) -> float:
        """Return how wide a paper has to be for a trace."""
        if self.anchor == "floating":
            return most - least
        return max(abs(least), abs(most)) * (2.0 if self.anchor == "zero" else 1.0)

    def _paper(self, width: float, middle: float) -> tuple[float, float]:
        if self.anchor == "zero":
            return -width / 2.0, width / 2.0
        if self.anchor == "foot":
            return 0.0, width
        centre = round(middle / (width / 2.0)) * width / 2.0
        return centre - width / 2.0, centre + width / 2.0

    def draw(
        self,
        canvas: Canvas,
        rect: Rect,
        times: NDArray[np.floating[Any]] | Sequence[float],
        values: NDArray[np.floating[Any]] | Sequence[float],
        span_s: float,
        dash_index: int = 0,
    ) -> None:
        """Draw the last seconds; the newest is at the right edge. times : s, rising."""
        u = canvas.scale
        t, v = np.asarray(times, dtype=float), np.asarray(values, dtype=float)
        if t.size:
            first = int(np.searchsorted(t, t[-1] - span_s))
            t, v = t[first:], v[first:]
            self.fit(float(v.min()), float(v.max()))
        live = number(float(v[-1]), self.digits) if v.size else ""
        head = canvas.measure("0", theme.NUMBER)[1] + 2 * u
        self._head(canvas, rect, head, live)
        whole = Rect(rect.x + 1, rect.y + head, rect.w - 2, rect.h - head - 1)
        if self.high <= self.low or whole.h < LEAST_PX:
            return
        paper = self._rules(canvas, whole, span_s)
        if t.size > 1:
            line = self._line(paper, t, v, span_s)
            canvas.line(line, theme.PENCIL, 1.2 * u, theme.DASHES[dash_index % len(theme.DASHES)])

    def _head(self, canvas: Canvas, rect: Rect, head: float, live: str) -> None:
        u = canvas.scale
        canvas.fill(rect, theme.PAPER)
        canvas.fill(Rect(rect.x, rect.y + head - 1, rect.w, 1), theme.PAPER_LINE)
        w, h = canvas.measure(live, theme.NUMBER)
        words = f"{self.name}, {self.unit}" if self.unit else self.name
        room = rect.w - w - 16 * u
        if canvas.measure(words, theme.SMALL)[0] > room:
            words = self.name  # what it is matters more than its unit
        shown = fitted(canvas, words, theme.SMALL, room)
        y = rect.y + (head - canvas.measure(shown, theme.SMALL)[1]) / 2
        canvas.text((rect.x + 5 * u, y), shown, theme.SMALL)
        canvas.text((rect.right - 5 * u, rect.y + (head - h) / 2), live, theme.NUMBER, "right")

    def _rules(self, canvas: Canvas, whole: Rect, span_s: float) -> Rect:
        """Rule the paper, its ends numbered in a gutter at the left; return where the trace goes."""
        step = nice_step(self.high - self.low, LINES)
        style, digits = theme.NUMBER_SMALL.on(theme.INK_SOFT), digits_of(step)
        top, foot = number(self.high, digits), number(self.low, digits)
        wide, tall = canvas.measure(max(top, foot, key=len), style)
        gutter = wide + 6 * canvas.scale
        paper = Rect(whole.x + gutter, whole.y, whole.w - gutter, whole.h)
        for k in range(round(self.low / step) + 1, round(self.high / step)):
            y = paper.bottom - paper.h * (k * step - self.low) / (self.high - self.low)
            canvas.fill(Rect(paper.x, y, paper.w, 1), theme.PAPER_LINE)
        each = nice_step(span_s, UPRIGHT)
        for i in range(1, int(span_s / each + 1e-9) + 1):
            x = paper.right - paper.w * i * each / span_s
            canvas.fill(Rect(x, paper.y, 1, paper.h), theme.PAPER_LINE)
        if paper.h > 2.0 * tall:
            x = paper.x - 3 * canvas.scale
            canvas.text((x, paper.y), top, style, "right")
            canvas.text((x, paper.bottom - tall), foot, style, "right")
        return paper

    def _line(self, paper: Rect, t: Reals, v: Reals, span_s: float) -> list[tuple[float, float]]:
        """Return the trace's points, px; where many fall on one pixel, its least and most."""
        x = paper.right + (t - t[-1]) * (paper.w / span_s)
        y = paper.bottom - (v - self.low) * (paper.h / (self.high - self.low))
        if t.size * GRAIN_PX > 2.0 * paper.w:
            x, y = _thinned(x, y, int(paper.w / GRAIN_PX))
        return list(zip(x.tolist(), y.tolist(), strict=True))


def _thinned(x: Reals, y: Reals, columns: int) -> tuple[Reals, Reals]:
    """Return least and most of each run of points, so that peaks stay."""
    each = -(-x.size // columns)
    start = x.size % each
    rows = y[start:].reshape(-1, each)
    ends_of = np.empty(2 * len(rows))
    rows.min(axis=1, out=ends_of[0::2])
    rows.max(axis=1, out=ends_of[1::2])
    return np.repeat(x[start + each - 1 :: each], 2), ends_of
