"""Where keys go in a long list: a page on or back, to its ends, to the next row with a letter."""

from collections.abc import Collection, Sequence

from sim.window import theme
from sim.window.canvas import Canvas, Rect
from sim.window.inputs import Inputs
from sim.window.nodes import Scroll


def moved(
    inputs: Inputs,
    at: int,
    rows: int,
    room: int,
    names: Sequence[str] = (),
    caps: Collection[str] = (),
) -> int | None:
    """Return the row a key leads to from row `at`, or None if none was struck.

    room : rows seen at once. A letter is only taken where names are given, and left to what it stands
    for where it is one of the `caps`.
    """
    ways = {"pagedown": at + room, "pageup": at - room, "home": 0, "end": rows - 1}
    for key, to in ways.items():
        if inputs.take(key):
            return min(rows - 1, max(0, to))
    for stroke in inputs.strokes:
        taken = stroke.ctrl or stroke.key in caps
        found = None if taken else _next(stroke.text.lower(), at, names)
        if found is not None:
            inputs.strokes.remove(stroke)
            return found
    return None


def _next(letter: str, at: int, names: Sequence[str]) -> int | None:
    """Return the next row after one whose name begins with a letter, from the top again at the end."""
    if not letter.isalnum():
        return None
    begin = [i for i, name in enumerate(names) if name.lower().startswith(letter)]
    return next((i for i in begin if i > at), next(iter(begin), None))


def draw_bar(canvas: Canvas, scroll: Scroll) -> None:
    """Draw how much of a list is seen, if not all of it."""
    if scroll.rows <= scroll.room:
        return
    rect, u = scroll.rect, canvas.scale
    length = rect.h * scroll.room / scroll.rows
    y = rect.y + rect.h * scroll.top / scroll.rows
    canvas.fill(Rect(rect.right - 4 * u, y, 3 * u, length), theme.INK_SOFT, u)
