"""The aircraft as a mesh, from the measures of its airframe.

Body axes here: forward, right, up (m). Regions: 0 the middle, 1-4 the arm ends by place, 5 nose,
6 tail; each region beyond the middle lies behind a plane, so the order of painting is exact.
"""

from dataclasses import dataclass

import numpy as np

from sim.aircraft.airframe import Airframe
from sim.window.scene.camera import Array
from sim.window.scene.meshes import Mesh, Part, ball, bar, block, cord, joined, prism, turned
from sim.window.scene.solids import Point, linear

ROOT_M = 0.075  # m; own: arms leave the middle here
NOSE_M = 0.072  # m; own: what is further forward is the nose
TAIL_M = 0.080  # m; own: what is further aft is the tail
PLATE_M = 0.064  # m; own: half length of the middle plates

OCHRE = linear("b5883f")
CLAY = linear("8f6b35")
GRAPHITE = linear("34373a")
GRAPHITE_EDGE = linear("46494c")
BELL = linear("b9bcb8")
BASE = linear("2b2d2f")
CAN = linear("6b5b73")
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


@dataclass(frozen=True)
class Craft:
    """The aircraft to be drawn: mesh, hubs of the rotors, planes of the regions, low points."""

    mesh: Mesh
    hubs_m: Array
    radius_m: float
    ways: Array
    offsets_m: Array
    anchors_m: Array
    low_m: Array


def places(airframe: Airframe) -> tuple[tuple[float, float], ...]:
    """Return signs (forward, right) of front_left, front_right, rear_right, rear_left."""
    return ((1.0, -1.0), (1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0))


def _middle(looks: Looks) -> list[Part]:
    p, c = PLATE_M, 0.030
    octagon = ((p, -c), (p, c), (c, p), (-c, p), (-p, c), (-p, -c), (-c, -p), (c, -p))
    lower = tuple((x * 1.04, y * 1.04) for x, y in octagon)
    out = [
        Part(prism(lower, -0.013, -0.010), GRAPHITE, 0, -0.011, 0.3),
        Part(prism(octagon, 0.018, 0.021), GRAPHITE_EDGE, 0, 0.019, 0.3),
        Part(block((-0.04, -0.03, -0.009), (0.04, 0.03, 0.004)), CHIP, 0, 0.0),
    ]
    out += [
        Part(turned((x, y, -0.010), (0, 0, 1), ((0.0, 0.0035), (0.028, 0.0035)), 6), BELL, 0, 0.004)
        for x, y in ((0.05, 0.022), (0.05, -0.022), (-0.05, 0.022), (-0.05, -0.022))
    ]
    return out + _board(looks) + _pack()


def _board(looks: Looks) -> list[Part]:
    """Controller board in front, its two lamps, the compass on its mast."""
    top = 0.021
    out = [
        Part(block((0.026, -0.022, top), (0.060, 0.022, top + 0.005)), BOARD, 0, 0.030, 0.2),
        Part(block((0.034, -0.010, top + 0.005), (0.048, 0.008, top + 0.008)), CHIP, 0, 0.034),
    ]
    for y, on in ((-0.016, looks.powered), (0.016, looks.powered and looks.armed)):
        lamp = block((0.030, y - 0.0035, top + 0.005), (0.037, y + 0.0035, top + 0.0095))
        out.append(Part(lamp, LAMP_ON if on else LAMP_OFF, 0, 0.0341, 0.4, 3.0 if on else 0.0))
    return out


def _pack() -> list[Part]:
    z, h = 0.021, 0.030
    out = [
        Part(bar((-0.078, 0, z + h / 2), (0.022, 0, z + h / 2), (0.038, h), (0.038, h), 0.06), CAN, 0, 0.036, 0.25),
        Part(block((-0.062, -0.0195, z + 0.008), (-0.036, 0.0195, z + h + 0.0008)), LABEL, 0, 0.0361, 0.1),
        Part(block((-0.022, -0.0215, z - 0.001), (-0.004, 0.0215, z + h + 0.0022)), WEB, 0, 0.0362),
        Part(block((-0.021, 0.004, z + h + 0.002), (-0.005, 0.014, z + h + 0.0045)), BUCKLE, 0, 0.0363, 0.5),
    ]
    return out


def _mast(airframe: Airframe) -> list[Part]:
    x, up = airframe.frame.compass_forward_m - 0.006, airframe.frame.compass_up_m
    return [
        Part(turned((x, 0, 0.021), (0, 0, 1), ((0.0, 0.003), (up - 0.026, 0.003)), 6), BELL, 0, 0.060, 0.4),
        Part(turned((x, 0, up - 0.006), (0, 0, 1), ((0.0, 0.015), (0.003, 0.018), (0.009, 0.018), (0.012, 0.014)), 12),
             PUCK, 0, 0.088, 0.2),
        Part(block((x + 0.008, -0.002, up + 0.006), (x + 0.017, 0.002, up + 0.0068)), GRAPHITE, 0, 0.0881),
    ]  # fmt: skip


def _lead(plugged: bool) -> list[Part]:
    """Pack lead and board lead: joined by the plug, or apart with both halves to be seen."""
    if plugged:
        pack = ((-0.078, 0.006, 0.040), (-0.102, 0.012, 0.038), (-0.112, 0.026, 0.026), (-0.104, 0.036, 0.014))
        board = ((-0.090, 0.030, -0.004), (-0.104, 0.036, 0.002))
        halves = [((-0.104, 0.036, 0.016), (-0.104, 0.036, 0.000))]
    else:
        pack = ((-0.078, -0.004, 0.040), (-0.104, -0.018, 0.034), (-0.118, -0.038, 0.006), (-0.119, -0.050, -0.020))
        board = ((-0.084, 0.024, -0.004), (-0.112, 0.036, 0.000))
        halves = [((-0.119, -0.050, -0.020), (-0.119, -0.055, -0.037)), ((-0.112, 0.036, 0.0), (-0.126, 0.042, 0.003))]
    out = []
    for way in (pack, board):
        for k, colour in ((0.0028, LEAD), (-0.0028, LEAD_TWO)):
            points = tuple((x, y + k, z + k * 0.4) for x, y, z in way)
            out += [Part(q, colour, 6, 0.02, 0.2) for q in cord(points, 0.0026)]
    return out + [Part(bar(a, b, (0.017, 0.010), (0.017, 0.010)), PLUG, 6, 0.021, 0.3) for a, b in halves]


