"""Bars and traces on paper: pulses of the channels, cells of a pack, something against time."""

from collections.abc import Sequence
from math import ceil, floor, log10

from sim.bench.reading import Series
from sim.window import theme
from sim.window.canvas import Rect, fitted
from sim.window.pictures.flow import Item, Pen
from sim.window.values import axis, number, plain, reading_told

PULSE_US = (900.0, 2100.0)  # us; own: the rule's ends, a little past the trade's 1000 to 2000
PULSE_STEP_US = 100  # us; own: lines on the rule
CELL_V = (3.0, 4.4)  # V; own: ends of the rule beside the cells; wider if a cell is outside
TRACE_UNITS = 62.0  # units; own: least height of a trace's paper
CELLS_UNITS = 84.0  # units; own: least height of the cells' bars
LEAST_SHARE = 0.02  # 1; own: a trace's paper reaches over at least this share of the value
TURN_DEG = 90.0  # deg; own: lines of a paper that shows a turn
APART = 1.15  # 1; own: numbers at the edge stand at least this many of their heights apart
STEPS = (1.0, 2.0, 5.0, 10.0)  # 1; own: lines of a grid stand at 1, 2 or 5 of a decade


def nice_step(span: float, most: int) -> float:
    """Return a step of 1, 2 or 5 times a power of ten that goes at most so often into a span."""
    raw = max(span, 1e-9) / max(1, most)
    decade = 10.0 ** floor(log10(raw))
    return next(s * decade for s in STEPS if s * decade >= raw * (1 - 1e-9))


def ends(low: float, high: float, step: float) -> tuple[float, float]:
    """Return the multiples of a step that hold a range."""
    first = floor(low / step + 1e-9) * step
    last = ceil(high / step - 1e-9) * step
    return first, last if last > first else first + step


def digits_of(step: float) -> int:
    """Return how many digits after the point tell multiples of a step apart."""
    return max(0, -floor(log10(step) + 1e-9))


# --- pulses ---------------------------------------------------------------------------------------


def pulse(
    channel: str, us: Sequence[tuple[str, float]], shares: Sequence[tuple[str, float]]
) -> Item:
    """Return a channel's low, centre and high on a rule, with what the bar showed below."""
    rows = [row for row in (us, shares) if row]

    def height(pen: Pen, width: float) -> float:
        return 30 * pen.u + pen.height(theme.SMALL) + len(rows) * pen.height(theme.NUMBER)

    def draw(pen: Pen, rect: Rect) -> None:
        canvas, u = pen.canvas, pen.u
        label = pen.width("throttle  ", theme.BODY_BOLD)
        middle = rect.y + 13 * u
        h = pen.height(theme.BODY_BOLD)
        canvas.text((rect.x + 3 * u, middle - h / 2), plain(channel), theme.BODY_BOLD)
        track = Rect(rect.x + label, middle - 6 * u, rect.w - label - 8 * u, 12 * u)
        _rule(pen, track, [value for _, value in us])
        y = middle + 12 * u + pen.height(theme.SMALL)
        for row in rows:
            tall = pen.height(theme.NUMBER)
            for i, (key, value) in enumerate(row):
                cell = Rect(rect.x, y, rect.w, tall).column(i, 3, 4 * u)
                said = reading_told(key, value, pen.units)
                pen.amount(key, said, cell.centre[0], cell.centre[1], "middle")
            y += tall

    return Item(draw, height)


def _rule(pen: Pen, track: Rect, values: list[float]) -> None:
    canvas, u = pen.canvas, pen.u
    low, high = min(PULSE_US[0], *values), max(PULSE_US[1], *values)

    def x(us: float) -> float:
        return track.x + track.w * (us - low) / (high - low)

    base = track.bottom + 2 * u
    canvas.line(((track.x, base), (track.right, base)), theme.INK_SOFT, 1.0)
    for mark in range(1000, 2001, PULSE_STEP_US):
        long = mark % 500 == 0
        canvas.line(
            ((x(mark), base), (x(mark), base + (5 if long else 3) * u)), theme.INK_SOFT, 1.0
        )
        if long:
            canvas.text(
                (x(mark), base + 5 * u), str(mark), theme.NUMBER_SMALL.on(theme.INK_SOFT), "middle"
            )
    left, right = x(min(values)), x(max(values))
    bar = Rect(left, track.y + 2 * u, right - left, track.h - 4 * u)
    canvas.fill(bar, theme.PAPER_SHADE)
    canvas.frame(bar, theme.PENCIL, 1.5 * u)
    for us in values:
        canvas.line(((x(us), track.y - 2 * u), (x(us), base)), theme.PENCIL, 2.2 * u)


# --- cells ----------------------------------------------------------------------------------------


