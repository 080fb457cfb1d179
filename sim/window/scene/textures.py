"""Colours of surfaces, worked out at points: block walls, concrete, wood, steel, card."""

from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sim.window.scene.solids import Paint, Rays

Field = NDArray[np.float32]


def _hash(i: NDArray[np.int64], j: NDArray[np.int64], salt: int) -> Field:
    """Return the same unguessable number 0..1 for the same cell every time."""
    h = (i * 374761393 + j * 668265263 + salt * 974634777) & 0xFFFFFFFF
    h = ((h ^ (h >> 13)) * 1274126177) & 0xFFFFFFFF
    return ((h ^ (h >> 16)) & 0xFFFF).astype(np.float32) / np.float32(65535)


def noise(u: Field, v: Field, salt: int) -> Field:
    """Return smooth noise 0..1 with cells one unit wide."""
    i, j = np.floor(u), np.floor(v)
    a, b = u - i, v - j
    a, b = a * a * (3 - 2 * a), b * b * (3 - 2 * b)
    i, j = i.astype(np.int64), j.astype(np.int64)
    top = _hash(i, j, salt) * (1 - a) + _hash(i + 1, j, salt) * a
    low = _hash(i, j + 1, salt) * (1 - a) + _hash(i + 1, j + 1, salt) * a
    return (top * (1 - b) + low * b).astype(np.float32)


def mottle(u: Field, v: Field, salt: int, octaves: int = 3) -> Field:
    """Return noise of several sizes, about -0.5..0.5."""
    total = np.zeros_like(u)
    share = 1.0
    for k in range(octaves):
        total += share * (noise(u * 2**k, v * 2**k, salt + k) - 0.5)
        share *= 0.55
    return total


def _as_colours(values: Any) -> Rays:
    return np.asarray(values, np.float32)


def _flat(p: Rays, n: Rays) -> tuple[Field, Field]:
    """Return two coordinates along the face: level and up (or north and east on level faces)."""
    level = np.abs(n[2]) > 0.7
    side = np.abs(n[0]) > np.abs(n[1])
    return np.where(level, p[0], np.where(side, p[1], p[0])), np.where(level, p[1], p[2])


def _mix(a: tuple[float, ...], b: tuple[float, ...], share: Field) -> Rays:
    first, last = np.array(a, np.float32), np.array(b, np.float32)
    return _as_colours(first[:, None] * (1 - share) + last[:, None] * share)


def _even(paint: Paint, tone: Any) -> Rays:
    """Return the one colour of a paint, lighter and darker."""
    return _as_colours(np.array(paint.colour, np.float32)[:, None] * tone)


def _plain(paint: Paint, p: Rays, n: Rays) -> Rays:
    u, v = _flat(p, n)
    tone = 1.0 + 0.10 * mottle(u * 9, v * 9, 3, 2)
    return _even(paint, tone)


def _masonry(paint: Paint, p: Rays, n: Rays) -> Rays:
    """Painted blocks 440 x 215 mm, light above, dark below a dado line (m; own)."""
    u, v = _flat(p, n)
    course = np.floor(v / 0.225)
    along = u / 0.45 + 0.5 * (course % 2)
    du = np.abs(along - np.round(along)) * 0.45
    dv = np.abs(v / 0.225 - np.round(v / 0.225)) * 0.225
    joint = np.clip(1 - np.minimum(du, dv) / 0.007, 0, 1)
    each = _hash(np.round(along - 0.5).astype(np.int64), course.astype(np.int64), 11) - 0.5
    tone = 1 + 0.07 * each + 0.10 * mottle(u * 5, v * 5, 21) + 0.07 * mottle(u * 60, v * 60, 31, 2)
    out = _mix(paint.second, paint.colour, (v > 1.0).astype(np.float32))
    line = np.abs(v - 1.0) < 0.022
    out[:, line] = np.array([[0.10], [0.062], [0.035]], np.float32)
    scuff = np.clip(1 - v / 0.35, 0, 1) * (0.5 + mottle(u * 3, v * 8, 51))
    return _as_colours(out * tone * (1 - 0.42 * joint) * (1 - 0.25 * np.clip(scuff, 0, 1)))


def _concrete(paint: Paint, p: Rays, n: Rays) -> Rays:
    """Sealed concrete with sawn joints every 1.2 m, and a ring of floor tape round the pad."""
    u, v = p[0], p[1]
    a, b = (u + 0.6) / 1.2, (v + 0.6) / 1.2
    gap = np.minimum(np.abs(a - np.round(a)), np.abs(b - np.round(b))) * 1.2
    slab = _hash(np.floor(a).astype(np.int64), np.floor(b).astype(np.int64), 5) - 0.5
    cloud = mottle(u * 1.3, v * 1.3, 61, 4)
    fine = mottle(u * 45, v * 45, 71, 2)
    tone = 1 + 0.06 * slab + 0.30 * cloud + 0.10 * fine
    groove = np.clip(1.6 - gap / 0.0045, 0, 1)
    out = _even(paint, tone * (1 - 0.55 * groove))
    if paint.second != (0.0, 0.0, 0.0):
        worn = np.clip(1.25 + 1.2 * mottle(u * 14, v * 14, 81), 0, 1)
        tape = np.clip((0.025 - np.abs(np.hypot(u, v) - 1.25)) / 0.003, 0, 1) * worn * 0.9
        out = out * (1 - tape) + np.array(paint.second, np.float32)[:, None] * tape
    return _as_colours(out)


