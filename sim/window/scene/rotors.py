"""Propellers as the eye sees them: blades at rest, fans when slow, a veil when fast, stubs if broken."""

from dataclasses import dataclass
from math import pi

import numpy as np

from sim.window.scene.camera import Array

SHUTTER_S = 1 / 110  # s; own: half a frame at 60 frames/s, as a film camera is set
STILL_RAD = 0.03  # rad; own: less sweep than this is not seen
CHORDS = ((0.10, 0.013), (0.22, 0.026), (0.45, 0.024), (0.75, 0.017), (0.97, 0.010), (1.0, 0.005))
# share of radius, chord in m; own: a slow-fly blade
STUBS = ((0.42, 0.55), (0.30, 1.0), (0.50, 0.24), (0.36, 0.62))  # own: what is left of both blades
BLADE = (52, 56, 60)  # own
TIP = (232, 222, 198)  # own
VEIL_ALPHA = 0.26  # own: about twice the solidity, so that it can be seen on every ground
TIP_SHARE = 0.86  # own: the tip band begins here


@dataclass(frozen=True)
class Veil:
    """A flat shape of one rotor: outline (n, 3) in body measures, colour, opacity."""

    outline_m: Array
    colour: tuple[int, int, int]
    alpha: float


def _ring(radius_m: float, points: int = 40) -> Array:
    t = np.linspace(0, 2 * pi, points, endpoint=False)
    return np.stack([np.cos(t), np.sin(t)], axis=1) * radius_m


def _fan(angle: float, sweep: float, span: tuple[float, float], radius_m: float) -> Array:
    """Return the outline a blade sweeps from `angle` back over `sweep` (rad, signed)."""
    stations = np.array([c for c in CHORDS if span[0] < c[0] < span[1]])
    shares = np.concatenate([[span[0]], stations[:, 0] if len(stations) else [], [span[1]]])
    chord = np.interp(shares, [c[0] for c in CHORDS], [c[1] for c in CHORDS])
    r = shares * radius_m
    lead, trail = np.arctan2(0.4 * chord, r), np.arctan2(0.6 * chord, r)
    first, last = (lead, -trail) if sweep <= 0.0 else (-trail, lead)
    start, end = angle + last, angle + first
    if sweep:
        start, end = angle + sweep + last, angle + first
    tip = np.linspace(end[-1], start[-1], max(2, int(abs(sweep) * 8) + 2))
    a = np.concatenate([end, tip[1:-1], start[::-1]])
    rr = np.concatenate([r, np.full(len(tip) - 2, r[-1]), r[::-1]])
    return np.stack([np.cos(a), np.sin(a)], axis=1) * rr[:, None]


def _raised(flat: Array, hub: Array) -> Array:
    return np.column_stack([flat + hub[:2], np.full(len(flat), hub[2])])


def veils(
    hub_m: Array, radius_m: float, speed_rad_s: float, angle_rad: float, spin: float, stubs: tuple[float, float]
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
        back = -spin * sweep if sweep > STILL_RAD else 0.0
        for k, left in enumerate(stubs):
            angle = angle_rad + k * pi
            end = min(left, TIP_SHARE)
            out.append(Veil(_raised(_fan(angle, back, (0.08, end), radius_m), hub_m), BLADE, alpha))
            if left > TIP_SHARE:
                tip = _fan(angle, back, (TIP_SHARE, left), radius_m)
                out.append(Veil(_raised(tip, hub_m), TIP, alpha))
    return out


def shards(ground_m: float, north_m: float, east_m: float, radius_m: float) -> list[Array]:
    """Return broken blade bits on the ground round a place: outlines (n, 3) in the scene."""
    rng = np.random.default_rng(20)  # own: the bits always lie the same way
    out = []
    for k in range(9):
        away, bearing, turn = rng.uniform(0.26, 0.72), rng.uniform(0, 2 * pi), rng.uniform(0, 2 * pi)
        length = radius_m * rng.uniform(0.25, 0.62)
        wide = 0.024 * rng.uniform(0.8, 1.2)
        flat = np.array([(0, -0.5), (0.6, -0.5), (1.0, -0.2), (0.9, 0.1), (0.97, 0.4), (0.4, 0.5), (0, 0.3)])
        x, y = flat[:, 0] * length, flat[:, 1] * wide
        c, s = np.cos(turn), np.sin(turn)
        centre = north_m + away * np.cos(bearing), east_m + away * np.sin(bearing)
        lift = 0.004 + 0.012 * (x / length) * (k % 3 == 0)
        out.append(
            np.column_stack([centre[0] + c * x - s * y, centre[1] + s * x + c * y, ground_m + lift])
        )
    return out
