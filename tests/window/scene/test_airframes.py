"""Every airframe is drawn from its file: rotors to a pixel, sizes in proportion, shadow from the same."""

from dataclasses import replace

import numpy as np
import pytest

from sim.aircraft import library
from sim.kernel.frames import Quat, Vec3, to_world
from sim.window.scene.camera import magnified
from sim.window.scene.craft import craft
from sim.window.scene.middle import Looks
from sim.window.scene.ready import loose
from sim.window.scene.rotors import at_rest
from sim.window.scene.shadow import outlines, shadow
from sim.window.scene.view import factor, outlook, pose
from tests.window.scene import views
from tests.window.scene.views import as_designed, attitude, changed, painted

NAMES = library.names("airframes")
NEAR = Looks(True, True, True, False, False, True, True)
SIZE = (870, 375)  # px; the picture beside the folder


def seen(airframe, **changes):
    place = (0.0, 0.0, -airframe.frame.foot_down_m)
    made = replace(views.ON_PAD, airframe=airframe, propellers=as_designed(airframe))
    return replace(made, **{"position_m": place, **changes})


def at(airframe, up_m, q):
    """Rotor centres in the scene by the kernel's own frames and the file's own measures."""
    f = airframe.frame
    out = []
    for forward, right in f.rotors_m.points:
        w = to_world(Quat(*q), Vec3(forward, right, -f.rotor_up_m))
        out.append((w.x, w.y, up_m - w.z))
    return np.array(out)


@pytest.mark.parametrize("angles", [(0, 0, 0), (12, -8, 40)])
@pytest.mark.parametrize("name", NAMES)
def test_projected_rotor_centres_are_those_of_the_file(name, angles):
    airframe, q = library.airframe(name), attitude(*angles)
    look, body = outlook(views.PAD), craft(airframe, NEAR)
    where = pose(seen(airframe, attitude=q, position_m=(0.0, 0.0, -1.0)), look, body)
    lens = look.camera.lens(factor(look, SIZE, body.size.reach_m))
    ours, _ = lens.project(where.placed(body.hubs_m))
    theirs, _ = lens.project(at(airframe, 1.0, q))
    assert np.abs(ours - theirs).max() < 1.0  # px


@pytest.mark.parametrize("room", [views.PAD, views.BENCH])
@pytest.mark.parametrize("name", NAMES)
def test_a_disc_in_the_picture_is_as_wide_as_the_file_says(painter, name, room):
    """What changes in the finished picture with a shorter propeller reaches to the rim, no further."""
    airframe = library.airframe(name)
    whole = seen(airframe, rotor_speed_rad_s=(400.0,) * 4)
    look, body = outlook(room), craft(airframe, NEAR)
    where = pose(whole, look, body)
    lens = look.camera.lens(factor(look, SIZE, body.size.reach_m))
    for k in (2, 3):  # the near ones: nothing stands before them
        short = [replace(p, span=0.5 if i == k else 1.0) for i, p in enumerate(whole.propellers)]
        before = painted(painter, whole, room, SIZE)
        after = painted(painter, replace(whole, propellers=tuple(short)), room, SIZE)
        _, columns = np.nonzero(np.abs(before.astype(int) - after).max(axis=2) > 6)
        _, far = lens.project(where.placed(body.hubs_m[k]))
        wide_px = lens.focal_px * airframe.propeller.diameter_m / float(far)
        assert np.ptp(columns) == pytest.approx(wide_px, abs=2.0 + 0.05 * wide_px)


@pytest.mark.parametrize("name", NAMES)
def test_measures_are_in_proportion(name):
    airframe = library.airframe(name)
    f, body = airframe.frame, craft(airframe, NEAR)
    low, size = body.low_m, body.size
    assert low[:, 2].min() == pytest.approx(-f.foot_down_m, abs=1e-4)
    assert body.feet_m[1] == pytest.approx([f.foot_forward_m, f.foot_right_m, -f.foot_down_m])
    assert size.radius_m == airframe.propeller.diameter_m / 2
    wide = np.abs(low[:, 1]).max()
    tips = np.abs(size.tips_m[:, 1]).max()
    assert tips <= wide < tips + 2.5 * size.bell_m + 0.01
    corners = [(x, y) for x in (size.pack_m[0] - size.pack_aft_m, -size.pack_aft_m)
               for y in (-size.pack_m[1] / 2, size.pack_m[1] / 2)]  # fmt: skip
    gaps = np.linalg.norm(np.array(corners)[:, None] - size.tips_m[None], axis=2)
    assert gaps.min() > size.radius_m  # no blade cuts the pack
    assert (size.root_m < size.arms_m - size.bell_m).all()  # the middle stays clear of the motors


