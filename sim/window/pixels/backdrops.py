"""Baked backdrops on their way to the surface: read or baked, scaled, cut to the picture."""

from dataclasses import dataclass

import numpy as np
import pygame
from numpy.typing import NDArray

from sim.aircraft import library
from sim.paths import assets_dir
from sim.window.pixels.sprites import Sprite, area_of, standing
from sim.window.scene.bake import QUICK, bake
from sim.window.scene.camera import Array, Lens
from sim.window.scene.model import RoomPicture
from sim.window.scene.people import Thing, things
from sim.window.scene.view import Outlook, extents, outlook, stage

SHIPPED_SITE = "lockup-garage"  # the site whose pictures are shipped
GROUND_SHARE = 0.02  # own: as near to the ground's depth is ground
FOOT_ALPHA = 9  # of 255; own: fifteen rings of it make a soft shadow
SMALL = 4  # own: shadows are worked out on a grid this much coarser


@dataclass
class Scenery:
    """A backdrop fitted to one size of picture."""

    look: Outlook
    lens: Lens
    surface: pygame.Surface
    inverse_depth: NDArray[np.float32]
    ground: pygame.Surface  # one pixel for SMALL x SMALL; opaque where shadows fall


def _read(room: RoomPicture, look: Outlook) -> tuple[pygame.Surface, NDArray[np.float32]]:
    """Return colours and inverse depths as shipped, or baked quickly for another room."""
    shipped = extents(library.site(SHIPPED_SITE).room)
    if look.close or extents(room.site.room) == shipped:
        folder = assets_dir() / "pictures"
        picture = pygame.image.load(folder / f"{look.name}.webp")
        with np.load(folder / f"{look.name}.npz") as kept:
            return picture, kept["inverse_depth"].astype(np.float32)
    made = bake(stage(room), look.camera, QUICK)
    size = made.colours.shape[1], made.colours.shape[0]
    picture = pygame.image.frombytes(made.colours.tobytes(), size, "RGB")
    return picture, made.inverse_depth.astype(np.float32)


def _fitted(
    picture: pygame.Surface, depth: NDArray[np.float32], size: tuple[int, int]
) -> tuple[pygame.Surface, NDArray[np.float32]]:
    """Scale a picture to cover a size and cut what sticks out, the middle kept."""
    w, h = picture.get_size()
    scale = max(size[0] / w, size[1] / h)
    whole = max(size[0], round(w * scale)), max(size[1], round(h * scale))
    left, top = (whole[0] - size[0]) // 2, (whole[1] - size[1]) // 2
    out = pygame.Surface(size, depth=32)
    out.blit(pygame.transform.smoothscale(picture.convert(out), whole), (-left, -top))
    rows = (np.arange(size[1]) + top) * h // whole[1]
    columns = (np.arange(size[0]) + left) * w // whole[0]
    return out, np.ascontiguousarray(depth[rows[:, None], columns])


def _ground(look: Outlook, lens: Lens, depth: NDArray[np.float32]) -> pygame.Surface:
    """Return where the ground is to be seen, on the coarse grid."""
    part = depth[SMALL // 2 :: SMALL, SMALL // 2 :: SMALL]
    h, w = part.shape
    y, x = np.mgrid[0:h, 0:w] * SMALL + SMALL // 2 + 0.5
    way: Array = lens.rays(x.ravel(), y.ravel()).astype(np.float64)
    with np.errstate(divide="ignore"):
        far = (look.ground_m - lens.eye_m[2]) / way[2]
    near = np.abs(part.ravel() * far - 1.0) < GROUND_SHARE
    alpha = (near & (far > 0.0)).reshape(h, w)
    # whatever lies on it (mats) is ground too; anything higher hides the shadow
    pixels = np.full((h, w, 4), 255, np.uint8)
    pixels[..., 3] = alpha * 255
    return pygame.image.frombytes(pixels.tobytes(), (w, h), "RGBA")


def scenery(size: tuple[int, int], room: RoomPicture) -> Scenery:
    """Return the empty room of a view, fitted."""
    look = outlook(room)
    surface, depth = _fitted(*_read(room, look), size)
    lens = look.camera.lens(size)
    ground = _ground(look, lens, depth)
    for thing in things(room):
        _foot(surface, lens, thing)
        standing(surface, depth, thing.mesh, lens, look.light)
    return Scenery(look, lens, surface, depth, ground)


def _foot(surface: pygame.Surface, lens: Lens, thing: Thing) -> None:
    """Paint the soft shadow a person throws on the floor."""
    if thing.foot_m <= 0.0:
        return
    t = np.linspace(0, 2 * np.pi, 24, endpoint=False)
    for grown in np.linspace(1.9, 0.5, 15):
        ring = np.column_stack([np.cos(t), np.sin(t), np.zeros(24)]) * thing.foot_m * grown
        flat, _ = lens.project(ring + np.array([thing.north_m, thing.east_m, 0.0]))
        area = area_of(flat, surface.get_rect(), 3)
        if area.w > 1 and area.h > 1:
            sprite = Sprite(area, 2)
            sprite.shape(flat, (0, 0, 0, FOOT_ALPHA))
            sprite.laid(surface)
