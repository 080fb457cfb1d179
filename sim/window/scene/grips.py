"""What holds the aircraft before one's eyes: two gloved hands, or the clamp on its stand."""

from functools import lru_cache
from itertools import pairwise

import numpy as np

from sim.window.scene.camera import Array
from sim.window.scene.drawing import Pose
from sim.window.scene.meshes import Mesh, Part, bar, block, frame_of, joined, limb, turned
from sim.window.scene.solids import Point, linear

# Colours: own.
GLOVE = linear("5e6a6c")
CUFF = linear("d9cdb4")
SLEEVE = linear("7d6a58")
IRON = linear("565d61")
JAW = linear("2c2f31")
ALONG_M = 0.150  # m; own: the hands hold the arms here, from the middle
SHOULDERS: tuple[Point, Point] = ((-0.52, -0.50, -0.10), (-0.42, 0.62, -0.10))
# m from the middle of the ground; own: left and right arms come from there
SLEEVE_M = 0.75  # m; own: long enough to leave the picture


def _point(v: Array) -> Point:
    return (float(v[0]), float(v[1]), float(v[2]))


@lru_cache(maxsize=16)
def glove(forward: float, right: float, side_sign: float) -> Mesh:
    """Return a hand closed round the arm that points (forward, right); body measures."""
    u = np.array([forward, right, 0.0]) / np.hypot(forward, right)
    s = np.array([-u[1], u[0], 0.0]) * side_sign
    up = np.array([0.0, 0.0, 1.0])
    parts = []

    def at(along: float, side: float, height: float) -> Point:
        return _point(u * (ALONG_M + along) + s * side + up * height)

    parts.append(
        Part(limb(at(-0.024, 0.021, -0.016), at(0.024, 0.021, -0.016), 0.017, 0.018, 8, 3), GLOVE)
    )
    parts.append(
        Part(limb(at(0.0, 0.024, -0.018), at(0.0, 0.050, -0.028), 0.021, 0.020, 8, 3), GLOVE)
    )
    for k in range(4):
        x = -0.026 + 0.017 * k
        joints = [at(x, 0.021, -0.003), at(x, 0.011, 0.0155), at(x, -0.014, 0.0125)]
        parts += [Part(limb(a, b, 0.0088, 0.0084, 6, 2), GLOVE) for a, b in pairwise(joints)]
    parts.append(
        Part(limb(at(-0.027, 0.024, 0.0), at(-0.045, 0.010, 0.013), 0.010, 0.008, 6, 2), GLOVE)
    )
    return joined(parts)


def gripped(pose: Pose, tips_m: Array, ground_m: float) -> list[tuple[Mesh, Mesh, Pose]]:
    """Return for each hand the glove (body measures), the sleeve and the sleeve's pose."""
    there = pose.placed(tips_m)
    taken: list[int] = []
    out = []
    for shoulder in SHOULDERS:
        start = np.add(shoulder, (0.0, 0.0, ground_m))
        far = np.linalg.norm(there - start, axis=1)
        far[taken] = np.inf
        k = int(far.argmin())
        taken.append(k)
        u = tips_m[k] / np.linalg.norm(tips_m[k])
        side = np.array([-u[1], u[0], 0.0])
        to = (start - pose.origin_m) @ pose.turn
        sign = 1.0 if side @ to > 0.0 else -1.0
        wrist = pose.placed(u * ALONG_M + side * sign * 0.050 + np.array([0.0, 0.0, -0.028]))
        way = (start - wrist) / np.linalg.norm(start - wrist)
        turn = np.column_stack([way, *frame_of(way)])
        out.append(
            (
                glove(float(tips_m[k][0]), float(tips_m[k][1]), sign),
                sleeve(),
                Pose(turn, wrist, 1.0),
            )
        )
    return out


@lru_cache(maxsize=1)
def sleeve() -> Mesh:
    """Return a sleeve that runs from a wrist at the origin along the first axis."""
    return joined(
        [
            Part(limb((0.030, 0, 0), (SLEEVE_M, 0, 0), 0.029, 0.058, 16, 1), SLEEVE),
            Part(limb((0.0, 0, 0), (0.034, 0, 0), 0.021, 0.026, 12, 2), CUFF),
        ]
    )


@lru_cache(maxsize=4)
def clamp(ground_m: float, height_m: float) -> Mesh:
    """Return the clamp: base, post, and jaws under the middle plate `height_m` up."""
    top = ground_m + height_m
    g = ground_m
    return joined(
        [
            Part(block((-0.09, -0.07, g), (0.09, 0.07, g + 0.018)), IRON, shine=0.3),
            Part(turned((0, 0, g + 0.018), (0, 0, 1), ((0.0, 0.034), (0.012, 0.022)), 16), IRON, shine=0.4),
            Part(turned((0, 0, g + 0.03), (0, 0, 1), ((0.0, 0.017), (height_m - 0.055, 0.017)), 14), IRON, shine=0.6),
            Part(block((-0.045, -0.034, top - 0.030), (0.045, 0.034, top - 0.015)), JAW, shine=0.2),
            Part(bar((0.0, 0.017, g + 0.11), (0.0, 0.075, g + 0.11), (0.012, 0.012), (0.009, 0.009)), JAW, shine=0.3),
        ]
    )  # fmt: skip
