"""What the screens of paper share: wood, sheets with a heading, a long sheet pulled up and down."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from sim.window import theme
from sim.window.canvas import Canvas, Rect, wrapped
from sim.window.inputs import OUTSIDE
from sim.window.layout import Cut, line_in
from sim.window.nodes import Node
from sim.window.padwords import on_sheet
from sim.window.pictures import paper
from sim.window.theme import BODY, BODY_BOLD, HEAD, KEY, SMALL, TITLE, Type
from sim.window.ui import WHEEL_ROWS, Ui

EDGE_UNITS = 22.0  # units; own: wood left free round the sheets
GAP_UNITS = 12.0  # units; own: between sheets, and between what stands on them
PAD_UNITS = 16.0  # units; own: from a sheet's edge to its writing
PLANK_UNITS = 118.0  # units; own: breadth of a plank of the bench
SEAM: theme.Colour = (36, 33, 31)  # own: between planks, decoration only
GRAIN: theme.Colour = (53, 50, 46)  # own: grain of the wood, decoration only
GRAINS = 3  # own: lines of grain on a plank
STAMP_TURNED = 0.3  # of a stamp's height; own: air for its turn
TALL = 1e6  # px; own: more than any sheet is long
PAGE_SHARE = 0.85  # of the place; own: how far a page key pulls
LEFT_SHARE = 0.56  # of the window; own: the left of two sheets, beside what comes of it
LARGE_TEXT = 1.3  # 1; own: from here on an answer stands below its question
TICKED, NOT_TICKED = "yes", "–"


def board(canvas: Canvas, area: Rect) -> None:
    """Draw the wood everything lies on."""
    u = canvas.scale
    canvas.fill(area, theme.BENCH)
    plank = PLANK_UNITS * u
    for i in range(int(area.h // plank) + 1):
        y = area.y + i * plank
        for n in range(GRAINS):
            left = area.x + area.w * ((0.37 * i + 0.29 * n) % 1.0) * 0.6
            at = y + plank * (n + 0.7) / (GRAINS + 0.6)
            long = area.w * (0.25 + 0.15 * ((i + n) % 3))
            canvas.fill(Rect(left, at, min(long, area.right - left), max(1.0, u)), GRAIN)
        canvas.fill(Rect(area.x, y, area.w, max(1.0, 1.5 * u)), SEAM)


def middle(canvas: Canvas, area: Rect, width_units: float, height_units: float) -> Rect:
    """Return the place of a sheet in the middle; it grows with the text as far as there is room."""
    grown = canvas.scale * (0.4 + 0.6 * canvas.text_scale)
    w, h = min(area.w, width_units * grown), min(area.h, height_units * grown)
    return Rect(area.centre[0] - w / 2, area.y + (area.h - h) * 0.45, w, h)


def taped(canvas: Canvas, rect: Rect, corners: bool = True) -> Rect:
    """Draw a sheet held by tape; return where to write on it."""
    u = canvas.scale
    paper.sheet(canvas, rect)
    if corners:
        paper.tape(canvas, (rect.x + 26 * u, rect.y + 2 * u), 62 * u, -24.0)
        paper.tape(canvas, (rect.right - 26 * u, rect.y + 2 * u), 62 * u, 22.0)
    else:
        paper.tape(canvas, (rect.centre[0], rect.y), 84 * u, -2.0)
    return rect.inset(PAD_UNITS * u)


def headed(canvas: Canvas, rect: Rect, words: str, style: Type = TITLE) -> Rect:
    """Write a heading with a line of ink below; return what is left."""
    column = Column(canvas, rect)
    column.write(words, style)
    column.rule()
    return column.rest


def stamped(canvas: Canvas, place: Rect, words: str, colour: theme.Colour, turn_deg: float) -> None:
    """Press a rubber stamp into a place, smaller if it would not go in."""
    before = canvas.text_scale
    w, h = paper.stamp_size(canvas, words)
    room_w, room_h = place.w - STAMP_TURNED * h, place.h - STAMP_TURNED * h
    canvas.text_scale = before * min(1.0, room_w / w, room_h / h)
    paper.stamp(canvas, place.centre, words, colour, turn_deg)
    canvas.text_scale = before


def labelled(canvas: Canvas, row: Rect, words: str, longest: str = "", gap: float = 12.0) -> Rect:
    """Write a row's label; return what is left beside it. longest : label of all such rows."""
    line_in(canvas, row, words, BODY)
    parts = Cut(row, canvas.scale)
    parts.left(canvas.measure(longest or words, BODY)[0], gap)
    return parts.rest


