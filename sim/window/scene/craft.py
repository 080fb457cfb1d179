"""The aircraft as a mesh, from the measures of its airframe.

Body axes here: forward, right, up (m). Regions: 0 the middle, 1-4 the arm ends by place, 5 nose,
6 tail; each region beyond the middle lies behind a plane, so the order of painting is exact.
"""

from dataclasses import dataclass

import numpy as np

from sim.aircraft.airframe import Airframe
from sim.window.scene.camera import Array
from sim.window.scene.meshes import Mesh, Part, Quads, ball, bar, block, cord, joined, prism, turned
from sim.window.scene.solids import Point, linear

ROOT_M = 0.075  # m; own: arms leave the middle here
NOSE_M = 0.072  # m; own: what is further forward is the nose
TAIL_M = 0.080  # m; own: what is further aft is the tail
PLATE_M = 0.064  # m; own: half length of the middle plates
PLATE_TOP_M = 0.021  # m; own: top of the upper plate
LAMP_AFT_M = -0.052  # m; own: the two lamps sit aft on the upper plate, beside the pack
LAMPS_M = (-0.034, 0.034)  # m; own: the left one shows power, the right one armed
PACK_M = (0.102, 0.038, 0.030)  # m; own: length, width, height of a three-cell pack

# Colours of the aircraft: own; no channel or side is told by colour.
OCHRE = linear("b5883f")
CLAY = linear("8f6b35")
GRAPHITE = linear("34373a")
GRAPHITE_EDGE = linear("46494c")
BELL = linear("b9bcb8")
BASE = linear("2b2d2f")
CAN = linear("75637e")
LABEL = linear("e6dcc4")
WEB = linear("23272b")
BUCKLE = linear("cfcabd")
BOARD = linear("3f5a57")
CHIP = linear("1d2022")
PUCK = linear("e9e4d8")
NOSE = linear("fff6d8")
PLUG = linear("e8d9a8")
LEAD = linear("5a3b46")
LEAD_TWO = linear("25272a")
LAMP_OFF = linear("6f736f")
LAMP_ON = linear("ffffff")
FOOT = linear("2e3134")


@dataclass(frozen=True)
class Looks:
    """What changes the mesh of the aircraft."""

    pack_plugged: bool
    nose_marked: bool
    powered: bool
    armed: bool
    broken: bool
    close: bool  # seen from near: rounder

    @property
    def sides(self) -> int:
        """Faces round a motor: fewer from afar."""
        return 12 if self.close else 7

    @property
    def edge(self) -> float:
        """How much is taken off the edges of arms and legs: nothing from afar."""
        return 0.28 if self.close else 0.0


@dataclass(frozen=True)
class Craft:
    """The aircraft to be drawn: mesh, hubs of the rotors, planes of the regions, corners, feet."""

    mesh: Mesh
    hubs_m: Array
    radius_m: float
    ways: Array
    offsets_m: Array
    anchors_m: Array
    low_m: Array
    foot_m: float


SIGNS = ((1.0, -1.0), (1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0))
# forward, right of front_left, front_right, rear_right, rear_left


def _middle(looks: Looks) -> list[Part]:
    p, c = PLATE_M, 0.030
    octagon = ((p, -c), (p, c), (c, p), (-c, p), (-p, c), (-p, -c), (-c, -p), (c, -p))
    lower = tuple((x * 1.04, y * 1.04) for x, y in octagon)
    out = [
        Part(prism(lower, -0.013, -0.010), GRAPHITE, 0, -0.011, 0.3),
        Part(prism(octagon, 0.018, PLATE_TOP_M), GRAPHITE_EDGE, 0, 0.019, 0.3),
        Part(block((-0.04, -0.03, -0.009), (0.04, 0.03, 0.004)), CHIP, 0, 0.0),
    ]
    if looks.close:
        out += _spacers()
    return out + _board(looks) + _pack()


def _spacers() -> list[Part]:
    return [
        Part(turned((x, y, -0.010), (0, 0, 1), ((0.0, 0.0035), (0.028, 0.0035)), 6), BELL, 0, 0.004)
        for x, y in ((0.05, 0.022), (0.05, -0.022), (-0.05, 0.022), (-0.05, -0.022))
    ]


def _board(looks: Looks) -> list[Part]:
    """Return the controller board in front, and its two lamps aft."""
    top = PLATE_TOP_M
    out = [
        Part(block((0.026, -0.022, top), (0.060, 0.022, top + 0.005)), BOARD, 0, 0.030, 0.2),
        Part(block((0.034, -0.010, top + 0.005), (0.048, 0.008, top + 0.008)), CHIP, 0, 0.034),
    ]
    for y, on in zip(LAMPS_M, (looks.powered, looks.powered and looks.armed), strict=True):
        x = LAMP_AFT_M
        lamp = block((x, y - 0.004, top), (x + 0.009, y + 0.004, top + 0.005))
        out.append(Part(lamp, LAMP_ON if on else LAMP_OFF, 0, 0.030, 0.4, 3.0 if on else 0.0))
    return out


