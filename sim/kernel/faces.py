"""Faces of solids as the eye sees them, and their pixels: compiled and kept like the flight model.

Body axes here: forward, right, up (m); pictures: x right, y down (px). The equation of the light is
Lambert's for what falls on a face, with a rim and a shine of our own for looks; no physics hangs on it.
"""

from math import ceil, floor, sqrt
from typing import NamedTuple

import numpy as np

from sim.kernel.jit import compiled, entry

NEAR_M = 0.05  # m; own: nothing is drawn nearer
RIM, RIM_SHINE = 0.10, 0.25  # 1; own: light along an outline, and how much more on what shines
SPARK = 0.9  # 1; own: how bright the lamp is in what shines
OPAQUE = 0xFF000000  # 1; a pixel is alpha, red, green, blue, eight bits each
EVENS = 0x00FF00FF  # 1; two of the four, with room between to add them up
ROUND = 0x00020002  # 1; half of what four pixels of each are divided by


class Solid(NamedTuple):
    """Faces of convex parts, one row a face, those of a part one after another.

    quads : (n, 4, 3), m; normals : (n, 3), out of the part; middles : (n, 3), m; colours : (n, 3),
    linear; shine, glow : (n), shares; starts : (parts + 1), rows at which parts begin.
    """

    quads: np.ndarray
    normals: np.ndarray
    middles: np.ndarray
    colours: np.ndarray
    shine: np.ndarray
    glow: np.ndarray
    starts: np.ndarray


class Eye(NamedTuple):
    """Where a solid is seen from, in its own axes.

    place : (3), m; camera : (3, 4), turns a point (forward, right, up, 1) into right, down, forward
    of the eye, m; focal, centre_x, centre_y : px.
    """

    place: np.ndarray
    camera: np.ndarray
    focal: float
    centre_x: float
    centre_y: float


class Lit(NamedTuple):
    """Light on a solid: rows of `ways` are the lamp's and that up, unit vectors in its own axes.

    main, above, below : (3), strengths of the lamp and of the light from above and below.
    """

    ways: np.ndarray
    main: np.ndarray
    above: np.ndarray
    below: np.ndarray
    exposure: float


@compiled
def toned(light_in, exposure):
    """Return display values 0..1: bright parts eased off, then the display's own curve."""
    x = light_in * exposure
    x = x * (1 + x / 9.0) / (1 + x * 0.72)  # own: a gentle shoulder
    x = np.minimum(np.maximum(x, 0), 1) ** (1 / 2.2)
    return x + 0.16 * (x - 0.5) * x * (1 - x) * 2  # own: a little contrast


