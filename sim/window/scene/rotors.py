"""Propellers as the eye sees them: blades at rest, fans when slow, a veil when fast, stubs if broken.

From near a blade at rest has its real shape: the edge that goes first is the high one, and the
marked face is told from the other.
"""

from dataclasses import dataclass
from functools import lru_cache
from math import pi

import numpy as np

from sim.session.perceived import PropellerSeen
from sim.window.scene.camera import Array

SHUTTER_S = 1 / 110  # s; own: half a frame at 60 frames/s, as a film camera is set
STILL_RAD = 0.03  # rad; own: less sweep than this is not seen
GRAIN_RAD = 0.02  # rad; own: sweeps are told apart this finely, so that fans can be kept
CHORDS = ((0.10, 0.10), (0.22, 0.205), (0.45, 0.19), (0.75, 0.134), (0.97, 0.08), (1.0, 0.04))
# share of radius, chord in radii; own: a slow-fly blade
TWIST_RADII = 0.14  # rise in radii a radian; a pitch of 0.45 diameters: 0.9 / (2 pi)
WHOLE = (1.0, 1.0)  # 1; own: all of both blades
STUBS = ((0.42, 0.55), (0.30, 1.0), (0.50, 0.24), (0.36, 0.62))  # own: what is left of both blades
BLADE = (58, 62, 66)  # own
EDGE = (172, 172, 166)  # own: the high edge catches the light
LOW = (40, 43, 46)  # own: the half that falls away
BACK = (92, 90, 84)  # own: the face without marks is bare and dull
BACK_LOW = (66, 65, 61)  # own
TIP = (232, 222, 198)  # own
VEIL_ALPHA = 0.26  # own: about twice the solidity, so that it can be seen on every ground
GLOW = (255, 250, 236)  # own: white, so that it says no more than on or off
TIP_SHARE = 0.86  # own: the tip band begins here
MARK = (0.17, 0.27)  # of the radius; own: the marks stand here, on the face that belongs up
NICK = (0.70, 0.74, 0.78)  # of the radius; own: a nick begins, is deepest and ends here
FLAG_SHARE = 2.3  # of the motor's radius; own: a flag of tape on a bare shaft


@dataclass(frozen=True)
class Veil:
    """A flat shape of one rotor: outline (n, 3) in body measures, colour, opacity."""

    outline_m: Array
    colour: tuple[int, int, int]
    alpha: float


@lru_cache(maxsize=32)
def _ring(radius_m: float, points: int = 40) -> Array:
    t = np.linspace(0, 2 * pi, points, endpoint=False)
    return np.stack([np.cos(t), np.sin(t)], axis=1) * radius_m


_SHARES = np.array([share for share, _ in CHORDS])
_WIDTHS = np.array([chord for _, chord in CHORDS])
_SPANS = 7  # own: points along an edge


@lru_cache(maxsize=256)
def _fan(sweep: float, span: tuple[float, float]) -> Array:
    """Return the outline that a blade along the nose sweeps, back over `sweep` (rad, signed); radii."""
    r = np.linspace(span[0], span[1], _SPANS)
    half = 0.5 * np.interp(r, _SHARES, _WIDTHS) / r
    way = 1.0 if sweep >= 0.0 else -1.0
    start, end = -way * half, sweep + way * half
    steps = int(abs(sweep) * 6) + 2
    tip = np.linspace(start[-1], end[-1], steps)[1:-1]
    a = np.concatenate([start, tip, end[::-1]])
    r = np.concatenate([r, np.full(steps - 2, r[-1]), r[::-1]])
    return np.column_stack([np.cos(a) * r, np.sin(a) * r])


def _strip(span: tuple[float, float], low: float, high: float, nicked: bool = False) -> Array:
    """Return a strip of a blade along the nose between two shares of its half chord, twisted; radii.

    Shares count towards the edge that goes first clockwise: +1 that edge, −1 the other.
    """
    r = np.linspace(span[0], span[1], _SPANS)
    if nicked:
        r = np.sort(np.concatenate([r, NICK]))
    half = 0.5 * np.interp(r, _SHARES, _WIDTHS) / r
    first, last = np.full(len(r), low), np.full(len(r), high)
    if nicked:
        last[np.searchsorted(r, NICK[1])] = low
    a = np.concatenate([half * first, (half * last)[::-1]])
    r = np.concatenate([r, r[::-1]])
    return np.column_stack([np.cos(a) * r, np.sin(a) * r, TWIST_RADII * a])


@lru_cache(maxsize=64)
def blade(seen: PropellerSeen, reach: float) -> tuple[tuple[Array, tuple[int, int, int]], ...]:
    """Return one blade at rest along the nose, as outlines in radii with colours, low ones first.

    reach : how much of it is there, 1.
    """
    full = (0.08, min(reach, TIP_SHARE))
    upper, lower = (BLADE, LOW) if seen.marks_up else (BACK, BACK_LOW)
    shapes = [(_strip(full, -1.0, 0.0), lower), (_strip(full, 0.0, 1.0, seen.nicked), upper)]
    if seen.marks_up:
        shapes.append((_strip((0.12, full[1]), 0.80, 1.0), EDGE))
    if reach > TIP_SHARE:
        shapes.append((_strip((TIP_SHARE, reach), -1.0, 1.0), TIP if seen.marks_up else BACK))
    if seen.marks_up and reach > MARK[1]:
        shapes.append((_strip(MARK, -0.35, 0.5), TIP))
    mirrored = np.array([1.0, 1.0 if seen.clockwise else -1.0, 1.0])
    return tuple((outline * mirrored, colour) for outline, colour in shapes)


