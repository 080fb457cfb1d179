"""Card paper: a sheet with its shadow, ruled lines, tape, rubber stamps, boxes to tick."""

from collections.abc import Sequence
from math import cos, radians, sin

from sim.window import theme
from sim.window.canvas import Canvas, Point, Rect
from sim.window.pictures import pencil
from sim.window.theme import Colour, Type

SHADOWS = ((6.0, 9), (4.0, 16), (2.0, 26))  # (units away, darker by); own: soft edge of a shadow
CORNER_UNITS = 4.0  # units; own: more than a sheet's corners are rounded by
MARGIN_UNITS = 44.0  # units; own: margin line of a card, from its left edge
MARGIN_INK: Colour = (196, 178, 160)  # own: the margin's line, decoration only
STAMP_UNITS = 21.0  # units; own: letters of a stamp
STROKE = 0.15  # of the letters' height; own: width of a stamp's stroke
NARROW = 0.66  # of the letters' height; own: width of a letter
SPACING = 0.26  # of the letters' height; own: between letters

_O = ((0.2, 0), (0.8, 0), (1, 0.2), (1, 0.8), (0.8, 1), (0.2, 1), (0, 0.8), (0, 0.2), (0.2, 0))
_P = ((0, 1), (0, 0), (0.8, 0), (1, 0.14), (1, 0.4), (0.8, 0.54), (0, 0.54))
_S = (
    ((1, 0.14), (0.8, 0), (0.2, 0), (0, 0.14), (0, 0.38), (0.2, 0.5), (0.8, 0.5)),
    ((0.8, 0.5), (1, 0.62), (1, 0.86), (0.8, 1), (0.2, 1), (0, 0.86)),
)
STROKES: dict[str, tuple[tuple[tuple[float, float], ...], ...]] = {
    "A": (((0, 1), (0.5, 0), (1, 1)), ((0.2, 0.64), (0.8, 0.64))),
    "B": (
        ((0, 0), (0, 1), (0.8, 1), (1, 0.86), (1, 0.6), (0.8, 0.48), (0, 0.48)),
        ((0, 0), (0.75, 0), (0.92, 0.12), (0.92, 0.36), (0.75, 0.48)),
    ),
    "C": (((1, 0.2), (0.8, 0), (0.2, 0), (0, 0.2), (0, 0.8), (0.2, 1), (0.8, 1), (1, 0.8)),),
    "D": (((0, 0), (0.7, 0), (1, 0.25), (1, 0.75), (0.7, 1), (0, 1), (0, 0)),),
    "E": (((1, 0), (0, 0), (0, 1), (1, 1)), ((0, 0.5), (0.8, 0.5))),
    "F": (((1, 0), (0, 0), (0, 1)), ((0, 0.5), (0.8, 0.5))),
    "G": (
        ((1, 0.2), (0.8, 0), (0.2, 0), (0, 0.2), (0, 0.8), (0.2, 1), (0.8, 1), (1, 0.8), (1, 0.55)),
        ((1, 0.55), (0.6, 0.55)),
    ),
    "H": (((0, 0), (0, 1)), ((1, 0), (1, 1)), ((0, 0.5), (1, 0.5))),
    "I": (((0.5, 0), (0.5, 1)),),
    "J": (((1, 0), (1, 0.8), (0.8, 1), (0.2, 1), (0, 0.8)),),
    "K": (((0, 0), (0, 1)), ((1, 0), (0, 0.55)), ((0.3, 0.42), (1, 1))),
    "L": (((0, 0), (0, 1), (1, 1)),),
    "M": (((0, 1), (0, 0), (0.5, 0.55), (1, 0), (1, 1)),),
    "N": (((0, 1), (0, 0), (1, 1), (1, 0)),),
    "O": (_O,),
    "P": (_P,),
    "Q": (_O, ((0.6, 0.7), (1.05, 1.08))),
    "R": (_P, ((0.45, 0.54), (1, 1))),
    "S": _S,
    "T": (((0, 0), (1, 0)), ((0.5, 0), (0.5, 1))),
    "U": (((0, 0), (0, 0.8), (0.2, 1), (0.8, 1), (1, 0.8), (1, 0)),),
    "V": (((0, 0), (0.5, 1), (1, 0)),),
    "W": (((0, 0), (0.22, 1), (0.5, 0.4), (0.78, 1), (1, 0)),),
    "X": (((0, 0), (1, 1)), ((1, 0), (0, 1))),
    "Y": (((0, 0), (0.5, 0.5), (1, 0)), ((0.5, 0.5), (0.5, 1))),
    "Z": (((0, 0), (1, 0), (0, 1), (1, 1)),),
    "0": (_O, ((0.15, 0.82), (0.85, 0.18))),
    "1": (((0.15, 0.2), (0.5, 0), (0.5, 1)), ((0.15, 1), (0.85, 1))),
    "2": (((0, 0.2), (0.2, 0), (0.8, 0), (1, 0.2), (1, 0.4), (0, 1), (1, 1)),),
    "3": (
        ((0, 0), (1, 0), (0.45, 0.42), (0.8, 0.42)),
        ((0.8, 0.42), (1, 0.58), (1, 0.84), (0.8, 1), (0.2, 1), (0, 0.86)),
    ),
    "4": (((0.75, 1), (0.75, 0), (0, 0.7), (1, 0.7)),),
    "5": (((1, 0), (0, 0), (0, 0.44), (0.8, 0.44), (1, 0.6), (1, 0.82), (0.8, 1), (0, 1)),),
    "6": (
        ((0.9, 0), (0.3, 0.1), (0, 0.5), (0, 0.82), (0.2, 1), (0.8, 1), (1, 0.82), (1, 0.64)),
        ((1, 0.64), (0.8, 0.46), (0, 0.52)),
    ),
    "7": (((0, 0), (1, 0), (0.35, 1)),),
    "8": (
        ((0.2, 0.48), (0, 0.34), (0, 0.14), (0.2, 0), (0.8, 0), (1, 0.14), (1, 0.34), (0.8, 0.48)),
        ((0.8, 0.48), (0.2, 0.48), (0, 0.64), (0, 0.86), (0.2, 1), (0.8, 1), (1, 0.86), (1, 0.64)),
        ((1, 0.64), (0.8, 0.48)),
    ),
    "9": (
        ((0.1, 1), (0.7, 0.9), (1, 0.5), (1, 0.18), (0.8, 0), (0.2, 0), (0, 0.18), (0, 0.36)),
        ((0, 0.36), (0.2, 0.54), (1, 0.48)),
    ),
    "-": (((0.15, 0.55), (0.85, 0.55)),),
}  # 1; own drawing: letters of a stamp in a box of one by one


