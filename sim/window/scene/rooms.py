"""The garage as seen from the pilot's place: what stands where, and its light."""

from dataclasses import replace

import numpy as np

from sim.aircraft.site import Room
from sim.window.scene.camera import Camera
from sim.window.scene.light import Stage
from sim.window.scene.solids import Block, Lamp, Paint, Point, linear

EYE_UP_M = 1.62  # m; own: eye of a standing person
PAD_PX = (1540, 1540)  # px; own: up to 3.3 m over the pad, so that the eye can follow it
PAD_AXIS_PX = (770.0, 1107.0)  # px; own: the floor's near edge stays where it was
WIDTH_RAD = 1.19  # rad; own: 68 degrees, wide enough for walls, narrow enough for the craft

# Paints of the garage: colours and gloss own.
WALL = Paint("masonry", linear("ece2cd"), linear("a3a493"))
FLOOR = Paint("concrete", linear("a9a296"), linear("efe6d2"), gloss=0.5)
CEILING = Paint("plain", linear("ece7dc"))
MAT = Paint("mat", linear("3b3f42"), linear("ddd5c0"))
WOOD = Paint("planks", linear("bd8a52"), gloss=0.25)
PALE_WOOD = Paint("planks", linear("d2ab74"))
PALE_POST = Paint("upright", linear("d2ab74"))
STEEL = Paint("plain", linear("6d7478"), gloss=0.3)
DARK = Paint("plain", linear("43474a"))
DOOR = Paint("ribs", linear("c3c7bd"))
FRAME = Paint("plain", linear("efe9dc"))
CARD = Paint("card", linear("b98d5c"))
CARD_PALE = Paint("card", linear("cfae80"))
CRATE = Paint("plain", linear("7f8f86"))
CLOTH = Paint("plain", linear("8a6f5a"))
TIN = Paint("plain", linear("b9b4a8"), gloss=0.5)
CREAM = Paint("plain", linear("e9dcc0"))
PLUM = Paint("plain", linear("7a626c"))
SLATE = Paint("plain", linear("51656d"))
HOLES = Paint("holes", linear("b08d68"))
SKY = Paint("sky", (0.92, 0.96, 1.0), (0.50, 0.58, 0.46), glow=1.0)
TUBE = Paint("plain", (1.0, 0.95, 0.86), glow=7.0)


def box(low: Point, high: Point, paint: Paint, turn_deg: float = 0.0) -> Block:
    """Return a box."""
    return Block(low, high, paint, float(np.radians(turn_deg)))


def post(middle: Point, radius_m: float, height_m: float, paint: Paint) -> Block:
    """Return an upright post standing at a point."""
    x, y, z = middle
    r = radius_m
    return Block((x - r, y - r, z), (x + r, y + r, z + height_m), paint, post=True)


def pad_camera(room: Room) -> Camera:
    """Return the pilot's eye: behind the pad, looking over it."""
    north = room.pilot_north_m
    aim = (north + 3.0, 0.0, EYE_UP_M - 0.80)
    return Camera((north, 0.0, EYE_UP_M), aim, WIDTH_RAD, PAD_PX, PAD_AXIS_PX)


def _shell(r: Room) -> list[Block]:
    n, s, e, w, up, t = r.north_m, r.south_m, r.east_m, r.west_m, r.ceiling_m, 0.2
    walls = [
        box((s - t, w - t, -t), (n + t, e + t, 0.0), FLOOR),
        box((s - t, w - t, up), (n + t, e + t, up + t), CEILING),
        box((n, w - t, 0.0), (n + t, e + t, up), WALL),
        box((s - t, w - t, 0.0), (s, e + t, up), WALL),
        box((s - t, e, 0.0), (n + t, e + t, up), WALL),
        box((s - t, w - t, 0.0), (n + t, w, up), WALL),
    ]
    return [replace(wall, shell=True) for wall in walls]


def _pad() -> list[Block]:
    return [box((-0.6, -0.6, 0.0), (0.6, 0.6, 0.006), MAT)]


def _door(r: Room) -> list[Block]:
    """Return the up-and-over door in the north wall: ribbed leaf, frame, handle."""
    n = r.north_m
    return [
        box((n - 0.03, -1.10, 0.0), (n, 1.10, 2.05), DOOR),
        box((n - 0.07, -1.19, 0.0), (n, -1.10, 2.14), FRAME),
        box((n - 0.07, 1.10, 0.0), (n, 1.19, 2.14), FRAME),
        box((n - 0.07, -1.19, 2.05), (n, 1.19, 2.14), FRAME),
        box((n - 0.045, -1.10, 1.02), (n, 1.10, 1.05), FRAME),
        box((n - 0.07, -0.09, 0.93), (n, 0.09, 0.97), DARK),
    ]


