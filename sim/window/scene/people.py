"""People about the pad and the barrier across the way in, as plain shaded figures.

A figure stands on the origin and looks along north; it is turned and moved to its place.
"""

from dataclasses import dataclass, replace

import numpy as np

from sim.window.scene.camera import Array
from sim.window.scene.meshes import Mesh, Part, Quads, ball, bar, joined, limb, turned
from sim.window.scene.model import RoomPicture
from sim.window.scene.solids import Point, linear

SIDES = 28  # own: no flat face to be seen at 400 px
RINGS = 6  # own: likewise
# Colours: own.
SKIN = linear("b98d6c")
HAIR = linear("4a3a2e")
SHOE = linear("3a3431")
STRAP = linear("23272b")
GLASS = linear("a9bcbb")
BANDS = (linear("efe6d2"), linear("4b4150"))
POST = linear("5c6468")
ABOVE_M = 0.2  # m; own: how far the stick goes on above the tape
TAPE_M = 0.05  # m; own: broad enough to be seen from the pilot's place
TAPE = linear("2a3566")  # own: the window's pencil
SPOTTER_M = (1.6, 1.6)  # m north, east of the pad; own: clear of the ring, in sight of the pilot
VISITOR_M = (0.75, 0.72)  # m; own: inside the ring, beside the spotter as the pilot sees them


@dataclass(frozen=True)
class Dress:
    """Colours of a figure's clothes."""

    top: Point
    legs: Point
    hair: Point


OVERALL = Dress(linear("5d7076"), linear("4e5f66"), HAIR)
JACKET = Dress(linear("616e57"), linear("4c4a4d"), linear("8a7a66"))


@dataclass(frozen=True)
class Thing:
    """A thing that stands in the room: its mesh in the scene, where it stands, size of its foot (m)."""

    mesh: Mesh
    north_m: float
    east_m: float
    foot_m: float
    up_m: float = 0.0


def _squeezed(quads: Quads, about: Point, factors: Point) -> Quads:
    """Return a piece pressed flat about a point."""
    return np.asarray((quads - about) * factors + about)


def _rounded(profile: tuple[tuple[float, float], ...]) -> tuple[tuple[float, float], ...]:
    """Return a profile with its corners cut twice; the ends stay."""
    points = np.array(profile)
    for _ in range(2):
        a, b = points[:-1], points[1:]
        cut = np.stack([0.75 * a + 0.25 * b, 0.25 * a + 0.75 * b], axis=1).reshape(-1, 2)
        points = np.vstack([points[:1], cut, points[-1:]])
    return tuple((float(t), float(r)) for t, r in points)


def _torso(dress: Dress) -> list[Part]:
    body = ((0.0, 0.12), (0.02, 0.150), (0.16, 0.145), (0.30, 0.165), (0.46, 0.190))
    chest = turned((0, 0, 0.84), (0, 0, 1), _rounded((*body, (0.55, 0.18), (0.61, 0.05))), SIDES)
    seat = ((0.0, 0.10), (0.03, 0.150), (0.10, 0.155), (0.13, 0.15))
    hips = turned((0, 0, 0.78), (0, 0, 1), _rounded(seat), SIDES)
    return [
        Part(_squeezed(chest, (0, 0, 1.0), (0.68, 1.08, 1.0)), dress.top),
        Part(_squeezed(hips, (0, 0, 0.8), (0.72, 1.06, 1.0)), dress.legs),
        Part(limb((0, 0, 1.42), (0.01, 0, 1.52), 0.055, 0.05, SIDES, RINGS), SKIN),
    ]


def _legs(dress: Dress) -> list[Part]:
    out = []
    for side in (-1.0, 1.0):
        y = 0.095 * side
        out += [
            Part(limb((0, y * 0.85, 0.80), (0.015, y, 0.46), 0.088, 0.062, SIDES, RINGS), dress.legs),
            Part(limb((0.015, y, 0.46), (-0.01, y * 1.1, 0.09), 0.062, 0.048, SIDES, RINGS), dress.legs),
            Part(_squeezed(limb((-0.04, y * 1.1, 0.04), (0.14, y * 1.25, 0.035), 0.05, 0.045, SIDES, RINGS), (0, 0, 0.0), (1, 1, 0.95)), SHOE),
        ]  # fmt: skip
    return out


def _arms(dress: Dress, hands: tuple[Point, Point]) -> list[Part]:
    out = []
    for side, hand in zip((-1.0, 1.0), hands, strict=True):
        shoulder = np.array([0.0, 0.205 * side, 1.38])
        reach = np.array(hand) - shoulder
        middle = shoulder + reach / 2
        bend = max(0.30**2 - float(reach @ reach) / 4, 0.0) ** 0.5
        elbow = middle + np.array([-0.45, 0.55 * side, -0.7]) / 1.0 * bend
        wrist = np.array(hand) - (np.array(hand) - elbow) * 0.2
        points = [tuple(p.tolist()) for p in (shoulder, elbow, wrist, np.array(hand))]
        out += [
            Part(limb(points[0], points[1], 0.062, 0.048, SIDES, RINGS), dress.top),
            Part(limb(points[1], points[2], 0.047, 0.037, SIDES, RINGS), dress.top),
            Part(limb(points[2], points[3], 0.032, 0.040, SIDES, RINGS), SKIN),
        ]
    return out