def cells(values: Sequence[tuple[str, float]]) -> Item:
    """Return the cells of a pack as bars side by side, each with its voltage."""
    volts = [value for _, value in values]
    low, high = min(CELL_V[0], floor(min(volts))), max(CELL_V[1], max(volts))

    def height(pen: Pen, width: float) -> float:
        return CELLS_UNITS * pen.u + pen.height(theme.NUMBER) + pen.height(theme.SMALL)

    def draw(pen: Pen, rect: Rect) -> None:
        canvas, u = pen.canvas, pen.u
        top, foot = pen.height(theme.NUMBER) + 2 * u, pen.height(theme.SMALL) + 4 * u
        left = pen.width("0.0 V ", theme.NUMBER_SMALL) + 4 * u
        paper = Rect(rect.x + left, rect.y + top, rect.w - left - 6 * u, rect.h - top - foot)
        step = nice_step(high - low, max(2, int(paper.h / (1.6 * pen.height(theme.NUMBER_SMALL)))))
        _levels(pen, paper, low, high, step, "V")
        for i, (key, value) in enumerate(values):
            cell = paper.column(i, len(values), 14 * u)
            h = paper.h * (value - low) / (high - low)
            bar = Rect(cell.centre[0] - 17 * u, paper.bottom - h, 34 * u, h)
            canvas.fill(bar, theme.PAPER_SHADE)
            canvas.frame(bar, theme.PENCIL, 1.6 * u)
            canvas.fill(Rect(bar.centre[0] - 6 * u, bar.y - 4 * u, 12 * u, 4 * u), theme.PENCIL)
            said = reading_told(key, value, pen.units)
            pen.amount(
                key, said, cell.centre[0], bar.y - 4 * u - pen.height(theme.NUMBER) / 2, "middle"
            )
            canvas.text((cell.centre[0], paper.bottom + 2 * u), said.words, theme.SMALL, "middle")

    return Item(draw, height, grows=True)


def _levels(pen: Pen, paper: Rect, low: float, high: float, step: float, unit: str = "") -> None:
    """Rule a paper at multiples of a step, each with its number at the left edge."""
    digits, tall = digits_of(step), pen.height(theme.NUMBER_SMALL)
    style = theme.NUMBER_SMALL.on(theme.INK_SOFT)
    first, last = ceil(low / step - 1e-9), floor(high / step + 1e-9)
    every = ceil(APART * tall / (paper.h * step / (high - low)))
    for k in range(first, last + 1):
        y = paper.bottom - paper.h * (k * step - low) / (high - low)
        pen.canvas.line(((paper.x, y), (paper.right, y)), theme.PAPER_LINE, 1.0)
        if (k - first) % every:
            continue
        words = f"{number(k * step, digits)} {unit}".strip()
        top = min(y - tall / 2, paper.bottom - tall + 2 * pen.u)
        pen.canvas.text((paper.x - 4 * pen.u, top), words, style, "right")


# --- traces ---------------------------------------------------------------------------------------


def trace(title: str, series: Series) -> Item:
    """Return a trace on ruled paper, with the words and units of both axes."""

    def height(pen: Pen, width: float) -> float:
        return (
            TRACE_UNITS * pen.u
            + pen.height(theme.SMALL)
            + pen.height(theme.NUMBER_SMALL)
            + 12 * pen.u
        )

    def draw(pen: Pen, rect: Rect) -> None:
        canvas, u = pen.canvas, pen.u
        x_words, x_unit, kx, ox = axis(series.x_name, pen.units)
        y_words, y_unit, ky, oy = axis(series.y_name, pen.units)
        xs, ys = [kx * x + ox for x in series.x], [ky * y + oy for y in series.y]
        line = pen.height(theme.SMALL)
        head = f"{title}: {y_words}, {y_unit}" if y_words not in title else f"{title}, {y_unit}"
        canvas.text(
            (rect.x + 3 * u, rect.y), fitted(canvas, head, theme.SMALL, rect.w - 6 * u), theme.SMALL
        )
        small = pen.height(theme.NUMBER_SMALL)
        tall = rect.h - line - small - 12 * u
        step = nice_step(_span(ys), max(2, int(tall / (1.9 * small))))
        middle, half = (min(ys) + max(ys)) / 2, _span(ys) / 2
        low, high = ends(middle - half, middle + half, step)
        widest = max((low, high), key=lambda v: len(number(v, digits_of(step))))
        left = pen.width(number(widest, digits_of(step)), theme.NUMBER_SMALL) + 8 * u
        paper = Rect(rect.x + left, rect.y + line + 6 * u, rect.w - left - 8 * u, tall)
        _levels(pen, paper, low, high, step)
        _times(pen, paper, xs, f"{x_words}, {x_unit}")
        canvas.frame(paper, theme.INK_SOFT, 1.0)
        sx, sy = paper.w / ((xs[-1] - xs[0]) or 1.0), paper.h / (high - low)
        points = [
            (paper.x + sx * (x - xs[0]), paper.bottom - sy * (y - low))
            for x, y in zip(xs, ys, strict=True)
        ]
        canvas.line(points, theme.PENCIL, 1.4)

    return Item(draw, height, grows=True)


def _span(values: Sequence[float]) -> float:
    """Return how far values reach; a flat line still gets some paper."""
    span = max(values) - min(values)
    return max(span, LEAST_SHARE * max(abs(max(values)), abs(min(values))), 1e-6)


def _times(pen: Pen, paper: Rect, xs: list[float], words: str) -> None:
    """Rule a paper upright, numbers below counted from where the trace begins."""
    canvas, u = pen.canvas, pen.u
    span = xs[-1] - xs[0]
    style = theme.NUMBER_SMALL.on(theme.INK_SOFT)
    room = paper.w - pen.width(words, theme.SMALL) - 16 * u
    each = 3.0 * pen.width("000", theme.NUMBER_SMALL) / 1.5
    step = nice_step(span, max(1, int(paper.w / each)))
    if words.endswith("deg") and span > 2 * TURN_DEG:
        step = TURN_DEG
    for k in range(int(span / step + 1e-9) + 1):
        x = paper.x + paper.w * k * step / span
        canvas.line(((x, paper.y), (x, paper.bottom)), theme.PAPER_LINE, 1.0)
        text = number(k * step, digits_of(step))
        if x - paper.x + pen.width(text, theme.NUMBER_SMALL) / 2 < room:
            canvas.text((x, paper.bottom + 2 * u), text, style, "middle")
    canvas.text((paper.right, paper.bottom + 2 * u), words, theme.SMALL, "right")
