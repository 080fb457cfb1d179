"""What rooms are made of: blocks and upright posts with paint, lamps, and rays that meet them."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Rays = NDArray[np.float32]  # (3, n)
Point = tuple[float, float, float]

FAR_M = 1e6  # m; nothing is so far
NUDGE_M = 2e-3  # m; own: rays start this far off a face


def linear(code: str) -> Point:
    """Return the linear light of a colour written as six hexadecimal digits."""
    r, g, b = (int(code[i : i + 2], 16) / 255 for i in (0, 2, 4))
    return (r**2.2, g**2.2, b**2.2)


@dataclass(frozen=True)
class Paint:
    """How a surface looks: which texture, its colours (linear), light of its own."""

    texture: str
    colour: Point
    second: Point = (0.0, 0.0, 0.0)
    glow: float = 0.0
    gloss: float = 0.0


@dataclass(frozen=True)
class Block:
    """A box from `low` to `high` (m), turned about its upright axis; or the post inside it."""

    low: Point
    high: Point
    paint: Paint
    turn_rad: float = 0.0
    post: bool = False
    shell: bool = False  # a wall, floor or ceiling: nothing looks through it


@dataclass(frozen=True)
class Lamp:
    """A rectangle that gives light to the side of half_a x half_b (m); linear colour times strength."""

    middle: Point
    half_a: Point
    half_b: Point
    light: Point


@dataclass(frozen=True)
class Hits:
    """Where rays end: distance along them, which block, outward normal (3, n), point (3, n)."""

    far: NDArray[np.float32]
    block: NDArray[np.int32]
    normal: Rays
    point: Rays


def _local(block: Block, start: Rays, way: Rays) -> tuple[Rays, Rays]:
    middle = np.array([(a + b) / 2 for a, b in zip(block.low, block.high, strict=True)])
    rel = start - middle.astype(np.float32)[:, None]
    if block.turn_rad == 0.0:
        return rel, way
    return turned(rel, -block.turn_rad), turned(way, -block.turn_rad)


def turned(v: Rays, angle_rad: float) -> Rays:
    """Return vectors turned about the upright axis, from north to east."""
    c, s = np.float32(np.cos(angle_rad)), np.float32(np.sin(angle_rad))
    return np.stack([c * v[0] - s * v[1], s * v[0] + c * v[1], v[2]])


def _half(block: Block) -> NDArray[np.float32]:
    return np.array([(b - a) / 2 for a, b in zip(block.low, block.high, strict=True)], np.float32)


def _slab(rel: Rays, inverse: Rays, half: NDArray[np.float32]) -> tuple[Rays, Rays]:
    """Return entry and exit distances for each axis (or the last one only)."""
    middle = -rel * inverse
    reach = half[:, None] * np.abs(inverse)
    return middle - reach, middle + reach


def _span(block: Block, rel: Rays, way: Rays, inverse: Rays) -> tuple[Rays, Rays]:
    """Return where rays enter and leave a block."""
    half = _half(block)
    if not block.post:
        near, far = _slab(rel, inverse, half)
        enter = np.maximum(np.maximum(near[0], near[1]), near[2])
        return enter, np.minimum(np.minimum(far[0], far[1]), far[2])
    near, far = _slab(rel[2:], inverse[2:], half[2:])
    a = way[0] ** 2 + way[1] ** 2 + np.float32(1e-12)
    b = rel[0] * way[0] + rel[1] * way[1]
    root = b * b - a * (rel[0] ** 2 + rel[1] ** 2 - half[0] ** 2)
    miss = root < 0.0
    root = np.sqrt(np.where(miss, 0.0, root)).astype(np.float32)
    first = np.maximum(near[0], (-b - root) / a)
    last = np.minimum(far[0], (-b + root) / a)
    return np.where(miss, np.float32(FAR_M), first), last


def _inverse(way: Rays) -> Rays:
    tiny = np.float32(1e-9)
    return np.asarray(1.0 / np.where(np.abs(way) < tiny, tiny, way), np.float32)


@dataclass(frozen=True)
class Group:
    """Blocks that stand together, and the box round them; without a box, always looked at."""

    around: Block | None
    members: tuple[int, ...]


def _reach(block: Block) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return corners of an upright box that holds the block however it is turned."""
    low, high = np.array(block.low), np.array(block.high)
    if block.turn_rad == 0.0:
        return low, high
    middle, r = (low + high) / 2, float(np.hypot(*(high - low)[:2])) / 2
    spread = np.array([r, r, (high - low)[2] / 2])
    return middle - spread, middle + spread


