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
ALONG = 0.667  # of an arm; own: the hands hold it here, from the middle
PINCH_M = 0.140  # m; own: shorter arms are pinched at their ends by thumb and finger
PINCH_OUT_M = 0.030  # m; own: from the end of a pinched arm to the middle of the hand
HUB_M = 0.008  # m; own: half of what thumb and finger hold of a propeller
SHOULDERS: tuple[Point, Point] = ((-0.52, -0.50, -0.10), (-0.42, 0.62, -0.10))
# m from the middle of the ground; own: left and right arms come from there
SLEEVE_M = 0.75  # m; own: long enough to leave the picture


def _point(v: Array) -> Point:
    return (float(v[0]), float(v[1]), float(v[2]))


def held_at_m(arm_m: float) -> float:
    """Return how far along an arm of this length, or beyond it, the middle of a hand is."""
    return ALONG * arm_m if arm_m >= PINCH_M else arm_m + PINCH_OUT_M


@lru_cache(maxsize=16)
def glove(forward: float, right: float, side_sign: float) -> Mesh:
    """Return a hand closed round the arm that points (forward, right), m; body measures."""
    arm_m = float(np.hypot(forward, right))
    u = np.array([forward, right, 0.0]) / arm_m
    s = np.array([-u[1], u[0], 0.0]) * side_sign
    up = np.array([0.0, 0.0, 1.0])
    pinched = arm_m < PINCH_M
    middle, parts = held_at_m(arm_m), []
    smooth = 1 if pinched else 0  # own: what is seen from nearer is rounder

    def at(along: float, side: float, height: float) -> Point:
        return _point(u * (middle + along) + s * side + up * height)

    parts.append(
        Part(
            limb(at(-0.024, 0.021, -0.016), at(0.024, 0.021, -0.016), 0.017, 0.018, 8, 2 + smooth),
            GLOVE,
        )
    )
    parts.append(
        Part(
            limb(at(0.0, 0.024, -0.018), at(0.0, 0.050, -0.028), 0.021, 0.020, 8, 2 + smooth), GLOVE
        )
    )
    for k in range(1 if pinched else 0, 4):
        x = -0.026 + 0.017 * k
        joints = [at(x, 0.021, -0.003), at(x, 0.011, 0.0155), at(x, -0.014, 0.0125)]
        if pinched:
            joints = [at(x, 0.021, -0.003), at(x, 0.009, 0.008), at(x, 0.012, -0.014)]
        parts += [
            Part(limb(a, b, 0.0088, 0.0084, 6 + smooth, 1 + smooth), GLOVE)
            for a, b in pairwise(joints)
        ]
    thumb = [(at(-0.027, 0.024, 0.0), at(-0.045, 0.010, 0.013))]
    if pinched:
        thumb = [
            (at(-0.020, 0.022, 0.002), at(-PINCH_OUT_M - 0.004, 0.002, 0.011)),
            (at(-0.020, 0.014, -0.014), at(-PINCH_OUT_M - 0.004, 0.000, -0.009)),
        ]
    parts += [Part(limb(a, b, 0.010, 0.008, 6, 2), GLOVE) for a, b in thumb]
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
        arm_m = float(np.linalg.norm(tips_m[k]))
        u = tips_m[k] / arm_m
        side = np.array([-u[1], u[0], 0.0])
        to = (start - pose.origin_m) @ pose.turn
        sign = 1.0 if side @ to > 0.0 else -1.0
        held = u * held_at_m(arm_m) + side * sign * 0.050 + np.array([0.0, 0.0, -0.028])
        wrist = pose.placed(held)
        way = (start - wrist) / np.linalg.norm(start - wrist)
        turn = np.column_stack([way, *frame_of(way)])
        mesh = glove(float(tips_m[k][0]), float(tips_m[k][1]), sign)
        out.append((mesh, sleeve(), Pose(turn, wrist)))
    return out


def offering(hub_m: Array, ground_m: float) -> tuple[Mesh, Pose, Mesh, Pose]:
    """Return the hand that holds a propeller by its hub (scene): glove and sleeve with their poses."""
    shoulder = np.add(SHOULDERS[1 if hub_m[1] > 0.0 else 0], (0.0, 0.0, ground_m))
    u = (shoulder - hub_m) * (1.0, 1.0, 0.0)
    u /= np.linalg.norm(u)
    origin = hub_m - u * HUB_M
    sign = 1.0 if hub_m[1] > 0.0 else -1.0
    side = np.array([-u[1], u[0], 0.0]) * sign
    wrist = origin + u * held_at_m(HUB_M) + side * 0.050 - np.array([0.0, 0.0, 0.028])
    way = (shoulder - wrist) / np.linalg.norm(shoulder - wrist)
    turn = np.column_stack([way, *frame_of(way)])
    hand = glove(round(HUB_M * float(u[0]), 4), round(HUB_M * float(u[1]), 4), sign)
    return hand, Pose(np.eye(3), origin), sleeve(), Pose(turn, wrist)


@lru_cache(maxsize=1)
def sleeve() -> Mesh:
    """Return cuff (region 0) and sleeve (1), which run from a wrist at the origin along the first axis."""
    return joined(
        [
            Part(limb((0.0, 0, 0), (0.034, 0, 0), 0.021, 0.026, 12, 2), CUFF, 0),
            Part(limb((0.030, 0, 0), (SLEEVE_M, 0, 0), 0.029, 0.058, 16, 1), SLEEVE, 1),
        ]
    )


@lru_cache(maxsize=8)
def clamp(ground_m: float, height_m: float, unit: float) -> Mesh:
    """Return the clamp: base, post, and jaws under the middle plate `height_m` up.

    unit : how many times as large the jaws are as for the aircraft that is drawn at 1.
    """
    g, k = ground_m, unit
    top, post = g + height_m - 0.015 * k, 0.017 * min(k, 1.0)
    screw = g + 0.55 * height_m
    return joined(
        [
            Part(block((-0.09, -0.07, g), (0.09, 0.07, g + 0.018)), IRON, shine=0.3),
            Part(turned((0, 0, g + 0.018), (0, 0, 1), ((0.0, 0.034), (0.012, 0.022)), 16), IRON, shine=0.4),
            Part(turned((0, 0, g + 0.03), (0, 0, 1), ((0.0, post), (top - 0.015 * k - g - 0.03, post)), 14), IRON, shine=0.6),
            Part(block((-0.045 * k, -0.034 * k, top - 0.015 * k), (0.045 * k, 0.034 * k, top)), JAW, shine=0.2),
            Part(bar((0.0, post, screw), (0.0, post + 0.058, screw), (0.012, 0.012), (0.009, 0.009)), JAW, shine=0.3),
        ]
    )  # fmt: skip