def _bench(r: Room) -> list[Block]:
    """Return the long workbench on the west wall, its tool board and what lies there."""
    w = r.west_m
    end = 2.05
    out = [
        box((r.south_m + 0.2, w, 0.84), (end, w + 0.62, 0.89), WOOD),
        box((r.south_m + 0.3, w + 0.54, 0.74), (end - 0.1, w + 0.57, 0.84), PALE_WOOD),
        box((r.south_m + 0.3, w + 0.06, 0.22), (end - 0.1, w + 0.50, 0.25), PALE_WOOD),
        box((-0.2, w, 1.16), (1.75, w + 0.02, 1.82), HOLES),
        box((-3.05, w + 0.55, 0.89), (-2.75, w + 0.78, 1.06), STEEL),
    ]
    out += [
        box((x, w + y, 0.0), (x + 0.07, w + y + 0.07, 0.84), PALE_POST)
        for x in (-1.2, 0.4, end - 0.17)
        for y in (0.03, 0.48)
    ]
    out += [
        box((x, w + 0.10, 0.25), (x + 0.42, w + 0.46, 0.25 + h), p)
        for x, h, p in ((-0.1, 0.30, CARD), (0.52, 0.22, CRATE), (1.05, 0.34, CARD_PALE))
    ]
    out += [
        box((x, w + 0.02, z), (x + a, w + 0.045, z + b), p)
        for x, z, a, b, p in (
            (0.0, 1.30, 0.03, 0.34, PLUM),
            (0.10, 1.36, 0.03, 0.28, SLATE),
            (0.20, 1.40, 0.03, 0.24, DARK),
            (0.42, 1.28, 0.05, 0.36, STEEL),
            (0.36, 1.60, 0.17, 0.06, DARK),
            (0.72, 1.34, 0.26, 0.03, STEEL),
            (0.72, 1.42, 0.30, 0.03, STEEL),
            (0.72, 1.50, 0.22, 0.03, STEEL),
            (1.20, 1.32, 0.04, 0.32, CLOTH),
            (1.34, 1.40, 0.22, 0.22, CREAM),
        )
    ]
    out += [
        box((1.40, w + 0.12, 0.89), (1.80, w + 0.40, 1.10), SLATE),
        box((1.42, w + 0.14, 1.10), (1.78, w + 0.38, 1.115), CREAM),
        post((1.12, w + 0.22, 0.89), 0.06, 0.14, TIN),
        post((0.92, w + 0.30, 0.89), 0.045, 0.10, CREAM),
        box((0.3, w + 0.14, 0.89), (0.62, w + 0.42, 0.905), CLOTH, 12),
        post((0.62, w + 0.15, 0.89), 0.07, 0.02, DARK),
        post((0.62, w + 0.15, 0.91), 0.012, 0.40, DARK),
        box((0.56, w + 0.12, 1.29), (0.70, w + 0.34, 1.34), CREAM),
    ]
    return out


def _shelves(r: Room) -> list[Block]:
    """Return open shelves in the north-west corner with boxes and tins."""
    n, w = r.north_m - 0.03, r.west_m + 0.03
    out = [
        box((n - 0.42, w, z), (n, w + 1.0, z + 0.03), PALE_WOOD) for z in (0.18, 0.72, 1.26, 1.80)
    ]
    out += [
        box((n - x, w + y, 0.0), (n - x + 0.04, w + y + 0.04, 2.0), SLATE)
        for x in (0.44, 0.05)
        for y in (0.0, 0.96)
    ]
    out += [
        box((n - 0.38, w + y, z), (n - 0.04, w + y + a, z + b), p, t)
        for y, z, a, b, p, t in (
            (0.08, 0.21, 0.40, 0.30, CARD, 0),
            (0.54, 0.21, 0.36, 0.24, CRATE, 0),
            (0.10, 0.75, 0.30, 0.22, CARD_PALE, 3),
            (0.50, 0.75, 0.40, 0.32, CARD, -3),
            (0.08, 1.29, 0.26, 0.30, PLUM, 0),
            (0.40, 1.29, 0.10, 0.26, CREAM, 0),
            (0.12, 1.83, 0.42, 0.24, CARD, 5),
            (0.60, 1.83, 0.26, 0.14, CARD_PALE, 0),
        )
    ]
    out += [
        post((n - 0.22, w + 0.62 + 0.15 * k, 1.29), 0.065, 0.17, p)
        for k, p in enumerate((TIN, SLATE))
    ]
    return out