def _planks(paint: Paint, p: Rays, n: Rays) -> Rays:
    """Oiled wood in boards 140 mm wide (own), the grain along east."""
    top = np.abs(n[2]) > 0.7
    across, along = np.where(top, p[0], p[2]), np.where(np.abs(n[1]) > 0.7, p[0], p[1])
    gap = np.abs(across / 0.14 - np.round(across / 0.14)) * 0.14
    seam = np.clip(1.5 - gap / 0.0012, 0, 1) * top
    return _as_colours(_wood(paint, across, along) * (1 - 0.6 * seam))


def _upright(paint: Paint, p: Rays, n: Rays) -> Rays:
    """Wood with its grain upwards: posts and legs."""
    return _wood(paint, p[0] * 0.83 + p[1], p[2])


def _wood(paint: Paint, across: Field, along: Field) -> Rays:
    board = np.floor(across / 0.14)
    shift = _hash(board.astype(np.int64), board.astype(np.int64), 7) * 9
    grain = mottle(along * 1.6 + shift, across * 55 + shift, 91, 3)
    rings = np.sin(across * 190 + 9 * noise(along * 0.9 + shift, across * 7, 95) + shift)
    pores = mottle(along * 9 + shift, across * 260, 97, 2)
    tone = 1 + 0.42 * grain + 0.07 * rings + 0.16 * pores + 0.16 * (shift / 9 - 0.5)
    return _even(paint, tone)


def _ribs(paint: Paint, p: Rays, n: Rays) -> Rays:
    """Pressed sheet: upright ribs every 100 mm (own)."""
    u, v = _flat(p, n)
    wave = np.cos(u * 2 * np.pi / 0.10)
    edge = np.clip(np.abs(np.sin(u * 2 * np.pi / 0.10)) - 0.75, 0, 1)
    tone = 1 + 0.07 * np.tanh(4 * wave) - 0.42 * edge + 0.08 * mottle(u * 4, v * 4, 41, 3)
    return _even(paint, tone)


def _card(paint: Paint, p: Rays, n: Rays) -> Rays:
    """Cardboard with a strip of tape over its lid."""
    u, v = _flat(p, n)
    tone = 1 + 0.10 * mottle(u * 6, v * 6, 101) + 0.04 * np.sin(v * 900)
    return _even(paint, tone)


def _mat(paint: Paint, p: Rays, n: Rays) -> Rays:
    """Mat of the pad: a plain ring, a short line to the north, a fine ribbed grain."""
    r = np.hypot(p[0], p[1])
    ring = np.clip((0.022 - np.abs(r - 0.40)) / 0.002, 0, 1)
    line = ((np.abs(p[1]) < 0.018) & (p[0] > 0.44) & (p[0] < 0.54)).astype(np.float32)
    square = np.maximum(np.abs(p[0]), np.abs(p[1]))
    hem = np.clip((0.006 - np.abs(square - 0.575)) / 0.001, 0, 1) * 0.5
    grain = 0.10 * mottle(p[0] * 40, p[1] * 40, 111, 2) + 0.05 * np.sin(p[1] * 420)
    share = np.clip(ring + line + hem, 0, 1) * np.clip(
        1.1 + mottle(p[0] * 16, p[1] * 16, 121), 0, 1
    )
    return _as_colours(_mix(paint.colour, paint.second, share) * (1 + grain))


def _holes(paint: Paint, p: Rays, n: Rays) -> Rays:
    """Tool board: small holes every 25 mm (own)."""
    u, v = _flat(p, n)
    a, b = u / 0.025, v / 0.025
    r = np.hypot(a - np.round(a), b - np.round(b))
    tone = 1 + 0.12 * mottle(u * 3, v * 30, 131)
    dark = 0.6 * np.clip((0.16 - r) / 0.05, 0, 1)
    return _even(paint, tone * (1 - dark))


def _sky(paint: Paint, p: Rays, n: Rays) -> Rays:
    """Return what one sees through frosted glass: light above, leaves below."""
    u, v = _flat(p, n)
    low = np.clip(1.6 - v + 0.35 * mottle(u * 3, v * 3, 141), 0, 1) * 0.55
    return _mix(paint.colour, paint.second, _as_colours(low))


TEXTURES: dict[str, Callable[[Paint, Rays, Rays], Rays]] = {
    "plain": _plain,
    "masonry": _masonry,
    "concrete": _concrete,
    "planks": _planks,
    "upright": _upright,
    "ribs": _ribs,
    "card": _card,
    "mat": _mat,
    "holes": _holes,
    "sky": _sky,
}


def colour(paint: Paint, point: Rays, normal: Rays) -> Rays:
    """Return the linear colour of a surface at points with normals (3, n)."""
    return np.asarray(TEXTURES[paint.texture](paint, point, normal), np.float32)