def _band(span: tuple[float, float], low: float, colour: Point, layer_m: float) -> list[Part]:
    """Return a thin band over the pack's top and sides, from `low` up, between two stations."""
    x0, x1 = span
    side, top, t = PACK_M[1] / 2, PLATE_TOP_M + PACK_M[2], 0.0009
    return [
        Part(block((x0, -side - t, low), (x1, -side, top)), colour, 0, layer_m, 0.1),
        Part(block((x0, side, low), (x1, side + t, top)), colour, 0, layer_m, 0.1),
        Part(block((x0, -side - t, top), (x1, side + t, top + t)), colour, 0, layer_m + 1e-4, 0.1),
    ]


def _pack() -> list[Part]:
    """Return the pack on the upper plate with its label, strap and buckle."""
    _, width, height = PACK_M
    z = PLATE_TOP_M + height / 2
    ends = ((-0.078, 0.0, z), (-0.078 + PACK_M[0], 0.0, z))
    body = bar(*ends, (width, height), (width, height), 0.05)
    top = PLATE_TOP_M + height
    buckle = block((-0.019, 0.003, top + 0.001), (-0.005, 0.013, top + 0.0035))
    return [
        Part(body, CAN, 0, 0.036, 0.25),
        *_band((-0.066, -0.036), PLATE_TOP_M + 0.008, LABEL, 0.0361),
        *_band((-0.020, -0.004), PLATE_TOP_M, WEB, 0.0363),
        Part(buckle, BUCKLE, 0, 0.0366, 0.5),
    ]


def _mast(airframe: Airframe, sides: int) -> list[Part]:
    x, up = airframe.frame.compass_forward_m - 0.006, airframe.frame.compass_up_m
    return [
        Part(turned((x, 0, PLATE_TOP_M), (0, 0, 1), ((0.0, 0.003), (up - 0.026, 0.003)), 6), BELL, 0, 0.060, 0.4),
        Part(turned((x, 0, up - 0.006), (0, 0, 1), ((0.0, 0.015), (0.003, 0.018), (0.009, 0.018), (0.012, 0.014)), sides),
             PUCK, 0, 0.088, 0.2),
        Part(block((x + 0.008, -0.002, up + 0.006), (x + 0.017, 0.002, up + 0.0068)), GRAPHITE, 0, 0.0881),
    ]  # fmt: skip


def _lead(plugged: bool, close: bool) -> list[Part]:
    """Pack lead and board lead: joined by the plug, or apart with both halves to be seen."""
    if plugged:
        pack = (
            (-0.078, 0.006, 0.040),
            (-0.102, 0.012, 0.038),
            (-0.112, 0.026, 0.026),
            (-0.104, 0.036, 0.014),
        )
        board = ((-0.090, 0.030, -0.004), (-0.104, 0.036, 0.002))
        halves = [((-0.104, 0.036, 0.016), (-0.104, 0.036, 0.000))]
    else:
        pack = (
            (-0.078, -0.004, 0.040),
            (-0.104, -0.018, 0.034),
            (-0.118, -0.038, 0.006),
            (-0.119, -0.050, -0.020),
        )
        board = ((-0.084, 0.024, -0.004), (-0.112, 0.036, 0.000))
        halves = [
            ((-0.119, -0.050, -0.020), (-0.119, -0.055, -0.037)),
            ((-0.112, 0.036, 0.0), (-0.126, 0.042, 0.003)),
        ]
    out = []
    for way in (pack, board):
        both = ((0.0028, LEAD), (-0.0028, LEAD_TWO))
        for k, colour in both if close else ((0.0, LEAD),):
            points = tuple((x, y + k, z + k * 0.4) for x, y, z in way)
            out += [Part(q, colour, 6, 0.02, 0.2) for q in cord(points, 0.0026 if close else 0.004)]
    return out + [
        Part(bar(a, b, (0.017, 0.010), (0.017, 0.010)), PLUG, 6, 0.021, 0.3) for a, b in halves
    ]


def _nose(marked: bool, sides: int) -> list[Part]:
    if not marked:
        return []
    boom = bar((0.055, 0, 0.006), (0.112, 0, 0.006), (0.007, 0.007), (0.006, 0.006))
    return [
        Part(boom, GRAPHITE_EDGE, 5, 0.006),
        Part(ball((0.124, 0, 0.006), 0.0165, sides), NOSE, 5, 0.0061, 0.3, 0.25),
    ]