def sheet(
    canvas: Canvas, rect: Rect, colour: Colour = theme.PAPER, ground: Colour = theme.BENCH
) -> None:
    """Draw a sheet lying on a ground, with its shadow."""
    u = canvas.scale
    rim, reach = CORNER_UNITS * u, SHADOWS[0][0] * u + 1.0
    inner_w, inner_h = rect.w - rim, rect.h - rim
    foot = Rect(rect.x, rect.y + inner_h, rect.w + reach, rim + reach)
    side = Rect(rect.x + inner_w, rect.y, rim + reach, inner_h)
    for seen in (foot, side):  # the sheet hides the rest of its shadow
        with canvas.clip(seen):
            for away, darker in SHADOWS:
                red, green, blue = (max(0, part - darker) for part in ground)
                y, w = rect.y + away * u, rect.w + 0.6 * away * u
                moved = Rect(rect.x + 0.4 * away * u, y, w, rect.h)
                canvas.fill(moved, (red, green, blue), 3 * u)
    canvas.fill(rect, colour, 2 * u)


def lines(canvas: Canvas, rect: Rect, step: float) -> None:
    """Rule a sheet with lines this far apart, px."""
    y = rect.y + step
    while y <= rect.bottom:
        canvas.fill(Rect(rect.x, y, rect.w, max(1.0, 0.8 * canvas.scale)), theme.PAPER_LINE)
        y += step


