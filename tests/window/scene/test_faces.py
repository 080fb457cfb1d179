"""Faces by compiled code against plain twins: an aircraft sorted, lit and painted face by face."""

import numpy as np
import pygame
import pytest

from sim.kernel import faces as compiled
from sim.kernel import warm
from sim.kernel.faces import toned
from sim.window.pixels.scene import ScenePainter
from sim.window.pixels.sprites import Sprite
from sim.window.scene.craft import craft
from sim.window.scene.drawing import faces, region_order
from sim.window.scene.grips import clamp
from sim.window.scene.middle import Looks
from sim.window.scene.view import outlook, pose
from tests.window.scene import views
from tests.window.scene.views import painted

CLOSE = Looks(True, True, True, True, False, False, True)
FAR = Looks(True, True, True, True, False, False, False)
CASES = [
    (views.IN_HAND, views.BENCH, CLOSE),
    (views.ON_PAD, views.FLOOR, CLOSE),
    (views.HOVER, views.PAD, FAR),
    (views.CRASH, views.PAD, FAR),
]


def lengths(ways):
    return np.linalg.norm(ways, axis=1)


def plain(mesh, order, where, lens, light):
    """The same face by face: corners, colours and regions, all sorted by three keys at once."""
    solid, eye = mesh.solid, where.seen_from(lens.eye_m)
    part = np.repeat(np.arange(len(mesh.region)), np.diff(solid.starts))
    look = eye - solid.middles
    keep = np.flatnonzero((solid.normals * look).sum(axis=1) > 0.0)
    far = lengths(mesh.middles_m - eye)
    keys = [
        (order.index(mesh.region[k]), -abs(mesh.layer_m[k] - eye[2]), -far[k], i)
        for i, k in zip(keep, part[keep], strict=True)
    ]
    keep = np.array([key[3] for key in sorted(keys)])
    corners, _ = lens.project(where.placed(solid.quads[keep]))
    normal, shine = solid.normals[keep], solid.shine[keep]
    look = look[keep] / lengths(look[keep])[:, None]
    lamp, up = np.array(light.way) @ where.turn, 0.5 + 0.5 * (normal @ where.turn[2])
    fall = np.maximum(normal @ lamp, 0.0)
    falls = np.outer(fall, light.main) + np.outer(up, light.above) + np.outer(1 - up, light.below)
    rim = (1 - (normal * look).sum(axis=1)) ** 3 * (0.10 + 0.25 * shine) * up
    half = (look + lamp) / lengths(look + lamp)[:, None]
    spark = np.maximum((normal * half).sum(axis=1), 0.0) ** 24 * shine * 0.9
    out = solid.colours[keep] * (falls + solid.glow[keep][:, None])
    colours = toned(out + np.outer(rim + spark, light.main), light.exposure) * 255 + 0.5
    return corners, colours.astype(np.uint8), mesh.region[part[keep]]


@pytest.mark.parametrize(("seen", "room", "looks"), CASES)
def test_an_aircraft_is_the_same_face_by_face(seen, room, looks):
    look, body = outlook(room), craft(views.AIRFRAME, looks)
    where, lens = pose(seen, look, body), look.camera.lens()
    order = region_order(body, where.seen_from(lens.eye_m))
    drawn = faces(body.mesh, order, where, lens, look.light)
    corners, colours, region = plain(body.mesh, order, where, lens, look.light)
    assert len(region) > 100
    assert np.array_equal(drawn.region, region)
    assert drawn.corners == pytest.approx(corners, abs=1e-6)
    assert np.abs(drawn.colours.astype(int) - colours).max() <= 1  # of 255: another last digit
    assert np.concatenate([drawn.of(k).corners for k in order]) == pytest.approx(corners, abs=1e-6)


@pytest.mark.parametrize(("seen", "room", "looks"), CASES)
def test_it_takes_the_pixels_that_polygons_painted_one_by_one_take(seen, room, looks):
    look, body = outlook(room), craft(views.AIRFRAME, looks)
    where, lens = pose(seen, look, body), look.camera.lens()
    drawn = faces(body.mesh, list(range(7)), where, lens, look.light)
    whole = pygame.Rect(0, 0, *look.camera.whole_px(1.0))
    sprite, slow = Sprite(whole, 2), pygame.Surface((2 * whole.w, 2 * whole.h), pygame.SRCALPHA)
    sprite.faces(drawn)
    for corners, colour in zip(drawn.corners.tolist(), drawn.colours.tolist(), strict=True):
        pygame.draw.polygon(slow, colour, [(2 * x, 2 * y) for x, y in corners])
    got, expected = (pygame.surfarray.array2d(surface) for surface in (sprite.surface, slow))
    assert (expected != 0).sum() > 500
    assert (got != expected).sum() <= 0.001 * (expected != 0).sum()  # another rounding of an edge


def test_no_picture_has_to_wait_for_the_compiler():
    """What is compiled before the window's first frame is all that any view asks for."""
    warm.paint()
    painter = ScenePainter()
    for room in (views.PAD, views.STRAY, views.BENCH):
        for seen in (views.HOVER, views.CRASH, views.IN_HAND, views.CLAMPED, views.UNPLUGGED):
            for size in ((640, 360), (1400, 790), (121, 68)):
                painted(painter, seen, room, size)
    look = outlook(views.BENCH)
    stand = clamp(look.ground_m, 0.2, 1.0)
    drawn = faces(
        stand,
        [0],
        pose(views.CLAMPED, look, craft(views.AIRFRAME, CLOSE)),
        look.camera.lens(),
        look.light,
    )
    for width, height in ((1, 1), (1, 9), (9, 1)):
        sprite = Sprite(pygame.Rect(3, 4, width, height), 1)
        sprite.faces(drawn.of(5))
        sprite.small()
        Sprite(pygame.Rect(3, 4, width, height), 4).small()
    for entry in (compiled.seen, compiled.fill, compiled.halve):
        assert len(entry._compiled.signatures) == 1
