"""Pictures of a device: its axes as pencil bars, its buttons as boxes, its sticks as drawn."""

from collections.abc import Sequence
from typing import get_args

from sim.aircraft.fields import ChannelName
from sim.window import theme
from sim.window.canvas import Canvas, Point, Rect
from sim.window.pictures import pencil
from sim.window.pictures.sticks import Hand, stick
from sim.window.sticks.modes import MODES, on_sticks, stick_of
from sim.window.sticks.positions import Positions
from sim.window.theme import SMALL

BAR_UNITS = 20.0  # units; own: height of an axis's line at 100 % text
BOX_UNITS = 20.0  # units; own: size of a button's box at 100 % text, with its number
CENTRED = Positions(roll=0.0, pitch=0.0, throttle=0.5, yaw=0.0)


def axis_bars(canvas: Canvas, rect: Rect, axes: Sequence[float], buttons: Sequence[bool]) -> None:
    """Draw each axis as a bar from its middle, and each button as a box, filled while down."""
    u = canvas.scale
    line = canvas.measure("x", SMALL)[1]
    step = max(BAR_UNITS * u, line + 3 * u)
    boxes = boxes_height(canvas, rect.w, len(buttons))
    room = max(1, int((rect.h - boxes) // step))
    across = max(1, -(-len(axes) // room))
    for i, value in enumerate(axes):
        cell = rect.column(i // room, across, 14 * u)
        _bar(canvas, Rect(cell.x, cell.y + (i % room) * step, cell.w, step), i, value)
    y = rect.y + min(room, len(axes)) * step + 6 * u
    size = box_size(canvas)
    per_line = max(1, int(rect.w // (1.5 * size)))
    for i, down in enumerate(buttons):
        x = rect.x + (i % per_line) * 1.5 * size
        box = Rect(x, y + (i // per_line) * 1.5 * size, size, size)
        if down:
            canvas.fill(box, theme.PENCIL, 2 * u)
        canvas.frame(box, theme.INK_SOFT, 1.2 * u, 2 * u)
        style = SMALL.on(theme.PAPER if down else theme.INK)
        canvas.text((box.centre[0], box.centre[1] - line / 2), f"{i + 1}", style, "middle")


def box_size(canvas: Canvas) -> float:
    """Return the size of a button's box, px."""
    return max(BOX_UNITS * canvas.scale, canvas.measure("00", SMALL)[0] + 4 * canvas.scale)


def boxes_height(canvas: Canvas, width: float, buttons: int) -> float:
    """Return the height the boxes of this many buttons need, px."""
    size = box_size(canvas)
    per_line = max(1, int(width // (1.5 * size)))
    return (-(-buttons // per_line)) * 1.5 * size + 8 * canvas.scale


def _bar(canvas: Canvas, rect: Rect, index: int, value: float) -> None:
    u = canvas.scale
    words = f"axis {index + 1}"
    w, h = canvas.measure("axis 00 ", SMALL)
    canvas.text((rect.x, rect.centre[1] - h / 2), words, SMALL)
    line = Rect(rect.x + w, rect.y, max(10 * u, rect.w - w), rect.h)
    middle, y = line.centre
    canvas.line(((line.x, y), (line.right, y)), theme.PAPER_LINE, 2 * u)
    for x in (line.x, middle, line.right):
        canvas.line(((x, y - 5 * u), (x, y + 5 * u)), theme.INK_SOFT, 1.5 * u)
    end = middle + max(-1.0, min(1.0, value)) * line.w / 2
    canvas.fill(Rect(min(middle, end), y - 3 * u, abs(end - middle), 6 * u), theme.PENCIL)
    canvas.disc((end, y), 4 * u, theme.PENCIL)


def drawn_sticks(
    canvas: Canvas,
    rect: Rect,
    mode: int,
    positions: Positions | None,
    asked: str | None = None,
) -> None:
    """Draw both sticks; the one asked for has a ring and arrows the way it is to go."""
    u = canvas.scale
    canvas.fill(rect, theme.BENCH, 8 * u)
    layout = MODES[mode]
    left, right = on_sticks(positions or CENTRED, mode)
    hands = (
        Hand(left[0], left[1], layout.left_x, layout.left_y),
        Hand(right[0], right[1], layout.right_x, layout.right_y),
    )
    for i, hand in enumerate(hands):
        stick(canvas, rect.inset(10 * u).column(i, 2, 12 * u), hand)
    for function in get_args(ChannelName):
        if function == asked:
            side, way = stick_of(function, mode)
            place = rect.inset(10 * u).column(0 if side == "left" else 1, 2, 12 * u)
            canvas.frame(place.inset(-4 * u), theme.CHALK, 3 * u, 8 * u)
            _arrows(canvas, place.centre, min(place.w, place.h) * 0.34, way)


def _arrows(canvas: Canvas, centre: Point, reach: float, way: str) -> None:
    """Draw the way a stick is to go, both ends."""
    u = canvas.scale
    degrees = (90.0, 270.0) if way == "x" else (0.0, 180.0)
    ends = [pencil.at(centre, reach, deg) for deg in degrees]
    canvas.line(ends, theme.CHALK, 3 * u)
    for end, deg in zip(ends, degrees, strict=True):
        pencil.arrow_head(canvas, pencil.at(end, 7 * u, deg), deg, 16 * u, theme.CHALK)
