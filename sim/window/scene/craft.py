"""The aircraft as a mesh, from the measures of its airframe.

Body axes here: forward, right, up (m). Regions: 0 the middle, 1-4 the arm ends by place, 5 nose,
6 tail; each region beyond the middle lies behind a plane, so the order of painting is exact.
"""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from sim.aircraft.airframe import SIDES, Airframe
from sim.aircraft.fields import PLACES
from sim.aircraft.powertrain import spins
from sim.window.scene.camera import Array
from sim.window.scene.meshes import Mesh, Part, Quads, bar, joined, sheet, turned
from sim.window.scene.middle import (
    BASE,
    BELL,
    CLAY,
    FOOT,
    GRAPHITE_EDGE,
    LABEL,
    LAMP_AFT_M,
    LAMPS_M,
    OCHRE,
    PLATE_TOP_M,
    PORT_M,
    WEB,
    Looks,
    middle,
)
from sim.window.scene.sizes import Sizes, sizes
from sim.window.scene.solids import Point

ARROW_RAD = 4.2  # rad; own: how far round an arrow on an arm goes
SIGNS = tuple(SIDES[place] for place in PLACES)


@dataclass(frozen=True, eq=False)
class Craft:
    """The aircraft to be drawn: mesh, hubs of the rotors, planes of the regions, corners, feet."""

    mesh: Mesh
    size: Sizes
    hubs_m: Array
    spins: tuple[float, ...]  # +1: planned to turn clockwise, seen from above
    ways: Array
    offsets_m: Array
    anchors_m: Array
    low_m: Array
    feet_m: Array
    lamps_m: Array
    port_m: Array

    @property
    def foot_m(self) -> float:
        """How far the feet are below."""
        return -float(self.feet_m[0, 2])


def _arm(airframe: Airframe, size: Sizes, region: int, looks: Looks) -> list[Part]:
    i, k = region - 1, size.unit
    tip, unit, long = size.tips_m[i], size.ways[i], float(size.arms_m[i])
    reach, root = long + 0.016 * k, float(size.root_m[i])

    def at(r: float) -> Point:
        return (float(unit[0] * r), float(unit[1] * r), 0.001 * k)

    def arm(r0: float, r1: float, colour: Point, where: int) -> Part:
        wide = [k * (0.034 - 0.0117 * r / long) for r in (r0, r1)]
        high = [k * (0.021 - 0.0068 * r / long) for r in (r0, r1)]
        beam = bar(at(r0), at(r1), (wide[0], high[0]), (wide[1], high[1]), looks.edge, r1 == reach)
        return Part(beam, colour, where, 0.001 * k, 0.15)

    pale, end = 0.667 * long, 0.80 * long
    out = [arm(0.028 * k, root, OCHRE, 0), arm(root, pale, OCHRE, region)]
    if tip[0] > 0.0:  # paler sleeves: even without the ball the front is told from the rear
        out += [arm(pale, end, LABEL, region), arm(end, reach, OCHRE, region)]
    else:
        out.append(arm(pale, reach, OCHRE, region))
    if looks.close:
        out += _arrow(size, i, spins(airframe)[i])
    return out + _leg(airframe, size, region, looks) + _motor(airframe, size, region, looks)


def _arrow(size: Sizes, i: int, turns: float) -> list[Part]:
    """Return the tag on an arm that says which way its motor is planned to turn."""
    k = size.unit
    wide = min(0.030 * k, 0.9 * (float(size.arms_m[i]) - float(size.root_m[i]) - size.bell_m))
    middle_m = size.tips_m[i] - size.ways[i] * (size.bell_m * 1.15 + wide / 2)
    z, t = 0.0110 * k, 0.0005 * k
    u, v = size.ways[i] * wide / 2, np.array([-size.ways[i][1], size.ways[i][0]]) * wide / 2

    def flat(points: list[Array], colour: Point, up: float, layer: float) -> Part:
        outline = tuple((float(p[0]), float(p[1])) for p in points)
        (x0, y0), (x1, y1), (x2, y2) = outline[:3]
        if (x1 - x0) * (y2 - y1) < (y1 - y0) * (x2 - x1):
            outline = outline[::-1]
        return Part(sheet(outline, z + up), colour, i + 1, layer * k)

    corners = [middle_m + a * u + b * v for a, b in ((1, 1), (-1, 1), (-1, -1), (1, -1))]
    out = [flat(corners, LABEL, 0.0, 0.004)]
    r, half = 0.32 * wide, 0.055 * wide
    angles = turns * np.linspace(-ARROW_RAD / 2, ARROW_RAD / 2, 8)
    spokes = np.column_stack([np.cos(angles), np.sin(angles)])
    for a, b in pairwise(spokes[:-1]):
        ring = [(r - half) * a, (r + half) * a, (r + half) * b, (r - half) * b]
        out.append(flat([middle_m + p for p in ring], WEB, t, 0.0045))
    a, b = spokes[-2], spokes[-1]
    head = [(r - 3.2 * half) * a, (r + 3.2 * half) * a, r * b + 1.5 * half * (b - a)]
    out.append(flat([middle_m + p for p in head], WEB, t, 0.0046))
    return out


