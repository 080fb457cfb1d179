"""Propellers as the eye sees them: blades at rest, fans when slow, a veil when fast, stubs if broken."""

from dataclasses import dataclass
from functools import lru_cache
from math import pi

import numpy as np

from sim.window.scene.camera import Array

SHUTTER_S = 1 / 110  # s; own: half a frame at 60 frames/s, as a film camera is set
STILL_RAD = 0.03  # rad; own: less sweep than this is not seen
GRAIN_RAD = 0.02  # rad; own: sweeps are told apart this finely, so that fans can be kept
CHORDS = ((0.10, 0.013), (0.22, 0.026), (0.45, 0.024), (0.75, 0.017), (0.97, 0.010), (1.0, 0.005))
# share of radius, chord in m; own: a slow-fly blade
STUBS = ((0.42, 0.55), (0.30, 1.0), (0.50, 0.24), (0.36, 0.62))  # own: what is left of both blades
BLADE = (52, 56, 60)  # own
TIP = (232, 222, 198)  # own
VEIL_ALPHA = 0.26  # own: about twice the solidity, so that it can be seen on every ground
GLOW = (255, 250, 236)  # own: white, so that it says no more than on or off
TIP_SHARE = 0.86  # own: the tip band begins here


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
_WIDTHS_M = np.array([chord for _, chord in CHORDS])
_SPANS = 7  # own: points along an edge


@lru_cache(maxsize=256)
def _fan(sweep: float, span: tuple[float, float], radius_m: float) -> Array:
    """Return the outline that a blade along the nose sweeps, back over `sweep` (rad, signed)."""
    shares = np.linspace(span[0], span[1], _SPANS)
    chord = np.interp(shares, _SHARES, _WIDTHS_M)
    r = shares * radius_m
    half = 0.5 * chord / r
    way = 1.0 if sweep >= 0.0 else -1.0
    start, end = -way * half, sweep + way * half
    steps = int(abs(sweep) * 6) + 2
    tip = np.linspace(start[-1], end[-1], steps)[1:-1]
    a = np.concatenate([start, tip, end[::-1]])
    r = np.concatenate([r, np.full(steps - 2, r[-1]), r[::-1]])
    return np.column_stack([np.cos(a) * r, np.sin(a) * r])


def _turned(flat: Array, angle_rad: float) -> Array:
    c, s = np.cos(angle_rad), np.sin(angle_rad)
    return np.asarray(flat @ np.array([[c, s], [-s, c]]))


def _raised(flat: Array, hub: Array) -> Array:
    out = np.empty((len(flat), 3))
    out[:, :2] = flat
    out[:, 2] = 0.0
    out += hub
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
            blade = _fan(back, (0.08, min(left, TIP_SHARE)), radius_m)
            out.append(Veil(_raised(_turned(blade, turn), hub_m), BLADE, alpha))
            if left > TIP_SHARE:
                tip = _fan(back, (TIP_SHARE, left), radius_m)
                out.append(Veil(_raised(_turned(tip, turn), hub_m), TIP, alpha))
    return out


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
            rng.uniform(0.26, 0.72),
            rng.uniform(0, 2 * pi),
            rng.uniform(0, 2 * pi),
        )
        length = radius_m * rng.uniform(0.25, 0.62)
        wide = 0.024 * rng.uniform(0.8, 1.2)
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