def margin(canvas: Canvas, rect: Rect, x: float | None = None) -> float:
    """Draw the margin line of a sheet; return where writing may begin."""
    u = canvas.scale
    at = rect.x + MARGIN_UNITS * u * canvas.text_scale if x is None else x
    canvas.fill(Rect(at, rect.y, max(1.0, u), rect.h), MARGIN_INK)
    return at + 8 * u


def tape(canvas: Canvas, centre: Point, length: float, angle_deg: float = 0.0) -> None:
    """Draw a torn piece of masking tape, its length in px."""
    u = canvas.scale
    half, tall = length / 2.0, 9.0 * u
    left = [(-half + (3 * u if i % 2 else 0.0), tall - i * tall / 2) for i in range(5)]
    right = [(half - (3 * u if i % 2 else 0.0), -tall + i * tall / 2) for i in range(5)]
    canvas.shape(_turned(centre, [*left, *right], angle_deg), theme.TAPE)
    for y in (-0.3 * tall, 0.4 * tall):
        ends = _turned(centre, [(-half + 5 * u, y), (half - 5 * u, y)], angle_deg)
        canvas.line(ends, theme.PAPER_LINE, 1.0)


def label(canvas: Canvas, centre: Point, words: str, style: Type = theme.BODY_BOLD) -> Rect:
    """Write words on a piece of tape; return the tape's rectangle."""
    w, h = canvas.measure(words, style)
    length = w + 26 * canvas.scale
    tape(canvas, centre, length)
    canvas.text((centre[0], centre[1] - h / 2), words, style, "middle")
    tall = 18 * canvas.scale
    return Rect(centre[0] - length / 2, centre[1] - tall / 2, length, tall)


def _turned(centre: Point, points: Sequence[Point], angle_deg: float) -> list[Point]:
    c, s = cos(radians(angle_deg)), sin(radians(angle_deg))
    return [(centre[0] + c * x - s * y, centre[1] + s * x + c * y) for x, y in points]


def stamp_size(canvas: Canvas, words: str, room: float | None = None) -> tuple[float, float]:
    """Return width and height of a stamp before it is turned, px, no wider than there is room."""
    h = STAMP_UNITS * canvas.scale * canvas.text_scale
    if room is not None:
        h = min(h, room / (len(words) * (NARROW + SPACING) - SPACING + 1.6))
    return len(words) * (NARROW + SPACING) * h - SPACING * h + 1.6 * h, 2.0 * h


def stamp(
    canvas: Canvas,
    centre: Point,
    words: str,
    colour: Colour,
    angle_deg: float = -6.0,
    room: float | None = None,
) -> None:
    """Press a rubber stamp: words in capitals in a double frame, turned clockwise by an angle.

    room : width it must keep within before it is turned, px.
    """
    w, h = stamp_size(canvas, words, room)
    letter = h / 2.0
    for inset, width in ((0.0, 0.14), (0.22, 0.06)):
        x, y = w / 2 - inset * letter, h / 2 - inset * letter
        box = [(-x, -y), (x, -y), (x, y), (-x, y), (-x, -y)]
        pencil.stroke(canvas, _turned(centre, box, angle_deg), width * letter, colour)
    left = -w / 2 + 0.8 * letter
    for i, one in enumerate(words.upper()):
        x0 = left + i * (NARROW + SPACING) * letter
        for stroke in STROKES.get(one, ()):
            points = [(x0 + NARROW * letter * x, letter * (y - 0.5)) for x, y in stroke]
            pencil.stroke(canvas, _turned(centre, points, angle_deg), STROKE * letter, colour)
    # what is stamped is also kept as words, unseen, for those who read the text back end
    canvas.picture(Rect(centre[0], centre[1], 0.0, 0.0), f"stamp: {words}", lambda surface: None)


def box(canvas: Canvas, rect: Rect, ticked: bool) -> None:
    """Draw a box to tick, with a pencil tick if it is."""
    canvas.frame(rect, theme.INK, 1.5 * canvas.scale, 2 * canvas.scale)
    if ticked:
        pencil.tick(canvas, rect)
