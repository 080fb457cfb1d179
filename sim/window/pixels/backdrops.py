"""Baked backdrops on their way to the surface: read or baked, scaled, cut to the picture."""

from dataclasses import dataclass, replace
from threading import Lock
from typing import TypeVar

import numpy as np
import pygame
from numpy.typing import NDArray

from sim.aircraft import library
from sim.paths import assets_dir
from sim.window.pixels.sprites import Sprite, area_of, standing
from sim.window.scene.bake import QUICK, bake
from sim.window.scene.camera import Array, Lens, covering
from sim.window.scene.closeups import closeup_of
from sim.window.scene.model import RoomPicture
from sim.window.scene.people import Thing, things
from sim.window.scene.view import Outlook, extents, outlook, stage

SHIPPED_SITE = "lockup-garage"  # the site whose pictures are shipped
GROUND_SHARE = 0.02  # own: as near to the ground's depth is ground
FOOT_ALPHA = 9  # of 255; own: fifteen rings of it make a soft shadow
KEPT = 8  # own: rooms and views kept ready, some 10 MB each
SMALL = 4  # own: shadows are worked out on a grid this much coarser

Key = tuple[object, ...]
Kept = TypeVar("Kept")


@dataclass(frozen=True)
class Scenery:
    """A backdrop fitted to one size of picture."""

    look: Outlook
    lens: Lens
    surface: pygame.Surface
    inverse_depth: NDArray[np.float32]
    ground: pygame.Surface  # one pixel for SMALL x SMALL; opaque where shadows fall


def _read(room: RoomPicture, look: Outlook) -> tuple[pygame.Surface, NDArray[np.float16]]:
    """Return colours and inverse depths as shipped, or baked quickly for another room."""
    shipped = extents(library.site(SHIPPED_SITE).room)
    if look.close or extents(room.room) == shipped:
        folder = assets_dir() / "pictures"
        picture = pygame.image.load(folder / f"{look.name}.webp")
        with np.load(folder / f"{look.name}.npz") as kept:
            return picture, kept["inverse_depth"]
    made = bake(stage(room), look.camera, QUICK)
    size = made.colours.shape[1], made.colours.shape[0]
    picture = pygame.image.frombytes(made.colours.tobytes(), size, "RGB")
    return picture, made.inverse_depth


def _fitted(
    picture: pygame.Surface, depth: NDArray[np.float16], size: tuple[int, int], middle: float
) -> tuple[pygame.Surface, NDArray[np.float32]]:
    """Scale a picture to cover a size and cut what sticks out."""
    cut = covering(size, middle)
    out = pygame.Surface(size, depth=32)
    whole = pygame.transform.smoothscale(picture.convert(out), cut.whole_px)
    out.blit(whole, (-cut.left_px, -cut.top_px))
    h, w = depth.shape
    rows = (np.arange(size[1]) + cut.top_px) * h // cut.whole_px[1]
    columns = (np.arange(size[0]) + cut.left_px) * w // cut.whole_px[0]
    return out, depth[rows[:, None], columns].astype(np.float32)


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


class Backdrops:
    """Makes sceneries; what was read, baked or fitted before is kept. Safe to share by threads."""

    def __init__(self) -> None:
        self._lock = Lock()
        self._raw: dict[Key, tuple[pygame.Surface, NDArray[np.float16]]] = {}
        self._empty: dict[Key, Scenery] = {}
        self._peopled: dict[Key, Scenery] = {}

    def ready(self, size: tuple[int, int], room: RoomPicture) -> bool:
        """Return whether a view is ready to be painted."""
        return (size, *room_key(room), *people_key(room)) in self._peopled

    def scenery(self, size: tuple[int, int], room: RoomPicture) -> Scenery:
        """Return a view with its people and things, made on first demand."""
        key = (size, *room_key(room), *people_key(room))
        found = self._peopled.get(key)
        if found is None:
            with self._lock:
                found = self._peopled.get(key) or self._with_people(size, room)
                _keep(self._peopled, key, found)
        return found

    def _with_people(self, size: tuple[int, int], room: RoomPicture) -> Scenery:
        key = (size, *room_key(room))
        empty = self._empty.get(key) or self._without(size, room)
        _keep(self._empty, key, empty)
        made = replace(
            empty, surface=empty.surface.copy(), inverse_depth=empty.inverse_depth.copy()
        )
        for thing in things(room):
            _foot(made.surface, made.lens, thing)
            standing(made.surface, made.inverse_depth, thing.mesh, made.lens, made.look.light)
        return made

    def _without(self, size: tuple[int, int], room: RoomPicture) -> Scenery:
        look = outlook(room)
        raw = self._raw.get(room_key(room)) or _read(room, look)
        _keep(self._raw, room_key(room), raw)
        surface, depth = _fitted(*raw, size, look.camera.middle)
        lens = look.camera.lens(size)
        return Scenery(look, lens, surface, depth, _ground(look, lens, depth))


def _keep(kept: dict[Key, Kept], key: Key, value: Kept) -> None:
    """Keep a thing, and the last few others."""
    kept[key] = value
    while len(kept) > KEPT:
        kept.pop(next(iter(kept)))


def room_key(room: RoomPicture) -> Key:
    """Return what of a picture changes the empty room."""
    if room.view == "bench":
        return ("bench", closeup_of(room.place))
    return ("pad", *extents(room.room))


def people_key(room: RoomPicture) -> Key:
    """Return what of a picture changes the people and things in it."""
    if room.view == "bench":
        return ()
    return (room.spotter, room.spotter and room.goggles, room.person_in_ring, room.barrier)


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
