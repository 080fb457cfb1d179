"""Light and depth of a small room, worked out at small sizes."""

from dataclasses import replace

import numpy as np
import pytest

from sim.paths import assets_dir
from sim.window.scene.bake import Effort, bake
from sim.window.scene.camera import Camera
from sim.window.scene.light import Looks, Stage, direct, smoothed
from sim.window.scene.rooms import pad_camera, pad_stage
from sim.window.scene.solids import Block, Lamp, Paint, blocked, grouped, nearest
from tests.window.scene.views import SITE

GREY = Paint("plain", (0.5, 0.5, 0.5))
FLOOR = Block((-9.0, -9.0, -0.1), (9.0, 9.0, 0.0), GREY, shell=True)
TABLE = Block((-0.5, -0.5, 0.7), (0.5, 0.5, 0.75), GREY)
POST = Block((2.0, 2.0, 0.0), (2.4, 2.4, 1.0), GREY, post=True)
ABOVE = Lamp((0.0, 0.0, 2.5), (0.2, 0.0, 0.0), (0.0, -0.2, 0.0), (20.0, 20.0, 20.0))
ROOM = Stage((FLOOR, TABLE, POST), (ABOVE,), (0.2, 0.2, 0.2))
EYE = Camera((-3.0, 0.0, 1.5), (0.0, 0.0, 0.5), 1.0)
TINY = Effort(0.05, 1, 0.025, 4, Looks(2, 2.5), 1)


def column(*points):
    return np.array(points, np.float32).T


def test_rays_meet_the_nearest_block():
    start = column((0.0, 0.0, 2.0), (3.0, 0.0, 2.0), (2.2, 2.2, 2.0), (0.0, 0.0, 2.0))
    way = column((0, 0, -1), (0, 0, -1), (0, 0, -1), (0, 0, 1))
    hits = nearest(ROOM.blocks, ROOM.groups, start, way)
    assert hits.block.tolist() == [1, 0, 2, -1]
    assert hits.far[:3] == pytest.approx([1.25, 2.0, 1.0], abs=1e-5)
    assert (hits.normal[:, :3].T == [0, 0, 1]).all()


def test_a_turned_block_is_met_where_it_is():
    slab = Block((-1.0, -0.1, 0.0), (1.0, 0.1, 1.0), GREY, turn_rad=np.pi / 2)  # now along east
    hits = nearest((slab,), grouped((slab,)), column((-5.0, 0.9, 0.5)), column((1, 0, 0)))
    assert hits.far[0] == pytest.approx(4.9, abs=1e-4)
    assert hits.normal[:, 0] == pytest.approx([-1, 0, 0], abs=1e-5)


def test_groups_change_no_hit():
    stage = pad_stage(SITE.room)
    rng = np.random.default_rng(1)
    start = np.repeat(column((-2.0, 0.0, 1.6)), 500, axis=1)
    way = rng.normal(size=(3, 500)).astype(np.float32)
    alone = grouped(tuple(replace(b, shell=True) for b in stage.blocks))
    quick = nearest(stage.blocks, stage.groups, start, way)
    plain = nearest(stage.blocks, alone, start, way)
    assert (quick.block == plain.block).all()
    assert (quick.block >= 0).all()  # the room is closed


def test_light_is_blocked_under_the_table():
    start, way = column((0.0, 0.0, 0.01), (3.0, 0.0, 0.01)), column((0, 0, 2.4), (-3.0, 0, 2.4))
    assert blocked(ROOM.blocks, ROOM.groups, start, way).tolist() == [True, False]


def test_light_falls_off_as_it_should():
    """A small lamp h above a floor: light as cos^4 / h^2 (point-source law)."""
    lamp = replace(ABOVE, half_a=(0.01, 0, 0), half_b=(0, -0.01, 0))
    stage = Stage((FLOOR,), (lamp,), (0.0, 0.0, 0.0))
    points = column((0.0, 0.0, 0.0), (2.5, 0.0, 0.0))
    up = column((0, 0, 1), (0, 0, 1))
    got = direct(stage, points, up, 4, np.random.default_rng(0))[0]
    cosine = np.array([1.0, np.cos(np.pi / 4)])
    want = 20.0 * 0.02**2 / np.pi * cosine**4 / 2.5**2
    assert got == pytest.approx(want, rel=0.01)


def test_smoothing_takes_grain_but_no_edge():
    rng = np.random.default_rng(3)
    light = np.full((40, 40, 3), 1.0, np.float32)
    light += rng.normal(0, 0.1, light.shape).astype(np.float32)
    light[:, 20:] += 2.0
    normal = np.zeros_like(light)
    normal[:, :20, 2] = normal[:, 20:, 0] = 1.0  # two faces
    out = smoothed(light, normal, np.zeros_like(light), 3)
    assert out[:, :20].std() < 0.4 * light[:, :20].std()
    assert out[:, 20:].mean() - out[:, :20].mean() == pytest.approx(2.0, abs=0.05)


def test_bake_repeats_and_knows_its_depth():
    first, second = bake(ROOM, EYE, TINY), bake(ROOM, EYE, TINY)
    assert np.array_equal(first.colours, second.colours)
    lens = EYE.lens(TINY.size)
    flat, far = lens.project(np.array([[1.5, 0.0, 0.0]]))
    x, y = flat[0].astype(int)
    assert 1 / float(first.inverse_depth[y, x]) == pytest.approx(float(far[0]), rel=0.05)


def test_shipped_backdrops_are_whole():
    for name in ("pad", "bench", "floor", "cupboard"):
        with np.load(assets_dir() / "pictures" / f"{name}.npz") as kept:
            depth = kept["inverse_depth"]
        assert depth.shape == ((1540, 1540) if name == "pad" else (866, 1540))
        assert (depth > 0.05).all()  # 1/m; every ray ends within 20 m


def test_shipped_pad_depth_is_that_of_the_site():
    with np.load(assets_dir() / "pictures" / "pad.npz") as kept:
        depth = kept["inverse_depth"].astype(float)
    stage, lens = pad_stage(SITE.room), pad_camera(SITE.room).lens()
    rng = np.random.default_rng(2)
    x, y = rng.integers(0, 1540, 800), rng.integers(0, 1540, 800)
    start = np.repeat(lens.eye_m.astype(np.float32)[:, None], 800, axis=1)
    hits = nearest(
        stage.blocks,
        stage.groups,
        start,
        lens.rays(np.asarray(x + 0.5, float), np.asarray(y + 0.5, float)),
    )
    agree = np.abs(depth[y, x] * hits.far - 1.0) < 0.01
    assert agree.mean() > 0.99  # but for edges
