"""The small interface through which everything is drawn, and its text back end.

Screens know nothing else of how a picture gets on to the glass; the text back end keeps what was
written and where, so that screens are tested, and their labels listed, without a pixel.
"""

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any, NamedTuple, Protocol

from sim.window.theme import Colour, Type

Point = tuple[float, float]


class Rect(NamedTuple):
    """A rectangle, px: left, top, width, height."""

    x: float
    y: float
    w: float
    h: float

    @property
    def right(self) -> float:
        """Return the right edge."""
        return self.x + self.w

    @property
    def bottom(self) -> float:
        """Return the lower edge."""
        return self.y + self.h

    @property
    def centre(self) -> Point:
        """Return the middle."""
        return self.x + self.w / 2.0, self.y + self.h / 2.0

    def inset(self, by: float, by_y: float | None = None) -> "Rect":
        """Return the rectangle made smaller on every side."""
        dy = by if by_y is None else by_y
        return Rect(self.x + by, self.y + dy, max(0.0, self.w - 2 * by), max(0.0, self.h - 2 * dy))

    def holds(self, point: Point) -> bool:
        """Tell whether a point lies inside."""
        return self.x <= point[0] < self.right and self.y <= point[1] < self.bottom

    def meets(self, other: "Rect") -> bool:
        """Tell whether two rectangles have a part in common."""
        across = self.x < other.right and other.x < self.right
        return across and self.y < other.bottom and other.y < self.bottom

    def top(self, height: float) -> "Rect":
        """Return the strip of this height at the top."""
        return Rect(self.x, self.y, self.w, min(height, self.h))

    def below(self, height: float) -> "Rect":
        """Return what is left below a strip of this height."""
        return Rect(self.x, self.y + height, self.w, max(0.0, self.h - height))

    def column(self, i: int, n: int, gap: float = 0.0) -> "Rect":
        """Return the i-th of n equal columns with a gap between them."""
        w = (self.w - gap * (n - 1)) / n
        return Rect(self.x + i * (w + gap), self.y, w, self.h)

    def row(self, i: int, n: int, gap: float = 0.0) -> "Rect":
        """Return the i-th of n equal rows with a gap between them."""
        h = (self.h - gap * (n - 1)) / n
        return Rect(self.x, self.y + i * (h + gap), self.w, h)


class Canvas(Protocol):
    """Somewhere to draw. Lengths are pixels; `scale` says how many make one unit at 720 lines."""

    width: int
    height: int
    scale: float
    text_scale: float

    def fill(self, rect: Rect, colour: Colour, radius: float = 0.0) -> None:
        """Fill a rectangle."""

    def frame(self, rect: Rect, colour: Colour, width: float = 1.0, radius: float = 0.0) -> None:
        """Draw a rectangle's outline."""

    def line(
        self,
        points: Sequence[Point],
        colour: Colour,
        width: float = 1.0,
        dash: tuple[int, ...] = (),
    ) -> None:
        """Draw straight pieces from point to point."""

    def shape(self, points: Sequence[Point], colour: Colour) -> None:
        """Fill a polygon."""

    def disc(self, centre: Point, radius: float, colour: Colour, width: float = 0.0) -> None:
        """Fill a circle, or draw its outline if a width is given."""

    def text(self, at: Point, words: str, style: Type, align: str = "left") -> None:
        """Write one line; `at` is its upper left, upper middle or upper right."""

    def measure(self, words: str, style: Type) -> tuple[float, float]:
        """Return width and height of one line."""

    def picture(self, rect: Rect, name: str, paint: Callable[[Any], None]) -> None:
        """Let `paint` fill a rectangle with pixels of its own; the text back end keeps the name."""

    def clip(self, rect: Rect) -> Any:
        """Return a context in which nothing is drawn outside a rectangle."""


@dataclass(frozen=True)
class Written:
    """One line of text on the text back end."""

    at: Point
    words: str
    style: Type
    width: float


WIDTH_SHARE = {"plain": 0.5, "bold": 0.54, "mono": 0.6, "mono-bold": 0.6, "pencil": 0.48}
# 1; own: mean width of a letter as a share of the size, near the fonts'
LINE_SHARE = 1.3  # 1; own: height of a line as a share of the size


