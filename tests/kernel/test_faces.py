"""Faces seen, lit, filled and smoothed, by hand or by slow obvious twins."""

from math import ceil, floor

import numpy as np
import pytest

from sim.kernel import faces
from sim.kernel.faces import Eye, Lit, Solid

# A face of each way out of a box of 2 x 2 x 2 m about the origin: its normal and corners.
WAYS = np.array([(1, 0, 0), (-1, 0, 0), (0, 1, 0), (0, -1, 0), (0, 0, 1), (0, 0, -1)], float)
SIDES = [np.roll(WAYS[k], 1) for k in range(6)], [np.roll(WAYS[k], 2) for k in range(6)]
QUADS = np.array(
    [[n + s * u + t * v for s, t in ((-1, -1), (1, -1), (1, 1), (-1, 1))]
     for n, u, v in zip(WAYS, *SIDES, strict=True)]
)  # fmt: skip
FOCAL, CENTRE = 300.0, (400.0, 300.0)  # px
LAMP = np.array([0.0, 0.0, 1.0])
MAIN, ABOVE, BELOW = (
    np.array([0.5, 0.4, 0.3]),
    np.array([0.2, 0.1, 0.3]),
    np.array([0.05, 0.1, 0.0]),
)


def box(colour=(0.5, 0.5, 0.5), shine=0.0, glow=0.0, at=(0.0, 0.0, 0.0), parts=1):
    """A box, or as many at one place as parts are wanted."""
    n = 6 * parts
    quads = np.tile(QUADS, (parts, 1, 1)) + at
    return Solid(
        quads, np.tile(WAYS, (parts, 1)), quads.mean(axis=1), np.tile(np.array(colour), (n, 1)),
        np.full(n, shine), np.full(n, glow), np.arange(0, n + 1, 6),
    )  # fmt: skip


def shown(solid, place, order=(0,), lamp=LAMP, exposure=1.0):
    """What is seen from a place (forward, right, up) by an eye that looks back along forward."""
    place = np.array(place, float)
    axes = np.array([(0.0, -1.0, 0.0), (0.0, 0.0, -1.0), (-1.0, 0.0, 0.0)])  # right, down, forward
    camera = np.column_stack([axes, -axes @ place])
    n = len(solid.quads)
    corners, colours, part = np.empty((n, 4, 2)), np.empty((n, 3), np.uint8), np.empty(n, np.int64)
    lit = Lit(np.array([lamp, (0.0, 0.0, 1.0)]), MAIN, ABOVE, BELOW, exposure)
    eye = Eye(place, camera, FOCAL, *CENTRE)
    m = faces.seen(solid, np.array(order), eye, lit, corners, colours, part)
    return corners[:m], colours[:m], part[:m]


def test_a_face_is_seen_from_before_it_only():
    for place, count in (((9, 0, 0), 1), ((9, 0.99, 0), 1), ((9, 3, 0), 2), ((9, 3, -3), 3)):
        assert len(shown(box(), place)[0]) == count


def test_a_corner_falls_where_a_straight_ray_goes():
    corners, _, _ = shown(box(), (9.0, 0.0, 0.5))
    # the face is 8 m away: a metre is 37.5 px; right is to the left, as the eye looks back
    expected = {(400 - 37.5, 300 - 18.75), (400 + 37.5, 300 - 18.75), (400 - 37.5, 300 + 56.25), (400 + 37.5, 300 + 56.25)}  # fmt: skip
    assert {tuple(corner) for corner in corners[0].tolist()} == expected


def test_nothing_is_drawn_nearer_than_a_hand_before_the_eye():
    corners, _, _ = shown(box(), (1.01, 0.0, 0.0))
    assert np.abs(corners - CENTRE).max() == pytest.approx(FOCAL / 0.05)  # m


def test_parts_come_in_the_order_asked_for():
    _, _, part = shown(box(parts=3), (9, 3, 0), order=(2, 0, 1))
    assert part.tolist() == [2, 2, 0, 0, 1, 1]


def told(light, exposure=1.0):
    """Display colours of light, 0..255, by the curve in steps of its own."""
    x = np.asarray(light) * exposure
    x = np.clip(x * (1 + x / 9) / (1 + 0.72 * x), 0, 1) ** (1 / 2.2)
    return 255 * (x + 0.32 * (x - 0.5) * x * (1 - x))


