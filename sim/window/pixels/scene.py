"""Paint the view: the baked room, and in it the aircraft with its shadow, people and things."""

import numpy as np
import pygame

from sim.aircraft.airframe import Airframe
from sim.aircraft.fields import PLACES
from sim.window.pixels.backdrops import SMALL, Backdrops, Scenery
from sim.window.pixels.sprites import UNMOVED, Sprite, area_of, edged
from sim.window.scene.camera import Array
from sim.window.scene.craft import LAMP_AFT_M, LAMPS_M, PLATE_TOP_M, Craft, Looks, craft
from sim.window.scene.drawing import Pose, faces, region_order
from sim.window.scene.grips import clamp, gripped
from sim.window.scene.model import CraftPicture, RoomPicture
from sim.window.scene.rotors import BLADE, STUBS, TIP, Veil, halo, shards, veils
from sim.window.scene.shadow import shadow
from sim.window.scene.view import HELD_M, pose

FINE = 3  # own: the aircraft is drawn this many times larger, then smoothed
FINE_CLOSE = 2.0  # own: close to the eye it is large; less is enough
FINE_LARGE = 1.5  # own: in a large picture still less
LARGE_PX = 640  # px; own: pictures higher than this are large
CLEAR_M = 0.15  # m; own: what is this much nearer than the aircraft hides it
DROP_PX = np.array([0.5, 2.0])  # px; own: the shadow of a bit
LYING_M = 0.35  # m; own: broken bits lie about only if the aircraft is down too
BLURRED_RAD_S = 60.0  # rad/s; own: from here on propellers throw the shadow of a disc
HALO_M = 0.020  # m; own: how far a lit lamp glows
WHOLE = (1.0, 1.0)  # 1; own: all of both blades
Veiled = dict[int, list[tuple[Array, Veil]]]


