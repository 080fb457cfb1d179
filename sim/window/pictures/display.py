"""The set-up connection's display, propped on the bench: pencilled numbers on paper, and traces."""

from dataclasses import dataclass

from sim.aircraft.fields import PLACES
from sim.session.display import Display
from sim.session.view import View
from sim.window import theme
from sim.window.canvas import Canvas, Rect, paragraph, wrapped
from sim.window.handling import ShownTape
from sim.window.layout import Cut
from sim.window.pictures import paper
from sim.window.pictures.charts import Anchor, Strip
from sim.window.theme import BODY_BOLD, NUMBER, SMALL
from sim.window.values import number

CORNERS = {place: place.replace("_", " ") for place in PLACES}
MOST_LINES = 2  # own: of messages, if the first one does not take more
MOST_TRACES = 3  # own: more lines than this on one sheet can't be followed
STRIP_UNITS = 130.0  # units; own: a strip narrower than this tells nothing
TALL_UNITS = 52.0  # units; own: nor one lower than this
GAP_UNITS = 10.0  # units; own: between columns
GLANCED = ("cell_v", "lost_pct", "pack_a", "roll_deg", "pitch_deg", "heading_deg")
"""Lines a pilot may glance at in the hop, what ends it first."""
FEWEST = 3  # own: of those lines; fewer are not worth the look
SLIP_WIDE, SLIP_HIGH = 0.30, 0.36  # of the picture; own: the aircraft in the middle stays in sight
SPAN_S = 10.0  # s; own: how far back the traces go


@dataclass(frozen=True)
class Line:
    """A line of the display: field, what is said, unit, digits, and how its trace lies."""

    field: str
    words: str
    unit: str
    digits: int
    ranges: tuple[float, ...]
    anchor: Anchor = "zero"
    pulse: str = ""  # field of a number that stands before it

    def amount(self, display: Display) -> str:
        """Return its number with its unit."""
        return f"{number(getattr(display, self.field), self.digits)} {self.unit}"

    def said(self, display: Display, brief: bool = False) -> str:
        """Return its numbers as they stand there. brief : the pulse left out, where room is short."""
        told = self.amount(display)
        whole = self.pulse and not brief
        return f"{getattr(display, self.pulse):.0f} µs {told:>6}" if whole else told


PERCENT = (200.0,)  # %; the whole range
SHARE = (25.0, 100.0)  # %; own
SLOW = (10.0, 40.0, 180.0, 360.0)  # deg, deg/s; own
LINES: tuple[Line, ...] = (
    *(
        Line(f"{name}_pct", f"{name} stick", "%", 0, PERCENT, pulse=f"{name}_us")
        for name in ("roll", "pitch", "yaw")
    ),
    Line("throttle_pct", "throttle", "%", 0, (100.0,), "foot", "throttle_us"),
    Line("roll_deg", "roll", "°", 1, SLOW),
    Line("pitch_deg", "pitch", "°", 1, SLOW),
    Line("heading_deg", "heading", "°", 0, (20.0, 90.0, 360.0, 1440.0), "floating"),
    Line("roll_rate_deg_s", "roll rate", "°/s", 1, SLOW),
    Line("pitch_rate_deg_s", "pitch rate", "°/s", 1, SLOW),
    Line("yaw_rate_deg_s", "yaw rate", "°/s", 1, SLOW),
    *(Line(f"{place}_pct", words, "%", 0, SHARE, "foot") for place, words in CORNERS.items()),
    Line("field_ut", "field", "µT", 1, (10.0, 40.0, 200.0), "floating"),
    Line("pack_v", "pack", "V", 2, (1.0, 4.0, 20.0), "floating"),
    Line("cell_v", "a cell", "V", 2, (0.4, 1.0, 5.0), "floating"),
    Line("pack_a", "current", "A", 2, (2.0, 10.0, 80.0), "foot"),
    Line("lost_pct", "frames lost", "%", 0, SHARE, "foot"),
)
BY_FIELD = {line.field: line for line in LINES}


@dataclass(frozen=True)
class Drawn:
    """What was drawn: each line that is seen with its place, and on how many pages they stand."""

    lines: list[tuple[Line, Rect]]
    pages: int


def strips() -> dict[str, Strip]:
    """Return the paper of every line's trace."""
    return {n.field: Strip(n.words, n.unit, n.ranges, n.anchor, n.digits) for n in LINES}