@pytest.mark.parametrize("exposure", [0.5, 1.0, 3.0, 40.0])
def test_a_matt_face_is_lit_by_the_lamp_before_it_and_by_half_of_what_is_above_and_below(exposure):
    colour = np.array([0.8, 0.5, 0.2])
    for angle, fall in ((0.0, 1.0), (1.0, np.cos(1.0)), (2.0, 0.0)):  # rad, from straight before it
        lamp = np.array([np.cos(angle), np.sin(angle), 0.0])
        _, colours, _ = shown(box(colour), (1e6, 0, 0), lamp=lamp, exposure=exposure)
        expected = told(colour * (fall * MAIN + 0.5 * ABOVE + 0.5 * BELOW), exposure)
        assert colours[0] == pytest.approx(expected, abs=0.51)


def test_what_looks_up_is_lit_from_above_and_what_looks_down_from_below():
    away = np.array([-1.0, 0.0, 0.0])  # no lamp before it
    for up, light in ((1, ABOVE), (-1, BELOW)):
        _, colours, _ = shown(box((0.9, 0.9, 0.9)), (1.0, 0.0, 1e6 * up), lamp=away)
        assert colours[-1] == pytest.approx(told(0.9 * light), abs=0.51)


def test_what_glows_is_bright_without_light():
    away = np.array([-0.6, 0.8, 0.0])
    _, dark, _ = shown(box(glow=0.0), (1e6, 0, 0), lamp=away)
    _, bright, _ = shown(box(glow=0.7), (1e6, 0, 0), lamp=away)
    assert bright[0] == pytest.approx(told(0.5 * (0.5 * ABOVE + 0.5 * BELOW + 0.7)), abs=0.51)
    assert (bright[0] > dark[0]).all()


@pytest.mark.parametrize("shine", [0.0, 0.4])
def test_along_an_outline_there_is_a_rim_of_light_and_a_spark_where_the_lamp_is_mirrored(shine):
    slant = 0.3  # rad; of the look along the face that looks right, which is half up
    place = 1e6 * np.array([np.cos(slant), np.sin(slant), 0.0])
    lamp = np.array([np.cos(0.5), -np.sin(0.5), 0.0])  # behind the face: neither falls on it
    half = np.array([np.cos(slant) + lamp[0], np.sin(slant) + lamp[1]])
    spark = 0.9 * shine * max(half[1] / np.hypot(*half), 0.0) ** 24
    rim = 0.5 * (0.10 + 0.25 * shine) * (1 - np.sin(slant)) ** 3
    _, colours, _ = shown(box(shine=shine), place, lamp=lamp)
    light = 0.5 * (0.5 * ABOVE + 0.5 * BELOW) + (rim + spark) * MAIN
    assert colours[1] == pytest.approx(told(light), abs=0.6)
    mirrored = np.array(
        [-np.cos(slant), np.sin(slant), 0.0]
    )  # on the other side of the face's normal
    _, colours, _ = shown(box(shine=shine), place, lamp=mirrored)
    light = 0.5 * (np.sin(slant) * MAIN + 0.5 * ABOVE + 0.5 * BELOW) + (rim + 0.9 * shine) * MAIN
    assert colours[1] == pytest.approx(told(light), abs=0.6)


def filled(corners, colours=((200, 100, 50),), size=(40, 50), left=0, top=0, fine=1):
    pixels = np.zeros(size, np.uint32)
    faces.fill(pixels, np.array(corners, float), np.array(colours, np.uint8), left, top, fine)
    return pixels


def twin(corners, size):
    """Rows of a convex face from edge to edge, every row asked anew: (least taken, most taken)."""
    points = [(int(x), int(y)) for x, y in corners]
    least, most = np.zeros(size, bool), np.zeros(size, bool)
    for y in range(size[0]):
        at = [float(x) for x, v in points if v == y]
        for (x1, y1), (x2, y2) in zip(points, points[1:] + points[:1], strict=True):
            if min(y1, y2) < y < max(y1, y2):
                at.append(x1 + (y - y1) * (x2 - x1) / (y2 - y1))
        if at:
            least[y, max(ceil(min(at)), 0) : max(floor(max(at)) + 1, 0)] = True
            most[y, max(floor(min(at)), 0) : max(ceil(max(at)) + 1, 0)] = True
    return least, most


