"""Readings drawn on our aircraft: values at its corners, how it leans, which face it lies on."""

from collections.abc import Callable

from sim.aircraft.fields import PLACES
from sim.window import theme
from sim.window.canvas import Canvas, Point, Rect, wrapped
from sim.window.pictures import pencil
from sim.window.pictures.flow import Item, Pen
from sim.window.values import plain, reading_told

PLAN_UNITS = 112.0  # units; own: height of the aircraft with its discs on a sheet, at least
DISCS = 1.62  # 1; own: height with discs over the distance of the hubs
PICTURE_UNITS = 58.0  # units; own: height of a little picture with a value below
PROTRACTOR_DEG = 60.0  # deg; own: half the arc drawn about an angle
SCALE_DEG = 10  # deg; own: lines of the protractor
ROSE_DEG = 30  # deg; own: lines of the circle a heading is drawn in
MARK_DEG = {"north": 0.0, "east": 90.0, "south": 180.0, "west": 270.0}  # deg; cardinal points
HEADING_DEG = {"ahead": 0.0, "right": 90.0, "behind": 180.0, "left": 270.0}  # deg; clockwise
FACES: dict[str, tuple[float, bool, bool]] = {
    "level": (0.0, False, False),
    "left side down": (-90.0, False, False),
    "right side down": (90.0, False, False),
    "nose down": (90.0, True, False),
    "nose up": (-90.0, True, False),
    "on its back": (0.0, False, True),
}  # deg clockwise as drawn; seen from the side, else from behind; upside down

Painter = Callable[[Canvas, Rect, float], None]
Group = list[tuple[str, dict[str, tuple[str, float]]]]  # (rest, member -> (key, value))


# --- values at the corners ----------------------------------------------------------------------


def corners(before: str, group: Group) -> Item:
    """Return the aircraft from above with values at its corners. before : what was done to it."""
    rests = [rest for rest, _ in group]

    def caption(pen: Pen, width: float) -> list[str]:
        words = "; ".join(plain(rest) for rest in rests)
        said = f"{plain(before)}: {words}" if before else f"At each corner: {words}"
        return wrapped(pen.canvas, said.strip(": "), theme.SMALL, width - 6 * pen.u)

    def block(pen: Pen) -> float:
        return pen.height(theme.SMALL) + len(rests) * pen.height(theme.NUMBER)

    def height(pen: Pen, width: float) -> float:
        lines = len(caption(pen, width)) * pen.height(theme.SMALL)
        return max(2.0 * block(pen) + 10 * pen.u, PLAN_UNITS * pen.u) + lines + 4 * pen.u

    def draw(pen: Pen, rect: Rect) -> None:
        pieces, step = caption(pen, rect.w), pen.height(theme.SMALL)
        for i, piece in enumerate(pieces):
            pen.canvas.text((rect.x + 3 * pen.u, rect.y + i * step), piece, theme.SMALL)
        area = rect.below(len(pieces) * step)
        size = min((area.h - 8 * pen.u) / DISCS, 0.34 * area.w)
        hubs = pencil.plan(pen.canvas, area.centre, size)
        pencil.discs(pen.canvas, hubs, size)
        tall = block(pen)
        for place in PLACES:
            left, front = place.endswith("left"), place.startswith("front")
            hub = hubs[place]
            x = hub[0] + (-1 if left else 1) * (0.3 * size + 8 * pen.u)
            y = min(max(hub[1] - tall / 2, area.y), area.bottom - tall)
            y = min(y, area.centre[1] - tall - 2 * pen.u) if front else max(y, area.centre[1])
            _corner(pen, place, [m[place] for _, m in group], (x, y), "right" if left else "left")

    return Item(draw, height, grows=True)


def _corner(pen: Pen, place: str, cells: list[tuple[str, float]], at: Point, align: str) -> None:
    x, y = at
    pen.canvas.text((x, y), plain(place), theme.SMALL, align)
    y += pen.height(theme.SMALL)
    for key, value in cells:
        tall = pen.height(theme.NUMBER)
        pen.amount(key, reading_told(key, value, pen.units), x, y + tall / 2, align)
        y += tall


# --- little pictures above a table's columns ------------------------------------------------------


def turning(shown: dict[str, tuple[str | None, float]]) -> Callable[[Pen, Point, float, str], None]:
    """Return a painter of the corner that turns, and which way. shown : by column."""

    def paint(pen: Pen, centre: Point, size: float, member: str) -> None:
        hubs = pencil.plan(pen.canvas, centre, 0.46 * size)
        corner, sign = shown[member]
        if corner in hubs and sign:
            hub = hubs[corner]
            pen.canvas.disc(hub, 0.07 * size, theme.PENCIL)
            pencil.curl(pen.canvas, hub, 0.2 * size, sign > 0, theme.PENCIL)
        elif corner in hubs:
            pen.canvas.disc(hubs[corner], 0.16 * size, theme.PENCIL, 2 * pen.u)

    return paint


def marks(off_deg: dict[str, float]) -> Callable[[Pen, Point, float, str], None]:
    """Return a painter of a needle beside the mark the nose is held over."""

    def paint(pen: Pen, centre: Point, size: float, member: str) -> None:
        _rose(pen.canvas, centre, 0.42 * size, MARK_DEG[member] + off_deg[member])
        a = MARK_DEG[member]
        ends = (pencil.at(centre, 0.42 * size, a), pencil.at(centre, 0.5 * size, a))
        pen.canvas.line(ends, theme.INK, 3 * pen.u)

    return paint


