"""Things of known size beside the aircraft on the bench: a rule of 30 cm, a mug, a pencil.

They lie just outside the propellers, so that one sees how large the aircraft is.
"""

import numpy as np

from sim.window.scene.meshes import Part, block, joined, turned
from sim.window.scene.model import RoomPicture
from sim.window.scene.people import Thing
from sim.window.scene.solids import Point, linear

RULE_M = (0.30, 0.026)  # m; own: a common steel rule
MUG_M = (0.041, 0.095)  # m; own: radius and height of a common mug
GAP_M = 0.035  # m; own: from the blades to rule and mug
# Colours: own.
RULE = linear("c9cbc6")
INK = linear("2f3234")
MUG = linear("8c5a4a")
COFFEE = linear("2c2119")


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
    up, side = ground_m + 0.003, 0.8 * reach_m + GAP_M
    mug_at = 0.55 * reach_m, side + MUG_M[0] + 0.02
    rule = joined(_rule(-0.02, -side - RULE_M[1], up))
    return [
        Thing(joined(_mug(*mug_at, up)), *mug_at, MUG_M[0], up),
        Thing(rule, 0.0, -side, 0.0),
    ]