@dataclass
class TextCanvas:
    """Back end that keeps what was written instead of drawing it."""

    width: int = 1280
    height: int = 720
    scale: float = 1.0
    text_scale: float = 1.0
    written: list[Written] = field(default_factory=list)
    pictures: list[str] = field(default_factory=list)
    clips: list[Rect] = field(default_factory=list)

    def fill(self, rect: Rect, colour: Colour, radius: float = 0.0) -> None:
        """Draw nothing."""

    def frame(self, rect: Rect, colour: Colour, width: float = 1.0, radius: float = 0.0) -> None:
        """Draw nothing."""

    def line(
        self,
        points: Sequence[Point],
        colour: Colour,
        width: float = 1.0,
        dash: tuple[int, ...] = (),
    ) -> None:
        """Draw nothing."""

    def shape(self, points: Sequence[Point], colour: Colour) -> None:
        """Draw nothing."""

    def disc(self, centre: Point, radius: float, colour: Colour, width: float = 0.0) -> None:
        """Draw nothing."""

    def text(self, at: Point, words: str, style: Type, align: str = "left") -> None:
        """Keep a line, unless a clip hides all of it; `at` of what is kept is its upper left."""
        w, h = self.measure(words, style)
        line = Rect(at[0] - {"left": 0.0, "middle": 0.5, "right": 1.0}[align] * w, at[1], w, h)
        if words and all(line.meets(clip) for clip in self.clips):
            self.written.append(Written((line.x, line.y), words, style, w))

    def measure(self, words: str, style: Type) -> tuple[float, float]:
        """Return a fair guess of width and height."""
        px = style.size * self.scale * self.text_scale
        return len(words) * px * WIDTH_SHARE[style.face], px * LINE_SHARE

    def picture(self, rect: Rect, name: str, paint: Callable[[Any], None]) -> None:
        """Keep the picture's name."""
        self.pictures.append(name)

    @contextmanager
    def clip(self, rect: Rect) -> Iterator[None]:
        """Keep nothing that lies wholly outside."""
        self.clips.append(rect)
        try:
            yield
        finally:
            self.clips.pop()

    def lines(self) -> list[str]:
        """Return everything written, in order."""
        return [w.words for w in self.written]


def wrapped(canvas: Canvas, words: str, style: Type, width: float) -> list[str]:
    """Return words broken into lines no wider than `width`, px."""
    lines: list[str] = []
    for paragraph in words.split("\n"):
        line = ""
        for word in paragraph.split():
            longer = f"{line} {word}" if line else word
            if line and canvas.measure(longer, style)[0] > width:
                lines.append(line)
                line = word
            else:
                line = longer
        lines.append(line)
    return lines


def paragraph(canvas: Canvas, rect: Rect, words: str, style: Type, most: int = 99) -> float:
    """Write words broken to a rectangle's width; return the height used, px."""
    lines = wrapped(canvas, words, style, rect.w)
    step = canvas.measure("x", style)[1]
    cut = lines[:most]
    if len(lines) > most:
        cut[-1] = cut[-1] + " …"
    for i, line in enumerate(cut):
        canvas.text((rect.x, rect.y + i * step), line, style)
    return step * len(cut)


def tail(canvas: Canvas, words: str, style: Type, width: float) -> str:
    """Return the end of what is written, as much as fits a width, px: what one sees while writing."""
    start = 0
    while start < len(words) and canvas.measure(words[start:], style)[0] > width:
        start += 1
    return words[start:]


def fitted(canvas: Canvas, words: str, style: Type, width: float) -> str:
    """Return words cut with an ellipsis so that they fit a width, px."""
    if canvas.measure(words, style)[0] <= width:
        return words
    low, high = 0, len(words)
    while low < high:
        middle = (low + high + 1) // 2
        if canvas.measure(words[:middle].rstrip() + "…", style)[0] <= width:
            low = middle
        else:
            high = middle - 1
    return words[:low].rstrip() + "…"
