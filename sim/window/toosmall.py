"""A window too small to read says so instead, and how large it has to be."""

from sim.window import theme
from sim.window.canvas import Canvas, Rect, paragraph
from sim.window.keys import KeyMap
from sim.window.theme import BODY

SMALLEST = (
    900,
    540,
)  # px; own: what is written fits every screen of this, in letters of every size


def too_small(canvas: Canvas) -> bool:
    """Tell whether a window is too small for what is written in it."""
    return canvas.width < SMALLEST[0] or canvas.height < SMALLEST[1]


def draw_too_small(canvas: Canvas, keys: KeyMap) -> None:
    """Write what to do, in letters of the first size."""
    canvas.text_scale = 1.0
    area = Rect(0.0, 0.0, canvas.width, canvas.height)
    canvas.fill(area, theme.PAPER)
    wide, high = SMALLEST
    words = (
        f"Too small to read: make the window {wide} by {high} at least, or press "
        f"{keys.cap('full-screen')} for the whole screen. In the hop the clock is stopped; {keys.cap('cut')} cuts."
    )
    paragraph(canvas, area.inset(6.0, 4.0), words, BODY)
