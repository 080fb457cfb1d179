"""The soft shadow of the aircraft on the ground, thrown by the main lamp."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from sim.window.scene.camera import Array, Lens
from sim.window.scene.craft import Craft
from sim.window.scene.drawing import Pose
from sim.window.scene.sizes import PLATE_M

LAMP_M = 0.13  # m; own: how wide the lamp looks; its shadow is blurred in proportion
DARKEST = 0.68  # own: opacity right under the aircraft
PALEST = 0.46  # own: opacity two metres up, still a cue of height


@dataclass(frozen=True)
class Shadow:
    """Outlines on the picture (px) with opacities, and how far their edge is blurred (px)."""

    shapes: list[tuple[Array, float]]
    blur_px: float


@lru_cache(maxsize=16)
def outlines(craft: Craft) -> tuple[Array, ...]:
    """Return flat outlines in body measures: four discs, then middle, pack, arms, motors, feet."""
    k, size = craft.size.unit, craft.size
    t = np.linspace(0, 2 * np.pi, 16, endpoint=False) + np.pi / 16
    ring = np.column_stack([np.cos(t), np.sin(t), np.zeros(16)])
    round_ = ring[::2]
    hubs = craft.hubs_m
    out = [ring * size.radius_m + hub for hub in hubs]
    out.append(round_ * PLATE_M * 1.12 * k + [0.0, 0.0, 0.02 * k])
    length, width, _ = size.pack_m
    ends = (-size.pack_aft_m, length - size.pack_aft_m)
    box = [(ends[0], -1.0), (ends[0], 1.0), (ends[1], 1.0), (ends[1], -1.0)]
    out.append(np.array([(x, y * width / 2, 0.03 * k) for x, y in box]))
    for hub, foot, way in zip(hubs, craft.feet_m, size.ways, strict=True):
        side = np.array([-way[1], way[0], 0.0]) * 0.014 * k
        tip = hub * [1.0, 1.0, 0.0]
        out.append(np.array([tip - side, tip + side, side, -side]))
        out.append(round_ * size.bell_m * 1.3 + hub)
        out.append(round_ * 0.012 * k + foot + [0.0, 0.0, 0.01 * k])
    return tuple(out)


def shadow(
    craft: Craft, pose: Pose, lens: Lens, lamp_m: Array, ground_m: float, discs: tuple[float, ...]
) -> Shadow:
    """Return the shadow; `discs` are the opacities of the four propellers, 0 where there is none."""
    height = max(float(pose.origin_m[2]) - ground_m - craft.foot_m, 0.0)
    dark = PALEST + (DARKEST - PALEST) * float(np.exp(-height / 0.7))
    shapes = outlines(craft)
    shares = (*discs, *(1.0 for _ in shapes[4:]))
    cast = [(outline, s) for outline, s in zip(shapes, shares, strict=True) if s > 0.0]
    points = pose.placed(np.concatenate([outline for outline, _ in cast]))
    drop = (lamp_m[2] - ground_m) / np.maximum(lamp_m[2] - points[:, 2], 0.3)
    seen, _ = lens.project(lamp_m + (points - lamp_m) * drop[:, None])
    flat, start = [], 0
    for outline, share in cast:
        flat.append((seen[start : start + len(outline)], dark * share))
        start += len(outline)
    centre = np.array([[pose.origin_m[0], pose.origin_m[1], ground_m]])
    per_m = lens.focal_px / float(lens.project(centre)[1][0])
    edge = LAMP_M * (height + 0.03) / max(float(lamp_m[2]) - ground_m - height, 0.5)
    return Shadow(flat, edge * per_m)
