"""The soft shadow of the aircraft on the ground, thrown by the main lamp."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from sim.window.scene.camera import Array, Lens
from sim.window.scene.craft import SIGNS, Craft
from sim.window.scene.drawing import Pose

LAMP_M = 0.13  # m; own: how wide the lamp looks; its shadow is blurred in proportion
DARKEST = 0.68  # own: opacity right under the aircraft
PALEST = 0.46  # own: opacity two metres up, still a cue of height


@dataclass(frozen=True)
class Shadow:
    """Outlines on the picture (px) with opacities, and how far their edge is blurred (px)."""

    shapes: list[tuple[Array, float]]
    blur_px: float


@lru_cache(maxsize=4)
def _outlines(measures_m: tuple[float, ...]) -> tuple[Array, ...]:
    """Return flat outlines in body measures: four discs, then middle, arms, motors, feet."""
    forward, right, up, radius, foot = measures_m
    t = np.linspace(0, 2 * np.pi, 16, endpoint=False) + np.pi / 16
    ring = np.column_stack([np.cos(t), np.sin(t), np.zeros(16)])
    round_ = ring[::2]
    hubs = [np.array([s * forward, u * right, up]) for s, u in SIGNS]
    out = [ring * radius + hub for hub in hubs] + [round_ * 0.072 + [0.0, 0.0, 0.02]]
    for hub in hubs:
        way = hub[:2] / np.linalg.norm(hub[:2])
        side = np.array([-way[1], way[0], 0.0]) * 0.014
        tip = hub * [1.0, 1.0, 0.0]
        out.append(np.array([tip - side, tip + side, side, -side]))
        out.append(round_ * 0.019 + hub)
        out.append(round_ * 0.012 + tip * 0.78 + [0.0, 0.0, 0.01 - foot])
    return tuple(out)


def shadow(
    craft: Craft, pose: Pose, lens: Lens, lamp_m: Array, ground_m: float, discs: float
) -> Shadow:
    """Return the shadow; `discs` is the opacity of turning propellers, 0 without."""
    height = max(float(pose.origin_m[2]) - ground_m - craft.foot_m * pose.scale, 0.0)
    dark = PALEST + (DARKEST - PALEST) * float(np.exp(-height / 0.7))
    hub = craft.hubs_m[1]
    outlines = _outlines(
        (float(hub[0]), float(hub[1]), float(hub[2]), craft.radius_m, craft.foot_m)
    )
    if discs <= 0.0:
        outlines = outlines[4:]
    points = pose.placed(np.concatenate(outlines))
    drop = (lamp_m[2] - ground_m) / np.maximum(lamp_m[2] - points[:, 2], 0.3)
    seen, _ = lens.project(lamp_m + (points - lamp_m) * drop[:, None])
    flat, start = [], 0
    for k, outline in enumerate(outlines):
        share = discs if discs > 0.0 and k < 4 else 1.0
        flat.append((seen[start : start + len(outline)], dark * share))
        start += len(outline)
    centre = np.array([[pose.origin_m[0], pose.origin_m[1], ground_m]])
    per_m = lens.focal_px / float(lens.project(centre)[1][0])
    edge = LAMP_M * (height + 0.03) / max(float(lamp_m[2]) - ground_m - height, 0.5)
    return Shadow(flat, edge * per_m)
