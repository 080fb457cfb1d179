"""Meshes and flat shapes as smooth sprites: drawn large, shrunk, laid over the picture."""

from math import ceil, floor

import numpy as np
import pygame
from numpy.typing import NDArray

from sim.kernel.faces import fill, halve
from sim.window.scene.camera import Array, Lens
from sim.window.scene.drawing import Faces, Light, Pose, faces
from sim.window.scene.meshes import Mesh

UNMOVED = Pose(np.eye(3), np.zeros(3))
Corner = tuple[int, int]
WHOLE: Corner = (0, 0)  # the upper left of the part of a picture that is looked at
FINE_STANDING = 4  # own: what stands still is drawn once; the finer the better
LARGE_PX = 500_000  # px; own: large things are drawn half as fine


def area_of(points: Array, within: pygame.Rect, margin_px: int = 1) -> pygame.Rect:
    """Return the part of a surface that points (n, 2) cover."""
    (x0, y0), (x1, y1) = points.min(axis=0).tolist(), points.max(axis=0).tolist()
    left, top = floor(x0) - margin_px, floor(y0) - margin_px
    wide, high = ceil(x1) + margin_px - left, ceil(y1) + margin_px - top
    return pygame.Rect(left, top, wide, high).clip(within)


class Sprite:
    """A part of a target drawn `fine` times larger, a power of two; `laid` lays it over, smoothed."""

    def __init__(self, area: pygame.Rect, fine: int) -> None:
        self.area, self._fine = area, fine
        self._corner = np.array(area.topleft)
        self.surface = pygame.Surface((area.w * fine, area.h * fine), pygame.SRCALPHA)

    def on(self, points: Array) -> Array:
        """Return picture points in the sprite's own pixels."""
        return np.asarray((points - self._corner) * self._fine)

    def faces(self, drawn: Faces) -> None:
        """Paint faces in their order."""
        fill(_pixels(self.surface), drawn.corners, drawn.colours, *self.area.topleft, self._fine)

    def shape(self, points: Array, colour: tuple[int, ...]) -> None:
        """Paint one shape."""
        pygame.draw.polygon(self.surface, colour, self.on(points).tolist())

    def small(self) -> pygame.Surface:
        """Return the sprite at the size of the picture, alpha multiplied in."""
        large, fine = self.surface, self._fine
        while fine > 1:
            fine //= 2
            small = pygame.Surface((self.area.w * fine, self.area.h * fine), pygame.SRCALPHA)
            halve(_pixels(large), _pixels(small))
            large = small
        return large

    def laid(self, target: pygame.Surface, corner: Corner = WHOLE) -> None:
        """Lay the sprite over the part of the picture that begins at `corner`."""
        at = self.area.x - corner[0], self.area.y - corner[1]
        target.blit(self.small(), at, special_flags=pygame.BLEND_PREMULTIPLIED)


def _pixels(surface: pygame.Surface) -> NDArray[np.uint32]:
    """Return a surface's own pixels, row by row, as compiled code takes them."""
    return np.asarray(pygame.surfarray.pixels2d(surface).T, np.uint32)


def standing(
    target: pygame.Surface,
    depth: NDArray[np.float16],
    factor: float,
    mesh: Mesh,
    lens: Lens,
    light: Light,
) -> None:
    """Paint a mesh that stays where it is into a backdrop, and its depth too.

    factor : how many times as large as the depths' grid the backdrop is.
    """
    drawn = faces(mesh, [0], UNMOVED, lens, light)
    area = area_of(drawn.corners.reshape(-1, 2), target.get_rect())
    if area.w < 1 or area.h < 1:
        return
    sprite = Sprite(area, FINE_STANDING // 2 if area.w * area.h > LARGE_PX else FINE_STANDING)
    sprite.faces(drawn)
    sprite.laid(target)
    seen = pygame.surfarray.array_alpha(sprite.small()).T > 127
    rows = np.arange(int(area.top / factor), min(int(area.bottom / factor) + 1, depth.shape[0]))
    columns = np.arange(int(area.left / factor), min(int(area.right / factor) + 1, depth.shape[1]))
    y = np.clip(((rows + 0.5) * factor).astype(int) - area.top, 0, area.h - 1)
    x = np.clip(((columns + 0.5) * factor).astype(int) - area.left, 0, area.w - 1)
    _, far = lens.project(mesh.middles_m)
    here = np.ix_(rows, columns)
    depth[here] = np.where(seen[np.ix_(y, x)], 1.0 / float(np.median(far)), depth[here])
