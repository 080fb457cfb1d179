"""Eyes, meshes, poses and painting order."""

from dataclasses import replace

import numpy as np
import pytest

from sim.aircraft import library
from sim.kernel.frames import Quat, Vec3, to_world
from sim.window.scene.craft import craft
from sim.window.scene.drawing import Pose, region_order, turn_of
from sim.window.scene.meshes import Part, ball, bar, block, joined, limb
from sim.window.scene.middle import Looks
from sim.window.scene.people import things
from sim.window.scene.rooms import pad_camera
from sim.window.scene.rotors import SHUTTER_S, STILL_RAD, veils
from sim.window.scene.view import (
    HEAD_M,
    SURELY_M,
    SURELY_NORTH_M,
    factor,
    in_sight,
    middle_px,
    mouth_px,
    outlook,
    pose,
)
from tests.window.scene import views
from tests.window.scene.views import AIRFRAME, attitude

NEAR = Looks(True, True, True, False, False, False, True)


def test_rays_and_projection_agree():
    lens = pad_camera(views.SITE.room).lens()
    x, y = np.array([10.0, 467.5, 900.0]), np.array([20.0, 263.0, 500.0])
    points = lens.eye_m + 2.5 * lens.rays(x, y).T.astype(float)
    flat, far = lens.project(points)
    assert flat == pytest.approx(np.column_stack([x, y]), abs=1e-3)
    assert far == pytest.approx([2.5] * 3, abs=1e-5)


SIZES = [(900, 300), (935, 526), (870, 340), (500, 500), (1400, 600)]


def shown(room, airframe, size, seen):
    """Return points of the picture that show points of the scene, and the aircraft's body and pose."""
    look, body = outlook(room), craft(airframe, NEAR)
    where = pose(seen, look, body)
    times = factor(look, size, body.size.reach_m)
    middle = middle_px(look, size, times, where)
    corner = look.camera.corner(times, size, middle, where.origin_m)
    return (lambda points: look.camera.lens(times).project(points)[0] - corner), body, where


def standing(airframe, up_m=0.0, **changes):
    place = (0.0, 0.0, -airframe.frame.foot_down_m - up_m)
    return replace(views.ON_PAD, airframe=airframe, position_m=place, **changes)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("up_m", [0.0, 1.0, 2.0, 2.4])
@pytest.mark.parametrize("name", library.names("airframes"))
def test_the_aircraft_stays_in_the_picture_also_above_two_metres(name, size, up_m):
    airframe = library.airframe(name)
    to_px, body, where = shown(views.PAD, airframe, size, standing(airframe, up_m))
    flat = to_px(where.placed(body.hubs_m))
    assert (flat > 0.0).all()
    assert (flat < size).all()


@pytest.mark.parametrize("size", [(935, 526), (870, 375), (1400, 790)])
def test_aircraft_on_the_pad_and_the_spotters_head_are_seen_together(size):
    to_px, body, where = shown(views.PAD, AIRFRAME, size, standing(AIRFRAME))
    head, feet = to_px(np.array(HEAD_M)), to_px(where.placed(body.feet_m))
    assert 0.0 < head[1] < 0.1 * size[1]
    assert 0.0 < head[0] < size[0]
    assert (feet[:, 1] < size[1]).all()


def test_east_is_right_and_up_is_up():
    lens = pad_camera(views.SITE.room).lens()
    flat, _ = lens.project(np.array([[0.0, 0.0, 0.0], [0.0, 0.5, 0.0], [0.0, 0.0, 0.5]]))
    assert flat[1, 0] > flat[0, 0] + 50
    assert flat[2, 1] < flat[0, 1] - 50


@pytest.mark.parametrize("angles", [(20, 0, 0), (0, 25, 0), (0, 0, 70), (30, -40, 200)])
def test_turn_is_the_kernels_own(angles):
    q = attitude(*angles)
    for forward, right, down in ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.2, -0.5, 0.7)):
        world = to_world(Quat(*q), Vec3(forward, right, down))
        scene = turn_of(q) @ np.array([forward, right, -down])
        assert scene == pytest.approx([world.x, world.y, -world.z], abs=1e-12)


def test_measures_are_the_airframes():
    frame, made = AIRFRAME.frame, craft(AIRFRAME, NEAR)
    assert made.low_m[:, 2].min() == pytest.approx(-frame.foot_down_m, abs=1e-4)
    assert made.hubs_m[1, :2] == pytest.approx(frame.rotors_m.front_right)
    assert made.size.radius_m == pytest.approx(AIRFRAME.propeller.diameter_m / 2)
    assert made.low_m[:, 2].max() == pytest.approx(frame.compass_up_m, abs=0.01)