class ScenePainter:
    """Paints the aircraft of one design in the rooms of a drill."""

    def __init__(self, airframe: Airframe) -> None:
        self._airframe = airframe
        self._backdrops = Backdrops()
        self._crafts: dict[Looks, Craft] = {}
        self._last: tuple[CraftPicture, Scenery] | None = None
        self._still: pygame.Surface | None = None
        self._spins = tuple(1.0 if place in airframe.clockwise else -1.0 for place in PLACES)

    def ready(self, size: tuple[int, int], room: RoomPicture) -> bool:
        """Return whether `prepare` has nothing left to do."""
        return self._backdrops.ready(size, room)

    def prepare(self, size: tuple[int, int], room: RoomPicture) -> None:
        """Make the backdrop of a view ready; may be called from another thread, and again."""
        self._backdrops.scenery(size, room)

    def paint(self, target: pygame.Surface, craft: CraftPicture, room: RoomPicture) -> None:
        """Fill a surface with the view; what stands still is drawn once and kept."""
        size = target.get_size()
        scene = self._backdrops.scenery(size, room)
        now = (craft, scene)
        if self._last is None or now[0] != self._last[0] or scene is not self._last[1]:
            self._last, self._still = now, None
            self._painted(target, craft, scene)
            return
        if self._still is None:
            self._still = pygame.Surface(size, depth=32)
            self._painted(self._still, craft, scene)
        target.blit(self._still, (0, 0))

    def _painted(self, target: pygame.Surface, craft: CraftPicture, scene: Scenery) -> None:
        target.blit(scene.surface, (0, 0))
        body = self._craft(craft, scene.look.close)
        where = pose(craft, scene.look, body.low_m, self._airframe.frame.foot_down_m)
        _shadow(target, scene, body, where, craft)
        if craft.broken and craft.props_fitted:
            _shards(target, scene, where, body.radius_m)
        if scene.look.close and craft.hold == "clamp":
            _clamp(target, scene, self._airframe.frame.foot_down_m)
        self._aircraft(target, scene, body, where, craft)
        if scene.look.close and craft.hold == "hands":
            _hands(target, scene, body, where)

    def _craft(self, seen: CraftPicture, close: bool) -> Craft:
        looks = Looks(
            seen.pack_plugged, seen.nose_marked, seen.powered, seen.armed, seen.broken, close
        )
        if looks not in self._crafts:
            self._crafts[looks] = craft(self._airframe, looks)
        return self._crafts[looks]

    def _aircraft(
        self, target: pygame.Surface, scene: Scenery, body: Craft, where: Pose, seen: CraftPicture
    ) -> None:
        lens, look = scene.lens, scene.look
        eye = where.seen_from(lens.eye_m)
        order = region_order(body, eye)
        drawn = faces(body.mesh, order, where, lens, look.light)
        veiled = self._veiled(scene, body, where, seen)
        edge = [drawn.corners.reshape(-1, 2)] + [p for one in veiled.values() for p, _ in one]
        area = area_of(np.concatenate(edge), target.get_rect())
        if area.w < 2 or area.h < 2:
            return
        sprite = Sprite(area, _fine(target) if look.close else FINE)
        above = bool(eye[2] > body.hubs_m[0, 2])
        for region in order:
            flat = veiled.get(region, [])
            if flat and not above:
                _veil(sprite, flat)
            sprite.faces(drawn.of(region))
            if flat and above:
                _veil(sprite, flat)
        small = sprite.small()
        if not look.close:
            _hide(small, scene, area, float(lens.project(where.origin_m)[1]))
        target.blit(small, area.topleft, special_flags=pygame.BLEND_PREMULTIPLIED)

    def _blades(self, body: Craft, seen: CraftPicture) -> list[tuple[int, Veil]]:
        return [
            (k + 1, veil)
            for k in range(4)
            for veil in veils(
                body.hubs_m[k],
                body.radius_m,
                seen.rotor_speed_rad_s[k],
                seen.rotor_angle_rad[k],
                self._spins[k],
                STUBS[k] if seen.broken else WHOLE,
            )
        ]

    def _veiled(self, scene: Scenery, body: Craft, where: Pose, seen: CraftPicture) -> Veiled:
        """Return flat shapes on the picture by region, all points projected at once."""
        found = _lit(seen) if scene.look.close else []
        if seen.props_fitted:
            found += self._blades(body, seen)
        if not found:
            return {}
        points = np.concatenate([veil.outline_m for _, veil in found])
        flat, _ = scene.lens.project(where.placed(points))
        out: Veiled = {}
        start = 0
        for region, veil in found:
            end = start + len(veil.outline_m)
            out.setdefault(region, []).append((flat[start:end], veil))
            start = end
        return out


def _fine(target: pygame.Surface) -> float:
    return FINE_CLOSE if target.get_height() <= LARGE_PX else FINE_LARGE


def _lit(seen: CraftPicture) -> list[tuple[int, Veil]]:
    """Return the glow of lit lamps; they sit in the middle region."""
    lamps = zip(LAMPS_M, (seen.powered, seen.powered and seen.armed), strict=True)
    middles = [np.array([LAMP_AFT_M + 0.004, y, PLATE_TOP_M + 0.006]) for y, on in lamps if on]
    return [(0, veil) for middle in middles for veil in halo(middle, HALO_M)]


