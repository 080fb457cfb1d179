"""An open question: rows of which one is marked by a click or the keys, and done by a key or button."""

from collections.abc import Callable, Sequence

from sim.window.canvas import Rect
from sim.window.ui import Ui

MOST_DIGITS = 9  # rows; a digit does a row of a question that has no more
CAP_UNITS = 26.0  # units; own: room for a digit's cap before a row's words

Draws = Callable[
    [str, int, Rect, bool], None
]  # draws a row: (node, place in the list, where, marked)


def digit_room(ui: Ui, rows: int) -> float:
    """Return what a question's digits need before the words of its rows, px."""
    return CAP_UNITS * ui.unit * ui.canvas.text_scale if rows <= MOST_DIGITS else 0.0


def asked(
    ui: Ui,
    id_: str,
    rect: Rect,
    rows: int,
    draw: Draws,
    words: str,
    h: float | None = None,
    names: Sequence[str] = (),
) -> int | None:
    """Draw a question's rows and the button that does the one marked; return which is done.

    Enter does the row marked, a printed digit its row; a click only marks. words : on the button;
    h, names : as of a list.
    """
    u, tall = ui.unit, ui.row_height
    step = h or tall
    room = max(1, int((rect.h - tall - 8 * u) // step))
    chosen = None
    if rows <= MOST_DIGITS and not ui.typing:
        chosen = next((i for i in range(rows) if ui.inputs.take(str(i + 1))), None)
    scroll = ui.scroll(id_, rect.top(min(rows, room) * step), rows, step, names)
    at = ui.marked(id_)
    for i, row in scroll:
        draw(f"{id_}:{i}", i, row, i == at)
        if ui.pressed and not ui.clicked:
            chosen = i
        if rows <= MOST_DIGITS:
            right = row.x + digit_room(ui, rows) - 2 * u
            ui.keycap(right, row.y + min(row.h, tall) / 2, str(i + 1), live=not ui.typing)
    ui.scrollbar(scroll)
    button = Rect(rect.x, scroll.rect.bottom + 6 * u, rect.w, tall)
    if ui.button(f"{id_}-do", button, words, "Enter"):
        chosen = at
    return chosen


def plain_rows(ui: Ui, rows: Sequence[tuple[str, str]]) -> Draws:
    """Return what draws rows of (words, what stands on the right)."""
    indent = digit_room(ui, len(rows))

    def draw(id_: str, i: int, row: Rect, marked: bool) -> None:
        ui.row(id_, row, *rows[i], picked=marked, indent=indent)

    return draw