def _east_side(r: Room) -> list[Block]:
    """Return the window in the east wall, boxes and tins below it, a broom in the corner."""
    e = r.east_m
    lo, hi, sill, top = 1.55, 3.05, 1.12, 1.98
    out = [
        box((lo, e - 0.012, sill), (hi, e, top), SKY),
        box((lo - 0.06, e - 0.04, sill - 0.07), (hi + 0.06, e, sill), FRAME),
        box((lo - 0.06, e - 0.10, sill - 0.03), (hi + 0.06, e, sill), FRAME),
        box((lo - 0.06, e - 0.04, top), (hi + 0.06, e, top + 0.06), FRAME),
        box((lo - 0.06, e - 0.04, sill), (lo, e, top), FRAME),
        box((hi, e - 0.04, sill), (hi + 0.06, e, top), FRAME),
        box(((lo + hi) / 2 - 0.02, e - 0.035, sill), ((lo + hi) / 2 + 0.02, e, top), FRAME),
    ]
    out += [
        box((1.75, e - 0.62, 0.0), (2.35, e - 0.10, 0.44), CARD, 6),
        box((1.86, e - 0.52, 0.44), (2.28, e - 0.16, 0.72), CARD_PALE, -9),
        box((2.55, e - 0.50, 0.0), (2.95, e - 0.06, 0.30), CRATE),
        post((1.42, e - 0.24, 0.0), 0.12, 0.26, TIN),
        post((1.18, e - 0.18, 0.0), 0.09, 0.19, SLATE),
        post((1.42, e - 0.24, 0.26), 0.123, 0.012, DARK),
        box((r.north_m - 0.55, e - 0.50, 0.05), (r.north_m - 0.10, e - 0.08, 1.15), PLUM),
        box((r.north_m - 0.52, e - 0.48, 0.0), (r.north_m - 0.10, e - 0.10, 0.05), DARK),
        box((r.north_m - 0.565, e - 0.49, 0.07), (r.north_m - 0.55, e - 0.295, 1.13), PLUM),
        box((r.north_m - 0.565, e - 0.285, 0.07), (r.north_m - 0.55, e - 0.09, 1.13), PLUM),
        box((r.north_m - 0.58, e - 0.33, 0.62), (r.north_m - 0.565, e - 0.315, 0.74), CREAM),
        box((r.north_m - 0.58, e - 0.265, 0.62), (r.north_m - 0.565, e - 0.25, 0.74), CREAM),
        box((r.north_m - 0.57, e - 0.51, 1.15), (r.north_m - 0.08, e - 0.07, 1.18), DARK),
    ]
    return out


def _lamps(r: Room) -> tuple[list[Block], tuple[Lamp, ...]]:
    up, e = r.ceiling_m, r.east_m
    tubes, lamps = [], []
    more = (up / 2.6) ** 2  # own: higher lamps are stronger ones
    tube = (20.0 * more, 18.0 * more, 14.8 * more)
    for north in (-1.4, 1.3):
        tubes.append(box((north - 0.6, -0.06, up - 0.06), (north + 0.6, 0.06, up - 0.02), TUBE))
        lamps.append(Lamp((north, 0.0, up - 0.07), (0.6, 0.0, 0.0), (0.0, -0.10, 0.0), tube))
    lamps.append(Lamp((2.3, e - 0.11, 1.55), (0.75, 0.0, 0.0), (0.0, 0.0, 0.43), (9.2, 9.5, 9.9)))
    lamps.append(
        Lamp((0.63, r.west_m + 0.23, 1.28), (0.06, 0.0, 0.0), (0.0, -0.09, 0.0), (44.0, 32.0, 18.0))
    )
    return tubes, tuple(lamps)


def pad_stage(room: Room) -> Stage:
    """Return the garage round the pad."""
    tubes, lamps = _lamps(room)
    blocks = _shell(room) + _pad() + _door(room) + _bench(room) + _shelves(room) + _east_side(room)
    return Stage(tuple(blocks + tubes), lamps, (0.42, 0.40, 0.37), 1.7)