def draw_display(
    canvas: Canvas,
    rect: Rect,
    view: View,
    tape: ShownTape,
    traced: list[str],
    papers: dict[str, Strip],
    page: int,
) -> Drawn:
    """Draw the display: a heading, the lines in columns, traces beside them, messages below."""
    u = canvas.scale
    paper.sheet(canvas, rect)
    parts = Cut(rect, u, 14, 8)
    display = view.display
    step = canvas.measure("x", SMALL)[1]
    head = parts.top(canvas.measure("x", BODY_BOLD)[1], 4)
    if display is None:
        canvas.text((head.x, head.y), "Display", BODY_BOLD)
        paragraph(canvas, parts.rest, why_dark(view), SMALL, max(1, int(parts.rest.h // step)))
        return Drawn([], 1)
    by = f"by {display.by}, {display.age_s:.2f} s old"
    canvas.text((head.right, head.y), by, SMALL, "right")
    if canvas.measure("Display ", BODY_BOLD)[0] + canvas.measure(by, SMALL)[0] <= head.w:
        canvas.text((head.x, head.y), "Display", BODY_BOLD)
    words = whole(canvas, (*display.messages, *felt_words(view)), head.w)
    low = parts.bottom(len(wrapped(canvas, words, SMALL, head.w)) * step, 4)
    paragraph(canvas, low, words, SMALL.on(theme.INK))
    return _columns(canvas, parts.rest, display, tape, traced, papers, page)


def _columns(
    canvas: Canvas,
    rect: Rect,
    display: Display,
    tape: ShownTape,
    traced: list[str],
    papers: dict[str, Strip],
    page: int,
) -> Drawn:
    u, gap = canvas.scale, GAP_UNITS * canvas.scale
    row = canvas.measure("0", NUMBER)[1]
    mark = max(14 * u, canvas.measure("~ ", NUMBER)[0])
    label = max(canvas.measure(line.words, SMALL)[0] for line in LINES) + mark + 8 * u
    amount = canvas.measure("1500 µs -100 %", NUMBER)[0]
    brief = label + amount + gap > rect.w
    if brief:
        amount = canvas.measure("-180.0 °/s", NUMBER)[0]
    width = min(label + amount + gap, rect.w)
    high = max(1, int(rect.h // row))
    across = max(1, min(-(-len(LINES) // high), int(rect.w // width)))
    pages = -(-len(LINES) // (high * across))
    page %= pages
    found = []
    for i, line in enumerate(LINES[page * high * across : (page + 1) * high * across]):
        place = Rect(rect.x + (i // high) * width, rect.y + (i % high) * row, width - gap, row)
        canvas.text((place.x + mark, place.y), line.words, SMALL.on(theme.INK))
        canvas.text((place.right, place.y), line.said(display, brief), NUMBER, "right")
        if line.field in traced:
            canvas.text((place.x, place.y), "~", NUMBER.on(theme.PENCIL))
        found.append((line, place))
    beside = Rect(rect.x + across * width, rect.y, rect.w - across * width, rect.h)
    if beside.w >= STRIP_UNITS * u and tape.times_s.size:
        _traces(canvas, beside, tape, traced, papers)
    return Drawn(found, pages)


def draw_slip(canvas: Canvas, scene: Rect, display: Display) -> None:
    """Tape a slip with what a glance away from the aircraft may take in to the picture's lower right.

    As many lines as there is room for; none where fewer than three would fit.
    """
    u = canvas.scale
    step, row = canvas.measure("x", SMALL)[1], canvas.measure("0", NUMBER)[1]
    head = f"{display.by}, {display.age_s:.1f} s old"
    words = max(canvas.measure(BY_FIELD[field].words, SMALL)[0] for field in GLANCED)
    amount = canvas.measure("-000.0 A", NUMBER)[0]
    w = max(words + amount + GAP_UNITS * u, canvas.measure(head, SMALL)[0]) + 16 * u
    most = int((SLIP_HIGH * scene.h - step - 10 * u) // row)
    if most < FEWEST or w > SLIP_WIDE * scene.w:
        return
    seen = GLANCED[:most]
    h = step + len(seen) * row + 10 * u
    box = Rect(scene.right - w - 12 * u, scene.bottom - h - 12 * u, w, h)
    paper.sheet(canvas, box)
    canvas.text((box.x + 8 * u, box.y + 4 * u), head, SMALL)
    for i, field in enumerate(seen):
        y = box.y + 5 * u + step + i * row
        canvas.text((box.x + 8 * u, y), BY_FIELD[field].words, SMALL.on(theme.INK))
        canvas.text((box.right - 8 * u, y), BY_FIELD[field].amount(display), NUMBER, "right")


def _traces(
    canvas: Canvas, rect: Rect, tape: ShownTape, traced: list[str], papers: dict[str, Strip]
) -> None:
    u = canvas.scale
    most = max(1, int(rect.h // (TALL_UNITS * u)))
    seen = traced[-min(most, MOST_TRACES) :]
    for i, name in enumerate(seen):
        place = rect.row(i, len(seen), 5 * u)
        papers[name].draw(canvas, place, tape.times_s, tape.line(name), SPAN_S, i)


def whole(canvas: Canvas, sentences: tuple[str, ...], width: float) -> str:
    """Return as many sentences as fit, whole; the first one always."""
    kept = list(sentences)
    while len(kept) > 1 and len(wrapped(canvas, " ".join(kept), SMALL, width)) > MOST_LINES:
        kept.pop()
    return " ".join(kept)


def why_dark(view: View) -> str:
    """Return why nothing is shown, and what would change that."""
    if not view.conduct.pack_plugged:
        return (
            "Dark: the instruments have no power. Plug the pack in; the cable alone feeds the board "
            "and brings its settings, no more."
        )
    if view.setup is None:
        return "Dark: nothing comes from the controller. Open the connection (under Adjust)."
    return "Nothing has come yet."


def felt_words(view: View) -> tuple[str, ...]:
    """Return what the hands feel and the ears hear, in words."""
    words = []
    turning = {place: motor for place, motor in view.motors.items() if motor.turning}
    if turning:
        told = ", ".join(f"{CORNERS[p]} {m.heard_rpm:.0f}" for p, m in turning.items())
        words.append(f"Heard, rpm: {told}.")
    if view.felt is not None and view.felt.shake_m_s2 > 0.0:
        words.append(f"It trembles in your hands, about {view.felt.shake_m_s2:g} m/s².")
    if view.felt is not None and view.felt.lifts is not None:
        words.append(f"It lifts at the {CORNERS[view.felt.lifts]}: {view.felt.pull_n_m:g} N m.")
    return tuple(words)
