"""Recorded and simulated curves over each other, drawn in pencil and ink, decided moments shaded."""

from collections.abc import Sequence

import numpy as np

from sim.reproduce.answer.curves import Curve, Moment, Values, nearest_look
from sim.window import theme
from sim.window.canvas import Canvas, Rect, wrapped
from sim.window.layout import Cut
from sim.window.pictures.graphs import digits_of, ends, nice_step
from sim.window.values import number

TALL_UNITS = 140.0  # units; own: four to a sheet, with the seconds below each
SAMPLE_UNITS = 28.0  # units; own: of a line in the key
LINES = 3  # own: ruled lines across, so that two numbers are enough
NEAR_SHARE = 0.36  # of the breadth; own: the closer look, beside the whole
FAR = 0.25  # of the span; own: a line this far off the paper is told in a number, not drawn
AIR = 0.06  # of the span; own: curves don't touch the rules
RECORDED, LIKELIEST, AGAINST = "recorded", "the likeliest", "as"
BEYOND = "dotted: {} to {}"
Ink = tuple[theme.Colour, float, int]  # colour, width in units, which dash
INKS: dict[str, Ink] = {
    AGAINST: (theme.INK_SOFT, 1.0, 2),
    RECORDED: (theme.INK, 1.6, 0),
    LIKELIEST: (theme.STAMP_GOOD, 1.4, 1),
}  # own; told apart by dashes as well


def span_of(curve: Curve) -> tuple[float, float]:
    """Return the ends of the scale: round numbers about what was recorded and the likeliest."""
    reach = curve.reach
    if reach is None:
        return -1.0, 1.0
    low, high = reach
    air = AIR * (high - low) or 1.0
    step = nice_step(high - low + 2.0 * air, LINES)
    return ends(low - air, high + air, step)


def _points(
    paper: Rect, t: Values, y: Values, span: tuple[float, float]
) -> list[list[tuple[float, float]]]:
    """Return the stretches of a curve without gaps, px; what lies far off the paper is a gap too."""
    low, high = span
    first, last = float(t[0]), float(t[-1])
    x = paper.x + (t - first) / max(1e-9, last - first) * paper.w
    share = (y - low) / (high - low)
    at = paper.bottom - np.clip(share, 0.0, 1.0) * paper.h
    there = np.abs(share - 0.5) < 0.5 + FAR
    cuts = np.flatnonzero(np.diff(there.astype(int))) + 1
    parts = np.split(np.arange(len(t)), cuts)
    return [
        list(zip(x[part].tolist(), at[part].tolist(), strict=True))
        for part in parts
        if len(part) > 1 and there[part[0]]
    ]


def draw(canvas: Canvas, rect: Rect, curve: Curve, marks: Sequence[Moment]) -> None:
    """Draw one channel, and the stretch of it that decided from nearer; moments are shaded."""
    u, style = canvas.scale, theme.SMALL.on(theme.INK)
    parts = Cut(rect, u)
    words = "; ".join(filter(None, (f"{curve.words}, {curve.unit}", beyond(curve))))
    for line in wrapped(canvas, words, style, rect.w):
        row = parts.top(canvas.measure("x", style)[1])
        canvas.text((row.x, row.y), line, style)
    parts.top(0.0, 3)
    closer = curve.between(*nearest_look(curve))
    if len(closer.time_s) < len(curve.time_s):
        _paper(canvas, parts.right(NEAR_SHARE * rect.w, 10), closer.whole, marks)
    _paper(canvas, parts.rest, curve.whole, marks)


def _paper(canvas: Canvas, rect: Rect, curve: Curve, marks: Sequence[Moment]) -> None:
    """Draw one stretch of a channel on its own paper."""
    u = canvas.scale
    low, high = span_of(curve)
    digits = digits_of(nice_step(high - low, LINES))
    style = theme.NUMBER_SMALL.on(theme.INK_SOFT)
    top, foot = number(high, digits), number(low, digits)
    wide, tall = canvas.measure(max(top, foot, key=len), style)
    paper = Rect(rect.x + wide + 6 * u, rect.y, rect.w - wide - 6 * u, rect.h - tall - 6 * u)
    canvas.fill(paper, theme.PAPER_SHADE)
    if len(curve.time_s) < 2:
        return
    first, last = float(curve.time_s[0]), float(curve.time_s[-1])
    for moment in marks:
        start, end = max(first, moment.time_s), min(last, moment.end_s)
        if moment.words == curve.words and start < end:
            x, wide = ((t - first) / (last - first) * paper.w for t in (start, first + end - start))
            canvas.fill(Rect(paper.x + x, paper.y, wide, paper.h), theme.TAPE)
    canvas.text((paper.x - 4 * u, paper.y), top, style, "right")
    canvas.text((paper.x - 4 * u, paper.bottom - tall), foot, style, "right")
    for what, values in (
        (AGAINST, curve.against),
        (RECORDED, curve.recorded),
        (LIKELIEST, curve.likeliest),
    ):
        colour, width, dash = INKS[what]
        for line in _points(paper, curve.time_s, values, (low, high)):
            canvas.line(line, colour, width * u, theme.DASHES[dash])
    canvas.text((paper.x, paper.bottom + u), f"{first:.1f} s", style)
    if canvas.measure(f"{first:.1f} s {last:.1f} s", style)[0] < paper.w:
        canvas.text((paper.right, paper.bottom + u), f"{last:.1f} s", style, "right")


def beyond(curve: Curve) -> str:
    """Return how far the dotted line goes where it leaves the paper; nothing where it does not."""
    low, high = span_of(curve)
    seen = curve.against[np.isfinite(curve.against)]
    if not seen.size or np.abs((seen - low) / (high - low) - 0.5).max() < 0.5 + FAR:
        return ""
    digits = digits_of(nice_step(high - low, LINES))
    return BEYOND.format(*(number(float(end), digits) for end in (seen.min(), seen.max())))


def key(canvas: Canvas, place: Cut, rival: str) -> None:
    """Draw which line is which, side by side as far as there is room."""
    u, tall = canvas.scale, canvas.measure("x", theme.SMALL)[1]
    row, x = place.top(tall, 6), 0.0
    told = ((RECORDED, RECORDED), (LIKELIEST, LIKELIEST), (AGAINST, f"{AGAINST} {rival}"))
    for what, words in told:
        colour, width, dash = INKS[what]
        wide = SAMPLE_UNITS * u + 6 * u + canvas.measure(words, theme.SMALL)[0]
        if x > 0.0 and x + wide > row.w:
            row, x = place.top(tall, 6), 0.0
        at, y = row.x + x, row.centre[1]
        canvas.line(((at, y), (at + SAMPLE_UNITS * u, y)), colour, width * u, theme.DASHES[dash])
        canvas.text((at + SAMPLE_UNITS * u + 6 * u, row.y), words, theme.SMALL.on(theme.INK))
        x += wide + 16 * u