def width_of(ui: Ui, words: str, cap: str = "", style: Type = BODY) -> float:
    """Return the width a button needs for its words and its key, px."""
    canvas, u = ui.canvas, ui.unit
    key = canvas.measure(cap, KEY)[0] + 18 * u if cap else 0.0
    return canvas.measure(words, style)[0] + key + 22 * u


def act_width(ui: Ui, name: str, words: str) -> float:
    """Return the width the button of an act needs, px."""
    return width_of(ui, words, ui.keys.cap(name))


def flowed(rect: Rect, widths: Sequence[float], height: float, gap: float) -> list[Rect]:
    """Return places of these widths set side by side, broken into lines as words are."""
    places: list[Rect] = []
    x, y = rect.x, rect.y
    for wanted in widths:
        w = min(wanted, rect.w)
        if places and x + w > rect.right + 0.5:
            x, y = rect.x, y + height + gap
        places.append(Rect(x, y, w, height))
        x += w + gap
    return places


def flow_height(rect: Rect, widths: Sequence[float], height: float, gap: float) -> float:
    """Return the height that places set side by side need, px."""
    places = flowed(rect, widths, height, gap)
    return places[-1].bottom - rect.y if places else 0.0


def fitting(canvas: Canvas, words: str, style: Type, width: float) -> list[str]:
    """Return words broken to a width; what has no blanks to break at is broken anywhere."""
    lines: list[str] = []
    for line in wrapped(canvas, words, style, width):
        while len(line) > 1 and canvas.measure(line, style)[0] > width:
            n = len(line) - 1
            while n > 1 and canvas.measure(line[:n], style)[0] > width:
                n -= 1
            lines.append(line[:n])
            line = line[n:]
        lines.append(line)
    return lines


def text_height(canvas: Canvas, words: str, style: Type, width: float) -> float:
    """Return the height of words broken to a width, px."""
    return len(fitting(canvas, words, style, width)) * canvas.measure("x", style)[1]


class Column(Cut):
    """Writes downwards within a rectangle; gaps are units."""

    def __init__(self, canvas: Canvas, rect: Rect, pad: float = 0.0, pad_y: float | None = None):
        super().__init__(rect, canvas.scale, pad, pad_y)
        self.canvas, self.rect = canvas, self.rest

    @property
    def used(self) -> float:
        """Return the height used so far, px."""
        return self.rest.y - self.rect.y

    def write(self, words: str, style: Type = BODY, gap: float = 0.0) -> None:
        """Write words broken to the width."""
        step = self.canvas.measure("x", style)[1]
        for line in fitting(self.canvas, words, style, self.rest.w):
            self.canvas.text((self.rest.x, self.rest.y), line, style)
            self.top(step)
        self.gap(gap)

    def head(self, words: str) -> None:
        """Write the heading of a part."""
        self.write(words, HEAD, 3)

    def small(self, words: str, gap: float = 2.0) -> None:
        """Write in small print."""
        self.write(words, SMALL, gap)

    def strong(self, words: str, gap: float = 0.0) -> None:
        """Write in bold print."""
        self.write(words, BODY_BOLD, gap)

    def gap(self, units: float) -> None:
        """Leave a gap."""
        self.top(0.0, units)

    def rule(self) -> None:
        """Draw a line of ink across."""
        u = self.unit
        strip = self.top(10 * u)
        y = strip.y + 3 * u
        self.canvas.line(((strip.x, y), (strip.right, y)), theme.INK, 2 * u)

    def thin_rule(self) -> None:
        """Draw a ruled line across."""
        u = self.unit
        strip = self.top(11 * u)
        self.canvas.fill(Rect(strip.x, strip.y + 5 * u, strip.w, max(1.0, u)), theme.PAPER_LINE)


