"""The part of a scenery that is looked at."""

from dataclasses import dataclass

import pygame

from sim.window.pixels.backdrops import Scenery
from sim.window.pixels.sprites import Corner

FINE = 3  # own: the aircraft is drawn this many times larger, then smoothed
FINE_CLOSE = 2.0  # own: close to the eye it is large; less is enough
FINE_LARGE = 1.5  # own: in a large picture still less
LARGE_PX = 640  # px; own: pictures higher than this are large


@dataclass(frozen=True)
class Shot:
    """The part of a scenery that is looked at: where it begins, and the surface it goes to."""

    target: pygame.Surface
    scene: Scenery
    corner: Corner

    @property
    def rect(self) -> pygame.Rect:
        """The part, in the whole picture."""
        return pygame.Rect(self.corner, self.target.get_size())

    @property
    def fine(self) -> float:
        """How much larger what is close to the eye is drawn, then smoothed."""
        return FINE_CLOSE if self.target.get_height() <= LARGE_PX else FINE_LARGE
