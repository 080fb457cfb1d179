"""What a calibration still lacks: directions covered, faces taken."""

from collections.abc import Iterable, Sequence
from functools import cache
from itertools import groupby
from math import cos, radians, sin

from sim.session.faces import NAMES
from sim.window import theme
from sim.window.canvas import Canvas, Point, Rect, fitted, wrapped
from sim.window.pictures import aircraft, pencil
from sim.window.pictures.paper import box

DOT_UNITS = 2.4  # units; own: a pencil dot
GRAIN_UNITS = 2.5  # units; own: dots nearer than this are drawn once
FINE_DEG = 10  # deg; own: pieces a line of the globe is drawn in
GRID_DEG = 30  # deg; own: lines of the globe
TILT_DEG = 22.0  # deg; own: how far the globe's axis leans towards the eye
Direction = tuple[float, float, float]
ORDER = ("level", "left side down", "right side down", "nose down", "nose up", "on its back")


def _seen(direction: Direction, behind: bool) -> tuple[float, float, float]:
    """Return (right, up, towards the eye) of a direction; x ahead, y right, z down."""
    x, y, z = direction
    c, s = cos(radians(TILT_DEG)), sin(radians(TILT_DEG))
    right, up, near = y, -z * c - x * s, x * c - z * s
    return (-right, up, -near) if behind else (right, up, near)


def coverage(canvas: Canvas, rect: Rect, directions: Iterable[Direction]) -> None:
    """Draw two halves of a globe, seen from two opposite sides, with a dot per direction.

    directions : unit vectors in the aircraft's axes, ahead, right, down.
    """
    points = list(directions)
    line = canvas.measure("x", theme.SMALL)[1]
    for i, words in enumerate(("ahead, above", "behind, below")):
        half = rect.column(i, 2, 8 * canvas.scale)
        _half(canvas, half.top(half.h - line), points, behind=i == 1)
        shown = fitted(canvas, words, theme.SMALL, half.w)
        canvas.text((half.centre[0], half.bottom - line), shown, theme.SMALL, "middle")


def _half(canvas: Canvas, rect: Rect, points: Sequence[Direction], behind: bool) -> None:
    u = canvas.scale
    radius = 0.5 * min(rect.w, rect.h) - 3 * u
    x, y = rect.centre
    for curve in _grid(behind):
        line = [(x - radius * right, y - radius * up) for right, up in curve]
        canvas.line(line, theme.PAPER_LINE, 1.0)
    canvas.disc((x, y), radius, theme.INK_SOFT, 1.4 * u)
    drawn: set[tuple[int, int]] = set()
    for point in points:
        right, up, near = _seen(point, behind)
        spot = (round(radius * right / (GRAIN_UNITS * u)), round(radius * up / (GRAIN_UNITS * u)))
        if near >= 0.0 and spot not in drawn:
            drawn.add(spot)
            at = (x - radius * right, y - radius * up)
            pencil.dot(canvas, at, DOT_UNITS * u, theme.PENCIL)


def _on(latitude_deg: float, longitude_deg: float) -> Direction:
    a, b = radians(latitude_deg), radians(longitude_deg)
    return cos(a) * cos(b), cos(a) * sin(b), -sin(a)


@cache
def _grid(behind: bool) -> list[list[Point]]:
    """Return the near parts of the globe's lines as (right, up), radius one."""
    rings = [
        *(
            [_on(lat, lon) for lon in range(-180, 181, FINE_DEG)]
            for lat in range(-60, 61, GRID_DEG)
        ),
        *([_on(lat, lon) for lat in range(-90, 91, FINE_DEG)] for lon in range(0, 360, GRID_DEG)),
    ]
    curves: list[list[Point]] = []
    for ring in rings:
        seen = [_seen(point, behind) for point in ring]
        for near, part in groupby(seen, lambda p: p[2] >= 0.0):
            curve = [(right, up) for right, up, _ in part]
            if near and len(curve) > 1:
                curves.append(curve)
    return curves


def faces(canvas: Canvas, rect: Rect, taken: Iterable[str]) -> list[tuple[str, Rect]]:
    """Draw six sketches of the aircraft lying on each face, ticked when taken; return their places."""
    assert set(ORDER) == set(NAMES.values())
    done = set(taken)
    across = 6 if rect.w > 3.2 * rect.h else 3 if rect.w > 0.7 * rect.h else 2
    u = canvas.scale
    style = theme.SMALL.on(theme.INK)
    room = rect.column(0, across, 6 * u).w - 6 * u
    names = {name: wrapped(canvas, name, style, room) for name in ORDER}
    line = canvas.measure("x", style)[1]
    tall = line * max(len(pieces) for pieces in names.values())
    places = []
    for i, name in enumerate(ORDER):
        row = rect.row(i // across, len(ORDER) // across, 4 * u)
        cell = row.column(i % across, across, 6 * u)
        canvas.frame(cell, theme.INK_SOFT if name in done else theme.PAPER_LINE, 1.2 * u, 4 * u)
        aircraft.face(canvas, cell.top(cell.h - tall - 4 * u), name)
        top = cell.bottom - tall - 2 * u
        for k, piece in enumerate(names[name]):
            canvas.text((cell.centre[0], top + k * line), piece, style, "middle")
        box(canvas, Rect(cell.x + 5 * u, cell.y + 6 * u, 13 * u, 13 * u), name in done)
        places.append((name, cell))
    return places
