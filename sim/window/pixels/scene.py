"""Paint the view: the baked room, and in it the aircraft with its shadow, people and things."""

import numpy as np
import pygame

from sim.aircraft.airframe import Airframe
from sim.window.pixels.backdrops import SMALL, Scenery, scenery
from sim.window.scene.camera import Array
from sim.window.scene.craft import Craft, Looks, craft
from sim.window.scene.drawing import Pose, faces, region_order
from sim.window.scene.model import CraftPicture, RoomPicture
from sim.window.scene.rotors import BLADE, STUBS, TIP, Veil, shards, veils
from sim.window.scene.shadow import shadow
from sim.window.scene.view import extents, pose

FINE = 3  # own: the aircraft is drawn this many times larger, then smoothed (render.md)
FINE_CLOSE = 2  # own: close to the eye it is large; less is enough
CLEAR_M = 0.15  # m; render.md: what is this much nearer than the aircraft hides it
KEPT = 8  # own: views kept ready
LYING_M = 0.25  # m; own: broken bits lie about only if the aircraft is down too
WHOLE = (1.0, 1.0)


class ScenePainter:
    """Paints the aircraft of one design in the rooms of a drill."""

    def __init__(self, airframe: Airframe) -> None:
        self._airframe = airframe
        self._sceneries: dict[tuple[object, ...], Scenery] = {}
        self._crafts: dict[Looks, Craft] = {}
        self._spins = tuple(
            1.0 if place in airframe.clockwise else -1.0
            for place in ("front_left", "front_right", "rear_right", "rear_left")
        )

    def ready(self, size: tuple[int, int], room: RoomPicture) -> bool:
        """Return whether `prepare` has nothing left to do."""
        return self._key(size, room) in self._sceneries

    def prepare(self, size: tuple[int, int], room: RoomPicture) -> None:
        """Make the backdrop of a view ready; may be called from another thread, and again."""
        key = self._key(size, room)
        if key in self._sceneries:
            return
        made = scenery(size, room)
        while len(self._sceneries) >= KEPT:
            self._sceneries.pop(next(iter(self._sceneries)), None)
        self._sceneries[key] = made

    def paint(self, target: pygame.Surface, craft: CraftPicture, room: RoomPicture) -> None:
        """Fill a surface with the view."""
        size = target.get_size()
        self.prepare(size, room)
        scene = self._sceneries[self._key(size, room)]
        target.blit(scene.surface, (0, 0))
        body = self._craft(craft)
        where = pose(craft, scene.look, body.low_m, self._airframe.frame.foot_down_m)
        self._shadow(target, scene, body, where, craft)
        if craft.broken and craft.props_fitted:
            _shards(target, scene, where, body.radius_m)
        self._aircraft(target, scene, body, where, craft)

    @staticmethod
    def _key(size: tuple[int, int], room: RoomPicture) -> tuple[object, ...]:
        if room.view == "bench":
            return (size, "bench", room.place)
        people = (room.spotter, room.goggles, room.person_in_ring, room.barrier)
        return (size, "pad", people, extents(room.site.room))

    def _craft(self, seen: CraftPicture) -> Craft:
        looks = Looks(
            seen.pack_plugged, seen.nose_marked, seen.powered, seen.armed, seen.broken
        )
        if looks not in self._crafts:
            self._crafts[looks] = craft(self._airframe, looks)
        return self._crafts[looks]

    def _shadow(
        self, target: pygame.Surface, scene: Scenery, body: Craft, where: Pose, seen: CraftPicture
    ) -> None:
        turning = max(seen.rotor_speed_rad_s) > 60.0  # rad/s; own
        discs = (0.34 if turning else 0.12) if seen.props_fitted and not seen.broken else 0.0
        look = scene.look
        cast = shadow(body, where, scene.lens, look.lamp_m, look.ground_m, discs)
        blur = max(1, round(cast.blur_px / SMALL))
        points = np.concatenate([outline for outline, _ in cast.shapes]) / SMALL
        low = np.floor(points.min(axis=0)).astype(int) - 2 * blur - 2
        high = np.ceil(points.max(axis=0)).astype(int) + 2 * blur + 2
        area = pygame.Rect(*low, *(high - low)).clip(scene.ground.get_rect())
        if area.w < 2 or area.h < 2:
            return
        small = pygame.Surface(area.size, pygame.SRCALPHA)
        for outline, alpha in cast.shapes:
            flat = (outline / SMALL - area.topleft).tolist()
            pygame.draw.polygon(small, (0, 0, 0, int(alpha * 255)), flat)
        small = pygame.transform.gaussian_blur(small, blur)
        small.blit(scene.ground.subsurface(area), (0, 0), special_flags=pygame.BLEND_RGBA_MULT)
        big = pygame.transform.smoothscale(small, (area.w * SMALL, area.h * SMALL))
        corner = area.x * SMALL, area.y * SMALL
        target.blit(big, corner, special_flags=pygame.BLEND_PREMULTIPLIED)

    def _aircraft(
        self, target: pygame.Surface, scene: Scenery, body: Craft, where: Pose, seen: CraftPicture
    ) -> None:
        lens, look = scene.lens, scene.look
        eye = where.seen_from(lens.eye_m)
        order = region_order(body, eye)
        drawn = faces(body.mesh, order, where, lens, look.light)
        discs = self._veils(body, seen)
        veiled = {
            k: [(lens.project(where.placed(v.outline_m))[0], v) for v in one]
            for k, one in discs.items()
        }
        points = [drawn.corners.reshape(-1, 2)] + [p for one in veiled.values() for p, _ in one]
        edge = np.concatenate(points)
        low = np.floor(edge.min(axis=0)).astype(int) - 1
        high = np.ceil(edge.max(axis=0)).astype(int) + 1
        area = pygame.Rect(*low, *(high - low)).clip(target.get_rect())
        if area.w < 2 or area.h < 2:
            return
        fine = FINE_CLOSE if look.close else FINE
        sprite = pygame.Surface((area.w * fine, area.h * fine), pygame.SRCALPHA)
        origin = np.array(area.topleft)
        corners = ((drawn.corners - origin) * fine).tolist()
        colours = drawn.colours.tolist()
        above = eye[2] > float(body.hubs_m[0, 2])
        starts = np.searchsorted(np.argsort(order)[drawn.region], np.arange(len(order) + 1))
        for rank, region in enumerate(order):
            flat = [((p - origin) * fine, v) for p, v in veiled.get(region, ())]
            if not above:
                _veil(sprite, flat)
            for k in range(starts[rank], starts[rank + 1]):
                pygame.draw.polygon(sprite, colours[k], corners[k])
            if above:
                _veil(sprite, flat)
        smooth = pygame.transform.smoothscale(sprite, area.size)
        if not look.close:
            _hide(smooth, scene, area, lens.project(where.origin_m)[1])
        target.blit(smooth, area.topleft, special_flags=pygame.BLEND_PREMULTIPLIED)

    def _veils(self, body: Craft, seen: CraftPicture) -> dict[int, list[Veil]]:
        """Return what is seen of the propellers by region."""
        if not seen.props_fitted:
            return {}
        out = {}
        for k in range(4):
            stubs = STUBS[k] if seen.broken else WHOLE
            out[k + 1] = veils(
                body.hubs_m[k],
                body.radius_m,
                seen.rotor_speed_rad_s[k],
                seen.rotor_angle_rad[k],
                self._spins[k],
                stubs,
            )
        return out