@dataclass
class Roll:
    """A sheet longer than its place: wheel, keys, or what is marked on it pull it up and down."""

    top: float = 0.0
    length: float = 0.0
    _marked: str | None = None
    _inside: bool = False

    def sheet(self, canvas: Canvas, area: Rect, width_units: float, more: float = 0.0) -> Rect:
        """Return the place of a sheet with a heading, as long as what is on it. more : px."""
        u = canvas.scale
        head = canvas.measure("x", TITLE)[1] + 14 * u
        tall = self.length + head + 2 * PAD_UNITS * u + more
        wide = min(area.w, width_units * u * (0.4 + 0.6 * canvas.text_scale))
        tall = min(area.h, tall)
        return Rect(area.centre[0] - wide / 2, area.y + (area.h - tall) * 0.42, wide, tall)

    def show(
        self,
        ui: Ui,
        id_: str,
        rect: Rect,
        name: str,
        draw: Callable[[Rect], float],
        read: bool = True,
    ) -> None:
        """Draw the part seen. `draw` gets the whole sheet's rectangle and returns its length, px.

        `read`: there is only writing on it, so it takes the arrow keys itself.
        """
        long = self.length > rect.h + 1.0
        if not read and long and self._inside:
            self._pages(ui, rect)
        if read and long and ui.hand(id_, rect, name):
            self._keys(ui, rect)
        if rect.holds(ui.inputs.pointer):
            self.top -= ui.inputs.wheel * WHEEL_ROWS * ui.row_height
        self.top = max(0.0, min(self.top, self.length - rect.h))
        first, pointer = len(ui.tree), ui.inputs.pointer
        if not rect.holds(pointer) and (ui.inputs.pressed or not ui.inputs.down):
            ui.inputs.pointer = OUTSIDE
        with ui.canvas.clip(rect):
            whole = Rect(rect.x, rect.y - self.top, rect.w - 12 * ui.unit, TALL)
            self.length = draw(whole)
        ui.inputs.pointer = pointer
        self._follow(ui, rect, ui.tree[first:])
        if self.length > rect.h + 1.0:
            self._bar(ui, rect)
            ui.ring(id_, rect)

    def _keys(self, ui: Ui, rect: Rect) -> None:
        step = ui.row_height
        for key, by in (("up", -step), ("down", step), ("home", -TALL), ("end", TALL)):
            if ui.inputs.take(key):
                self.top += by
        self._pages(ui, rect)

    def _pages(self, ui: Ui, rect: Rect) -> None:
        for key, by in (("pageup", -PAGE_SHARE), ("pagedown", PAGE_SHARE)):
            if ui.inputs.take(key):
                self.top += by * rect.h

    def _follow(self, ui: Ui, rect: Rect, nodes: Sequence[Node]) -> None:
        self._inside = any(node.focused for node in nodes)
        if ui.focus == self._marked:
            return
        self._marked = ui.focus
        for node in nodes:
            if node.id != ui.focus:
                continue
            air = 6 * ui.unit
            if node.rect.y < rect.y + air:
                self.top -= rect.y + air - node.rect.y
            elif node.rect.bottom > rect.bottom - air:
                self.top += node.rect.bottom - rect.bottom + air

    def _bar(self, ui: Ui, rect: Rect) -> None:
        u = ui.unit
        share, start = rect.h / self.length, self.top / self.length
        y = rect.y + min(rect.h * start, rect.h * (1.0 - share))
        ui.canvas.fill(Rect(rect.right - 4 * u, y, 3 * u, rect.h * share), theme.INK_SOFT, u)


def written(ui: Ui, id_: str, rect: Rect, value: str, hint: str, name: str) -> str | None:
    """Draw a line to write on; return what was written on Enter, or when the line is left."""
    done = ui.field(id_, rect, value, hint, name)
    node = ui.node(id_)
    if done is None and not node.focused and node.value != value:
        return node.value
    return done


def foot(ui: Ui, rect: Rect, ways: Sequence[tuple[str, str, bool]]) -> tuple[Rect, str]:
    """Draw acts' buttons at the foot of a sheet; return what is left above, and which was pressed.

    ways : act, words, and whether it can be pressed.
    """
    h, gap = ui.row_height, 8 * ui.unit
    widths = [act_width(ui, name, words) for name, words, _ in ways]
    parts = Cut(rect, ui.unit)
    low = parts.bottom(flow_height(rect, widths, h, gap), GAP_UNITS)
    pressed = ""
    for (name, words, enabled), place in zip(ways, flowed(low, widths, h, gap), strict=True):
        if ui.act(name, place, words, enabled):
            pressed = name
    return parts.rest, pressed


def wood(ui: Ui, area: Rect, notice: str) -> tuple[Rect, Rect]:
    """Draw the wood; return the place of the sheets and that of the notice and hints below."""
    board(ui.canvas, area)
    parts = Cut(area, ui.unit, EDGE_UNITS)
    low = parts.bottom(lower_height(ui, notice, area))
    return parts.rest, low._replace(y=low.y + 10 * ui.unit)