def _arm(airframe: Airframe, sign: tuple[float, float], region: int, looks: Looks) -> list[Part]:
    f = airframe.frame
    sx, _ = sign
    tip = np.array(f.rotors_m.points[region - 1])
    unit = tip / np.linalg.norm(tip)
    reach = float(np.linalg.norm(tip)) + 0.016

    def at(r: float, z: float) -> Point:
        return (float(unit[0] * r), float(unit[1] * r), z)

    def arm(r0: float, r1: float, colour: Point, where: int) -> Part:
        size = [(0.034 - 0.052 * r, 0.021 - 0.030 * r) for r in (r0, r1)]
        return Part(
            bar(at(r0, 0.001), at(r1, 0.001), size[0], size[1], looks.edge, r1 == reach),
            colour,
            where,
            0.001,
            0.15,
        )

    out = [arm(0.028, ROOT_M, OCHRE, 0), arm(ROOT_M, 0.150, OCHRE, region)]
    if sx > 0.0:  # paler sleeves: even without the ball the front is told from the rear
        out += [arm(0.150, 0.180, LABEL, region), arm(0.180, reach, OCHRE, region)]
    else:
        out.append(arm(0.150, reach, OCHRE, region))
    motor = _motor((float(tip[0]), float(tip[1])), f.rotor_up_m, region, looks)
    return out + _leg(airframe, sign, region, looks) + motor


def _leg(airframe: Airframe, sign: tuple[float, float], region: int, looks: Looks) -> list[Part]:
    f = airframe.frame
    x, y = sign[0] * f.foot_forward_m, sign[1] * f.foot_right_m
    top = (0.86 * x, 0.86 * y, -0.006)
    knee = (0.97 * x, 0.97 * y, -0.6 * f.foot_down_m)
    foot = (x, y, -f.foot_down_m + 0.008)
    pad: tuple[tuple[float, float], ...] = (
        (0.0, 0.009),
        (0.004, 0.012),
        (0.010, 0.010),
        (0.014, 0.005),
    )
    if not looks.close:
        pad = ((0.0, 0.011), (0.012, 0.009))
    return [
        Part(bar(top, knee, (0.020, 0.011), (0.012, 0.009), looks.edge, False), CLAY, region, -0.03, 0.1),
        Part(bar(knee, foot, (0.012, 0.009), (0.009, 0.008), looks.edge, False), CLAY, region, -0.09, 0.1),
        Part(turned((x, y, -f.foot_down_m), (0, 0, 1), pad, 8 if looks.close else 5), FOOT, region, -0.115),
    ]  # fmt: skip


def _motor(tip: tuple[float, float], up: float, region: int, looks: Looks) -> list[Part]:
    x, y = tip
    z = 0.009
    top = up - 0.002 - z
    bell = [(0.004, 0.0140), (top - 0.004, 0.0140), (top, 0.0105)]
    if not looks.close:
        bell = [(0.004, 0.0140), (top, 0.0130)]

    def round_(profile: tuple[tuple[float, float], ...], sides: int) -> Quads:
        return turned((x, y, z), (0, 0, 1), profile, sides)

    out = [
        Part(round_(((-0.004, 0.0150), (0.004, 0.0150)), looks.sides), BASE, region, z, 0.2),
        Part(round_(tuple(bell), looks.sides), BELL, region, 0.02, 0.8),
    ]
    if looks.close:
        nut = round_(((top, 0.0030), (top + 0.010, 0.0030)), 6)
        out.append(Part(nut, GRAPHITE_EDGE, region, up + 0.002, 0.4))
    return out


def craft(airframe: Airframe, looks: Looks) -> Craft:
    """Return the aircraft; standing on its feet its origin is `foot_down_m` above the ground."""
    f = airframe.frame
    parts = (
        _middle(looks)
        + _mast(airframe, looks.sides)
        + _lead(looks.pack_plugged, looks.close)
        + _nose(looks.nose_marked, looks.sides)
    )
    for k, sign in enumerate(SIGNS):
        if looks.broken and k == 1:
            short = [p for p in _arm(airframe, sign, k + 1, looks) if p.layer_m > -0.08]
            parts += short  # a leg gone with the fall
        else:
            parts += _arm(airframe, sign, k + 1, looks)
    tips = np.array([(*point, 0.0) for point in f.rotors_m.points])
    units = tips / np.linalg.norm(tips, axis=1, keepdims=True)
    ways = np.vstack([units, [[1.0, 0.0, 0.0], [-1.0, 0.0, 0.0]]])
    hubs = tips + np.array([0.0, 0.0, f.rotor_up_m + 0.004])
    anchors = np.vstack([tips * 0.8, [[0.115, 0.0, 0.0], [-0.11, 0.0, 0.0]]])
    mesh = joined(parts)
    return Craft(
        mesh=mesh,
        hubs_m=hubs,
        radius_m=airframe.propeller.diameter_m / 2,
        ways=ways,
        offsets_m=np.array([ROOT_M] * 4 + [NOSE_M, TAIL_M]),
        anchors_m=anchors,
        foot_m=f.foot_down_m,
        low_m=np.unique(mesh.quads.reshape(-1, 3).round(4), axis=0),
    )
