"""Bake a stage: its colours and inverse depths as seen by one fixed eye."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sim.kernel.faces import toned
from sim.window.scene import light, textures
from sim.window.scene.camera import Camera, Lens
from sim.window.scene.light import Looks, Pixels, Stage
from sim.window.scene.solids import Hits, Rays, nearest

CHUNK = 40_000  # rays; own: a chunk stays in the cache of one core


@dataclass(frozen=True)
class Effort:
    """How much work a bake is: shares of the full picture's size, samples a pixel side, rays."""

    size: float
    samples: int
    light: float
    shadow_rays: int
    looks: Looks
    rounds: int


SHIPPED = Effort(1.0, 3, 0.5, 25, Looks(8, 2.5), 4)  # own: no grain to be seen; minutes
QUICK = Effort(0.36, 1, 0.09, 4, Looks(2, 0.8), 3)  # own: within 1.5 s on one core


@dataclass(frozen=True)
class Backdrop:
    """What one eye sees: colours (height, width, 3) of 8 bits, inverse depths (1/m)."""

    colours: NDArray[np.uint8]
    inverse_depth: NDArray[np.float16]


@dataclass(frozen=True)
class _Lit:
    """Light falling in, on a grid over the picture."""

    light: Pixels
    sheen: Pixels
    normal: Pixels
    point: Pixels


def _pixels(size: tuple[int, int]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    y, x = np.mgrid[0 : size[1], 0 : size[0]]
    return x.ravel() + 0.5, y.ravel() + 0.5


def _primary(stage: Stage, lens: Lens, x: NDArray[np.float64], y: NDArray[np.float64]) -> Hits:
    way = lens.rays(x, y)
    start = np.repeat(lens.eye_m.astype(np.float32)[:, None], way.shape[1], axis=1)
    return nearest(stage.blocks, stage.groups, start, way)


def _lit_chunk(
    stage: Stage, lens: Lens, effort: Effort, hits: Hits, rng: np.random.Generator
) -> tuple[Rays, Rays]:
    total = light.direct(stage, hits.point, hits.normal, effort.shadow_rays, rng)
    total += light.bounced(stage, hits.point, hits.normal, effort.looks, rng)
    sheen = np.zeros_like(total)
    gloss = np.array([b.paint.gloss for b in stage.blocks] + [0.0], np.float32)[hits.block]
    shiny = np.flatnonzero(gloss > 0.0)
    if shiny.size:
        part = Hits(hits.far[shiny], hits.block[shiny], hits.normal[:, shiny], hits.point[:, shiny])
        eye = lens.eye_m.astype(np.float32)[:, None]
        passes = max(2, effort.looks.side**2 // 3)
        for _ in range(passes):
            seen = light.mirrored(stage, eye, part, effort.looks, rng) * gloss[shiny]
            sheen[:, shiny] += seen / np.float32(passes)
    return total, sheen


def _lit(stage: Stage, camera: Camera, effort: Effort) -> _Lit:
    lens, size = camera.lens(effort.light), camera.whole_px(effort.light)
    x, y = _pixels(size)
    parts = []
    for i in range(0, len(x), CHUNK):
        rng = np.random.default_rng(i)  # seeded by place: the same bake every time
        hits = _primary(stage, lens, x[i : i + CHUNK], y[i : i + CHUNK])
        total, sheen = _lit_chunk(stage, lens, effort, hits, rng)
        parts.append((total, sheen, hits.normal, hits.point))
    w, h = size
    total, sheen, normal, point = (
        np.ascontiguousarray(np.concatenate(p, axis=1).T.reshape(h, w, 3))
        for p in zip(*parts, strict=True)
    )
    total = light.smoothed(total, normal, point, effort.rounds)
    return _Lit(total, light.smoothed(sheen, normal, point, effort.rounds), normal, point)


def _taken(
    lit: _Lit, gx: NDArray[np.float64], gy: NDArray[np.float64], hits: Hits
) -> tuple[Rays, Rays]:
    """Return light at points, from the four grid places around that lie on the same face."""
    h, w = lit.light.shape[:2]
    x0, y0 = np.floor(gx).astype(np.int64), np.floor(gy).astype(np.int64)
    total = np.zeros((len(gx), 3), np.float32)
    sheen = np.zeros_like(total)
    weight = np.full(len(gx), 1e-9, np.float32)
    for dy in (0, 1):
        for dx in (0, 1):
            share = np.abs(1 - dx - (gx - x0)) * np.abs(1 - dy - (gy - y0)) + 1e-3
            at = np.clip(y0 + dy, 0, h - 1), np.clip(x0 + dx, 0, w - 1)
            lift = np.abs(np.einsum("in,ni->n", hits.normal, lit.point[at] - hits.point.T))
            same = np.maximum(np.einsum("in,ni->n", hits.normal, lit.normal[at]), 0.0)
            k = (share * (same**8 + 1e-4) / (1 + (lift / 0.01) ** 2)).astype(np.float32)
            total += lit.light[at] * k[:, None]
            sheen += lit.sheen[at] * k[:, None]
            weight += k
    return (total / weight[:, None]).T, (sheen / weight[:, None]).T


def _shade(stage: Stage, hits: Hits, total: Rays, sheen: Rays) -> Rays:
    out = np.repeat(np.array(stage.around, np.float32)[:, None], hits.far.shape[0], axis=1)
    for i in np.unique(hits.block[hits.block >= 0]):
        here = np.flatnonzero(hits.block == i)
        paint = stage.blocks[i].paint
        skin = textures.colour(paint, hits.point[:, here], hits.normal[:, here])
        out[:, here] = skin * (total[:, here] + np.float32(paint.glow)) + sheen[:, here]
    return out


def bake(stage: Stage, camera: Camera, effort: Effort) -> Backdrop:
    """Return the picture of a stage; the same effort gives the same picture."""
    lit = _lit(stage, camera, effort)
    lens = camera.lens(effort.size)
    w, h = camera.whole_px(effort.size)
    x, y = _pixels((w, h))
    grid = effort.light / effort.size
    colours = np.zeros((3, w * h), np.float32)
    depth = np.zeros(w * h, np.float32)
    s = effort.samples
    for i in range(0, len(x), CHUNK):
        cx, cy = x[i : i + CHUNK], y[i : i + CHUNK]
        for k in range(s * s):
            px = cx + (k % s + 0.5) / s - 0.5
            py = cy + (k // s + 0.5) / s - 0.5
            hits = _primary(stage, lens, px, py)
            total, sheen = _taken(lit, px * grid - 0.5, py * grid - 0.5, hits)
            seen = _shade(stage, hits, total, sheen)
            colours[:, i : i + CHUNK] += toned(seen, np.float32(stage.exposure)) / np.float32(s * s)
            if k == (s * s) // 2:
                depth[i : i + CHUNK] = 1 / hits.far
    picture = np.clip(colours.T.reshape(h, w, 3) * 255 + 0.5, 0, 255).astype(np.uint8)
    return Backdrop(picture, depth.reshape(h, w).astype(np.float16))
