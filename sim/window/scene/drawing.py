"""From a mesh in its pose to faces in painting order, with light on them."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sim.window.scene.bake import toned
from sim.window.scene.camera import Array, Lens
from sim.window.scene.craft import Craft
from sim.window.scene.meshes import Mesh


@dataclass(frozen=True)
class Light:
    """Light of a view: unit way to the main lamp (scene axes), strengths, exposure."""

    way: tuple[float, float, float]
    main: tuple[float, float, float]
    above: tuple[float, float, float]
    below: tuple[float, float, float]
    exposure: float


@dataclass(frozen=True)
class Pose:
    """Where a mesh is: rotation (body forward-right-up to scene), origin."""

    turn: Array
    origin_m: Array

    def placed(self, points: Array) -> Array:
        """Return points of the body in the scene."""
        return np.asarray(points @ self.turn.T + self.origin_m)

    def seen_from(self, eye_m: Array) -> Array:
        """Return the eye in body measures."""
        return np.asarray((eye_m - self.origin_m) @ self.turn)


@dataclass(frozen=True)
class Faces:
    """Faces in painting order: corners (n, 4, 2) px, colours (n, 3), and each one's region."""

    corners: Array
    colours: NDArray[np.uint8]
    region: NDArray[np.int64]

    def of(self, region: int) -> "Faces":
        """Return the faces of one region; they follow one another."""
        here = np.flatnonzero(self.region == region)
        part = slice(here[0], here[-1] + 1) if here.size else slice(0, 0)
        return Faces(self.corners[part], self.colours[part], self.region[part])


def turn_of(attitude: tuple[float, float, float, float]) -> Array:
    """Return the rotation from forward-right-up to north-east-up of a scalar-first quaternion."""
    w, x, y, z = np.array(attitude) / np.linalg.norm(attitude)
    down = np.array(
        [
            [1 - 2 * (y * y + z * z), 2 * (x * y - w * z), 2 * (x * z + w * y)],
            [2 * (x * y + w * z), 1 - 2 * (x * x + z * z), 2 * (y * z - w * x)],
            [2 * (x * z - w * y), 2 * (y * z + w * x), 1 - 2 * (x * x + y * y)],
        ]
    )
    flip = np.array([1.0, 1.0, -1.0])
    return np.asarray(down * flip[:, None] * flip)


def region_order(craft: Craft, eye: Array) -> list[int]:
    """Return regions from the first painted to the last; `eye` in body measures."""
    front = craft.ways @ eye > craft.offsets_m
    far = np.linalg.norm(craft.anchors_m - eye, axis=1)
    order = np.argsort(-far, kind="stable")
    before = [int(k) + 1 for k in order if not front[k]]
    return [*before, 0, *(int(k) + 1 for k in order if front[k])]


def shaded(
    mesh: Mesh, keep: NDArray[np.intp], pose: Pose, look: Array, light: Light
) -> NDArray[np.uint8]:
    """Return display colours of faces: lamp, light from above and below, rim, shine.

    look : ways from the faces to the eye, in body measures, as all here is.
    """
    normal = mesh.normals[keep]
    look = look / _lengths(look)[:, None]
    way = np.array(light.way) @ pose.turn
    fall = np.maximum(normal @ way, 0.0)
    up = 0.5 + 0.5 * (normal @ pose.turn[2])
    falling = (
        fall[:, None] * light.main + up[:, None] * light.above + (1 - up)[:, None] * light.below
    )
    away = 1 - np.minimum(np.maximum(np.einsum("fi,fi->f", normal, look), 0.0), 1.0)
    shine = mesh.shine[keep]
    rim = away * away * away * (0.10 + 0.25 * shine) * up
    half = look + way
    half /= _lengths(half)[:, None]
    spark = _power_24(np.maximum(np.einsum("fi,fi->f", normal, half), 0.0)) * shine * 0.9
    out = (
        mesh.colours[keep] * (falling + mesh.glow[keep][:, None])
        + (rim + spark)[:, None] * light.main
    )
    shown = toned(out.astype(np.float32), light.exposure)
    return np.asarray(np.clip(shown * 255 + 0.5, 0, 255), np.uint8)


def _lengths(ways: Array) -> Array:
    return np.asarray(np.sqrt(np.einsum("fi,fi->f", ways, ways)))


def _power_24(x: Array) -> Array:
    """Return the 24th power, by products: a general power takes many times as long."""
    x3 = x * x * x
    x6 = x3 * x3
    x12 = x6 * x6
    return x12 * x12


def faces(mesh: Mesh, order: list[int], pose: Pose, lens: Lens, light: Light) -> Faces:
    """Return what is to be painted of a mesh whose regions come in this order."""
    eye = pose.seen_from(lens.eye_m)
    look = eye - mesh.middles
    keep = np.flatnonzero(np.einsum("fi,fi->f", mesh.normals, look) > 0.0)
    rank = np.empty(len(order), np.int64)
    rank[order] = np.arange(len(order))
    far = _lengths(mesh.part_middles - eye)
    keys = (
        -far[mesh.part[keep]],
        -np.abs(mesh.layer_m[keep] - eye[2]),
        rank[mesh.region[keep]],
    )
    keep = keep[np.lexsort(keys)]
    corners, _ = lens.project(pose.placed(mesh.quads[keep]))
    return Faces(corners, shaded(mesh, keep, pose, look[keep], light), mesh.region[keep])
