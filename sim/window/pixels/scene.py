"""Paint the view: the baked room, and in it the aircraft with its shadow, people and things."""

import numpy as np
import pygame

from sim.session.perceived import PropellerSeen
from sim.window.pixels.around import away, clamped, hands, lying, offered, strewn, wired
from sim.window.pixels.backdrops import SMALL, Backdrops, Scenery
from sim.window.pixels.shot import FINE, FINE_CLOSE, Shot
from sim.window.pixels.sprites import UNMOVED, Corner, Sprite, area_of
from sim.window.scene.camera import Array
from sim.window.scene.craft import Craft, craft
from sim.window.scene.drawing import Pose, faces, region_order
from sim.window.scene.middle import Looks
from sim.window.scene.model import CraftPicture, RoomPicture
from sim.window.scene.rotors import (
    SHUTTER_S,
    STILL_RAD,
    STUBS,
    WHOLE,
    Veil,
    at_rest,
    flag,
    halo,
    veils,
)
from sim.window.scene.shadow import shadow
from sim.window.scene.sizes import sizes
from sim.window.scene.view import DRAWN_REACH_M, glance_of, glance_rect, middle_px, pose

CLEAR_M = 0.05  # m; own: what is this much nearer than all of the aircraft hides it
BLURRED_RAD_S = 60.0  # rad/s; own: from here on propellers throw the shadow of a disc
DISC, BLADES = 0.40, 0.15  # 1; own: how dark a turning propeller's shadow is, and one's at rest
HALO_M = 0.020  # m; own: how far a lit lamp glows, on the aircraft drawn at 1
SLIP, SLIP_EDGE = (245, 238, 222), (120, 112, 98)  # own: paper, and the shade round it
Lying = tuple[tuple[bool, ...], tuple[PropellerSeen, ...], Corner, Scenery]
Veiled = dict[int, list[tuple[Array, Veil]]]


class ScenePainter:
    """Paints any aircraft in the rooms of a drill."""

    def __init__(self) -> None:
        self._backdrops = Backdrops()
        self._crafts: dict[tuple[str, Looks], Craft] = {}
        self._airframe: object = None
        self._reach_m = 0.0
        self._last: tuple[CraftPicture, Scenery, RoomPicture] | None = None
        self._still: pygame.Surface | None = None
        self._ready: tuple[Lying, tuple[pygame.Surface, pygame.Rect] | None] | None = None

    def ready(self, size: tuple[int, int], craft: CraftPicture, room: RoomPicture) -> bool:
        """Return whether `prepare` has nothing left to do."""
        seen = self._backdrops.ready(size, room, self._reach(craft))
        if room.view == "bench":
            seen = seen and self._backdrops.ready(*_glance(size, room), DRAWN_REACH_M)
        return seen

    def prepare(self, size: tuple[int, int], craft: CraftPicture, room: RoomPicture) -> None:
        """Make the backdrop of a view ready; may be called from another thread, and again."""
        self._scenery(size, craft, room)
        if room.view == "bench":
            self._backdrops.scenery(*_glance(size, room), DRAWN_REACH_M)

    def paint(self, target: pygame.Surface, craft: CraftPicture, room: RoomPicture) -> None:
        """Fill a surface with the view; what stands still is drawn once and kept."""
        size = target.get_size()
        scene = self._scenery(size, craft, room)
        now = (craft, scene, room)
        if self._last is None or now[:1] != self._last[:1] or scene is not self._last[1]:
            self._last, self._still = now, None
            self._painted(target, craft, scene, room)
            return
        if self._still is None:
            self._still = pygame.Surface(size, depth=32)
            self._painted(self._still, craft, scene, room)
        target.blit(self._still, (0, 0))

    def _reach(self, craft: CraftPicture) -> float:
        """Return the reach of an aircraft; its design is the same for long."""
        if craft.airframe is not self._airframe:
            self._crafts.clear()
            self._reach_m = round(sizes(craft.airframe).reach_m, 3)
            self._airframe = craft.airframe
        return self._reach_m

    def _scenery(self, size: tuple[int, int], craft: CraftPicture, room: RoomPicture) -> Scenery:
        return self._backdrops.scenery(size, room, self._reach(craft))

    def _painted(
        self, target: pygame.Surface, seen: CraftPicture, scene: Scenery, room: RoomPicture
    ) -> None:
        body = self._craft(seen, scene.look.close)
        where = pose(seen, scene.look, body)
        size = target.get_size()
        middle = middle_px(scene.look, size, scene.factor, where)
        corner = scene.look.camera.corner(scene.factor, size, middle, where.origin_m)
        shot = Shot(target, scene, corner)
        target.blit(scene.surface, (0, 0), shot.rect)
        _shadow(shot, body, where, seen)
        if seen.broken and any(seen.fitted):
            strewn(shot, where, body)
        if scene.look.name == "bench":
            self._lay_ready(shot, body, seen)
        if scene.look.close and seen.hold == "clamp":
            clamped(shot, body)
        _aircraft(shot, body, where, seen)
        if scene.look.name == "bench" and seen.cabled:
            wired(shot, body, where)
        if scene.look.close and seen.hold == "hands":
            hands(shot, body, where)
        if scene.look.close and seen.offered is not None:
            offered(shot, body, where, seen)
        if scene.look.close:
            glance = _glance(target.get_size(), room)
            _glanced(target, self._backdrops.scenery(*glance, DRAWN_REACH_M))

    def _lay_ready(self, shot: Shot, body: Craft, seen: CraftPicture) -> None:
        """Paint the propellers that are off where they lie ready; drawn once, as they don't move."""
        key = (away(seen), seen.propellers, shot.corner, shot.scene)
        if self._ready is None or key[:3] != self._ready[0][:3] or key[3] is not self._ready[0][3]:
            self._ready = (key, lying(shot, body, seen))
        sprite = self._ready[1]
        if sprite is not None:
            small, area = sprite
            at = area.x - shot.corner[0], area.y - shot.corner[1]
            shot.target.blit(small, at, special_flags=pygame.BLEND_PREMULTIPLIED)

    def _craft(self, seen: CraftPicture, close: bool) -> Craft:
        looks = Looks(
            seen.pack_plugged,
            seen.nose_marked,
            seen.powered,
            seen.armed,
            seen.broken,
            seen.cabled,
            close,
        )
        key = (seen.airframe.name, looks)
        if key not in self._crafts:
            self._crafts[key] = craft(seen.airframe, looks)
        return self._crafts[key]