def _turned(flat: Array, angle_rad: float) -> Array:
    c, s = np.cos(angle_rad), np.sin(angle_rad)
    out = flat.copy()
    out[:, :2] = flat[:, :2] @ np.array([[c, s], [-s, c]])
    return out


def _raised(flat: Array, hub: Array) -> Array:
    out = np.zeros((len(flat), 3))
    out[:, : flat.shape[1]] = flat
    out += hub
    return out


def at_rest(
    hub_m: Array, radius_m: float, angle_rad: float, seen: PropellerSeen, stubs: tuple[float, float]
) -> list[Veil]:
    """Return a propeller at rest as seen from near, its blades as they are."""
    out = []
    for k, left in enumerate(stubs):
        for outline, colour in blade(seen, left):
            there = _turned(outline, angle_rad + k * pi) * radius_m
            out.append(Veil(_raised(there, hub_m), colour, 1.0))
    out.append(
        Veil(_raised(_ring(0.10 * radius_m, 12), hub_m + np.array([0.0, 0.0, 1e-3])), BLADE, 1.0)
    )
    return out


def veils(
    hub_m: Array,
    radius_m: float,
    speed_rad_s: float,
    angle_rad: float,
    spin: float,
    stubs: tuple[float, float],
) -> list[Veil]:
    """Return what is seen of one rotor, the lowest first.

    spin : +1 clockwise seen from above, -1 the other way.
    stubs : what is left of both blades, shares of the radius.
    """
    sweep = abs(speed_rad_s) * SHUTTER_S
    reach = max(stubs)
    out = []
    blur = min(sweep / 0.5, 1.0)
    if sweep > STILL_RAD:
        veil = VEIL_ALPHA * min(sweep / pi, 1.0)
        out.append(Veil(_raised(_ring(radius_m * reach), hub_m), TIP, veil * 0.95))
        inner = _ring(radius_m * reach * (TIP_SHARE + 0.07))
        out.append(Veil(_raised(inner, hub_m), BLADE, veil))
    if sweep < pi:
        alpha = max(1.0 - 0.75 * blur, 0.30) * (1.0 - (sweep / pi) ** 2)
        back = -spin * round(sweep / GRAIN_RAD) * GRAIN_RAD if sweep > STILL_RAD else 0.0
        for k, left in enumerate(stubs):
            turn = angle_rad + k * pi
            swept = _fan(back, (0.08, min(left, TIP_SHARE))) * radius_m
            out.append(Veil(_raised(_turned(swept, turn), hub_m), BLADE, alpha))
            if left > TIP_SHARE:
                tip = _fan(back, (TIP_SHARE, left)) * radius_m
                out.append(Veil(_raised(_turned(tip, turn), hub_m), TIP, alpha))
    return out


def flag(
    hub_m: Array, bell_m: float, speed_rad_s: float, angle_rad: float, spin: float
) -> list[Veil]:
    """Return a flag of tape on a bare shaft, by which one sees a motor turn, and which way."""
    sweep = min(abs(speed_rad_s) * SHUTTER_S, 2.0 * pi)
    reach = FLAG_SHARE * bell_m
    if sweep >= pi:
        return [Veil(_raised(_ring(reach), hub_m), TIP, 0.42)]
    back = -spin * round(sweep / GRAIN_RAD) * GRAIN_RAD if sweep > STILL_RAD else 0.0
    swept = _turned(_fan(back, (0.25, 1.0)) * reach * [1.0, 1.6], angle_rad)
    return [Veil(_raised(swept, hub_m), TIP, 1.0 - 0.55 * sweep / pi)]


def halo(middle_m: Array, radius_m: float) -> list[Veil]:
    """Return the glow about a lit lamp, three flat rings of light."""
    steps = ((1.0, 0.10), (0.62, 0.20), (0.36, 0.45))
    return [Veil(_raised(_ring(radius_m * r, 20), middle_m), GLOW, alpha) for r, alpha in steps]


def shards(ground_m: float, north_m: float, east_m: float, radius_m: float) -> list[Array]:
    """Return broken blade bits on the ground round a place: outlines (n, 3) in the scene."""
    rng = np.random.default_rng(20)  # own: the bits always lie the same way
    out = []
    for k in range(9):
        away, bearing, turn = (
            radius_m * rng.uniform(2.05, 5.7),
            rng.uniform(0, 2 * pi),
            rng.uniform(0, 2 * pi),
        )
        length = radius_m * rng.uniform(0.25, 0.62)
        wide = 0.19 * radius_m * rng.uniform(0.8, 1.2)
        flat = np.array(
            [(0, -0.5), (0.6, -0.5), (1.0, -0.2), (0.9, 0.1), (0.97, 0.4), (0.4, 0.5), (0, 0.3)]
        )
        x, y = flat[:, 0] * length, flat[:, 1] * wide
        c, s = np.cos(turn), np.sin(turn)
        centre = north_m + away * np.cos(bearing), east_m + away * np.sin(bearing)
        lift = 0.004 + 0.012 * (x / length) * (k % 3 == 0)
        out.append(
            np.column_stack([centre[0] + c * x - s * y, centre[1] + s * x + c * y, ground_m + lift])
        )
    return out
