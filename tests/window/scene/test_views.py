"""What a view shows, without kept pictures: everything the eye is meant to tell apart."""

import threading
from dataclasses import replace

import numpy as np
import pygame
import pytest

from sim.window.pixels.scene import ScenePainter
from sim.window.scene.craft import craft
from sim.window.scene.middle import Looks
from sim.window.scene.model import BARE, Offered
from sim.window.scene.people import VISITOR_M
from sim.window.scene.ready import over
from sim.window.scene.view import factor, glance_rect, middle_px, outlook, pose
from tests.window.scene import views
from tests.window.scene.views import changed, painted

NEAR = Looks(False, False, False, False, False, False, True)
ASIDE_M = (2.5, -1.3, views.ON_PAD.position_m[2])  # far left on the floor; the eye rests on the pad


@pytest.mark.parametrize("room", [views.PAD, views.BENCH, views.FLOOR, views.CUPBOARD])
@pytest.mark.parametrize("size", [(640, 360), (935, 526), (500, 500), (900, 300)])
def test_whole_surface_is_filled(painter, room, size):
    seen = painted(painter, views.ON_PAD, room, size)
    assert not (seen == (255, 0, 255)).all(axis=2).any()


def test_same_input_same_picture(painter):
    first = painted(painter, views.HOVER, views.PAD)
    second = painted(ScenePainter(), views.HOVER, views.PAD)
    again = painted(painter, views.HOVER, views.PAD)  # by now kept as a still
    assert np.array_equal(first, second)
    assert np.array_equal(first, again)
    assert np.array_equal(first, painted(painter, views.HOVER, views.PAD))


@pytest.mark.parametrize(
    ("change", "least_px"),
    [
        ({"fitted": BARE}, 400),
        ({"pack_plugged": False}, 60),
        ({"nose_marked": False}, 40),
        ({"powered": False}, 12),
        ({"armed": True}, 12),
        ({"rotor_speed_rad_s": (0.0, 300.0, 0.0, 0.0)}, 150),
        ({"attitude": views.attitude(roll_deg=5.0)}, 500),
        ({"hold": "clamp"}, 800),
        ({"hold": "hands"}, 800),
    ],
)
def test_state_of_the_aircraft_is_plain_at_the_bench(painter, change, least_px):
    before = painted(painter, views.ON_PAD, views.BENCH)
    after = painted(painter, replace(views.ON_PAD, **change), views.BENCH)
    assert changed(before, after).sum() >= least_px


@pytest.mark.parametrize(
    "change",
    [{"spotter": True}, {"barrier": True}, {"person_in_ring": True}],
)
def test_people_and_barrier_are_plain_from_the_pad(painter, change):
    before = painted(painter, views.ON_PAD, views.EMPTY)
    after = painted(painter, views.ON_PAD, replace(views.EMPTY, **change))
    assert changed(before, after).sum() > 400


def test_goggles_are_seen(painter):
    bare = replace(views.PAD, goggles=False)
    before, after = (painted(painter, views.ON_PAD, room) for room in (bare, views.PAD))
    assert changed(before, after).sum() > 15


def test_crash_leaves_bits_on_the_floor(painter):
    whole = painted(painter, replace(views.CRASH, broken=False, fitted=BARE), views.EMPTY)
    wreck = painted(painter, views.CRASH, views.EMPTY)
    _, x = np.nonzero(changed(whole, wreck))
    assert len(x) > 300
    assert np.ptp(x) > 120  # px; they are strewn about, not only at the hubs


def test_height_moves_aircraft_and_shadow_apart(painter):
    empty = painted(painter, replace(views.ON_PAD, position_m=ASIDE_M), views.EMPTY)
    rows = {}
    for height in (0.3, 0.9):
        seen = painted(painter, replace(views.HOVER, position_m=(0.0, 0.0, -height)), views.EMPTY)
        rows[height] = np.flatnonzero(changed(empty, seen)[:, 250:].any(axis=1))
    assert rows[0.9].min() < rows[0.3].min() - 40  # px; the aircraft goes up
    assert abs(rows[0.9].max() - rows[0.3].max()) < 25  # px; its shadow stays on the floor


def test_hidden_behind_a_person(painter):
    """Straight beyond the person in the ring, as the pilot sees it, the aircraft is hidden."""
    room = replace(views.EMPTY, person_in_ring=True)
    away = replace(views.ON_PAD, position_m=ASIDE_M)
    alone, there = painted(painter, away, views.EMPTY), painted(painter, away, room)
    figure = changed(alone, there)
    pilot_m = np.array([views.SITE.room.pilot_north_m, 0.0])
    north, east = pilot_m + 1.27 * (VISITOR_M - pilot_m)
    at = replace(views.HOVER, position_m=(north, east, -1.1), fitted=BARE)
    hidden = changed(there, painted(painter, at, room)) & figure
    open_ = changed(alone, painted(painter, at, views.EMPTY)) & figure
    assert open_.sum() > 200
    assert hidden.sum() < 0.35 * open_.sum()  # only its shadow and blurred edges are left