@pytest.mark.parametrize("quads", [
    block((0, 0, 0), (1, 2, 3)),
    ball((1, 1, 1), 0.5),
    bar((0, 0, 0), (1, 1, 0.2), (0.1, 0.2), (0.05, 0.1)),
    limb((0, 0, 0), (0, 0.4, 0.3), 0.1, 0.05),
])  # fmt: skip
def test_normals_point_out(quads):
    solid = joined([Part(quads, (1.0, 1.0, 1.0))]).solid
    out = solid.middles - quads.mean(axis=(0, 1))
    assert (np.einsum("fi,fi->f", solid.normals, out) > 0.0).all()
    assert np.linalg.norm(solid.normals, axis=1) == pytest.approx(np.ones(len(quads)))


def test_nearest_arm_is_painted_last():
    made = craft(AIRFRAME, NEAR)
    from_behind_right = region_order(made, np.array([-2.0, 0.4, 1.0]))
    assert from_behind_right.index(3) > from_behind_right.index(0) > from_behind_right.index(1)
    assert from_behind_right.index(5) < from_behind_right.index(0)  # the nose is beyond
    from_front = region_order(made, np.array([2.0, -0.4, 1.0]))
    assert from_front.index(1) > from_front.index(0) > from_front.index(3)


def test_eye_and_body_measures_are_inverse():
    where = Pose(turn_of(attitude(10, 20, 30)), np.array([0.1, 0.2, 0.9]))
    body = np.array([0.3, -0.2, 0.5])
    assert where.seen_from(where.placed(body)) == pytest.approx(body)


def test_blades_at_rest_then_fans_then_a_veil():
    hub = np.array([0.16, 0.16, 0.03])

    def shapes(speed):
        return veils(hub, 0.127, speed, 0.4, 1.0, (1.0, 1.0))

    rest, idle, fast = shapes(0.0), shapes(100.0), shapes(500.0)
    assert [v.alpha for v in rest] == [1.0] * 4
    assert len(idle) == 6
    assert len(fast) == 2
    assert max(v.alpha for v in fast) < 0.4
    assert len(shapes(0.5 * STILL_RAD / SHUTTER_S)) == 4
    reach = max(np.linalg.norm((v.outline_m - hub)[:, :2], axis=1).max() for v in idle)
    assert reach == pytest.approx(0.127, abs=2e-3)


def test_broken_blades_are_short():
    hub = np.zeros(3)
    stubs = veils(hub, 0.127, 0.0, 0.0, 1.0, (0.4, 0.3))
    assert max(np.linalg.norm(v.outline_m, axis=1).max() for v in stubs) < 0.5 * 0.127


def test_things_follow_the_picture():
    assert things(views.BENCH) == []
    assert len(things(views.EMPTY)) == 0
    assert len(things(views.PAD)) == 2
    assert len(things(views.STRAY)) == 2
    far_first = things(replace(views.PAD, person_in_ring=True))
    assert [t.north_m for t in far_first] == sorted((t.north_m for t in far_first), reverse=True)
    ring = things(replace(views.EMPTY, person_in_ring=True))[0]
    assert np.hypot(ring.north_m, ring.east_m) < 1.25  # m; inside the tape


@pytest.mark.parametrize(("up_m", "seen"), [(0.0, True), (2.8, True), (4.5, False)])
def test_far_above_the_pad_it_is_out_of_sight(up_m, seen):
    for size in SIZES:
        assert in_sight(standing(AIRFRAME, up_m), views.PAD, size) == seen


def test_the_mouth_is_that_of_the_spotters_head():
    for size in SIZES:
        to_px, _, _ = shown(views.PAD, AIRFRAME, size, standing(AIRFRAME))
        x, y = mouth_px(standing(AIRFRAME), views.PAD, size)
        head_x, head_y = to_px(np.array(HEAD_M))
        assert abs(x - head_x) < 0.05 * size[0]
        assert 0.0 < y - head_y < 0.15 * size[0]


@pytest.mark.parametrize("size", SIZES)
def test_what_is_surely_in_sight_is(size):
    for north, east, up in (
        (1.35, 0, 0.2),
        (0, 1.35, 0.2),
        (0, -1.35, 0.2),
        (-0.5, 1.2, 0.1),
        (-0.5, 0, 1.2),
    ):
        near = np.array([north, east, up])
        assert north >= SURELY_NORTH_M
        assert np.linalg.norm(near) <= SURELY_M
        seen = replace(views.ON_PAD, position_m=(near[0], near[1], -near[2]))
        to_px, _, _ = shown(views.PAD, AIRFRAME, size, seen)
        assert (to_px(near) > 0.0).all()
        assert (to_px(near) < size).all()