def bends(corners):
    """Which way an outline turns at each corner, in whole pixels."""
    points = np.trunc(corners)
    along = np.roll(points, -1, axis=0) - points
    after = np.roll(along, -1, axis=0)
    return along[:, 0] * after[:, 1] - along[:, 1] * after[:, 0]


def test_a_face_takes_its_rows_from_edge_to_edge_and_nothing_beside_them():
    rng, tried = np.random.default_rng(4), 0
    while tried < 300:
        middle, long, wide = rng.uniform(-10, 60, 2), *rng.uniform(0.2, 30, 2)
        angles = rng.uniform(0, 2 * np.pi) + np.sort(rng.uniform(0, 2 * np.pi, 4))
        round_ = np.column_stack([long * np.cos(angles), wide * np.sin(angles)])
        corners = (middle + round_)[:: rng.choice([-1, 1])]
        if bends(corners).min() < 0 < bends(corners).max():  # whole pixels made a notch of it
            continue
        tried += 1
        got = filled([corners]) != 0
        least, most = twin(corners, got.shape)
        assert (least <= got).all()
        assert (got <= most).all()


def test_a_thin_face_leaves_no_hole_and_one_within_a_row_is_a_stroke():
    assert (filled([[(3.9, 2.1), (30.2, 2.9), (30.0, 2.5), (4.0, 2.2)]]) != 0).nonzero()[
        0
    ].tolist() == [2] * 28
    slanted = filled([[(5, 5), (35, 30), (35, 30), (5, 5)]]) != 0
    assert slanted.any(axis=1).sum() == 26
    assert slanted.any(axis=0).sum() >= 26


def test_faces_side_by_side_leave_no_gap():
    rng = np.random.default_rng(5)
    for _ in range(100):
        (a, b), edge = rng.uniform(0, 40, (2, 2)), np.array([[0.0, -5.0], [0.0, 45.0]])
        left = [edge[0] - (60, 0), a, b, edge[1] - (60, 0)]
        right = [a, edge[0] + (90, 0), edge[1] + (90, 0), b]
        if a[1] > b[1]:
            left, right = [left[0], b, a, left[3]], [b, right[1], right[2], a]
        rows = slice(int(min(a[1], b[1])), int(max(a[1], b[1])) + 1)
        assert filled([left, right], [(1, 1, 1)] * 2)[rows].all()


def test_a_later_face_lies_over_an_earlier_one_in_its_own_colour():
    square = np.array([(2, 2), (12, 2), (12, 12), (2, 12)])
    pixels = filled([square, square + 5], [(200, 100, 50), (10, 20, 30)])
    assert pixels[3, 3] == 0xFFC86432  # alpha, red, green, blue
    assert pixels[10, 10] == pixels[16, 16] == 0xFF0A141E
    assert np.unique(pixels).tolist() == [0, 0xFF0A141E, 0xFFC86432]


def test_a_picture_begins_where_it_is_said_and_is_as_large():
    square = np.array([(100.5, 200.0), (103.0, 200.0), (103.0, 204.5), (100.5, 204.5)])
    got = filled([square], left=98, top=199, fine=4) != 0
    rows, columns = got.nonzero()
    assert (columns.min(), columns.max(), rows.min(), rows.max()) == (10, 20, 4, 22)
    assert got.sum() == 11 * 19


def test_what_is_outside_is_left_out():
    far = [(-1e4, -1e4), (1e4, -1e4), (1e4, 1e4), (-1e4, 1e4)]
    assert (filled([far]) != 0).all()
    for away in ((-100, 0), (100, 0), (0, -100), (0, 100)):
        square = np.array([(2, 2), (12, 2), (12, 12), (2, 12)]) + away
        assert not filled([square]).any()


def test_half_as_large_each_pixel_is_the_mean_of_four():
    large = np.random.default_rng(6).integers(0, 2**32, (12, 18), dtype=np.uint32)
    small = np.zeros((6, 9), np.uint32)
    faces.halve(large, small)
    parts = large.view(np.uint8).reshape(6, 2, 9, 2, 4).astype(float)
    assert np.array_equal(
        small.view(np.uint8).reshape(6, 9, 4), np.floor(parts.mean(axis=(1, 3)) + 0.5)
    )
