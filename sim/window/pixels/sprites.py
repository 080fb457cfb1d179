"""Meshes and flat shapes as smooth sprites: drawn large, shrunk, laid over the picture."""

import numpy as np
import pygame
from numpy.typing import NDArray

from sim.window.scene.camera import Array, Lens
from sim.window.scene.drawing import Faces, Light, Pose, faces
from sim.window.scene.meshes import Mesh

UNMOVED = Pose(np.eye(3), np.zeros(3), 1.0)


def area_of(points: Array, within: pygame.Rect, margin_px: int = 1) -> pygame.Rect:
    """Return the part of a surface that points (n, 2) cover."""
    low = np.floor(points.min(axis=0)).astype(int) - margin_px
    high = np.ceil(points.max(axis=0)).astype(int) + margin_px
    return pygame.Rect(*low, *(high - low)).clip(within)


def edged(target: pygame.Surface, drawn: Faces) -> None:
    """Paint faces straight on the picture, the outline smoothed: for few and large ones."""
    outline: dict[tuple[int, ...], tuple[list[int], list[float], list[float]]] = {}
    colours = drawn.colours.tolist()
    for corner, colour in zip(drawn.corners.tolist(), colours, strict=True):
        pygame.draw.polygon(target, colour, corner)
        for a, b in zip(corner, corner[1:] + corner[:1], strict=True):
            ends = (round(4 * a[0]), round(4 * a[1])), (round(4 * b[0]), round(4 * b[1]))
            key = (*min(ends), *max(ends))
            if key in outline:
                del outline[key]  # shared by two faces: within
            else:
                outline[key] = (colour, a, b)
    for colour, a, b in outline.values():
        pygame.draw.aaline(target, colour, a, b)


class Sprite:
    """A part of a target drawn `fine` times larger; `laid` shrinks it and lays it over."""

    def __init__(self, area: pygame.Rect, fine: float) -> None:
        self.area = area
        size = int(area.w * fine + 0.5), int(area.h * fine + 0.5)
        self.surface = pygame.Surface(size, pygame.SRCALPHA)
        self._scale = np.divide(size, area.size)
        self._corner = np.array(area.topleft)

    def on(self, points: Array) -> Array:
        """Return picture points in the sprite's own pixels."""
        return np.asarray((points - self._corner) * self._scale)

    def faces(self, drawn: Faces) -> None:
        """Paint faces in their order."""
        polygon, surface = pygame.draw.polygon, self.surface
        corners, colours = self.on(drawn.corners).tolist(), drawn.colours.tolist()
        for corner, colour in zip(corners, colours, strict=True):
            polygon(surface, colour, corner)

    def shape(self, points: Array, colour: tuple[int, ...]) -> None:
        """Paint one shape."""
        pygame.draw.polygon(self.surface, colour, self.on(points).tolist())

    def small(self) -> pygame.Surface:
        """Return the sprite at the size of the picture, alpha multiplied in."""
        return pygame.transform.smoothscale(self.surface, self.area.size)

    def laid(self, target: pygame.Surface) -> None:
        """Lay the sprite over the picture."""
        target.blit(self.small(), self.area.topleft, special_flags=pygame.BLEND_PREMULTIPLIED)


def standing(
    target: pygame.Surface, depth: NDArray[np.float32], mesh: Mesh, lens: Lens, light: Light
) -> None:
    """Paint a mesh that stays where it is into a backdrop, and its depth too."""
    drawn = faces(mesh, [0], UNMOVED, lens, light)
    area = area_of(drawn.corners.reshape(-1, 2), target.get_rect())
    if area.w < 1 or area.h < 1:
        return
    sprite = Sprite(area, 4)
    sprite.faces(drawn)
    small = sprite.small()
    target.blit(small, area.topleft, special_flags=pygame.BLEND_PREMULTIPLIED)
    seen = pygame.surfarray.array_alpha(small).T > 127
    part = depth[area.top : area.bottom, area.left : area.right]
    _, far = lens.project(mesh.part_middles)
    part[seen] = 1.0 / float(np.median(far))