@compiled
def dot(a, b):
    """Return the product of two vectors."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


@compiled
def shade(out, solid, i, look, far, lit):
    """Write the display colour (3) of a face; `look` is the way from it to the eye, `far` long."""
    normal, shine = solid.normals[i], solid.shine[i]
    lamp, up = lit.ways[0], 0.5 + 0.5 * dot(normal, lit.ways[1])
    fall = max(dot(normal, lamp), 0.0)
    away = 1.0 - min(dot(normal, look) / far, 1.0)
    rim = away * away * away * (RIM + RIM_SHINE * shine) * up
    half = (look[0] / far + lamp[0], look[1] / far + lamp[1], look[2] / far + lamp[2])
    spark = max(dot(normal, half) / sqrt(dot(half, half)), 0.0) ** 24 * shine * SPARK
    for k in range(3):
        falls = fall * lit.main[k] + up * lit.above[k] + (1.0 - up) * lit.below[k] + solid.glow[i]
        light = solid.colours[i, k] * falls + (rim + spark) * lit.main[k]
        out[k] = int(toned(light, lit.exposure) * 255.0 + 0.5)


@compiled
def project(out, point, eye):
    """Write where a point (3) falls in the picture (2), px."""
    m = eye.camera
    scale = eye.focal / max(dot(m[2], point) + m[2, 3], NEAR_M)
    out[0] = eye.centre_x + scale * (dot(m[0], point) + m[0, 3])
    out[1] = eye.centre_y + scale * (dot(m[1], point) + m[1, 3])


@entry
def seen(solid, order, eye, lit, corners, colours, part):
    """Write the faces turned to the eye, part by part in the order given; return how many they are.

    order : int64[parts]. Written from the first row on: corners : float64[n, 4, 2], px; colours :
    uint8[n, 3]; part : int64[n], whose face it is. n is at least the solid's number of faces.
    """
    n = 0
    for k in order:
        for i in range(solid.starts[k], solid.starts[k + 1]):
            middle = solid.middles[i]
            look = (
                eye.place[0] - middle[0],
                eye.place[1] - middle[1],
                eye.place[2] - middle[2],
            )
            if dot(solid.normals[i], look) <= 0.0:
                continue
            shade(colours[n], solid, i, look, sqrt(dot(look, look)), lit)
            for j in range(4):
                project(corners[n, j], solid.quads[i, j], eye)
            part[n] = k
            n += 1
    return n


@compiled
def follow(x1, y1, x2, y2, lowest, first, last, met):
    """Take an edge into the first and the last pixel of each row it comes into.

    It does not count on the row where it ends, unless that is the face's lowest. Of a row's two
    edges the first met is taken a pixel to the left, the other to the right, where it falls between.
    """
    if y1 > y2:
        x1, y1, x2, y2 = x2, y2, x1, y1
    end = min(y2 + 1 if y2 == lowest else y2, met.size)
    for y in range(max(y1, 0), end if y1 < y2 else 0):
        at = float((y - y1) * (x2 - x1)) / (y2 - y1)
        x = x1 + int(ceil(at) if met[y] == 1 else floor(at))
        first[y] = x if met[y] == 0 else min(first[y], x)
        last[y] = x if met[y] == 0 else max(last[y], x)
        met[y] += 1


@entry
def fill(pixels, corners, colours, left, top, fine):
    """Fill faces of one colour each into a picture, a later one over an earlier one.

    pixels : uint32[rows, columns]; corners : float64[n, 4, 2]; colours : uint8[n, 3]. The picture
    begins at (left, top) of what corners are measured in, and is `fine` times as large.
    A face takes every pixel that one of its corners is in, and the rows between from edge to edge:
    so faces side by side leave no gap, and a thin one no hole.
    """
    rows, columns = pixels.shape
    xs, ys = np.empty(4, np.int64), np.empty(4, np.int64)
    first, last, met = np.empty((3, rows), np.int64)
    for i in range(corners.shape[0]):
        for j in range(4):
            xs[j] = int((corners[i, j, 0] - left) * fine)
            ys[j] = int((corners[i, j, 1] - top) * fine)
        high, low = ys.min(), ys.max()
        met[max(high, 0) : low + 1] = 0
        if high == low and 0 <= low < rows:  # all of it in one row
            first[low], last[low] = xs.min(), xs.max()
        for j in range(4):
            follow(xs[j - 1], ys[j - 1], xs[j], ys[j], low, first, last, met)
        red, green, blue = colours[i]
        colour = np.uint32(OPAQUE | red << 16 | green << 8 | blue)
        for y in range(max(high, 0), min(low, rows - 1) + 1):
            begin, end = max(first[y], 0), min(last[y], columns - 1) + 1
            for x in range(
                np.uint64(begin), np.uint64(max(begin, end))
            ):  # unsigned: quicker by far
                pixels[y, x] = colour


@entry
def halve(large, small):
    """Write a picture half as large each way, every pixel the mean of four.

    large : uint32[2 rows, 2 columns]; small : uint32[rows, columns].
    """
    rows, columns = small.shape
    for y in range(rows):
        upper, lower, out = large[2 * y], large[2 * y + 1], small[y]
        for x in range(np.uint64(columns)):  # unsigned: quicker by far
            a, b, c, d = upper[2 * x], upper[2 * x + 1], lower[2 * x], lower[2 * x + 1]
            even = (a & EVENS) + (b & EVENS) + (c & EVENS) + (d & EVENS) + ROUND
            odd = (a >> 8 & EVENS) + (b >> 8 & EVENS) + (c >> 8 & EVENS) + (d >> 8 & EVENS) + ROUND
            out[x] = (even >> 2 & EVENS) | (odd >> 2 & EVENS) << 8
