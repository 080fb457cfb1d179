"""The pixel back end of the drawing interface."""

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from itertools import pairwise
from typing import Any, Generic, TypeVar

import pygame

from sim.paths import assets_dir
from sim.window.canvas import Point, Rect
from sim.window.theme import Colour, Face, Type, scale_of

FILES: dict[Face, str] = {
    "plain": "AtkinsonHyperlegible-Regular.ttf",
    "bold": "AtkinsonHyperlegible-Bold.ttf",
    "mono": "IBMPlexMono-Regular.ttf",
    "mono-bold": "IBMPlexMono-SemiBold.ttf",
    "pencil": "Kalam-Regular.ttf",
}
KEPT = 2000  # own: written lines asked for of late that are kept, and as many from before
SHIFTS = {"left": 0.0, "middle": 0.5, "right": 1.0}  # 1; of a line's width, to the left
Key = tuple[str, Type, float]  # words, style, size in px
Value = TypeVar("Value")


class Recent(Generic[Value]):
    """Keeps what was asked for of late; what was not goes bit by bit, never all in one frame."""

    def __init__(self) -> None:
        self._new: dict[Key, Value] = {}
        self._old: dict[Key, Value] = {}

    def get(self, key: Key) -> Value | None:
        """Return what is kept, None if nothing is."""
        found = self._new.get(key)
        if found is None and key in self._old:
            found = self._old[key]
            self.put(key, found)
        return found

    def put(self, key: Key, value: Value) -> None:
        """Keep a thing."""
        if len(self._new) >= KEPT:
            self._new, self._old = {}, self._new
        self._new[key] = value


class PixelCanvas:
    """Draws on a surface. `text_scale` is the reader's own factor, 1 to 2."""

    def __init__(self, surface: pygame.Surface, text_scale: float = 1.0) -> None:
        pygame.font.init()
        self._fonts: dict[tuple[Face, int], pygame.font.Font] = {}
        self._lines: Recent[pygame.Surface] = Recent()
        self._sizes: Recent[tuple[float, float]] = Recent()
        self.text_scale = text_scale
        self.target(surface)

    def target(self, surface: pygame.Surface) -> None:
        """Draw on this surface from now on."""
        self.surface = surface
        self.width, self.height = surface.get_size()
        self.scale = scale_of(self.width, self.height)

    def _font(self, face: Face, size_px: float) -> pygame.font.Font:
        px = max(8, round(size_px))
        key = face, px
        if key not in self._fonts:
            self._fonts[key] = pygame.font.Font(assets_dir() / "fonts" / FILES[face], px)
        return self._fonts[key]

    def fill(self, rect: Rect, colour: Colour, radius: float = 0.0) -> None:
        """Fill a rectangle."""
        if radius:
            pygame.draw.rect(self.surface, colour, _whole(rect), border_radius=round(radius))
        else:
            self.surface.fill(colour, _whole(rect))

    def frame(self, rect: Rect, colour: Colour, width: float = 1.0, radius: float = 0.0) -> None:
        """Draw a rectangle's outline."""
        pygame.draw.rect(
            self.surface, colour, _whole(rect), max(1, round(width)), border_radius=round(radius)
        )

    def line(
        self,
        points: Sequence[Point],
        colour: Colour,
        width: float = 1.0,
        dash: tuple[int, ...] = (),
    ) -> None:
        """Draw straight pieces from point to point."""
        if len(points) < 2:
            return
        for piece in dashed(points, dash) if dash else (points,):
            if width <= 1.5:
                pygame.draw.aalines(self.surface, colour, False, piece)
            else:
                pygame.draw.lines(self.surface, colour, False, piece, round(width))

    def shape(self, points: Sequence[Point], colour: Colour) -> None:
        """Fill a polygon."""
        pygame.draw.polygon(self.surface, colour, points)
        pygame.draw.aalines(self.surface, colour, True, points)

    def disc(self, centre: Point, radius: float, colour: Colour, width: float = 0.0) -> None:
        """Fill a circle, or draw its outline if a width is given."""
        thick = 0 if width == 0.0 else max(1, round(width))
        middle = (round(centre[0]), round(centre[1]))
        pygame.draw.aacircle(self.surface, colour, middle, max(1, round(radius)), thick)

    def text(self, at: Point, words: str, style: Type, align: str = "left") -> None:
        """Write one line; `at` is its upper left, upper middle or upper right."""
        if not words:
            return
        key = words, style, style.size * self.scale * self.text_scale
        line = self._lines.get(key)
        if line is None:
            line = self._font(style.face, key[2]).render(words, True, style.colour)
            self._lines.put(key, line)
        shift = SHIFTS[align] * line.get_width()
        self.surface.blit(line, (round(at[0] - shift), round(at[1])))

    def measure(self, words: str, style: Type) -> tuple[float, float]:
        """Return width and height of one line."""
        key = words, style, style.size * self.scale * self.text_scale
        size = self._sizes.get(key)
        if size is None:
            w, h = self._font(style.face, key[2]).size(words)
            size = float(w), float(h)
            self._sizes.put(key, size)
        return size

    def picture(self, rect: Rect, name: str, paint: Callable[[Any], None]) -> None:
        """Let `paint` fill a rectangle of the surface."""
        area = pygame.Rect(_whole(rect)).clip(self.surface.get_rect())
        if area.w > 0 and area.h > 0:
            paint(self.surface.subsurface(area))

    @contextmanager
    def clip(self, rect: Rect) -> Iterator[None]:
        """Draw nothing outside a rectangle."""
        before = self.surface.get_clip()
        self.surface.set_clip(pygame.Rect(_whole(rect)).clip(before))
        try:
            yield
        finally:
            self.surface.set_clip(before)


def _whole(rect: Rect) -> tuple[int, int, int, int]:
    x, y, w, h = rect
    left, top = round(x), round(y)
    return left, top, round(x + w) - left, round(y + h) - top


def dashed(points: Sequence[Point], dash: tuple[int, ...]) -> Iterator[list[Point]]:
    """Yield the drawn pieces of a dashed line; `dash` alternates drawn and left out, px."""
    i, left, drawn = 0, float(dash[0]), [points[0]]
    for (x0, y0), (x1, y1) in pairwise(points):
        length, done = ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5, 0.0
        while length - done > left:
            done += left
            at = (x0 + (x1 - x0) * done / length, y0 + (y1 - y0) * done / length)
            if i % 2 == 0 and drawn:
                yield [*drawn, at]
            drawn = [at]
            i += 1
            left = float(dash[i % len(dash)])
        left -= length - done
        if i % 2 == 0:
            drawn.append((x1, y1))
        else:
            drawn = []
    if i % 2 == 0 and len(drawn) > 1:
        yield drawn
