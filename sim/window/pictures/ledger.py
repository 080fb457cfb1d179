"""Lines of a sheet: a value by its words, two columns to compare by eye, tables, notes."""

from collections.abc import Callable

from sim.window import theme
from sim.window.canvas import Point, Rect, wrapped
from sim.window.pictures import pencil
from sim.window.pictures.flow import Item, Pen
from sim.window.values import Told, Units, plain, reading_told

PAD_UNITS = 3.0  # units; own: air about a line
PAIR_SHARE = 0.26  # of a line's width; own: each of two columns of values
LABEL_SHARES = {1: 0.5, 2: 0.36, 4: 0.26}  # of a table's width; own: its first column
ICON_UNITS = 46.0  # units; own: little picture above a table's column
CELL_UNITS = 104.0  # units; own: least width of a table's column at 100 % text

Icon = Callable[[Pen, Point, float, str], None]


def line(key: str, value: float) -> Item:
    """Return a line: words, a dotted leader, the value."""

    def broken(pen: Pen, width: float) -> tuple[Told, list[str]]:
        said = reading_told(key, value, pen.units)
        room = width - pen.amount_width(said) - 16 * pen.u
        return said, wrapped(pen.canvas, said.words, theme.BODY, room)

    def height(pen: Pen, width: float) -> float:
        return len(broken(pen, width)[1]) * pen.height(theme.BODY) + PAD_UNITS * pen.u * pen.air

    def draw(pen: Pen, rect: Rect) -> None:
        said, words = broken(pen, rect.w)
        step = pen.height(theme.BODY)
        y = rect.centre[1] - len(words) * step / 2
        middle = y + (len(words) - 0.5) * step
        edge = rect.right - 3 * pen.u
        pen.amount(key, said, edge, middle, "right", rect)
        for i, piece in enumerate(words):
            pen.canvas.text((rect.x + 3 * pen.u, y + i * step), piece, theme.BODY)
        left = rect.x + pen.width(words[-1], theme.BODY) + 9 * pen.u
        pencil.dots(
            pen.canvas, middle + 0.3 * step, left, edge - pen.amount_width(said) - 6 * pen.u
        )

    return Item(draw, height)


def note(words: str) -> Item:
    """Return a remark across the sheet."""

    def broken(pen: Pen, width: float) -> list[str]:
        return wrapped(pen.canvas, words, theme.SMALL, width - 6 * pen.u)

    def height(pen: Pen, width: float) -> float:
        return len(broken(pen, width)) * pen.height(theme.SMALL) + pen.u

    def draw(pen: Pen, rect: Rect) -> None:
        for i, piece in enumerate(broken(pen, rect.w)):
            y = rect.y + pen.u + i * pen.height(theme.SMALL)
            pen.canvas.text((rect.x + 3 * pen.u, y), piece, theme.SMALL)

    return Item(draw, height, wide=True)


def gap(units: float) -> Item:
    """Return air across the sheet."""
    return Item(lambda pen, rect: None, lambda pen, width: units * pen.u, wide=True)


# --- two columns beside each other --------------------------------------------------------------


def pair_head(one: str, other: str) -> Item:
    """Return the head of lines with two values."""

    def draw(pen: Pen, rect: Rect) -> None:
        y = rect.y + pen.u
        for words, right in zip((one, other), _edges(rect), strict=True):
            pen.canvas.text((right - 3 * pen.u, y), words, theme.SMALL, "right")
        base = rect.bottom - pen.u
        pen.canvas.line(((rect.x, base), (rect.right, base)), theme.INK_SOFT, 1.0)

    return Item(draw, lambda pen, width: pen.height(theme.SMALL) + 3 * pen.u)


def _edges(rect: Rect) -> tuple[float, float]:
    return rect.right - PAIR_SHARE * rect.w, rect.right


