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
from sim.window.scene.camera import Array, Lens
from sim.window.scene.closeups import closeup_of
from sim.window.scene.model import RoomPicture
from sim.window.scene.people import Thing, things
from sim.window.scene.scale import scale_things
from sim.window.scene.view import Outlook, extents, factor, outlook, stage

SHIPPED_SITE = "lockup-garage"  # the site whose pictures are shipped
GROUND_SHARE = 0.02  # own: as near to the ground's depth is ground
FOOT_ALPHA = 9  # of 255; own: fifteen rings of it make a soft shadow
KEPT = 5  # own: rooms and views kept ready, some 10 MB each
SMALL = 4  # own: shadows are worked out on a grid this much coarser

Key = tuple[object, ...]
Kept = TypeVar("Kept")


@dataclass(frozen=True)
class Scenery:
    """A backdrop drawn `factor` times as large as baked, whole: a part of it is looked at."""

    look: Outlook
    factor: float
    lens: Lens
    surface: pygame.Surface
    inverse_depth: NDArray[np.float16]  # as baked, on a grid of its own
    depth_px: float  # of the surface, for one of that grid
    ground: pygame.Surface  # one pixel for SMALL x SMALL; opaque where shadows fall

    def depth_in(self, area: pygame.Rect) -> NDArray[np.float16]:
        """Return inverse depths of an area, row by row, one for each pixel."""
        h, w = self.inverse_depth.shape
        rows = ((np.arange(area.top, area.bottom) + 0.5) / self.depth_px).astype(int)
        columns = ((np.arange(area.left, area.right) + 0.5) / self.depth_px).astype(int)
        return self.inverse_depth[np.ix_(np.minimum(rows, h - 1), np.minimum(columns, w - 1))]


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


def _ground(
    look: Outlook, lens: Lens, size: tuple[int, int], depth: NDArray[np.float16]
) -> pygame.Surface:
    """Return where the ground is to be seen in a picture of that size, on the coarse grid."""
    w, h = size[0] // SMALL, size[1] // SMALL
    rows = (np.arange(h) * depth.shape[0]) // h
    part = depth[rows[:, None], (np.arange(w) * depth.shape[1]) // w].astype(np.float32)
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

    def ready(self, size: tuple[int, int], room: RoomPicture, reach_m: float) -> bool:
        """Return whether a view is ready to be painted."""
        return _key(size, room, reach_m) in self._peopled

    def scenery(self, size: tuple[int, int], room: RoomPicture, reach_m: float) -> Scenery:
        """Return a view with its people and things, made on first demand.

        reach_m : of the aircraft; how closely one looks at it, and where things lie beside it.
        """
        key = _key(size, room, reach_m)
        found = self._peopled.get(key)
        if found is None:
            with self._lock:
                found = self._peopled.get(key) or self._with_people(size, room, reach_m)
                _keep(self._peopled, key, found)
        return found

    def _with_people(self, size: tuple[int, int], room: RoomPicture, reach_m: float) -> Scenery:
        key = (size, reach_m, *room_key(room))
        empty = self._empty.get(key) or self._without(size, room, reach_m)
        _keep(self._empty, key, empty)
        made = replace(
            empty, surface=empty.surface.copy(), inverse_depth=empty.inverse_depth.copy()
        )
        for thing in (*things(room), *scale_things(room, made.look.ground_m, reach_m)):
            _foot(made.surface, made.lens, thing)
            standing(
                made.surface,
                made.inverse_depth,
                made.depth_px,
                thing.mesh,
                made.lens,
                made.look.light,
            )
        ground = _ground(made.look, made.lens, made.surface.get_size(), made.inverse_depth)
        return replace(made, ground=ground)

    def _without(self, size: tuple[int, int], room: RoomPicture, reach_m: float) -> Scenery:
        look = outlook(room)
        raw = self._raw.get(room_key(room)) or _read(room, look)
        _keep(self._raw, room_key(room), raw)
        picture, depth = raw
        times = factor(look, size, reach_m)
        lens, whole = look.camera.lens(times), look.camera.whole_px(times)
        surface = pygame.Surface(whole, depth=32)
        pygame.transform.smoothscale(picture.convert(surface), whole, surface)
        ground = _ground(look, lens, whole, depth)
        return Scenery(look, times, lens, surface, depth, whole[0] / depth.shape[1], ground)


def _key(size: tuple[int, int], room: RoomPicture, reach_m: float) -> Key:
    return (size, reach_m, *room_key(room), *people_key(room))


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
    return (
        room.spotter,
        room.spotter and room.goggles,
        room.person_in_ring,
        room.barrier,
        room.mark_m,
    )


def _foot(surface: pygame.Surface, lens: Lens, thing: Thing) -> None:
    """Paint the soft shadow a thing throws on what it stands on."""
    if thing.foot_m <= 0.0:
        return
    t = np.linspace(0, 2 * np.pi, 24, endpoint=False)
    for grown in np.linspace(1.9, 0.5, 15):
        ring = np.column_stack([np.cos(t), np.sin(t), np.zeros(24)]) * thing.foot_m * grown
        flat, _ = lens.project(ring + np.array([thing.north_m, thing.east_m, thing.up_m]))
        area = area_of(flat, surface.get_rect(), 3)
        if area.w > 1 and area.h > 1:
            sprite = Sprite(area, 2)
            sprite.shape(flat, (0, 0, 0, FOOT_ALPHA))
            sprite.laid(surface)
