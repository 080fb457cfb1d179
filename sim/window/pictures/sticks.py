"""The transmitter as we sketch it: chalk on dark wood, two sticks in their gates, two switches."""

from dataclasses import dataclass

from sim.window import theme
from sim.window.canvas import Canvas, Point, Rect, fitted
from sim.window.pictures import pencil

WIDE = 1.5  # 1; own: at least so wide for its height, the switches stand between the sticks
TICKS = 10  # own: parts of a gate's edge
ARROW_UNITS = 7.0  # units; own: half the length of the arrow beside a stick's word
TRAVEL = 0.76  # of half a gate; own: how far a stick goes


@dataclass(frozen=True)
class Hand:
    """One stick. x, y: -1..1, right and up positive; across, upright: what each way does."""

    x: float
    y: float
    across: str
    upright: str


@dataclass(frozen=True)
class Panel:
    """Everything on the transmitter that can be seen.

    mode: words of the mode switch; forward: its throw; stopped: the stop switch; lit: the lamp;
    meter: what it shows of its own pack.
    """

    left: Hand
    right: Hand
    mode: str
    forward: bool
    stopped: bool
    lit: bool
    meter: str = ""


def transmitter(canvas: Canvas, rect: Rect, panel: Panel) -> None:
    """Draw the transmitter into a rectangle."""
    u = canvas.scale
    canvas.fill(rect, theme.BENCH, 8 * u)
    canvas.frame(rect, theme.BENCH_LIGHT, 2 * u, 8 * u)
    inner = rect.inset(8 * u)
    line = canvas.measure("x", theme.SMALL)[1]
    if inner.w < WIDE * inner.h:  # no room between the sticks: the switches go below them
        low = min(0.42 * inner.h, 3 * line + 22 * u)
        for i, hand in enumerate((panel.left, panel.right)):
            stick(canvas, inner.top(inner.h - low).column(i, 2, 8 * u), hand)
        _middle(canvas, inner.below(inner.h - low), panel, line)
        return
    middle_w = max(0.2 * inner.w, canvas.measure("self-level", theme.SMALL)[0] + 12 * u)
    side_w = (inner.w - middle_w) / 2
    for x, hand in ((inner.x, panel.left), (inner.right - side_w, panel.right)):
        stick(canvas, Rect(x, inner.y, side_w, inner.h), hand)
    _middle(canvas, Rect(inner.x + side_w, inner.y, middle_w, inner.h), panel, line)


def stick(canvas: Canvas, rect: Rect, hand: Hand) -> None:
    """Draw one stick in its gate, with what each way does: across below, upright above."""
    u = canvas.scale
    style = theme.SMALL.on(theme.CHALK_SOFT)
    line = canvas.measure("x", style)[1]
    size = max(24 * u, min(rect.w, rect.h - 2 * line - 6 * u))
    gate = Rect(rect.centre[0] - size / 2, rect.centre[1] - size / 2, size, size)
    rows = ((hand.upright, gate.y - line - 2 * u, 0.0), (hand.across, gate.bottom + 2 * u, 90.0))
    for words, y, deg in rows:
        shown = fitted(canvas, words, style, rect.w)
        canvas.text((gate.centre[0], y), shown, style, "middle")
        if canvas.measure(shown, style)[0] > rect.w - 2 * (2 * ARROW_UNITS + 6) * u:
            continue  # the word matters more than the arrow, and its place tells the way too
        x = gate.centre[0] + canvas.measure(shown, style)[0] / 2 + (ARROW_UNITS + 6) * u
        _two_ways(canvas, (x, y + line / 2), deg)
    canvas.frame(gate, theme.CHALK_SOFT, 1.4 * u, 5 * u)
    _gate_ticks(canvas, gate)
    reach = TRAVEL * size / 2
    x = gate.centre[0] + reach * min(1.0, max(-1.0, hand.x))
    y = gate.centre[1] - reach * min(1.0, max(-1.0, hand.y))
    _cross(canvas, gate, (x, y))
    canvas.line((gate.centre, (x, y)), theme.CHALK_SOFT, max(2.0, 0.06 * size))
    canvas.disc((x, y), 0.1 * size, theme.CHALK)
    canvas.disc((x, y), 0.05 * size, theme.BENCH, 1.5 * u)


