"""Paint what is round the aircraft: hands, clamp, cable, propellers that are off, broken bits."""

import numpy as np
import pygame

from sim.window.pixels.shot import FINE, FINE_CLOSE, Shot
from sim.window.pixels.sprites import UNMOVED, Sprite, area_of
from sim.window.scene.craft import Craft
from sim.window.scene.drawing import Pose, faces
from sim.window.scene.grips import clamp, gripped, offering
from sim.window.scene.model import CraftPicture
from sim.window.scene.ready import cable, loose, over
from sim.window.scene.rotors import BLADE, TIP, WHOLE, at_rest, shards
from sim.window.scene.view import held_m

DROP_PX = np.array([0.5, 2.0])  # px; own: the shadow of a bit
LYING_REACHES = 1.0  # of the aircraft's reach; own: broken bits lie about only if it is down too
HELD_RAD = 1.35  # rad; own: how a propeller in the hand is turned
CABLE_M = 0.0045  # m; own: thickness of the set-up cable
CABLE_DARK, CABLE_LIGHT = (44, 46, 50), (92, 95, 99)  # own


def strewn(shot: Shot, where: Pose, body: Craft) -> None:
    """Paint broken blade bits on the ground about a crashed aircraft."""
    ground = shot.scene.look.ground_m
    north, east, up = where.origin_m.tolist()
    if up - ground > LYING_REACHES * body.size.reach_m:
        return
    pieces = shards(ground, north, east, body.size.radius_m)
    bits = [shot.scene.lens.project(bit)[0] for bit in pieces]
    area = area_of(np.concatenate(bits), shot.rect, 4)
    if area.w < 2 or area.h < 2:
        return
    sprite = Sprite(area, FINE)
    for bit in bits:
        sprite.shape(bit + DROP_PX, (0, 0, 0, 90))
    for k, bit in enumerate(bits):
        sprite.shape(bit, TIP if k % 3 == 1 else BLADE)
    sprite.laid(shot.target, shot.corner)


def away(seen: CraftPicture) -> tuple[bool, ...]:
    """Return which propellers don't lie ready: they are on, or in the hand."""
    held = seen.offered.lay_at if seen.offered is not None else None
    return tuple(on or k == held for k, on in enumerate(seen.fitted))


def offered(shot: Shot, body: Craft, where: Pose, seen: CraftPicture) -> None:
    """Paint a propeller held over a corner, and the hand that holds it."""
    held, look, lens = seen.offered, shot.scene.look, shot.scene.lens
    if held is None:
        return
    hub = over(held.corner, body, where)
    glove, along, sleeve, arm = offering(hub, look.ground_m)
    cuff = faces(sleeve, [0, 1], arm, lens, look.light)
    radius = body.size.radius_m * held.seen.span
    blades = at_rest(hub, radius, HELD_RAD, held.seen, WHOLE)
    flat = [(lens.project(veil.outline_m)[0], veil.colour) for veil in blades]
    hand = faces(glove, [0], along, lens, look.light)
    corners = [p for p, _ in flat] + [part.corners.reshape(-1, 2) for part in (cuff, hand)]
    area = area_of(np.concatenate(corners), shot.rect)
    if area.w < 2 or area.h < 2:
        return
    sprite = Sprite(area, FINE_CLOSE)
    sprite.faces(cuff)
    sprite.faces(hand)  # held from below: the whole propeller is to be seen
    for points, colour in flat:
        sprite.shape(points, colour)
    sprite.laid(shot.target, shot.corner)


def lying(shot: Shot, body: Craft, seen: CraftPicture) -> tuple[pygame.Surface, pygame.Rect] | None:
    """Return the propellers that are off as a sprite, and where it goes; None if there is none."""
    shapes = loose(seen.propellers, away(seen), body, shot.scene.look.ground_m)
    if not shapes:
        return None
    flat = [(shot.scene.lens.project(veil.outline_m)[0], veil) for veil in shapes]
    area = area_of(np.concatenate([p for p, _ in flat]), shot.rect, 4)
    if area.w < 2 or area.h < 2:
        return None
    sprite = Sprite(area, FINE_CLOSE)
    for points, _ in flat:
        sprite.shape(points + DROP_PX, (0, 0, 0, 70))
    for points, veil in flat:
        sprite.shape(points, veil.colour)
    return sprite.small(), area


def wired(shot: Shot, body: Craft, where: Pose) -> None:
    """Paint the set-up cable, thicker where it is nearer."""
    flat, far = shot.scene.lens.project(cable(body, where, shot.scene.look.ground_m))
    area = area_of(flat, shot.rect, 6)
    if area.w < 2 or area.h < 2:
        return
    sprite = Sprite(area, FINE_CLOSE)
    wide = CABLE_M * shot.scene.lens.focal_px / far
    along = np.gradient(flat, axis=0)
    along /= np.maximum(np.linalg.norm(along, axis=1, keepdims=True), 1e-9)
    across = np.column_stack([-along[:, 1], along[:, 0]]) * (wide / 2)[:, None]
    for share, colour in ((1.0, CABLE_DARK), (0.45, CABLE_LIGHT)):
        ribbon = np.concatenate([flat + share * across, (flat - share * across)[::-1]])
        sprite.shape(ribbon, colour)
    sprite.laid(shot.target, shot.corner)


def clamped(shot: Shot, body: Craft) -> None:
    """Paint the clamp under the aircraft."""
    look = shot.scene.look
    up_m = body.foot_m + held_m("clamp", body.size.reach_m, body.foot_m)
    mesh = clamp(look.ground_m, up_m, round(body.size.unit, 3))
    drawn = faces(mesh, [0], UNMOVED, shot.scene.lens, look.light)
    sprite = Sprite(area_of(drawn.corners.reshape(-1, 2), shot.rect), FINE_CLOSE)
    sprite.faces(drawn)
    sprite.laid(shot.target, shot.corner)


def hands(shot: Shot, body: Craft, where: Pose) -> None:
    """Paint the two hands that hold the aircraft, with their sleeves."""
    look, lens = shot.scene.look, shot.scene.lens
    for glove, sleeve, along in gripped(where, body.hubs_m * (1.0, 1.0, 0.0), look.ground_m):
        arm = faces(sleeve, [0, 1], along, lens, look.light)
        hand = faces(glove, [0], where, lens, look.light)
        area = area_of(np.concatenate([arm.corners, hand.corners]).reshape(-1, 2), shot.rect)
        if area.w > 1 and area.h > 1:
            sprite = Sprite(area, FINE_CLOSE)
            sprite.faces(arm)
            sprite.faces(hand)
            sprite.laid(shot.target, shot.corner)