def test_larger_aircraft_are_drawn_larger_and_none_is_tiny():
    wide: dict[str, list[tuple[float, float]]] = {}
    for name in NAMES:
        airframe = library.airframe(name)
        for room in (views.PAD, views.BENCH):
            look, body = outlook(room), craft(airframe, NEAR)
            lens = look.camera.lens(factor(look, SIZE, body.size.reach_m))
            where = pose(seen(airframe), look, body)
            _, far = lens.project(where.origin_m)
            share = 2.0 * body.size.reach_m * lens.focal_px / float(far) / SIZE[0]
            wide.setdefault(room.view, []).append((body.size.reach_m, share))
    for view, pairs in wide.items():
        shares = [share for _, share in sorted(pairs)]
        assert shares == sorted(shares), view
        assert shares[0] > 0.08
        assert shares[-1] < 0.95


def test_all_but_the_smallest_are_seen_at_one_scale_on_the_pad():
    look = outlook(views.PAD)
    reaches = sorted(craft(library.airframe(n), NEAR).size.reach_m for n in NAMES)
    factors = [factor(look, SIZE, reach) for reach in reaches]
    assert factors[0] > 1.5 * factors[2]
    assert factors[2:] == pytest.approx([magnified(SIZE)] * (len(NAMES) - 2))


@pytest.mark.parametrize("name", NAMES)
def test_the_shadow_is_cast_by_the_same_rotors_and_feet(name):
    airframe = library.airframe(name)
    look, body = outlook(views.PAD), craft(airframe, NEAR)
    where = pose(seen(airframe), look, body)
    lens = look.camera.lens()
    cast = shadow(body, where, lens, np.array([0.0, 0.0, 900.0]), 0.0, (0.4, 0.0, 0.4, 0.4))
    discs = [o.mean(axis=0) for o in outlines(body)[:4]]
    assert np.array(discs) == pytest.approx(body.hubs_m, abs=1e-9)
    assert len(cast.shapes) == len(outlines(body)) - 1  # a corner is bare
    under, _ = lens.project(where.placed(body.hubs_m) * (1.0, 1.0, 0.0))  # a lamp far above
    shown = np.array([outline.mean(axis=0) for outline, _ in cast.shapes[:3]])
    assert np.abs(shown - under[[0, 2, 3]]).max() < 1.5  # px; a disc in perspective, not a point


@pytest.mark.parametrize("clockwise", [True, False])
def test_the_edge_that_goes_first_is_the_high_one(clockwise):
    prop = replace(as_designed(views.AIRFRAME)[0], clockwise=clockwise)
    for veil in at_rest(np.zeros(3), 0.1, 0.0, prop, (1.0, 0.5))[:3]:
        up = veil.outline_m[np.abs(veil.outline_m[:, 2]) > 1e-6]
        first = up[:, 1] if clockwise else -up[:, 1]  # along the nose, clockwise goes right
        assert (np.sign(first) == np.sign(up[:, 2])).all()


@pytest.mark.parametrize(
    ("change", "least_px"),
    [({"clockwise": False}, 60), ({"marks_up": False}, 200), ({"span": 0.9}, 30), ({"nicked": True}, 6)],
)  # fmt: skip
def test_a_wrong_propeller_is_seen_from_near(painter, change, least_px):
    right = seen(views.AIRFRAME)
    pieces = list(right.propellers)
    assert pieces[1].clockwise
    pieces[1] = replace(pieces[1], **change)
    before = painted(painter, right, views.BENCH, SIZE)
    after = painted(painter, replace(right, propellers=tuple(pieces)), views.BENCH, SIZE)
    assert changed(before, after).sum() >= least_px


@pytest.mark.parametrize("name", NAMES)
def test_what_is_off_lies_left_of_the_aircraft_in_order_clear_of_it(name):
    airframe = library.airframe(name)
    body, pieces = craft(airframe, NEAR), as_designed(airframe)
    one = len(loose(pieces, (True, True, True, False), body, 0.0))
    row = loose(pieces, (False,) * 4, body, 0.0)
    assert loose(pieces, (True,) * 4, body, 0.0) == []
    assert len(row) == 4 * one
    hubs = [row[k * one + one - 1].outline_m.mean(axis=0) for k in range(4)]
    east = [hub[1] for hub in hubs]
    assert east == sorted(east, reverse=True)
    nearest = max(veil.outline_m[:, 1].max() for veil in row)
    assert nearest < (body.low_m[:, 1].min() - 0.2 * body.size.radius_m)