def two_sheets(
    ui: Ui, area: Rect, notice: str, title: str, beside: str, left_share: float = LEFT_SHARE
) -> tuple[Rect, Rect, Rect]:
    """Draw two sheets with their headings side by side on the wood.

    Returns where to write on the left one, on the right one, and the place of notice and hints.
    left_share : of the width.
    """
    place, low = wood(ui, area, notice)
    parts = Cut(place, ui.unit)
    left = taped(ui.canvas, parts.left(place.w * left_share, GAP_UNITS))
    right = taped(ui.canvas, parts.rest, corners=False)
    return headed(ui.canvas, left, title), headed(ui.canvas, right, beside), low


def answer_place(
    ui: Ui, rows: Column, words: str, share: float, gap: float, below: bool = False
) -> Rect:
    """Write a question in a column of them; return the place of its answer.

    share : of the width, for the question, where the answer stands beside it; gap : units under both;
    below : the answer stands below, as it does with large text.
    """
    below = below or ui.canvas.text_scale > LARGE_TEXT
    wide = rows.rest.w * (1.0 if below else share) - 10 * ui.unit
    tall = text_height(ui.canvas, words, BODY, wide)
    h = ui.row_height
    row = Cut(rows.top(tall + h + 2 * ui.unit if below else max(h, tall), gap), ui.unit)
    label = row.top(tall, 2) if below else row.left(wide, 10)
    Column(ui.canvas, label, 0, 0 if below else 4).write(words)
    return row.rest.top(h)


def tick(ui: Ui, rows: Column, id_: str, words: str, there: bool) -> bool:
    """Draw a line to tick; tell whether it was pressed. there : it is ticked."""
    mark = TICKED if there else NOT_TICKED
    return ui.row(id_, rows.top(ui.row_height), words, mark, there, indent=14 * ui.unit)


def lower_height(ui: Ui, notice: str, area: Rect) -> float:
    """Return the height of the wood below the sheets, with its hints and a notice, px."""
    notes = text_height(ui.canvas, notice, SMALL, area.w - 2 * EDGE_UNITS * ui.unit)
    line = ui.canvas.measure("x", SMALL)[1]
    return line + 14 * ui.unit + (notes + 12 * ui.unit if notice else 0.0)


def lower(
    ui: Ui, rect: Rect, notice: str, hints: Sequence[tuple[str, str]], caution: bool = True
) -> None:
    """Write a notice, if there is one, and what the plain keys do, on the wood."""
    canvas, u = ui.canvas, ui.unit
    line = canvas.measure("x", SMALL)[1]
    if notice:
        box = rect.top(text_height(canvas, notice, SMALL, rect.w - 20 * u) + 8 * u)
        canvas.fill(box, theme.CAUTION if caution else theme.PAPER, 3 * u)
        Column(canvas, box.inset(10 * u, 4 * u)).write(notice, SMALL.on(theme.INK))
    y = rect.bottom - line - 6 * u
    x = rect.x
    for caps, words in _hinted(ui, hints, rect.w):
        for cap in caps:
            wide = canvas.measure(cap, KEY)[0] + 8 * u
            ui.keycap(x + wide, y + line / 2, cap, dark=True)
            x += wide + 7 * u
        canvas.text((x, y), words, SMALL.on(theme.CHALK_SOFT))
        x += canvas.measure(words, SMALL)[0] + 19 * u


def _hinted(ui: Ui, hints: Sequence[tuple[str, str]], width: float) -> list[tuple[list[str], str]]:
    """Return the caps and words of hints, with those of the pad in use as far as there is room."""
    canvas, u = ui.canvas, ui.unit

    def long(found: list[tuple[list[str], str]]) -> float:
        caps = sum(canvas.measure(cap, KEY)[0] + 15 * u for caps, _ in found for cap in caps)
        return caps + sum(canvas.measure(words, SMALL)[0] + 19 * u for _, words in found)

    alone = [([cap], words) for cap, words in hints]
    both = [([cap, *on_sheet(cap, ui.keys, ui.device)], words) for cap, words in hints]
    pads = [(caps[1:] or caps, words) for caps, words in both]
    return next((found for found in (both, pads) if long(found) < width), alone)


USUAL_HINTS = (("Tab", "onward"), ("↑ ↓", "up and down"), ("Enter", "press"))


def leading_out(ui: Ui, words: str = "back") -> tuple[tuple[str, str], ...]:
    """Return the usual hints with the key that leads out."""
    return (*USUAL_HINTS, (ui.keys.cap("pause"), words))