def _two_ways(canvas: Canvas, centre: Point, deg: float) -> None:
    """Draw an arrow with two heads, upright or lying."""
    u = canvas.scale
    ends = [pencil.at(centre, ARROW_UNITS * u, deg + half) for half in (0.0, 180.0)]
    canvas.line(ends, theme.CHALK_SOFT, 1.0)
    for end, half in zip(ends, (0.0, 180.0), strict=True):
        pencil.arrow_head(canvas, end, deg + half, 5 * u, theme.CHALK_SOFT)


def _gate_ticks(canvas: Canvas, gate: Rect) -> None:
    u = canvas.scale
    for i in range(1, TICKS):
        long = (7 if i == TICKS // 2 else 4) * u
        x, y = gate.x + gate.w * i / TICKS, gate.y + gate.h * i / TICKS
        canvas.fill(Rect(x, gate.bottom - long, max(1.0, u), long), theme.CHALK_SOFT)
        canvas.fill(Rect(gate.x, y, long, max(1.0, u)), theme.CHALK_SOFT)


def _cross(canvas: Canvas, gate: Rect, at: Point) -> None:
    """Draw thin lines from a stick to the edges where its ticks are."""
    u = canvas.scale
    canvas.line((at, (at[0], gate.bottom)), theme.BENCH_LIGHT, 1.4 * u)
    canvas.line((at, (gate.x, at[1])), theme.BENCH_LIGHT, 1.4 * u)


def _middle(canvas: Canvas, rect: Rect, panel: Panel, line: float) -> None:
    u = canvas.scale
    rows = (
        (panel.mode, lambda place: _switch(canvas, place, panel.forward)),
        ("stop" if panel.stopped else "run", lambda p: _switch(canvas, p, panel.stopped)),
        (
            panel.meter or ("on" if panel.lit else "off"),
            lambda place: _lamp(canvas, place, panel.lit),
        ),
    )
    for i, (words, draw) in enumerate(rows):
        n, gap = len(rows), 2 * u
        cell = rect.column(i, n, gap) if rect.w > WIDE * rect.h else rect.row(i, n, gap)
        tall = max(10 * u, min(26 * u, cell.h - line - 2 * u))
        top = cell.y + (cell.h - tall - line) / 2
        draw(Rect(cell.centre[0] - 12 * u, top, 24 * u, tall))
        style = theme.SMALL.on(theme.CHALK)
        shown = fitted(canvas, words, style, cell.w)
        canvas.text((cell.centre[0], top + tall), shown, style, "middle")


def _switch(canvas: Canvas, rect: Rect, up: bool) -> None:
    """Draw a lever switch in its slot."""
    u = canvas.scale
    slot = Rect(rect.centre[0] - 4 * u, rect.y + 2 * u, 8 * u, rect.h - 4 * u)
    canvas.frame(slot, theme.CHALK_SOFT, 1.2 * u, 4 * u)
    y = slot.y + 4 * u if up else slot.bottom - 4 * u
    canvas.line((slot.centre, (slot.centre[0], y)), theme.CHALK, 3 * u)
    canvas.disc((slot.centre[0], y), 5 * u, theme.CHALK)


def _lamp(canvas: Canvas, rect: Rect, lit: bool) -> None:
    """Draw the lamp: rays round it when lit."""
    u, centre = canvas.scale, rect.centre
    r = min(6 * u, rect.h / 3)
    if not lit:
        canvas.disc(centre, r, theme.CHALK_SOFT, 1.4 * u)
        return
    canvas.disc(centre, r, theme.CHALK)
    for deg in range(0, 360, 45):
        ends = (pencil.at(centre, r + 2 * u, deg), pencil.at(centre, r + 5 * u, deg))
        canvas.line(ends, theme.CHALK, 1.4 * u)
