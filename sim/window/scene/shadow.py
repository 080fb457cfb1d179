"""The soft shadow of the aircraft on the ground, thrown by the main lamp."""

from dataclasses import dataclass

import numpy as np

from sim.window.scene.camera import Array, Lens
from sim.window.scene.craft import Craft
from sim.window.scene.drawing import Pose

LAMP_M = 0.13  # m; own: how wide the lamp looks; its shadow is blurred in proportion
DARKEST = 0.62  # own: opacity right under the aircraft
PALEST = 0.36  # own: opacity two metres up, still a cue of height


@dataclass(frozen=True)
class Shadow:
    """Outlines on the picture (px) with opacities, and how far their edge is blurred (px)."""

    shapes: list[tuple[Array, float]]
    blur_px: float


def _outlines(craft: Craft) -> list[Array]:
    """Return flat outlines of middle, arms and motors in body measures."""
    t = np.arange(8) * np.pi / 4 + np.pi / 8
    round_ = np.column_stack([np.cos(t), np.sin(t), np.zeros(8)])
    out = [round_ * 0.072 + [0.0, 0.0, 0.02]]
    for hub in craft.hubs_m:
        way = hub[:2] / np.linalg.norm(hub[:2])
        side = np.array([-way[1], way[0], 0.0]) * 0.014
        tip = np.array([hub[0], hub[1], 0.0])
        out.append(np.array([tip - side, tip + side, side, -side]))
        out.append(round_ * 0.019 + hub)
        foot = tip * 0.78
        out.append(round_ * 0.012 + foot + [0.0, 0.0, -0.11])
    return out


def shadow(
    craft: Craft, pose: Pose, lens: Lens, lamp_m: Array, ground_m: float, discs: float
) -> Shadow:
    """Return the shadow; `discs` is the opacity of turning propellers, 0 without."""
    height = max(float(pose.origin_m[2]) - ground_m - 0.12 * pose.scale, 0.0)
    dark = PALEST + (DARKEST - PALEST) * float(np.exp(-height / 0.7))
    shapes = [(outline, dark) for outline in _outlines(craft)]
    if discs > 0.0:
        t = np.linspace(0, 2 * np.pi, 20, endpoint=False)
        ring = np.column_stack([np.cos(t), np.sin(t), np.zeros(20)]) * craft.radius_m
        shapes = [(ring + hub, dark * discs) for hub in craft.hubs_m] + shapes
    flat = []
    for outline, alpha in shapes:
        points = pose.placed(outline)
        drop = (lamp_m[2] - ground_m) / np.maximum(lamp_m[2] - points[:, 2], 0.3)
        points = lamp_m + (points - lamp_m) * drop[:, None]
        flat.append((lens.project(points)[0], alpha))
    centre = np.array([[pose.origin_m[0], pose.origin_m[1], ground_m]])
    per_m = lens.focal_px / float(lens.project(centre)[1][0])
    edge = LAMP_M * (height + 0.03) / max(float(lamp_m[2]) - ground_m - height, 0.5)
    return Shadow(flat, edge * per_m)