def _glance(size: tuple[int, int], room: RoomPicture) -> tuple[tuple[int, int], RoomPicture]:
    """Return size and picture of the glance at the pad."""
    _, _, w, h = glance_rect(size)
    return (w, h), glance_of(room)


def _glanced(target: pygame.Surface, scene: Scenery) -> None:
    """Pin the glance at the pad on the picture, as on a slip of paper."""
    x, y, w, h = glance_rect(target.get_size())
    middle = middle_px(scene.look, (w, h), scene.factor, UNMOVED)
    corner = scene.look.camera.corner(scene.factor, (w, h), middle, np.zeros(3))
    target.fill(SLIP_EDGE, (x - 4, y - 4, w + 8, h + 8))
    target.fill(SLIP, (x - 3, y - 3, w + 6, h + 6))
    target.blit(scene.surface, (x, y), pygame.Rect(corner, (w, h)))


def _aircraft(shot: Shot, body: Craft, where: Pose, seen: CraftPicture) -> None:
    scene = shot.scene
    lens, look = scene.lens, scene.look
    eye = where.seen_from(lens.eye_m)
    order = region_order(body, eye)
    drawn = faces(body.mesh, order, where, lens, look.light)
    veiled = _veiled(scene, body, where, seen)
    edge = [drawn.corners.reshape(-1, 2)] + [p for one in veiled.values() for p, _ in one]
    area = area_of(np.concatenate(edge), shot.rect)
    if area.w < 2 or area.h < 2:
        return
    sprite = Sprite(area, FINE_CLOSE if look.close else FINE)
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
        far_m = float(lens.project(where.origin_m)[1]) - body.size.reach_m - CLEAR_M
        _hide(small, scene, area, far_m)
    at = area.x - shot.corner[0], area.y - shot.corner[1]
    shot.target.blit(small, at, special_flags=pygame.BLEND_PREMULTIPLIED)


def _rotor(body: Craft, seen: CraftPicture, k: int, close: bool) -> list[Veil]:
    """Return what is seen of one propeller, or of a bare motor."""
    hub, speed, angle = body.hubs_m[k], seen.rotor_speed_rad_s[k], seen.rotor_angle_rad[k]
    if not seen.fitted[k]:
        return flag(hub, body.size.bell_m, speed, angle, body.spins[k]) if close else []
    radius = body.size.radius_m * seen.propellers[k].span
    stubs = STUBS[k] if seen.broken else WHOLE
    if close and abs(speed) * SHUTTER_S <= STILL_RAD:
        return at_rest(hub, radius, angle, seen.propellers[k], stubs)
    return veils(hub, radius, speed, angle, body.spins[k], stubs)


def _veiled(scene: Scenery, body: Craft, where: Pose, seen: CraftPicture) -> Veiled:
    """Return flat shapes on the picture by region, all points projected at once."""
    close = scene.look.close
    found = _lit(body, seen) if close else []
    found += [(k + 1, veil) for k in range(4) for veil in _rotor(body, seen, k, close)]
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


def _lit(body: Craft, seen: CraftPicture) -> list[tuple[int, Veil]]:
    """Return the glow of lit lamps; they sit in the middle region."""
    lamps = zip(body.lamps_m, (seen.powered, seen.powered and seen.armed), strict=True)
    wide = HALO_M * body.size.unit
    return [(0, veil) for middle, on in lamps if on for veil in halo(middle, wide)]


def _discs(seen: CraftPicture) -> tuple[float, ...]:
    """Return how dark the shadow of each propeller is."""
    if seen.broken:
        return (0.0,) * 4
    pairs = zip(seen.fitted, seen.rotor_speed_rad_s, strict=True)
    return tuple((DISC if speed > BLURRED_RAD_S else BLADES) if on else 0.0 for on, speed in pairs)


def _shadow(shot: Shot, body: Craft, where: Pose, seen: CraftPicture) -> None:
    scene = shot.scene
    look = scene.look
    cast = shadow(body, where, scene.lens, look.lamp_m, look.ground_m, _discs(seen))
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
    at = area.x * grid - shot.corner[0], area.y * grid - shot.corner[1]
    shot.target.blit(big, at, special_flags=pygame.BLEND_PREMULTIPLIED)


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
    """Clear what stands behind things nearer than `far_m`."""
    nearer = scene.depth_in(area) > 1.0 / max(far_m, 0.1)
    if nearer.any():
        pixels = pygame.surfarray.pixels2d(small)
        pixels[nearer.T] = 0
        del pixels