def grouped(blocks: tuple[Block, ...], most: int = 5) -> tuple[Group, ...]:
    """Return the blocks in groups of neighbours: shells first, the others halved again and again."""
    shells = tuple(i for i, b in enumerate(blocks) if b.shell)
    groups = [Group(None, shells)] if shells else []
    heaps = [[i for i, b in enumerate(blocks) if not b.shell]]
    while heaps:
        heap = heaps.pop()
        if not heap:
            continue
        low = np.array([_reach(blocks[i])[0] for i in heap])
        high = np.array([_reach(blocks[i])[1] for i in heap])
        if len(heap) > most:
            middle = (low + high) / 2
            axis = int(np.argmax(np.ptp(middle, axis=0)))
            order = [heap[k] for k in np.argsort(middle[:, axis], kind="stable")]
            heaps += [order[: len(order) // 2], order[len(order) // 2 :]]
            continue
        a, b = low.min(axis=0).tolist(), high.max(axis=0).tolist()
        groups.append(
            Group(Block((a[0], a[1], a[2]), (b[0], b[1], b[2]), blocks[heap[0]].paint), tuple(heap))
        )
    return tuple(groups)


def nearest(blocks: tuple[Block, ...], groups: tuple[Group, ...], start: Rays, way: Rays) -> Hits:
    """Return the first thing each ray meets."""
    n = way.shape[1]
    best = np.full(n, FAR_M, np.float32)
    which = np.full(n, -1, np.int32)
    inverse = _inverse(way)
    for group in groups:
        here = _entering(group, start, way, inverse, best)
        if here.size == 0:
            continue
        sub_start, sub_way, sub_inverse = start[:, here], way[:, here], inverse[:, here]
        sub_best, sub_which = best[here], which[here]
        for i in group.members:
            rel, local = _local(blocks[i], sub_start, sub_way)
            inv = sub_inverse if local is sub_way else _inverse(local)
            enter, leave = _span(blocks[i], rel, local, inv)
            ok = (enter < leave) & (enter > 1e-4) & (enter < sub_best)
            np.copyto(sub_best, enter, where=ok)
            sub_which[ok] = i
        best[here], which[here] = sub_best, sub_which
    point = start + way * best
    return Hits(best, which, _normals(blocks, which, point), point)


def _entering(
    group: Group, start: Rays, way: Rays, inverse: Rays, best: NDArray[np.float32]
) -> NDArray[np.intp]:
    if group.around is None:
        return np.arange(way.shape[1])
    rel, _ = _local(group.around, start, way)
    enter, leave = _span(group.around, rel, way, inverse)
    return np.flatnonzero((enter < leave) & (leave > 0.0) & (enter < best))


def blocked(
    blocks: tuple[Block, ...], groups: tuple[Group, ...], start: Rays, way: Rays
) -> NDArray[np.bool_]:
    """Return which rays meet something before their end (one length of `way`); shells are not asked."""
    dark = np.zeros(way.shape[1], bool)
    inverse = _inverse(way)
    end = np.full(way.shape[1], 0.999, np.float32)
    for group in groups:
        if group.around is None:
            continue
        here = _entering(group, start, way, inverse, end)
        if here.size == 0:
            continue
        sub_start, sub_way, sub_inverse = start[:, here], way[:, here], inverse[:, here]
        sub_dark = np.zeros(here.size, bool)
        for i in group.members:
            if blocks[i].paint.glow > 0.0:
                continue
            rel, local = _local(blocks[i], sub_start, sub_way)
            inv = sub_inverse if local is sub_way else _inverse(local)
            enter, leave = _span(blocks[i], rel, local, inv)
            sub_dark |= (enter < leave) & (leave > 1e-4) & (enter < 0.999)
        stopped = here[sub_dark]
        dark[stopped] = True
        end[stopped] = -1.0
    return dark


def _normals(blocks: tuple[Block, ...], which: NDArray[np.int32], point: Rays) -> Rays:
    normal = np.zeros_like(point)
    for i in np.unique(which[which >= 0]):
        block = blocks[i]
        here = np.flatnonzero(which == i)
        p = point[:, here]
        rel, _ = _local(block, p, p)
        half = _half(block)
        share = rel / half[:, None]
        out = np.zeros_like(share)
        if block.post:
            side = np.hypot(share[0], share[1]) + np.float32(1e-9)
            flat = np.abs(share[2]) > side
            out[0], out[1] = np.where(flat, 0, share[0] / side), np.where(flat, 0, share[1] / side)
            out[2] = np.where(flat, np.sign(share[2]), 0)
        else:
            gap = (np.float32(1.0) - np.abs(share)) * half[:, None]
            axis = gap.argmin(axis=0)
            columns = np.arange(len(here))
            out[axis, columns] = np.sign(share[axis, columns])
        normal[:, here] = turned(out, block.turn_rad) if block.turn_rad else out
    return normal