def test_prepare_from_another_thread():
    painter = ScenePainter()
    assert not painter.ready((320, 180), views.ON_PAD, views.PAD)
    worker = threading.Thread(target=painter.prepare, args=((320, 180), views.ON_PAD, views.PAD))
    worker.start()
    worker.join()
    assert painter.ready((320, 180), views.ON_PAD, views.PAD)
    painted(painter, views.ON_PAD, views.PAD, (320, 180))


def test_a_bigger_room_is_baked_anew(painter):
    big = views.SITE.room.model_copy(
        update={"north_m": 6.0, "south_m": -6.0, "east_m": 4.0, "west_m": -4.0, "ceiling_m": 4.0}
    )
    room = replace(views.PAD, room=big)
    usual = painted(painter, views.ON_PAD, views.PAD, (320, 180))
    other = painted(painter, views.ON_PAD, room, (320, 180))
    assert changed(usual, other).mean() > 0.2
    assert other.mean() > 60  # of 255; it is not a dark hole


def test_paint_into_a_part_of_a_surface(painter):
    whole = pygame.Surface((700, 400), depth=32)
    painter.paint(whole.subsurface((30, 20, 640, 360)), views.HOVER, views.PAD)
    assert whole.get_at((10, 10))[:3] == (0, 0, 0)
    part = pygame.surfarray.array3d(whole)[30:670, 20:380].swapaxes(0, 1)
    assert np.array_equal(part, painted(painter, views.HOVER, views.PAD))


def test_the_visitor_is_seen_from_the_bench_too(painter):
    """In the glance at the pad, and nowhere else."""
    alone = replace(views.BENCH, person_in_ring=False)
    before = painted(painter, views.UNPLUGGED, alone)
    after = painted(painter, views.UNPLUGGED, replace(alone, person_in_ring=True))
    x, y, w, h = glance_rect(views.SMALL)
    seen = changed(before, after)
    assert seen[y : y + h, x : x + w].sum() > 150
    seen[y : y + h, x : x + w] = False
    assert not seen.any()


def test_the_set_up_cable_runs_from_the_board_to_the_display(painter):
    out = replace(views.UNPLUGGED, cabled=False)
    before = painted(painter, out, views.BENCH)
    plugged = changed(before, painted(painter, replace(out, cabled=True), views.BENCH))
    _, x = np.nonzero(plugged)
    assert plugged.sum() > 150
    assert np.ptp(x) > 100  # px; it is no more than a line
    assert plugged.sum() < 12 * np.ptp(x)


def test_a_propeller_lies_on_the_bench_until_it_is_on_its_corner(painter):
    """Each time one goes on, something changes at the left on the bench, and something on the aircraft."""
    before = painted(painter, views.UNPLUGGED, views.BENCH)
    for k in range(4):
        on = (True, k >= 1, k >= 2, k >= 3)
        after = painted(painter, replace(views.UNPLUGGED, fitted=on), views.BENCH)
        seen = changed(before, after)
        assert seen[:, :150].sum() > 40
        assert seen[:, 180:].sum() > 100
        before = after


@pytest.mark.parametrize("speed", [30.0, 110.0, 400.0])
def test_a_bare_motor_is_seen_to_turn(painter, speed):
    still = replace(views.CLAMPED, fitted=BARE, rotor_speed_rad_s=(0.0,) * 4)
    turning = replace(still, rotor_speed_rad_s=(0.0, 0.0, speed, 0.0))
    before, after = (painted(painter, seen, views.BENCH) for seen in (still, turning))
    assert changed(before, after).sum() > 25


@pytest.mark.parametrize("corner", range(4))
def test_a_propeller_in_the_hand_is_over_its_corner_and_no_longer_lies_there(painter, corner):
    look = outlook(views.BENCH)
    body = craft(views.AIRFRAME, NEAR)
    held = Offered(corner, views.UNPLUGGED.propellers[corner], corner)
    before = painted(painter, views.UNPLUGGED, views.BENCH)
    after = painted(painter, replace(views.UNPLUGGED, offered=held), views.BENCH)
    away = replace(held, lay_at=None)
    spare = painted(painter, replace(views.UNPLUGGED, offered=away), views.BENCH)
    if corner != 0:  # there the sleeve lies before the row
        assert changed(after, spare)[:, :170].sum() > 30  # a spare leaves the row as it is
    where = pose(views.UNPLUGGED, look, body)
    size = views.SMALL
    times = factor(look, size, body.size.reach_m)
    middle = middle_px(look, size, times, where)
    first = look.camera.corner(times, size, middle, where.origin_m)
    x, y = look.camera.lens(times).project(over(corner, body, where))[0] - first
    seen = changed(before, after)
    if 10 < y < size[1] - 10:
        assert seen[round(y) - 8 : round(y) + 8, round(x) - 8 : round(x) + 8].mean() > 0.5
    assert seen.sum() > 600


@pytest.mark.parametrize("change", [{"clockwise": False}, {"marks_up": False}, {"span": 0.9}])
def test_which_propeller_is_in_the_hand_is_seen(painter, change):
    held = Offered(1, views.UNPLUGGED.propellers[1], None)
    other = replace(held, seen=replace(held.seen, **change))
    a, b = (
        painted(painter, replace(views.UNPLUGGED, offered=o), views.BENCH) for o in (held, other)
    )
    assert changed(a, b).sum() > 30
