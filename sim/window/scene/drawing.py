"""From a mesh in its pose to faces in painting order, with light on them."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from sim.kernel.faces import Eye, Lit, seen
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

    @cached_property
    def strengths(self) -> tuple[Array, Array, Array]:
        """The same for compiled code."""
        return np.array(self.main), np.array(self.above), np.array(self.below)


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


def faces(mesh: Mesh, order: list[int], pose: Pose, lens: Lens, light: Light) -> Faces:
    """Return what is to be painted of a mesh whose regions come in this order."""
    eye_m = pose.seen_from(lens.eye_m)
    camera = np.empty((3, 4))
    camera[:, :3] = lens.axes @ pose.turn
    camera[:, 3] = lens.axes @ (pose.origin_m - lens.eye_m)
    ways = np.array([light.way, (0.0, 0.0, 1.0)]) @ pose.turn
    rank = np.empty(len(order), np.int64)
    rank[order] = np.arange(len(order))
    far = np.linalg.norm(mesh.middles_m - eye_m, axis=1)
    parts = np.lexsort((-far, -np.abs(mesh.layer_m - eye_m[2]), rank[mesh.region]))
    most = len(mesh.solid.quads)
    corners, colours = np.empty((most, 4, 2)), np.empty((most, 3), np.uint8)
    part = np.empty(most, np.int64)
    n = seen(
        mesh.solid,
        parts,
        Eye(eye_m, camera, *map(float, (lens.focal_px, *lens.centre_px))),
        Lit(ways, *light.strengths, float(light.exposure)),
        corners,
        colours,
        part,
    )
    return Faces(corners[:n], colours[:n], mesh.region[part[:n]])
