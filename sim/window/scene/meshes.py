"""Small solids of flat faces: bars, prisms, turned pieces, balls; four corners a face."""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from sim.kernel.faces import Solid
from sim.window.scene.camera import Array
from sim.window.scene.solids import Point

Quads = NDArray[np.float64]  # (faces, 4, 3)


def _point(v: Array) -> Point:
    return (float(v[0]), float(v[1]), float(v[2]))


def _fan(ring: Array) -> list[Array]:
    """Return a flat polygon as faces of four corners."""
    n = len(ring)
    return [
        np.array([ring[0], ring[k], ring[k + 1], ring[min(k + 2, n - 1)]])
        for k in range(1, n - 1, 2)
    ]


def _tube(rings: list[Array], ends: bool = True) -> Quads:
    """Return the skin between rings of equally many points, and both ends if wanted."""
    faces = []
    for a, b in pairwise(rings):
        for k in range(len(a)):
            j = (k + 1) % len(a)
            faces.append(np.array([a[k], a[j], b[j], b[k]]))
    if ends:
        faces += _fan(rings[0]) + _fan(rings[-1])
    return np.array(faces, np.float64)


def frame_of(way: Array) -> tuple[Array, Array]:
    """Return two unit vectors square to a direction; the second as upright as can be."""
    way = way / np.linalg.norm(way)
    x, y, z = way.tolist()
    side = np.array([-y, x, 0.0] if abs(z) < 0.95 else [0.0, -z, y])  # square to up, or to forward
    side /= np.linalg.norm(side)
    u, v, w = side.tolist()
    return side, np.array([y * w - z * v, z * u - x * w, x * v - y * u])


def bar(
    a: Point,
    b: Point,
    size_a: tuple[float, float],
    size_b: tuple[float, float],
    edge: float = 0.28,
    ends: bool = True,
) -> Quads:
    """Return a bar from a to b, (width, height) given at both ends; a share of them taken off edges."""
    side, up = frame_of(np.subtract(b, a))
    rings = []
    for end, (w, h) in ((a, size_a), (b, size_b)):
        c = edge * min(w, h)
        outline: tuple[tuple[float, float], ...] = ((-w, -h + 2 * c), (-w, h - 2 * c), (-w + 2 * c, h), (w - 2 * c, h),
                   (w, h - 2 * c), (w, -h + 2 * c), (w - 2 * c, -h), (-w + 2 * c, -h))  # fmt: skip
        if edge == 0.0:
            outline = ((-w, -h), (-w, h), (w, h), (w, -h))
        rings.append(np.array([np.array(end) + side * (u / 2) + up * (v / 2) for u, v in outline]))
    return _tube(rings, ends)


def block(low: Point, high: Point) -> Quads:
    """Return an upright box."""
    x0, y0, z0 = low
    x1, y1, z1 = high
    return prism(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), z0, z1)


def prism(outline: tuple[tuple[float, float], ...], z0: float, z1: float) -> Quads:
    """Return a plate with an outline, from z0 to z1."""
    rings = [np.array([(x, y, z) for x, y in outline]) for z in (z0, z1)]
    return _tube(rings)


def sheet(outline: tuple[tuple[float, float], ...], z: float) -> Quads:
    """Return a flat outline that is seen from above only; its corners go round from x to y."""
    return np.array(_fan(np.array([(x, y, z) for x, y in outline])), np.float64)


def turned(base: Point, way: Point, profile: tuple[tuple[float, float], ...], sides: int) -> Quads:
    """Return a turned piece: (distance along `way`, radius) pairs, round an axis through `base`."""
    direction = np.array(way) / np.linalg.norm(way)
    side, up = frame_of(direction)
    angles = (np.arange(sides) + 0.5) * 2 * np.pi / sides
    spokes = np.outer(np.cos(angles), side) + np.outer(np.sin(angles), up)
    rings = [np.array(base) + direction * t + spokes * r for t, r in profile]
    return _tube(rings)


def ball(middle: Point, radius_m: float, sides: int = 10, rings: int = 7) -> Quads:
    """Return a ball."""
    lat = np.radians(np.linspace(-88, 88, rings))
    profile = tuple((float(np.sin(a)) * radius_m, float(np.cos(a)) * radius_m) for a in lat)
    return turned(middle, (0.0, 0.0, 1.0), profile, sides)


def limb(
    a: Point, b: Point, radius_a: float, radius_b: float, sides: int = 12, rings: int = 4
) -> Quads:
    """Return a limb from a to b, its ends rounded in `rings` steps."""
    far = float(np.linalg.norm(np.subtract(b, a)))
    turns = np.radians(np.linspace(0.0, 85.0, rings))
    profile = [(-float(np.sin(t)) * radius_a, float(np.cos(t)) * radius_a) for t in turns[::-1]]
    profile += [(far + float(np.sin(t)) * radius_b, float(np.cos(t)) * radius_b) for t in turns]
    return turned(a, _point(np.subtract(b, a)), tuple(profile), sides)


def cord(points: tuple[Point, ...], radius_m: float) -> list[Quads]:
    """Return a thick cord through points."""
    return [limb(a, b, radius_m, radius_m, 5, 1) for a, b in pairwise(points)]


@dataclass(frozen=True)
class Part:
    """One convex piece: its faces, colour (linear), shine, and where it comes in the order.

    region : name of the part of the aircraft; layer : height of its slab, m.
    """

    quads: Quads
    colour: Point
    region: int = 0
    layer_m: float = 0.0
    shine: float = 0.0
    glow: float = 0.0


@dataclass(frozen=True)
class Mesh:
    """Parts put together: their faces, and of each part its region, layer and middle."""

    solid: Solid
    region: NDArray[np.int64]
    layer_m: Array
    middles_m: Array


def _normals(quads: Quads) -> Array:
    """Return unit normals that point out of a convex piece; of a flat one as its corners go round."""
    cross = np.cross(quads[:, 2] - quads[:, 0], quads[:, 3] - quads[:, 1])
    cross += 1e-3 * np.cross(quads[:, 1] - quads[:, 0], quads[:, 2] - quads[:, 0])
    out = quads.mean(axis=1) - quads.mean(axis=(0, 1))
    length = np.linalg.norm(cross, axis=1, keepdims=True)
    turned_in = -1e-6 * length[:, 0] * np.linalg.norm(out, axis=1)  # 1; rounding of a flat piece
    cross *= np.where(np.einsum("fi,fi->f", cross, out) < turned_in, -1.0, 1.0)[:, None]
    return np.asarray(cross / np.maximum(length, 1e-12))


def joined(parts: list[Part]) -> Mesh:
    """Return one mesh of many parts."""
    counts = [len(p.quads) for p in parts]
    quads = np.concatenate([p.quads for p in parts])

    def each(values: list[float]) -> Array:
        return np.repeat(np.array(values), counts, axis=0)

    return Mesh(
        solid=Solid(
            quads=quads,
            normals=np.concatenate([_normals(p.quads) for p in parts]),
            middles=quads.mean(axis=1),
            colours=np.repeat(np.array([p.colour for p in parts]), counts, axis=0),
            shine=each([p.shine for p in parts]),
            glow=each([p.glow for p in parts]),
            starts=np.cumsum([0, *counts]),
        ),
        region=np.array([p.region for p in parts]),
        layer_m=np.array([p.layer_m for p in parts]),
        middles_m=np.array([p.quads.mean(axis=(0, 1)) for p in parts]),
    )