def pair(
    keys: tuple[str, str], values: tuple[float, float], words: str, unit: str, head: Item
) -> Item:
    """Return a line with two values of the same thing; which differ is left to the eye."""

    def broken(pen: Pen, width: float) -> list[str]:
        label = f"{words}, {unit}" if unit else words
        room = width * (1.0 - 2.0 * PAIR_SHARE) - 6 * pen.u
        return wrapped(pen.canvas, label, theme.SMALL, room)

    def height(pen: Pen, width: float) -> float:
        lines = len(broken(pen, width)) * pen.height(theme.SMALL)
        return max(lines, pen.height(theme.NUMBER)) + PAD_UNITS * pen.u * pen.air

    def draw(pen: Pen, rect: Rect) -> None:
        pieces = broken(pen, rect.w)
        step = pen.height(theme.SMALL)
        y = rect.centre[1] - len(pieces) * step / 2
        for i, piece in enumerate(pieces):
            pen.canvas.text((rect.x + 3 * pen.u, y + i * step), piece, theme.SMALL)
        for key, value, right in zip(keys, values, _edges(rect), strict=True):
            w = PAIR_SHARE * rect.w
            cell = Rect(right - w, rect.y, w, rect.h)
            said = reading_told(key, value)._replace(unit="")
            pen.amount(key, said, right - 4 * pen.u, rect.centre[1], "right", cell)
        base = rect.bottom - 0.5
        pen.canvas.line(((rect.x, base), (rect.right, base)), theme.PAPER_LINE, 1.0)

    return Item(draw, height, head=head)


# --- tables -------------------------------------------------------------------------------------


def table_width(members: int) -> float:
    """Return the least width of a table with so many columns, units at 100 % text."""
    return CELL_UNITS * members / (1.0 - LABEL_SHARES[members])


def _column(rect: Rect, i: int, n: int) -> Rect:
    label = LABEL_SHARES[n] * rect.w
    w = (rect.w - label) / n
    return Rect(rect.x + label + i * w, rect.y, w, rect.h)


def table_head(members: tuple[str, ...], title: str, icon: Icon | None) -> Item:
    """Return the head of a table, with a little picture above each column."""
    size = ICON_UNITS if icon else 0.0

    def height(pen: Pen, width: float) -> float:
        return size * pen.u + pen.height(theme.BODY_BOLD) + 4 * pen.u

    def draw(pen: Pen, rect: Rect) -> None:
        base = rect.bottom - 2 * pen.u
        y = base - pen.height(theme.BODY_BOLD) - pen.u
        for i, member in enumerate(members):
            cell = _column(rect, i, len(members))
            if icon:
                icon(pen, (cell.centre[0], rect.y + size * pen.u / 2), size * pen.u, member)
            pen.canvas.text((cell.centre[0], y), plain(member), theme.BODY_BOLD, "middle")
        pen.canvas.text((rect.x + 3 * pen.u, y), title, theme.SMALL)
        pen.canvas.line(((rect.x, base), (rect.right, base)), theme.INK_SOFT, 1.0)

    return Item(draw, height, wide=True)


def table_row(cells: tuple[tuple[str, float], ...], rest: str, head: Item) -> Item:
    """Return a row of a table; the unit stands with its words."""

    def label(pen: Pen, width: float) -> list[str]:
        unit = _unit(cells[0], pen.units)
        words = f"{plain(rest)}, {unit}" if unit else plain(rest)
        return wrapped(pen.canvas, words, theme.SMALL, LABEL_SHARES[len(cells)] * width - 6 * pen.u)

    def height(pen: Pen, width: float) -> float:
        lines = len(label(pen, width)) * pen.height(theme.SMALL)
        return max(lines, pen.height(theme.NUMBER)) + 1.5 * pen.u * pen.air

    def draw(pen: Pen, rect: Rect) -> None:
        pieces, step = label(pen, rect.w), pen.height(theme.SMALL)
        y = rect.centre[1] - len(pieces) * step / 2
        for i, piece in enumerate(pieces):
            pen.canvas.text((rect.x + 3 * pen.u, y + i * step), piece, theme.SMALL)
        for i, (key, value) in enumerate(cells):
            cell = _column(rect, i, len(cells))
            said = reading_told(key, value, pen.units)._replace(unit="")
            pen.amount(key, said, cell.centre[0], rect.centre[1], "middle", cell)
        base = rect.bottom - 0.5
        pen.canvas.line(((rect.x, base), (rect.right, base)), theme.PAPER_LINE, 1.0)

    return Item(draw, height, wide=True, head=head)


def _unit(cell: tuple[str, float], units: Units) -> str:
    return reading_told(*cell, units).unit