def _nose(marked: bool) -> list[Part]:
    if not marked:
        return []
    boom = bar((0.055, 0, 0.006), (0.112, 0, 0.006), (0.007, 0.007), (0.006, 0.006))
    return [Part(boom, GRAPHITE_EDGE, 5, 0.006), Part(ball((0.124, 0, 0.006), 0.0165, 12), NOSE, 5, 0.0061, 0.3, 0.25)]


def _arm(airframe: Airframe, sign: tuple[float, float], region: int, front: bool) -> list[Part]:
    f = airframe.frame
    sx, sy = sign
    tip = np.array([sx * f.rotor_forward_m, sy * f.rotor_right_m])
    unit = tip / np.linalg.norm(tip)
    reach = float(np.linalg.norm(tip)) + 0.016

    def at(r: float, z: float) -> Point:
        return (float(unit[0] * r), float(unit[1] * r), z)

    def arm(r0: float, r1: float, colour: Point, where: int) -> Part:
        size = [(0.034 - 0.052 * r, 0.021 - 0.030 * r) for r in (r0, r1)]
        return Part(bar(at(r0, 0.001), at(r1, 0.001), size[0], size[1]), colour, where, 0.001, 0.15)

    out = [arm(0.028, ROOT_M, OCHRE, 0), arm(ROOT_M, 0.150, OCHRE, region)]
    if front:  # paler sleeves: even without the ball the front is told from the rear
        out += [arm(0.150, 0.180, LABEL, region), arm(0.180, reach, OCHRE, region)]
    else:
        out.append(arm(0.150, reach, OCHRE, region))
    return out + _leg(airframe, sign, region) + _motor((float(tip[0]), float(tip[1])), f.rotor_up_m, region)


def _leg(airframe: Airframe, sign: tuple[float, float], region: int) -> list[Part]:
    f = airframe.frame
    x, y = sign[0] * f.foot_forward_m, sign[1] * f.foot_right_m
    top = (0.86 * x, 0.86 * y, -0.006)
    knee = (0.97 * x, 0.97 * y, -0.6 * f.foot_down_m)
    foot = (x, y, -f.foot_down_m + 0.008)
    return [
        Part(bar(top, knee, (0.020, 0.011), (0.012, 0.009)), CLAY, region, -0.03, 0.1),
        Part(bar(knee, foot, (0.012, 0.009), (0.009, 0.008)), CLAY, region, -0.09, 0.1),
        Part(turned((x, y, -f.foot_down_m), (0, 0, 1), ((0.0, 0.009), (0.004, 0.012), (0.010, 0.010), (0.014, 0.005)), 8),
             FOOT, region, -0.115),
    ]  # fmt: skip


def _motor(tip: tuple[float, float], up: float, region: int) -> list[Part]:
    x, y = tip
    z = 0.009
    top = up - 0.002
    return [
        Part(turned((x, y, z - 0.004), (0, 0, 1), ((0.0, 0.0150), (0.008, 0.0150)), 12), BASE, region, z, 0.2),
        Part(turned((x, y, z + 0.004), (0, 0, 1),
                    ((0.0, 0.0140), (top - z - 0.008, 0.0140), (top - z - 0.004, 0.0105)), 14), BELL, region, 0.02, 0.8),
        Part(turned((x, y, top), (0, 0, 1), ((0.0, 0.0030), (0.010, 0.0030)), 6), GRAPHITE_EDGE, region, up + 0.002, 0.4),
    ]  # fmt: skip


def craft(airframe: Airframe, looks: Looks) -> Craft:
    """Return the aircraft; standing on its feet its origin is `foot_down_m` above the ground."""
    f = airframe.frame
    signs = places(airframe)
    parts = _middle(looks) + _mast(airframe) + _lead(looks.pack_plugged) + _nose(looks.nose_marked)
    for k, sign in enumerate(signs):
        if looks.broken and k == 1:
            short = [p for p in _arm(airframe, sign, k + 1, sign[0] > 0) if p.layer_m > -0.08]
            parts += short  # a leg gone with the fall
        else:
            parts += _arm(airframe, sign, k + 1, sign[0] > 0)
    tips = np.array([(s * f.rotor_forward_m, t * f.rotor_right_m, 0.0) for s, t in signs])
    units = tips / np.linalg.norm(tips, axis=1, keepdims=True)
    ways = np.vstack([units, [[1.0, 0.0, 0.0], [-1.0, 0.0, 0.0]]])
    hubs = tips + [0.0, 0.0, f.rotor_up_m + 0.004]
    anchors = np.vstack([tips * 0.8, [[0.115, 0.0, 0.0], [-0.11, 0.0, 0.0]]])
    mesh = joined(parts)
    return Craft(
        mesh=mesh,
        hubs_m=hubs,
        radius_m=airframe.propeller.diameter_m / 2,
        ways=ways,
        offsets_m=np.array([ROOT_M] * 4 + [NOSE_M, TAIL_M]),
        anchors_m=anchors,
        low_m=np.unique(mesh.quads.reshape(-1, 3).round(4), axis=0),
    )
