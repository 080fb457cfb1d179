"""Things of known size beside the aircraft on the bench: a rule of 30 cm, a mug, the display.

Rule and mug lie just outside the propellers, so that one sees how large the aircraft is.
"""

import numpy as np

from sim.window.scene.meshes import Part, Quads, bar, block, joined, turned
from sim.window.scene.model import RoomPicture
from sim.window.scene.people import Thing
from sim.window.scene.solids import Point, linear

RULE_M = (0.30, 0.026)  # m; own: a common steel rule
MUG_M = (0.041, 0.095)  # m; own: radius and height of a common mug
SLAB_M = (0.40, 0.20)  # m north, east; own: no further off is the display propped up
SLAB_SIZE_M = (0.24, 0.165)  # m; own: width and height of an ordinary tablet
GAP_M = 0.035  # m; own: from the blades to rule and mug
# Colours: own.
RULE = linear("c9cbc6")
INK = linear("2f3234")
MUG = linear("8c5a4a")
COFFEE = linear("2c2119")
CASE = linear("3a3d3f")
PAPER = linear("f4efe0")


def beside_m(reach_m: float) -> float:
    """Return how far to the side of an aircraft of that reach things lie."""
    return 0.8 * reach_m + GAP_M


def slab_at(reach_m: float) -> tuple[float, float]:
    """Return where the display is propped up, north and east of an aircraft of that reach, m."""
    return min(SLAB_M[0], 0.9 * reach_m + 0.13), min(SLAB_M[1], 0.5 * reach_m + 0.08)


def _slab(north: float, east: float, up_m: float) -> list[Part]:
    """Return the display, leaning back, with pencil lines on its paper."""
    wide, high = SLAB_SIZE_M
    lean = 0.05

    def panel(a: float, b: float, low: float, high_: float, front: float) -> Quads:
        x0, x1 = north + lean * low / high - front, north + lean * high_ / high - front
        return bar(
            (x0, east + (a + b) / 2, up_m + low),
            (x1, east + (a + b) / 2, up_m + high_),
            (b - a, 0.008),
            (b - a, 0.008),
            0.0,
        )

    half, rim = wide / 2, 0.010
    out = [
        Part(panel(-half, half, 0.0, high, 0.0), CASE, 0, 0.0, 0.3),
        Part(panel(-half + rim, half - rim, rim, high - rim, 0.004), PAPER, 0, 0.1),
    ]
    for k, long in enumerate((0.7, 0.5, 0.8, 0.6)):
        z = high - 0.035 - 0.030 * k
        line = panel(-half + 0.025, -half + 0.025 + long * (wide - 0.06), z, z + 0.004, 0.008)
        out.append(Part(line, INK, 0, 0.2))
    return out


def _rule(north_m: float, east_m: float, up_m: float) -> list[Part]:
    """Return a rule that lies along north, with a line each centimetre, longer ones each five."""
    long, wide = RULE_M
    x0, top = north_m - long / 2, up_m + 0.0012
    out = [Part(block((x0, east_m, up_m), (x0 + long, east_m + wide, top)), RULE, shine=0.5)]
    for k in range(1, round(long * 100)):
        x, reach = x0 + k / 100, wide * (0.75 if k % 10 == 0 else 0.5 if k % 5 == 0 else 0.28)
        line = block((x - 0.0006, east_m, top), (x + 0.0006, east_m + reach, top + 0.0002))
        out.append(Part(line, INK, 0, 0.001))
    return out


def _mug(north_m: float, east_m: float, up_m: float) -> list[Part]:
    radius, height = MUG_M
    at: Point = (north_m, east_m, up_m)
    wall = ((0.0, 0.92 * radius), (0.006, radius), (height, radius))
    out = [Part(turned(at, (0, 0, 1), wall, 40), MUG, 0, 0.0, 0.4)]
    inside = turned(at, (0, 0, 1), ((height, 0.9 * radius), (height + 0.0005, 0.9 * radius)), 24)
    out.append(Part(inside, COFFEE, 0, 0.1))
    for k in range(5):
        a, b = (np.radians(-70 + 28 * j) for j in (k, k + 1))
        ends = [
            (north_m, east_m + radius + 0.022 * np.cos(t), up_m + 0.048 + 0.026 * np.sin(t))
            for t in (a, b)
        ]
        low, high = np.min(ends, axis=0), np.max(ends, axis=0)
        grip = block(
            (north_m - 0.006, float(low[1]) - 0.003, float(low[2])),
            (north_m + 0.006, float(high[1]) + 0.003, float(high[2])),
        )
        out.append(Part(grip, MUG, 0, 0.05, 0.4))
    return out


def scale_things(room: RoomPicture, ground_m: float, reach_m: float) -> list[Thing]:
    """Return what lies beside an aircraft of that reach on the bench, the farthest first."""
    if room.view != "bench" or room.place != "bench":
        return []
    up, side = ground_m + 0.003, beside_m(reach_m)
    mug_at = 0.55 * reach_m, side + MUG_M[0] + 0.02
    rule = joined(_rule(-0.05, side, up))
    return [
        Thing(joined(_slab(*slab_at(reach_m), ground_m)), *slab_at(reach_m), 0.0),
        Thing(joined(_mug(*mug_at, up)), *mug_at, MUG_M[0], up),
        Thing(rule, 0.0, side, 0.0),
    ]
