"""How the pieces of a sheet are set: in columns, in order, over as many pages as they need."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from itertools import groupby

from sim.window import theme
from sim.window.canvas import Canvas, Rect
from sim.window.theme import Type
from sim.window.values import Told, Units

COLUMN_UNITS = 296.0  # units; own: least width of a column at 100 % text
GAP_UNITS = 22.0  # units; own: between columns
STRETCHES = (1.9, 1.6, 1.3, 1.0)  # 1; own: pictures are drawn larger while that costs no page
TIGHT = 0.1  # 1; own: air about lines when it saves a page
TRIES = 12  # own: halvings in search of the height that balances columns


@dataclass
class Pen:
    """What draws a sheet: canvas, units, the key marked, and where each value was put."""

    canvas: Canvas
    units: Units = "metric"
    marked: str | None = None
    air: float = 1.0
    values: list[tuple[str, Rect]] = field(default_factory=list)

    @property
    def u(self) -> float:
        """Return one unit of length, px."""
        return self.canvas.scale

    @property
    def s(self) -> float:
        """Return one unit of length that grows with the text, px."""
        return self.canvas.scale * self.canvas.text_scale

    def height(self, style: Type) -> float:
        """Return the height of a line, px."""
        return self.canvas.measure("x", style)[1]

    def width(self, words: str, style: Type) -> float:
        """Return the width of a line, px."""
        return self.canvas.measure(words, style)[0]

    def amount_width(self, said: Told, small: bool = False) -> float:
        """Return the width of a value with its unit, px."""
        value, unit = _styles(said, small)
        gap = 4.0 * self.s if said.unit else 0.0
        return self.width(said.value, value) + gap + self.width(said.unit, unit)

    def amount(
        self, key: str, said: Told, x: float, middle: float, align: str, cell: Rect | None = None
    ) -> None:
        """Write a value with its unit about a middle line, and keep where it may be picked."""
        small = cell is not None and self.amount_width(said) > cell.w - 2 * self.u
        value, unit = _styles(said, small)
        w = self.amount_width(said, small)
        h = self.height(value)
        left = x - {"left": 0.0, "middle": 0.5, "right": 1.0}[align] * w
        rect = cell or Rect(left - 4 * self.u, middle - h / 2, w + 8 * self.u, h)
        if key == self.marked:
            self.canvas.fill(rect, theme.PICKED, 2 * self.u)
            self.canvas.frame(rect, theme.PENCIL, 1.6 * self.u, 3 * self.u)
        self.canvas.text((left, middle - h / 2), said.value, value)
        right = left + w - self.width(said.unit, unit)
        self.canvas.text((right, middle - self.height(unit) / 2 + self.s), said.unit, unit)
        self.values.append((key, rect))


def _styles(said: Told, small: bool) -> tuple[Type, Type]:
    if any(c.isdigit() for c in said.value):
        return (theme.NUMBER_SMALL if small else theme.NUMBER), theme.SMALL
    return (theme.SMALL.on(theme.INK) if small else theme.BODY), theme.SMALL


@dataclass(frozen=True)
class Item:
    """A piece of a sheet.

    height : least height, px, at a width; grows : larger if there is room; wide : across all
    columns; head : stands above it wherever its kind begins.
    """

    draw: Callable[[Pen, Rect], None]
    height: Callable[[Pen, float], float]
    grows: bool = False
    wide: bool = False
    head: "Item | None" = None


Placed = tuple[Item, Rect]


def _headed(item: Item, last: Item | None) -> list[Item]:
    """Return an item, below its head unless that stands above already."""
    return [item] if item.head is None or item.head is last else [item.head, item]


@dataclass
class _Setter:
    """Sets items into a body, page by page."""

    pen: Pen
    body: Rect
    stretch: float
    pages: list[list[Placed]] = field(default_factory=lambda: [[]])
    y: float = 0.0

    def __post_init__(self) -> None:
        self.y = self.body.y
        gap, least = GAP_UNITS * self.pen.u, COLUMN_UNITS * self.pen.s
        self.columns = max(1, int((self.body.w + gap) // (least + gap)))
        self.gap = gap

    def tall(self, item: Item, width: float) -> float:
        least = item.height(self.pen, width)
        return max(least, min(self.stretch * least, self.body.h)) if item.grows else least

    def turn(self) -> None:
        """Begin a page."""
        self.pages.append([])
        self.y = self.body.y

    def across(self, items: list[Item]) -> None:
        """Set wide items one below the other."""
        last: Item | None = None
        for item in items:
            group = _headed(item, last)
            need = sum(self.tall(one, self.body.w) for one in group)
            if self.y > self.body.y and self.y + need > self.body.bottom + 0.5:
                self.turn()
                group = _headed(item, None)
            for one in group:
                h = self.tall(one, self.body.w)
                self.pages[-1].append((one, Rect(self.body.x, self.y, self.body.w, h)))
                self.y += h
            last = item.head

    def poured(self, items: list[Item], height: float) -> tuple[list[Placed], int, float]:
        """Return (what was placed, how many items, height used) in columns of a height."""
        placed: list[Placed] = []
        i, used = 0, 0.0
        for k in range(self.columns):
            column = Rect(self.body.x, self.y, self.body.w, height).column(
                k, self.columns, self.gap
            )
            y, last = column.y, None
            while i < len(items):
                group = _headed(items[i], last)
                need = sum(self.tall(one, column.w) for one in group)
                if y > column.y and y + need > column.bottom + 0.5:
                    break
                for one in group:
                    h = self.tall(one, column.w)
                    placed.append((one, Rect(column.x, y, column.w, h)))
                    y += h
                last, i = items[i].head, i + 1
            used = max(used, y - column.y)
        return placed, i, used

    def down(self, items: list[Item]) -> None:
        """Set narrow items in balanced columns."""
        while items:
            room = self.body.bottom - self.y
            placed, n, used = self.poured(items, room)
            if used > room + 0.5 and self.y > self.body.y:
                self.turn()
                continue
            if n == len(items):
                placed, used = self._balanced(items, room)
            self.pages[-1] += placed
            self.y += used
            items = items[n:]
            if items:
                self.turn()

    def _balanced(self, items: list[Item], room: float) -> tuple[list[Placed], float]:
        low, high = 0.0, room
        for _ in range(TRIES):
            middle = (low + high) / 2.0
            _, n, used = self.poured(items, middle)
            low, high = (low, middle) if n == len(items) and used <= room else (middle, high)
        placed, _, used = self.poured(items, high)
        return placed, used


def laid(pen: Pen, items: Iterable[Item], body: Rect) -> list[list[Placed]]:
    """Return the pages of a body: each item with its rectangle, pictures as large as may be."""
    listed = list(items)
    best: list[list[Placed]] = []
    for stretch, air in (*((s, 1.0) for s in STRETCHES), (1.0, TIGHT)):
        pen.air = air
        pages = _set(pen, listed, body, stretch)
        if not best or len(pages) < len(best):
            best = pages
        if len(best) == 1:
            break
    return best


def _set(pen: Pen, items: list[Item], body: Rect, stretch: float) -> list[list[Placed]]:
    setter = _Setter(pen, body, stretch)
    for wide, run in groupby(items, lambda item: item.wide):
        (setter.across if wide else setter.down)(list(run))
    return [page for page in setter.pages if page] or [[]]