def _head(dress: Dress, goggles: bool) -> list[Part]:
    z = 1.63
    skull = _squeezed(ball((0.01, 0, z), 0.105, SIDES, 15), (0.01, 0, z), (0.95, 0.78, 1.16))
    cap = ((0.0, 0.106), (0.03, 0.108), (0.07, 0.092), (0.105, 0.055), (0.118, 0.01))
    hair = turned((-0.016, 0, z + 0.022), (-0.28, 0, 1), _rounded(cap), SIDES)
    hair = _squeezed(hair, (0, 0, z), (1.0, 0.82, 1.0))
    out = [Part(skull, SKIN), Part(hair, dress.hair)]
    out.append(Part(limb((0.104, 0, z - 0.005), (0.112, 0, z - 0.022), 0.011, 0.014, 8), SKIN))
    if goggles:
        band = turned((0.008, 0, z + 0.004), (0, 0, 1), ((0.0, 0.109), (0.030, 0.109)), SIDES)
        out.append(Part(_squeezed(band, (0.008, 0, z), (0.99, 0.83, 1)), STRAP))
        out.append(
            Part(
                bar(
                    (0.108, -0.072, z + 0.018),
                    (0.108, 0.072, z + 0.018),
                    (0.03, 0.046),
                    (0.03, 0.046),
                ),
                GLASS,
                0,
                0,
                0.9,
                0.1,
            )
        )
        out.append(
            Part(
                bar(
                    (0.105, -0.078, z + 0.018),
                    (0.105, 0.078, z + 0.018),
                    (0.018, 0.060),
                    (0.018, 0.060),
                ),
                STRAP,
            )
        )
    return out


def _placed(
    parts: list[Part], north_m: float, east_m: float, turn_deg: float, foot_m: float
) -> Thing:
    c, s = np.cos(np.radians(turn_deg)), np.sin(np.radians(turn_deg))
    turn: Array = np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]])
    moved = [replace(p, quads=p.quads @ turn.T + [north_m, east_m, 0.0]) for p in parts]
    return Thing(joined(moved), north_m, east_m, foot_m)


def figure(dress: Dress, goggles: bool, hands: tuple[Point, Point]) -> list[Part]:
    """Return a standing person as parts; `hands` are where the left and right hands are (m)."""
    return _torso(dress) + _legs(dress) + _arms(dress, hands) + _head(dress, goggles)


def _barrier(north_m: float) -> list[Part]:
    """Return a banded pole on two stands across the way in."""
    out = []
    ends = 1.42
    count = 12
    for k in range(count):
        a, b = (-ends + 2 * ends * j / count for j in (k, k + 1))
        pole = bar((0, a, 0.95), (0, b, 0.95), (0.055, 0.055), (0.055, 0.055))
        out.append(Part(pole, BANDS[k % 2], shine=0.2))
    for y in (-1.25, 1.25):
        out += [
            Part(
                bar((0.03, y, 0.0), (0.03, y, 0.98), (0.045, 0.045), (0.045, 0.045)),
                POST,
                shine=0.3,
            ),
            Part(
                turned((0.03, y, 0.0), (0, 0, 1), ((0.0, 0.17), (0.02, 0.16), (0.045, 0.06)), 20),
                POST,
                shine=0.3,
            ),
        ]
    return out


def _stick(north_m: float, east_m: float, tape_m: float) -> list[Part]:
    """Return the stick beside the pad, a band of tape round it at a height."""
    at = (north_m, east_m, 0.0)
    pole = turned(at, (0, 0, 1), ((0.0, 0.009), (tape_m + ABOVE_M, 0.009)), 10)
    low, high = tape_m - TAPE_M / 2, tape_m + TAPE_M / 2
    edges = turned(at, (0, 0, 1), ((low - 0.012, 0.013), (high + 0.012, 0.013)), 12)
    tape = turned(at, (0, 0, 1), ((low, 0.014), (high, 0.014)), 12)
    foot = turned(at, (0, 0, 1), ((0.0, 0.07), (0.02, 0.06)), 16)
    return [
        Part(foot, POST),
        Part(pole, POST),
        Part(edges, BANDS[0], 0, 0.005),
        Part(tape, TAPE, 0, 0.010),
    ]


def things(room: RoomPicture) -> list[Thing]:
    """Return people and barrier of the pad view, the farthest first."""
    if room.view != "pad":
        return []
    way_in = room.room.north_m - 0.62
    out = []
    if room.barrier:
        out.append(_placed(_barrier(way_in), way_in, 0.0, 0.0, 0.0))
    if room.mark_m is not None:
        north_m, east_m, _ = room.mark_m
        out.append(_placed(_stick(*room.mark_m), 0.0, 0.0, 0.0, 0.0))
        out[-1] = replace(out[-1], north_m=north_m, east_m=east_m)
    if room.spotter:
        hands = ((0.16, -0.22, 0.98), (0.26, 0.06, 1.12))
        out.append(_placed(figure(OVERALL, room.goggles, hands), *SPOTTER_M, -135.0, 0.2))
    if room.person_in_ring:
        hands = ((0.30, -0.16, 1.02), (0.03, 0.30, 0.80))
        out.append(_placed(figure(JACKET, False, hands), *VISITOR_M, -125.0, 0.2))
    return sorted(out, key=lambda thing: -thing.north_m)
