"""A canvas that remembers where each line stands."""

import pygame

from sim.window.canvas import Point, Rect
from sim.window.pixels.canvas import PixelCanvas
from sim.window.theme import Type


class Remembering(PixelCanvas):
    """Pixels, and where each line of text stands."""

    def __init__(self, text_scale: float) -> None:
        super().__init__(pygame.Surface((1280, 720)), text_scale)
        self.placed: list[tuple[str, Rect]] = []

    def text(self, at: Point, words: str, style: Type, align: str = "left") -> None:
        super().text(at, words, style, align)
        if words:
            w, h = self.measure(words, style)
            shift = {"left": 0.0, "middle": 0.5, "right": 1.0}[align] * w
            self.placed.append((words, Rect(at[0] - shift, at[1], w, h)))