def held(pen: Pen, centre: Point, size: float, member: str) -> None:
    """Draw which way the nose is turned, seen from above."""
    a, r = HEADING_DEG[member], 0.36 * size
    pen.canvas.disc(centre, 1.1 * r, theme.INK_SOFT, 1.0)
    pen.canvas.line(
        (pencil.at(centre, r, a + 180), pencil.at(centre, r, a)), theme.PENCIL, 2 * pen.u
    )
    pencil.arrow_head(pen.canvas, pencil.at(centre, r, a), a, 9 * pen.u, theme.PENCIL)


# --- angles and faces -----------------------------------------------------------------------------


def _protractor(canvas: Canvas, centre: Point, radius: float, tilt_deg: float) -> None:
    """Draw half a protractor with a needle at an angle, clockwise from level."""
    u = canvas.scale
    span = round(PROTRACTOR_DEG)
    canvas.line(pencil.arc(centre, radius, 90.0 - span, 90.0 + span), theme.INK_SOFT, 1.0)
    for deg in range(-span, span + 1, SCALE_DEG):
        inner = radius - (6 * u if deg % 30 == 0 else 3 * u)
        ends = (pencil.at(centre, inner, 90.0 + deg), pencil.at(centre, radius, 90.0 + deg))
        canvas.line(ends, theme.INK_SOFT, 1.0)
    far = min(max(tilt_deg, -90.0), 90.0)
    ends = (
        pencil.at(centre, 0.68 * radius, 90.0 + far),
        pencil.at(centre, radius + 5 * u, 90.0 + far),
    )
    canvas.line(ends, theme.PENCIL, 2.2 * u)


def _leaning(canvas: Canvas, rect: Rect, clockwise_deg: float, nose: bool) -> None:
    r = min(0.46 * rect.h / 0.86, 0.42 * rect.w)
    centre = (rect.centre[0] - 0.2 * r, rect.centre[1])
    dash = ((centre[0] - 0.9 * r, centre[1]), (centre[0] + r, centre[1]))
    canvas.line(dash, theme.PAPER_LINE, 1.0)
    _protractor(canvas, centre, r, clockwise_deg)
    pencil.profile(canvas, centre, 1.1 * r, clockwise_deg, nose)


def _roll(canvas: Canvas, rect: Rect, value: float) -> None:
    _leaning(canvas, rect, value, nose=False)


def _pitch(canvas: Canvas, rect: Rect, value: float) -> None:
    _leaning(canvas, rect, -value, nose=True)


def _rose(canvas: Canvas, centre: Point, radius: float, deg: float) -> None:
    canvas.disc(centre, radius, theme.INK_SOFT, 1.0)
    for mark in range(0, 360, ROSE_DEG):
        inner = radius * (0.82 if mark % 90 == 0 else 0.9)
        ends = (pencil.at(centre, inner, mark), pencil.at(centre, radius, mark))
        canvas.line(ends, theme.INK_SOFT, 1.0)
    tip = pencil.at(centre, 0.8 * radius, deg)
    canvas.line(
        (pencil.at(centre, 0.6 * radius, deg + 180.0), tip), theme.PENCIL, 2.0 * canvas.scale
    )
    pencil.arrow_head(canvas, tip, deg, 8.0 * canvas.scale, theme.PENCIL)


def _heading(canvas: Canvas, rect: Rect, value: float) -> None:
    _rose(canvas, rect.centre, 0.46 * min(rect.w, rect.h), value)


def face(canvas: Canvas, rect: Rect, name: str) -> None:
    """Sketch the aircraft lying on one of its faces."""
    turn, nose, flip = FACES[name]
    size = 0.72 * min(rect.w, rect.h)
    pencil.profile(canvas, rect.centre, size, turn, nose, flip)
    base = rect.centre[1] + 0.62 * size
    ground = ((rect.centre[0] - 0.7 * size, base), (rect.centre[0] + 0.7 * size, base))
    canvas.line(ground, theme.INK_SOFT, 1.0)


DIALS: dict[str, Painter] = {"roll": _roll, "pitch": _pitch, "heading": _heading}


def pictured(cells: list[tuple[str, float, Painter]], slots: int) -> Item:
    """Return a row of little pictures, each with its words and value below. slots : places."""

    def words(pen: Pen, width: float) -> list[list[str]]:
        room = width / slots - 8 * pen.u
        said = (reading_told(key, value, pen.units).words for key, value, _ in cells)
        return [wrapped(pen.canvas, s, theme.SMALL, room) for s in said]

    def height(pen: Pen, width: float) -> float:
        lines = max(len(pieces) for pieces in words(pen, width))
        below = lines * pen.height(theme.SMALL) + pen.height(theme.NUMBER)
        return PICTURE_UNITS * pen.u + below + 6 * pen.u

    def draw(pen: Pen, rect: Rect) -> None:
        pieces, step = words(pen, rect.w), pen.height(theme.SMALL)
        lines = max(len(p) for p in pieces)
        below = lines * step + pen.height(theme.NUMBER) + 6 * pen.u
        for i, (key, value, painter) in enumerate(cells):
            cell = rect.column(i, slots, 4 * pen.u)
            painter(pen.canvas, cell.top(rect.h - below), value)
            y = cell.bottom - below + 2 * pen.u
            for k, piece in enumerate(pieces[i]):
                pen.canvas.text((cell.centre[0], y + k * step), piece, theme.SMALL, "middle")
            middle = y + lines * step + pen.height(theme.NUMBER) / 2
            said = reading_told(key, value, pen.units)
            pen.amount(key, said, cell.centre[0], middle, "middle")

    return Item(draw, height, grows=True)
