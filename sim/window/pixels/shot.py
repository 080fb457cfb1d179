"""The part of a scenery that is looked at."""

from dataclasses import dataclass

import pygame

from sim.window.pixels.backdrops import Scenery
from sim.window.pixels.sprites import Corner

FINE = 4  # own: the aircraft is drawn this many times larger, then smoothed
FINE_CLOSE = 2  # own: close to the eye it is large; less is enough


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