def _leg(airframe: Airframe, size: Sizes, region: int, looks: Looks) -> list[Part]:
    f, k, i = airframe.frame, size.unit, region - 1
    x, y = SIGNS[i][0] * f.foot_forward_m, SIGNS[i][1] * f.foot_right_m
    along = 0.86 * float(size.ways[i] @ (x, y))
    along = min(max(along, float(size.root_m[i]) + 0.010 * k), float(size.arms_m[i]))
    ax, ay = (float(c) for c in size.ways[i] * along)
    top = (ax, ay, -0.006 * k)
    knee = (0.22 * ax + 0.78 * x, 0.22 * ay + 0.78 * y, -0.6 * f.foot_down_m)
    foot = (x, y, -f.foot_down_m + 0.008 * k)
    pad: tuple[tuple[float, float], ...] = ((0.0, 0.010), (0.005, 0.012), (0.013, 0.006))
    if not looks.close:
        pad = ((0.0, 0.011), (0.012, 0.009))
    pad = tuple((t * k, r * k) for t, r in pad)
    wide, waist, thin = (
        (a * k, b * k) for a, b in ((0.020, 0.011), (0.012, 0.009), (0.009, 0.008))
    )
    ends = looks.edge
    down = -f.foot_down_m
    return [
        Part(bar(top, knee, wide, waist, ends, False), CLAY, region, 0.25 * down, 0.1),
        Part(bar(knee, foot, waist, thin, ends, False), CLAY, region, 0.75 * down, 0.1),
        Part(turned((x, y, down), (0, 0, 1), pad, 7 if looks.close else 5), FOOT, region, 0.96 * down),
    ]  # fmt: skip


def _motor(airframe: Airframe, size: Sizes, region: int, looks: Looks) -> list[Part]:
    x, y = (float(c) for c in size.tips_m[region - 1])
    up, k, r = airframe.frame.rotor_up_m, size.unit, size.bell_m
    z = min(0.009 * k, 0.3 * up)
    top = up - 0.07 * up - z
    bell = [(0.21 * top, r), (0.79 * top, r), (top, 0.75 * r)]
    if not looks.close:
        bell = [(0.21 * top, r), (top, 0.93 * r)]

    def round_(profile: tuple[tuple[float, float], ...], sides: int) -> Quads:
        return turned((x, y, z), (0, 0, 1), profile, sides)

    base = ((-0.21 * top, 1.07 * r), (0.21 * top, 1.07 * r))
    out = [
        Part(round_(base, looks.sides), BASE, region, z, 0.2),
        Part(round_(tuple(bell), looks.sides), BELL, region, 0.66 * up, 0.8),
    ]
    if looks.close:
        nut = round_(((top, 0.0030 * k), (top + 0.010 * k, 0.0030 * k)), 6)
        out.append(Part(nut, GRAPHITE_EDGE, region, up + 0.002 * k, 0.4))
    return out


def craft(airframe: Airframe, looks: Looks) -> Craft:
    """Return the aircraft; standing on its feet its origin is `foot_down_m` above the ground."""
    f, size = airframe.frame, sizes(airframe)
    k = size.unit
    parts = middle(airframe, size, looks)
    for region in range(1, 5):
        arm = _arm(airframe, size, region, looks)
        if looks.broken and region == 2:  # a leg gone with the fall
            arm = [p for p in arm if p.layer_m > -0.5 * f.foot_down_m]
        parts += arm
    tips = np.column_stack([size.tips_m, np.zeros(4)])
    units = tips / size.arms_m[:, None]
    feet = np.array([(s * f.foot_forward_m, u * f.foot_right_m, -f.foot_down_m) for s, u in SIGNS])
    lamps = np.array([(LAMP_AFT_M + 0.004, y, PLATE_TOP_M + 0.006) for y in LAMPS_M]) * k
    mesh = joined(parts)
    return Craft(
        mesh=mesh,
        size=size,
        hubs_m=tips + np.array([0.0, 0.0, f.rotor_up_m]),
        spins=spins(airframe),
        ways=np.vstack([units, [[1.0, 0.0, 0.0], [-1.0, 0.0, 0.0]]]),
        offsets_m=np.array([*size.root_m, size.nose_m, size.tail_m]),
        anchors_m=np.vstack(
            [tips * 0.8, [[0.115 * k, 0.0, 0.0], [-0.030 * k - size.tail_m, 0.0, 0.0]]]
        ),
        feet_m=feet,
        lamps_m=lamps,
        port_m=np.array(PORT_M) * k,
        low_m=np.unique(mesh.solid.quads.reshape(-1, 3).round(4), axis=0),
    )
