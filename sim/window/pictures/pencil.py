"""What a pencil draws here again and again: arcs, arrows and our aircraft from every side."""

from collections.abc import Sequence
from itertools import pairwise
from math import cos, hypot, radians, sin

from sim.aircraft.fields import PLACES, Place
from sim.window import theme
from sim.window.canvas import Canvas, Point, Rect
from sim.window.theme import Colour

ARC_STEP_DEG = 10.0  # deg; own: short enough to look round
CURL_DEG = (-130.0, 110.0)  # deg; own: where a curved arrow begins and ends, 0 is up
CORNERS: dict[Place, tuple[float, float]] = {
    "front_left": (-1.0, -1.0),
    "front_right": (1.0, -1.0),
    "rear_right": (1.0, 1.0),
    "rear_left": (-1.0, 1.0),
}  # seen from above, nose up
BODY = ((-0.30, -0.16), (0.24, -0.16), (0.34, -0.02), (0.30, 0.10), (-0.30, 0.10))
LEGS = (((-0.24, 0.10), (-0.42, 0.46)), ((0.24, 0.10), (0.42, 0.46)))
ARMS = (((-0.86, -0.03), (0.86, -0.03)), ((-0.86, -0.03), (-0.86, -0.2)))
MORE = (((0.86, -0.03), (0.86, -0.2)), ((-1.2, -0.22), (-0.5, -0.22)), ((0.5, -0.22), (1.2, -0.22)))
NOSE = ((0.30, -0.12), (0.56, -0.03), (0.30, 0.06))  # 1; own drawing, from the side


def arc(centre: Point, radius: float, start_deg: float, end_deg: float) -> list[Point]:
    """Return points of an arc; 0 is up, clockwise is positive."""
    n = max(2, round(abs(end_deg - start_deg) / ARC_STEP_DEG))
    angles = (radians(start_deg + (end_deg - start_deg) * i / n) for i in range(n + 1))
    return [(centre[0] + radius * sin(a), centre[1] - radius * cos(a)) for a in angles]


def at(centre: Point, radius: float, deg: float) -> Point:
    """Return the point so far out in a direction; 0 is up, clockwise is positive."""
    a = radians(deg)
    return centre[0] + radius * sin(a), centre[1] - radius * cos(a)


def arrow_head(canvas: Canvas, tip: Point, deg: float, size: float, colour: Colour) -> None:
    """Fill an arrow's head whose tip points in a direction; 0 is up."""
    points = [tip, at(tip, size, deg + 152.0), at(tip, size, deg - 152.0)]
    canvas.shape(points, colour)


def curl(
    canvas: Canvas, centre: Point, radius: float, clockwise: bool, colour: Colour = theme.PENCIL
) -> None:
    """Draw a curved arrow round a point."""
    start, end = CURL_DEG if clockwise else (-CURL_DEG[0], -CURL_DEG[1])
    canvas.line(arc(centre, radius, start, end), colour, 2.0 * canvas.scale)
    side = 90.0 if clockwise else -90.0
    lead = 14.0 if clockwise else -14.0
    tip = at(centre, radius, end + lead)
    arrow_head(canvas, tip, end + lead * 0.5 + side, min(8.0 * canvas.scale, 0.8 * radius), colour)


def plan(canvas: Canvas, centre: Point, size: float) -> dict[Place, Point]:
    """Draw the aircraft from above, nose up, `size` from hub to hub, px; return the hubs."""
    u, half = canvas.scale, size / 2.0
    x, y = centre
    hubs = {p: (x + half * dx, y + half * dy) for p, (dx, dy) in CORNERS.items()}
    for one, other in (("front_left", "rear_right"), ("front_right", "rear_left")):
        canvas.line((hubs[one], hubs[other]), theme.INK_SOFT, max(2.0, 0.045 * size))  # type: ignore[index]
    b = 0.2 * size
    outline = [(-0.7, -1.0), (0.7, -1.0), (1.0, -0.4), (1.0, 1.0), (-1.0, 1.0), (-1.0, -0.4)]
    canvas.shape([(x + b * dx, y + b * dy) for dx, dy in outline], theme.PAPER_SHADE)
    edge = [(x + b * dx, y + b * dy) for dx, dy in (*outline, outline[0])]
    canvas.line(edge, theme.INK_SOFT, 1.0)
    nose = [(x, y - 1.75 * b), (x + 0.5 * b, y - 1.0 * b), (x - 0.5 * b, y - 1.0 * b)]
    canvas.shape(nose, theme.INK)
    for place in PLACES:
        canvas.disc(hubs[place], max(2.0 * u, 0.07 * size), theme.INK_SOFT)
    return hubs


def discs(canvas: Canvas, hubs: dict[Place, Point], size: float) -> None:
    """Draw thin circles where the propellers turn."""
    for hub in hubs.values():
        canvas.disc(hub, 0.3 * size, theme.INK_SOFT, 1.0)


def profile(
    canvas: Canvas, centre: Point, size: float, turn_deg: float, nose: bool, flip: bool = False
) -> None:
    """Draw the aircraft from the side (`nose` to the right) or from behind, turned clockwise."""
    c, s, half = cos(radians(turn_deg)), sin(radians(turn_deg)), size / 2.0
    up = -1.0 if flip else 1.0

    def moved(points: Sequence[Point]) -> list[Point]:
        turned = ((x * c - up * y * s, x * s + up * y * c) for x, y in points)
        return [(centre[0] + half * x, centre[1] + half * y) for x, y in turned]

    width = max(1.6, 0.035 * size)
    for piece in (*ARMS, *MORE, *LEGS):
        canvas.line(moved(piece), theme.INK_SOFT, width)
    canvas.shape(moved(BODY), theme.INK_SOFT)
    if nose:
        canvas.shape(moved(NOSE), theme.INK)


def tick(canvas: Canvas, rect: Rect, colour: Colour = theme.PENCIL) -> None:
    """Draw a pencil tick that leaves its box a little."""
    x, y, w, h = rect
    points = [
        (x + 0.10 * w, y + 0.48 * h),
        (x + 0.22 * w, y + 0.60 * h),
        (x + 0.40 * w, y + 0.88 * h),
        (x + 0.72 * w, y + 0.34 * h),
        (x + 1.12 * w, y - 0.12 * h),
    ]
    canvas.line(points, colour, max(2.0, 2.2 * canvas.scale))


def stroke(canvas: Canvas, points: Sequence[Point], width: float, colour: Colour) -> None:
    """Draw straight pieces as smooth-edged bars with round joints, whatever their direction."""
    for (x0, y0), (x1, y1) in pairwise(points):
        length = hypot(x1 - x0, y1 - y0) or 1.0
        dx, dy = (y1 - y0) / length * width / 2, (x0 - x1) / length * width / 2
        canvas.shape(
            [(x0 + dx, y0 + dy), (x1 + dx, y1 + dy), (x1 - dx, y1 - dy), (x0 - dx, y0 - dy)], colour
        )
    if width > 2.5:
        for point in points:
            dot(canvas, point, width / 2, colour)


def dot(canvas: Canvas, centre: Point, radius: float, colour: Colour) -> None:
    """Fill a small dot that stays round wherever it is."""
    canvas.shape([at(centre, radius, deg) for deg in range(0, 360, 45)], colour)


def dots(canvas: Canvas, y: float, left: float, right: float) -> None:
    """Draw a dotted leader between two places, px."""
    u = canvas.scale
    if right - left > 8.0 * u:
        canvas.line(((left, y), (right, y)), theme.INK_SOFT, 1.0, (1, 4))