def _shadow(
    target: pygame.Surface, scene: Scenery, body: Craft, where: Pose, seen: CraftPicture
) -> None:
    turning = max(seen.rotor_speed_rad_s) > BLURRED_RAD_S
    discs = (0.40 if turning else 0.15) if seen.props_fitted and not seen.broken else 0.0
    look = scene.look
    cast = shadow(body, where, scene.lens, look.lamp_m, look.ground_m, discs)
    step = max(1, round(cast.blur_px / SMALL))  # the softer, the coarser the grid it is drawn on
    grid = SMALL * step
    bounds = pygame.Rect(0, 0, -(-scene.ground.width // step), -(-scene.ground.height // step))
    area = area_of(np.concatenate([p for p, _ in cast.shapes]) / grid, bounds, 2)
    if area.w < 2 or area.h < 2:
        return
    tiny = pygame.Surface(area.size, pygame.SRCALPHA)
    for outline, alpha in cast.shapes:
        flat = (outline / grid - area.topleft).tolist()
        pygame.draw.polygon(tiny, (0, 0, 0, int(alpha * 255)), flat)
    tiny = pygame.transform.box_blur(tiny, 1)
    small = pygame.transform.smoothscale(tiny, (area.w * step, area.h * step))
    mask = (-area.x * step, -area.y * step)
    small.blit(scene.ground, mask, special_flags=pygame.BLEND_RGBA_MULT)
    big = pygame.transform.smoothscale(small, (area.w * grid, area.h * grid))
    target.blit(big, (area.x * grid, area.y * grid), special_flags=pygame.BLEND_PREMULTIPLIED)


def _veil(sprite: Sprite, shapes: list[tuple[Array, Veil]]) -> None:
    """Lay the flat shapes of one rotor over the sprite, as one layer."""
    points = [sprite.on(p) for p, _ in shapes]
    area = area_of(np.concatenate(points), sprite.surface.get_rect())
    if area.w < 1 or area.h < 1:
        return
    layer = pygame.Surface(area.size, pygame.SRCALPHA)
    for flat, (_, veil) in zip(points, shapes, strict=True):
        r, g, b = (int(c * veil.alpha) for c in veil.colour)
        colour = (r, g, b, int(255 * veil.alpha))
        pygame.draw.polygon(layer, colour, (flat - area.topleft).tolist())
    sprite.surface.blit(layer, area.topleft, special_flags=pygame.BLEND_PREMULTIPLIED)


def _hide(small: pygame.Surface, scene: Scenery, area: pygame.Rect, far_m: float) -> None:
    """Clear what stands behind nearer things."""
    part = scene.inverse_depth[area.top : area.bottom, area.left : area.right]
    nearer = part > 1.0 / max(far_m - CLEAR_M, 0.1)
    if nearer.any():
        pixels = pygame.surfarray.pixels2d(small)
        pixels[nearer.T] = 0
        del pixels


def _shards(target: pygame.Surface, scene: Scenery, where: Pose, radius_m: float) -> None:
    """Paint broken blade bits on the ground about a crashed aircraft."""
    ground = scene.look.ground_m
    north, east, up = where.origin_m.tolist()
    if up - ground > LYING_M:
        return
    pieces = shards(ground, north, east, radius_m * where.scale)
    bits = [scene.lens.project(bit)[0] for bit in pieces]
    area = area_of(np.concatenate(bits), target.get_rect(), 4)
    if area.w < 2 or area.h < 2:
        return
    sprite = Sprite(area, FINE)
    for bit in bits:
        sprite.shape(bit + DROP_PX, (0, 0, 0, 90))
    for k, bit in enumerate(bits):
        sprite.shape(bit, TIP if k % 3 == 1 else BLADE)
    sprite.laid(target)


def _clamp(target: pygame.Surface, scene: Scenery, foot_m: float) -> None:
    mesh = clamp(scene.look.ground_m, foot_m + HELD_M["clamp"])
    drawn = faces(mesh, [0], UNMOVED, scene.lens, scene.look.light)
    sprite = Sprite(area_of(drawn.corners.reshape(-1, 2), target.get_rect()), _fine(target))
    sprite.faces(drawn)
    sprite.laid(target)


def _hands(target: pygame.Surface, scene: Scenery, body: Craft, where: Pose) -> None:
    look = scene.look
    for glove, sleeve, along in gripped(where, body.hubs_m * (1.0, 1.0, 0.0), look.ground_m):
        edged(target, faces(sleeve, [0], along, scene.lens, look.light))
        hand = faces(glove, [0], where, scene.lens, look.light)
        area = area_of(hand.corners.reshape(-1, 2), target.get_rect())
        if area.w > 1 and area.h > 1:
            sprite = Sprite(area, _fine(target))
            sprite.faces(hand)
            sprite.laid(target)