def _veil(sprite: pygame.Surface, shapes: list[tuple[Array, Veil]]) -> None:
    """Lay the flat shapes of one rotor over the sprite, as one layer."""
    if not shapes:
        return
    edge = np.concatenate([p for p, _ in shapes])
    low, high = np.floor(edge.min(axis=0)).astype(int), np.ceil(edge.max(axis=0)).astype(int) + 1
    area = pygame.Rect(*low, *(high - low)).clip(sprite.get_rect())
    if area.w < 1 or area.h < 1:
        return
    layer = pygame.Surface(area.size, pygame.SRCALPHA)
    for points, veil in shapes:
        r, g, b = (int(c * veil.alpha) for c in veil.colour)
        colour = (r, g, b, int(255 * veil.alpha))
        pygame.draw.polygon(layer, colour, (points - area.topleft).tolist())
    sprite.blit(layer, area.topleft, special_flags=pygame.BLEND_PREMULTIPLIED)


def _hide(sprite: pygame.Surface, scene: Scenery, area: pygame.Rect, far: Array) -> None:
    """Clear what stands behind nearer things."""
    part = scene.inverse_depth[area.top : area.bottom, area.left : area.right]
    nearer = part > 1.0 / max(float(far) - CLEAR_M, 0.1)
    if nearer.any():
        pixels = pygame.surfarray.pixels2d(sprite)
        pixels[nearer.T] = 0
        del pixels


def _shards(target: pygame.Surface, scene: Scenery, where: Pose, radius_m: float) -> None:
    """Paint broken blade bits on the ground about a crashed aircraft."""
    ground = scene.look.ground_m
    north, east, up = where.origin_m.tolist()
    if up - ground > LYING_M:
        return
    bits = [scene.lens.project(bit)[0] for bit in shards(ground, north, east, radius_m * where.scale)]
    edge = np.concatenate(bits)
    low, high = np.floor(edge.min(axis=0)).astype(int) - 3, np.ceil(edge.max(axis=0)).astype(int) + 4
    area = pygame.Rect(*low, *(high - low)).clip(target.get_rect())
    if area.w < 2 or area.h < 2:
        return
    layer = pygame.Surface((area.w * FINE, area.h * FINE), pygame.SRCALPHA)
    for k, bit in enumerate(bits):
        flat = (bit - area.topleft) * FINE
        pygame.draw.polygon(layer, (0, 0, 0, 70), (flat + (0, 4)).tolist())
        pygame.draw.polygon(layer, TIP if k % 3 == 1 else BLADE, flat.tolist())
    smooth = pygame.transform.smoothscale(layer, area.size)
    target.blit(smooth, area.topleft, special_flags=pygame.BLEND_PREMULTIPLIED)
