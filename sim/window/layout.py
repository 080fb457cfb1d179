"""Rows and columns: a rectangle cut up from its edges, a grid of cells, a line within a row.

What is cut off is as many pixels wide or high as text and widgets measure; gaps and paddings are
units.
"""

from collections.abc import Iterator, Sequence

from sim.window.canvas import Canvas, Rect
from sim.window.theme import Type


class Cut:
    """A rectangle cut up from its edges. `rest`: what is left; unit : px; pad, pad_y : units."""

    def __init__(
        self, rect: Rect, unit: float, pad: float = 0.0, pad_y: float | None = None
    ) -> None:
        self.unit = unit
        self.rest = rect.inset(pad * unit, (pad if pad_y is None else pad_y) * unit)

    def top(self, height: float, gap: float = 0.0) -> Rect:
        """Cut off a strip of this height at the top, and a gap below it."""
        x, y, w, h = self.rest
        gone = height + gap * self.unit
        self.rest = Rect(x, y + gone, w, max(0.0, h - gone))
        return Rect(x, y, w, height)

    def bottom(self, height: float, gap: float = 0.0) -> Rect:
        """Cut off a strip of this height at the bottom, and a gap above it."""
        x, y, w, h = self.rest
        self.rest = Rect(x, y, w, max(0.0, h - height - gap * self.unit))
        return Rect(x, y + h - height, w, height)

    def left(self, width: float, gap: float = 0.0) -> Rect:
        """Cut off a strip of this width on the left, and a gap beside it."""
        x, y, w, h = self.rest
        gone = width + gap * self.unit
        self.rest = Rect(x + gone, y, max(0.0, w - gone), h)
        return Rect(x, y, width, h)

    def right(self, width: float, gap: float = 0.0) -> Rect:
        """Cut off a strip of this width on the right, and a gap beside it."""
        x, y, w, h = self.rest
        self.rest = Rect(x, y, max(0.0, w - width - gap * self.unit), h)
        return Rect(x + w - width, y, width, h)


def cells(rect: Rect, n: int, columns: int, gap: float, gap_y: float) -> Iterator[Rect]:
    """Yield n equal cells, row by row; gaps between columns and between rows, px."""
    rows = -(-n // columns)
    for i in range(n):
        yield rect.row(i // columns, rows, gap_y).column(i % columns, columns, gap)


WAYS = ("left", "right", "up", "down")


def beside(places: Sequence[Rect], at: int, way: str) -> int:
    """Return which of some places is next to one; itself if there is none that way.

    way : left and right are the place before and after; up and down the nearest above or below.
    """
    if way in ("left", "right"):
        return min(len(places) - 1, max(0, at + (1 if way == "right" else -1)))
    x, y = places[at].centre
    sign = 1.0 if way == "down" else -1.0
    half = places[at].h / 2.0  # nearer places stand in the same row
    far = [(sign * (r.centre[1] - y), abs(r.centre[0] - x), i) for i, r in enumerate(places)]
    that_way = [(down, aside, i) for down, aside, i in far if down > half]
    if not that_way:
        return at
    row = min(that_way)[0] + half
    return min((aside, i) for down, aside, i in that_way if down <= row)[1]


def centred(area: Rect, width: float, height: float) -> Rect:
    """Return a rectangle of this size, px, in the middle of another."""
    x, y = area.centre
    return Rect(x - width / 2, y - height / 2, width, height)


def line_in(
    canvas: Canvas, row: Rect, words: str, style: Type, align: str = "left", pad: float = 0.0
) -> None:
    """Write a line halfway up a row. align : left, middle or right; pad : units from that side."""
    y = row.centre[1] - canvas.measure("x", style)[1] / 2
    away = pad * canvas.scale
    x = {"left": row.x + away, "middle": row.centre[0], "right": row.right - away}[align]
    canvas.text((x, y), words, style, align)
