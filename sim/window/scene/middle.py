"""What lies between the arms: plates, board, pack with its lead, compass mast, mark of the nose.

Shapes are drawn for an aircraft of `DRAWN_KG` and scaled by its unit, but for pack and mast, which
have measures of their own. Body axes: forward, right, up (m).
"""

from dataclasses import dataclass, replace

from sim.aircraft.airframe import Airframe
from sim.window.scene.meshes import Part, ball, bar, block, cord, prism, turned
from sim.window.scene.sizes import PACK_AFT_M, PACK_M, PLATE_CUT_M, PLATE_M, Sizes
from sim.window.scene.solids import Point, linear

PLATE_TOP_M = 0.021  # m; own: top of the upper plate
LAMP_AFT_M = -0.052  # m; own: the two lamps sit aft on the upper plate, beside the pack
LAMPS_M = (-0.034, 0.034)  # m; own: the left one shows power, the right one armed
PORT_M = (0.043, 0.024, 0.0235)  # m; own: where the set-up cable goes into the board
PACK_END_M = 0.040  # m; own: height of the pack's lead where it leaves the pack
MAST_LEAST_M = 0.012  # m; own: a compass no higher over the plate sits on the board, unseen

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
    cabled: bool
    close: bool  # seen from near: rounder

    @property
    def sides(self) -> int:
        """Faces round a motor: fewer from afar."""
        return 12 if self.close else 7

    @property
    def edge(self) -> float:
        """How much is taken off the edges of arms and legs: nothing from afar."""
        return 0.28 if self.close else 0.0


def _plates(looks: Looks) -> list[Part]:
    p, c = PLATE_M, PLATE_CUT_M
    octagon = ((p, -c), (p, c), (c, p), (-c, p), (-p, c), (-p, -c), (-c, -p), (c, -p))
    lower = tuple((x * 1.04, y * 1.04) for x, y in octagon)
    out = [
        Part(prism(lower, -0.013, -0.010), GRAPHITE, 0, -0.011, 0.3),
        Part(prism(octagon, 0.018, PLATE_TOP_M), GRAPHITE_EDGE, 0, 0.019, 0.3),
        Part(block((-0.04, -0.03, -0.009), (0.04, 0.03, 0.004)), CHIP, 0, 0.0),
    ]
    if looks.close:
        out += _spacers()
    return out + _board(looks)


