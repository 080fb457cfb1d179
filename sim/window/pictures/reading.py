"""A check's reading on a paper sheet, drawn as a person would see it; never a verdict."""

from collections.abc import Iterator
from typing import NamedTuple

from sim.bench.reading import Reading
from sim.window import theme
from sim.window.canvas import Canvas, Rect, fitted
from sim.window.names import CODES, COLUMNS, FAMILIES
from sim.window.pictures import aircraft, graphs, ledger
from sim.window.pictures.aircraft import Group
from sim.window.pictures.flow import Item, Pen, Placed, laid
from sim.window.values import Units, member_of, noted, plain, setting_told

MARGIN_UNITS = 12.0  # units; own: paper left blank at the sides
AT_CORNERS = 3  # own: so many values stand at a corner of the plan; more make a table
PULSES = (("low_us", "centre_us", "high_us"), ("low_was_us", "centre_was_us", "high_was_us"))
SHARES = ("low_share", "centre_share", "high_share")
UNTURNED = frozenset({"heading_swing_deg", "hover_heading_deg"})  # angles that are no attitude
FACE_KEYS = {
    "level_m_s2": "level",
    "left_side_m_s2": "left side down",
    "right_side_m_s2": "right side down",
    "nose_down_m_s2": "nose down",
    "nose_up_m_s2": "nose up",
    "on_its_back_m_s2": "on its back",
}
KEPT_LAYOUTS = 6  # own: sheets whose layout is kept from frame to frame

Values = dict[str, float]


class Drawn(NamedTuple):
    """What was drawn: each value's key and rectangle, and how many pages there are."""

    values: list[tuple[str, Rect]]
    pages: int


def draw_reading(
    canvas: Canvas,
    rect: Rect,
    title: str,
    reading: Reading,
    units: Units = "metric",
    marked: str | None = None,
    page: int = 0,
) -> Drawn:
    """Draw a page of a reading; return where each of its values stands.

    marked : key of the value to ring. page : counted from 0; past the last, the last is drawn.
    """
    pen = Pen(canvas, units, marked)
    u = pen.u
    canvas.fill(rect, theme.PAPER)
    inner = rect.inset(MARGIN_UNITS * u, 7 * u)
    head = pen.height(theme.HEAD) + 5 * u
    body = inner.below(head)
    pages = _pages(pen, reading, body)
    page = min(max(0, page), len(pages) - 1)
    count = f"page {page + 1} of {len(pages)}" if len(pages) > 1 else ""
    room = inner.w - pen.width(count, theme.SMALL) - 10 * u
    if pen.width(title, theme.HEAD) > room:
        count, room = "", inner.w  # the title matters more
    canvas.text((inner.x + 3 * u, inner.y), fitted(canvas, title, theme.HEAD, room), theme.HEAD)
    canvas.text((inner.right, inner.y + 2 * u), count, theme.SMALL, "right")
    base = inner.y + head - 3 * u
    canvas.line(((inner.x, base), (inner.right, base)), theme.INK, 1.6 * u)
    with canvas.clip(rect):
        for item, place in pages[page]:
            item.draw(pen, place)
    return Drawn(pen.values, len(pages))


_layouts: dict[tuple[object, ...], tuple[Reading, list[list[Placed]]]] = {}


def _pages(pen: Pen, reading: Reading, body: Rect) -> list[list[Placed]]:
    """Return the pages of a reading, laid out once for each reading, size and text scale."""
    canvas = pen.canvas
    key = (id(reading), type(canvas), canvas.scale, canvas.text_scale, body, pen.units)
    held = _layouts.get(key)
    if held is None or held[0] is not reading:
        while len(_layouts) >= KEPT_LAYOUTS:
            _layouts.pop(next(iter(_layouts)))
        held = _layouts[key] = (reading, laid(pen, items_of(reading, pen, body), body))
    return held[1]


def items_of(reading: Reading, pen: Pen, body: Rect) -> list[Item]:
    """Return the pieces of a reading: what shape its values have decides how they are drawn."""
    left = dict(reading.values)
    if any(key.endswith(tuple(COLUMNS)) for key in left):
        return [*_pairs(left), *map(ledger.note, reading.notes)]
    items = [*_pulses(left), *_cells(left), *_faces(left)]
    groups = _groups(left)
    items += _corners(groups, left, pen, body)
    items += _dials(left, groups)
    # left over left and right over right, as the places lie
    traces = sorted(reading.series.items(), key=lambda named: named[0].endswith("right"))
    items += [graphs.trace(name, series) for name, series in traces]
    if len(reading.series) > 1:
        items.append(ledger.gap(0))  # many traces side by side, the lines below them
    tables = [item for key in groups for item in _table(key, groups[key], pen, body.w)]
    grouped = {key for group in groups.values() for _, m in group for key, _ in m.values()}
    items += [ledger.line(key, value) for key, value in left.items() if key not in grouped]
    notes = [ledger.note(words) for words in map(noted, reading.notes) if words]
    return [*tables, *items, ledger.gap(4), *notes] if notes else [*tables, *items]


# --- one of each kind -----------------------------------------------------------------------------


