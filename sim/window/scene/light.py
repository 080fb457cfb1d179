"""Light falling on points of a room: soft direct light of lamps and one bounce off everything."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from sim.window.scene.solids import (
    NUDGE_M,
    Block,
    Group,
    Hits,
    Lamp,
    Point,
    Rays,
    blocked,
    grouped,
    nearest,
)

Pixels = NDArray[np.float32]  # (height, width, 3)


@dataclass(frozen=True)
class Stage:
    """A room to be baked: its blocks, lamps and the light from where nothing stands."""

    blocks: tuple[Block, ...]
    lamps: tuple[Lamp, ...]
    around: Point
    exposure: float = 1.0

    @cached_property
    def groups(self) -> tuple[Group, ...]:
        """The blocks by neighbourhood, so that rays are tried on few."""
        return grouped(self.blocks)


@dataclass(frozen=True)
class Looks:
    """Looks round from a point: `side` x `side` of them, what is brighter than `cap` cut."""

    side: int
    cap: float


def _vec(values: Point) -> NDArray[np.float32]:
    return np.array(values, np.float32)[:, None]


def direct(stage: Stage, point: Rays, normal: Rays, rays: int, rng: np.random.Generator) -> Rays:
    """Return light from the lamps, `rays` shadow rays to each (a square number)."""
    total = np.zeros((3, point.shape[1]), np.float32)
    for lamp in stage.lamps:
        total += _from_lamp(stage, lamp, point, normal, int(np.sqrt(rays)), rng)
    return total


def _from_lamp(
    stage: Stage, lamp: Lamp, point: Rays, normal: Rays, side: int, rng: np.random.Generator
) -> Rays:
    n = point.shape[1]
    start = point + normal * np.float32(NUDGE_M)
    a, b, middle = _vec(lamp.half_a), _vec(lamp.half_b), _vec(lamp.middle)
    cross = np.cross(lamp.half_a, lamp.half_b)
    size = float(np.linalg.norm(cross))
    facing = (cross / size).astype(np.float32)
    share = np.zeros(n, np.float32)
    for k in range(side * side):
        jitter = rng.random((2, n), np.float32)
        u = (k % side + jitter[0]) * np.float32(2 / side) - 1
        v = (k // side + jitter[1]) * np.float32(2 / side) - 1
        way = middle + a * u + b * v - start
        fall = np.einsum("in,in->n", way, normal)
        lit = np.flatnonzero(fall > 0.0)
        way, fall = way[:, lit], fall[lit]
        seen = np.flatnonzero(~blocked(stage.blocks, stage.groups, start[:, lit], way))
        way, fall = way[:, seen], fall[seen]
        far2 = np.einsum("in,in->n", way, way) + np.float32(1e-4)
        share[lit[seen]] += fall * np.maximum(-(facing @ way), 0.0) / (far2 * far2)
    return _vec(lamp.light) * share * np.float32(4 * size / (np.pi * side * side))


def _hemisphere(normal: Rays, u: NDArray[np.float32], v: NDArray[np.float32]) -> Rays:
    """Return cosine-spread directions about normals."""
    turn, z = 2 * np.pi * u, 2 * v - 1
    r = np.sqrt(np.maximum(0, 1 - z * z))
    ball = np.stack([r * np.cos(turn), r * np.sin(turn), z]) * np.float32(0.999)
    way = normal + ball
    return np.asarray(way / np.linalg.norm(way, axis=0), np.float32)


def glow_of(stage: Stage, hits: Hits, cap: float, rng: np.random.Generator) -> Rays:
    """Return the light that comes from where rays end, textures left out."""
    n = hits.far.shape[0]
    out = np.repeat(_vec(stage.around), n, axis=1)
    met = np.flatnonzero(hits.block >= 0)
    which = hits.block[met]
    colours = np.array([b.paint.colour for b in stage.blocks], np.float32)
    glows = np.array([b.paint.glow for b in stage.blocks], np.float32)
    # one lamp stands for all, in turn; a cap keeps out specks from places close to a lamp
    lamps = len(stage.lamps)
    light = np.zeros((3, met.size), np.float32)
    pick = rng.integers(lamps, size=met.size) if lamps else met
    for k, lamp in enumerate(stage.lamps):
        mine = np.flatnonzero(pick == k)
        at = met[mine]
        light[:, mine] = lamps * _from_lamp(
            stage, lamp, hits.point[:, at], hits.normal[:, at], 1, rng
        )
    light = np.minimum(light, cap)
    light += 0.45 * _vec(stage.around)  # own: stands for all further bounces
    out[:, met] = colours[which].T * (light + glows[which])
    return out


def bounced(
    stage: Stage, point: Rays, normal: Rays, looks: Looks, rng: np.random.Generator
) -> Rays:
    """Return light that comes by way of the room."""
    side = looks.side
    n = point.shape[1]
    start = point + normal * np.float32(NUDGE_M)
    total = np.zeros((3, n), np.float32)
    for k in range(side * side):
        jitter = rng.random((2, n), np.float32)
        way = _hemisphere(normal, (k % side + jitter[0]) / side, (k // side + jitter[1]) / side)
        total += glow_of(stage, nearest(stage.blocks, stage.groups, start, way), looks.cap, rng)
    return total / np.float32(side * side)


def mirrored(stage: Stage, eye: Rays, hits: Hits, looks: Looks, rng: np.random.Generator) -> Rays:
    """Return what a blurred mirror at each hit would show, weakened as in a glossy floor."""
    way = hits.point - eye
    way /= np.linalg.norm(way, axis=0)
    cosine = -np.einsum("in,in->n", way, hits.normal)
    way = way + 2 * cosine * hits.normal
    way = way + rng.normal(0.0, 0.035, way.shape).astype(np.float32)  # rad; own: worn gloss
    start = hits.point + hits.normal * np.float32(NUDGE_M)
    met = nearest(stage.blocks, stage.groups, start, way.astype(np.float32))
    seen = glow_of(stage, met, looks.cap, rng)
    share = 0.04 + 0.96 * (1 - np.clip(cosine, 0, 1)) ** 5  # Schlick's form of Fresnel's law
    return np.asarray(np.minimum(seen, 6.0) * share, np.float32)


def smoothed(light: Pixels, normal: Pixels, point: Pixels, rounds: int) -> Pixels:
    """Return light without grain: spread over neighbours of the same face, edges kept."""
    taps = (0.0625, 0.25, 0.375, 0.25, 0.0625)
    for k in range(rounds):
        step = 2**k
        gate = np.float32(0.9 * 0.5**k + 0.06)
        total = np.zeros_like(light)
        weight = np.zeros(light.shape[:2], np.float32)
        bright = light.mean(axis=2)
        for dy in range(-2, 3):
            for dx in range(-2, 3):
                there = [_moved(a, dy * step, dx * step) for a in (light, normal, point, bright)]
                same = np.einsum("yxi,yxi->yx", normal, there[1]) > 0.9
                lift = np.abs(np.einsum("yxi,yxi->yx", normal, there[2] - point))
                change = np.abs(there[3] - bright) / (gate * (bright + 0.02))
                w = taps[dy + 2] * taps[dx + 2] * same * np.exp(-(lift / 0.02) - change)
                total += there[0] * w[..., None]
                weight += w
        light = np.asarray(total / np.maximum(weight, 1e-6)[..., None], np.float32)
    return light


def _moved(a: Pixels, dy: int, dx: int) -> Pixels:
    """Return a picture moved by whole pixels, its edge repeated."""
    h, w = a.shape[:2]
    rows = np.clip(np.arange(h) + dy, 0, h - 1)
    columns = np.clip(np.arange(w) + dx, 0, w - 1)
    out: Pixels = a[rows][:, columns]
    return out