def _spacers() -> list[Part]:
    return [
        Part(turned((x, y, -0.010), (0, 0, 1), ((0.0, 0.0035), (0.028, 0.0035)), 4), BELL, 0, 0.004)
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
    if looks.cabled:
        x, y, z = PORT_M
        plug = block((x - 0.006, y - 0.004, z - 0.003), (x + 0.006, y + 0.014, z + 0.003))
        out.append(Part(plug, CHIP, 0, 0.0305, 0.2))
    return out


def _pack(size: Sizes) -> list[Part]:
    """Return the pack on the upper plate with its label, strap and buckle."""
    k, (length, width, height) = size.unit, size.pack_m
    floor, aft = PLATE_TOP_M * k, -size.pack_aft_m
    top, side, t = floor + height, width / 2, 0.0009 * k

    def band(start: float, end: float, low: float, colour: Point, layer_m: float) -> list[Part]:
        """Return a thin band over top and sides, from `low` up, between two shares of the length."""
        x0, x1 = aft + start * length, aft + end * length
        layer = layer_m * k
        return [
            Part(block((x0, -side - t, low), (x1, -side, top)), colour, 0, layer, 0.1),
            Part(block((x0, side, low), (x1, side + t, top)), colour, 0, layer, 0.1),
            Part(block((x0, -side - t, top), (x1, side + t, top + t)), colour, 0, layer + 1e-4 * k, 0.1),
        ]  # fmt: skip

    z, box = floor + height / 2, (width, height)
    body = bar((aft, 0.0, z), (aft + length, 0.0, z), box, box, 0.05)
    x = aft + 0.578 * length
    buckle = block(
        (x, 0.08 * width, top + 0.001 * k), (x + 0.014 * k, 0.34 * width, top + 0.0035 * k)
    )
    return [
        Part(body, CAN, 0, 0.036 * k, 0.25),
        *band(0.118, 0.412, floor + 0.27 * height, LABEL, 0.0361),
        *band(0.569, 0.725, floor, WEB, 0.0363),
        Part(buckle, BUCKLE, 0, 0.0366 * k, 0.5),
    ]


def _mast(airframe: Airframe, size: Sizes, sides: int) -> list[Part]:
    """Return the compass on its mast; none where it sits on the board."""
    k, f = size.unit, airframe.frame
    foot, up = PLATE_TOP_M * k, f.compass_up_m
    x = f.compass_forward_m - 0.006 * k
    front = size.pack_m[0] - size.pack_aft_m
    if -size.pack_aft_m < x < front:
        foot += size.pack_m[2]
    if up - foot < MAST_LEAST_M * k:
        return []
    pole = ((0.0, 0.003 * k), (up - foot - 0.005 * k, 0.003 * k))
    puck = tuple(
        (t * k, r * k) for t, r in ((0.0, 0.015), (0.003, 0.018), (0.009, 0.018), (0.012, 0.014))
    )
    arrow = block(
        (x + 0.008 * k, -0.002 * k, up + 0.006 * k), (x + 0.017 * k, 0.002 * k, up + 0.0068 * k)
    )
    return [
        Part(turned((x, 0, foot), (0, 0, 1), pole, 6), BELL, 0, 0.060 * k, 0.4),
        Part(turned((x, 0, up - 0.006 * k), (0, 0, 1), puck, sides), PUCK, 0, 0.088 * k, 0.2),
        Part(arrow, GRAPHITE, 0, 0.0881 * k),
    ]  # fmt: skip


def _lead(plugged: bool, close: bool, back: float, rise: float) -> list[Part]:
    """Pack lead and board lead: joined by the plug, or apart with both halves to be seen.

    back, rise : how much further aft and higher than drawn the pack's end lies, in drawn measures.
    """
    if plugged:
        pack = (
            (-0.078, 0.006, PACK_END_M),
            (-0.102, 0.012, 0.038),
            (-0.112, 0.026, 0.026),
            (-0.104, 0.036, 0.014),
        )
        board = ((-0.090, 0.030, -0.004), (-0.104, 0.036, 0.002))
        halves = [((-0.104, 0.036, 0.016), (-0.104, 0.036, 0.000))]
    else:
        pack = (
            (-0.078, -0.004, PACK_END_M),
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
            points = tuple(
                (x - back, y + k, z + k * 0.4 + (rise if z == PACK_END_M else 0.0))
                for x, y, z in way
            )
            out += [Part(q, colour, 6, 0.02, 0.2) for q in cord(points, 0.0026 if close else 0.004)]
    return out + [
        Part(
            bar((a[0] - back, *a[1:]), (b[0] - back, *b[1:]), (0.017, 0.010), (0.017, 0.010)),
            PLUG,
            6,
            0.021,
            0.3,
        )
        for a, b in halves
    ]


def _nose(marked: bool, sides: int) -> list[Part]:
    if not marked:
        return []
    boom = bar((0.055, 0, 0.006), (0.112, 0, 0.006), (0.007, 0.007), (0.006, 0.006))
    return [
        Part(boom, GRAPHITE_EDGE, 5, 0.006),
        Part(ball((0.124, 0, 0.006), 0.0165, sides), NOSE, 5, 0.0061, 0.3, 0.25),
    ]


def scaled(parts: list[Part], k: float) -> list[Part]:
    """Return parts drawn for a unit of 1 at another."""
    return [replace(p, quads=p.quads * k, layer_m=p.layer_m * k) for p in parts]


def middle(airframe: Airframe, size: Sizes, looks: Looks) -> list[Part]:
    """Return everything between the arms."""
    k = size.unit
    back = size.pack_aft_m / k - PACK_AFT_M
    rise = 0.6 * (size.pack_m[2] / k - PACK_M[2])
    drawn = (
        _plates(looks)
        + _lead(looks.pack_plugged, looks.close, back, rise)
        + _nose(looks.nose_marked, looks.sides)
    )
    return scaled(drawn, k) + _pack(size) + _mast(airframe, size, looks.sides)