def _pairs(values: Values) -> Iterator[Item]:
    """Yield the lines of two columns that are to be compared."""
    (one, first), (other, second) = COLUMNS.items()
    head = ledger.pair_head(first, second)
    for key in list(values):
        name = key.removesuffix(one)
        if name == key or name + other not in values:
            continue
        said = setting_told(name, values[key])
        keys = (key, name + other)
        yield ledger.pair(keys, (values[key], values[name + other]), said.words, said.unit, head)


def _pulses(left: Values) -> Iterator[Item]:
    for channel in FAMILIES["channel"]:
        for names in PULSES:
            us = _taken(left, [f"{channel}_{name}" for name in names])
            if us:
                shares = _taken(left, [f"{channel}_{name}" for name in SHARES])
                yield graphs.pulse(channel, us, shares)


def _taken(left: Values, keys: list[str]) -> list[tuple[str, float]]:
    """Take keys out of the values left, all or none."""
    if not all(key in left for key in keys):
        return []
    return [(key, left.pop(key)) for key in keys]


def _cells(left: Values) -> Iterator[Item]:
    keys = [key for key in left if key.startswith("cell_") and key.endswith("_v")]
    if keys:
        yield graphs.cells([(key, left.pop(key)) for key in keys])


def _faces(left: Values) -> Iterator[Item]:
    found = _taken(left, list(FACE_KEYS))
    cells = [(key, value, _face_painter(FACE_KEYS[key])) for key, value in found]
    yield from _by_rows(cells, 3)


def _face_painter(name: str) -> aircraft.Painter:
    return lambda canvas, rect, value: aircraft.face(canvas, rect, name)


def _by_rows(cells: list[tuple[str, float, aircraft.Painter]], slots: int) -> Iterator[Item]:
    for i in range(0, len(cells), slots):
        yield aircraft.pictured(cells[i : i + slots], slots)


def _dials(left: Values, groups: dict[tuple[str, str], Group]) -> Iterator[Item]:
    """Yield the angles that are an attitude, as needles; take them out of the values left."""
    grouped = {key for group in groups.values() for _, m in group for key, _ in m.values()}
    cells = []
    for key in [k for k in left if k.endswith("_deg") and k not in grouped and k not in UNTURNED]:
        kind = next((kind for kind in aircraft.DIALS if kind in key.split("_")), None)
        kind = {"lean_right_deg": "roll", "lean_back_deg": "pitch"}.get(key, kind)
        if kind:
            cells.append((key, left.pop(key), aircraft.DIALS[kind]))
    yield from _by_rows(cells, 2 if len(cells) in (1, 2, 4) else 3)


# --- four of a kind -------------------------------------------------------------------------------


def _groups(left: Values) -> dict[tuple[str, str], Group]:
    """Return by (family, what stands before) the values there are four of."""
    found: dict[tuple[str, str, str], dict[str, tuple[str, float]]] = {}
    for key, value in left.items():
        parts = member_of(key)
        if parts:
            family, before, member, rest = parts
            found.setdefault((family, before, rest), {})[member] = (key, value)
    groups: dict[tuple[str, str], Group] = {}
    for (family, before, rest), members in found.items():
        if len(members) == len(FAMILIES[family]):
            groups.setdefault((family, before), []).append((rest, members))
    return groups


def _corners(
    groups: dict[tuple[str, str], Group], left: Values, pen: Pen, body: Rect
) -> Iterator[Item]:
    """Yield plans for what stands at the corners; take it out of groups and values left."""
    for family, before in list(groups):
        group = groups[family, before]
        if family != "place" or len(group) > AT_CORNERS:
            continue
        item = aircraft.corners(before, group)
        if item.height(pen, body.w) > body.h:
            continue
        del groups[family, before]
        for _, members in group:
            for key, _ in members.values():
                left.pop(key)
        yield item


def _table(key: tuple[str, str], group: Group, pen: Pen, width: float) -> Iterator[Item]:
    """Yield a table of four columns, or two and two where there is no room."""
    family, before = key
    members = FAMILIES[family]
    n = next((n for n in (4, 2) if ledger.table_width(n) * pen.s <= width), 1)
    icon = _icon(family, dict(group))
    for i in range(0, len(members), n):
        some = members[i : i + n]
        head = ledger.table_head(some, plain(before) if before else "", icon)
        for rest, cells in group:
            yield ledger.table_row(tuple(cells[m] for m in some), rest, head)


def _icon(family: str, group: dict[str, dict[str, tuple[str, float]]]) -> ledger.Icon | None:
    if family == "place":
        signs = group.get("turns_sign") or group.get("hand_sign") or {}
        turns = group.get("turns_corner")
        corners = CODES["turns_corner"]
        shown: dict[str, tuple[str | None, float]] = {}
        for member in FAMILIES["place"]:
            name = corners[round(turns[member][1])].replace(" ", "_") if turns else member
            shown[member] = (name, signs[member][1] if signs else 0.0)
        return aircraft.turning(shown)
    if family == "mark" and "off_deg" in group:
        return aircraft.marks({m: value for m, (_, value) in group["off_deg"].items()})
    return aircraft.held if family == "heading" else None
