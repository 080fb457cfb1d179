"""What somebody in the picture shouts: a slip of paper with a point to the mouth."""

from sim.window import theme
from sim.window.canvas import Canvas, Point, Rect, wrapped
from sim.window.theme import TITLE

WIDEST = 0.42  # of the picture; own: the aircraft stays in sight beside it
BESIDE_UNITS = 26.0  # units; own: from the mouth to the slip


def balloon(canvas: Canvas, scene: Rect, mouth: Point, words: str) -> Rect:
    """Draw words beside a mouth, within the picture; return where the slip lies.

    It lies at the outer side, if there is room, so as not to hide the aircraft. If the mouth is out of the picture, the point runs to the edge nearest to it.
    """
    u = canvas.scale
    tip = (
        min(max(mouth[0], scene.x + 4 * u), scene.right - 4 * u),
        min(max(mouth[1], scene.y + 4 * u), scene.bottom - 4 * u),
    )
    beyond = tip[0] + BESIDE_UNITS * u
    room = scene.right - beyond - 32 * u
    fits = max(canvas.measure(word, TITLE)[0] for word in words.split()) <= room
    lines = wrapped(canvas, words, TITLE, room if fits else WIDEST * scene.w)
    step = canvas.measure("x", TITLE)[1]
    w = max(canvas.measure(line, TITLE)[0] for line in lines) + 24 * u
    h = step * len(lines) + 14 * u
    x = beyond if fits else max(tip[0] - w - BESIDE_UNITS * u, scene.x + 8 * u)
    y = min(max(tip[1] - h / 2, scene.y + 4 * u), scene.bottom - h - 8 * u)
    box = Rect(x, y, w, h)
    side = box.right - 6 * u if x < tip[0] else box.x + 6 * u
    middle = box.centre[1]
    point = ((side, middle - 9 * u), tip, (side, middle + 9 * u))
    canvas.fill(Rect(x - 2 * u, y - 2 * u, w + 4 * u, h + 4 * u), theme.INK, 8 * u)
    canvas.line((point[0], tip, point[2]), theme.INK, 4 * u)
    canvas.shape(point, theme.PAPER)
    canvas.fill(box, theme.PAPER, 7 * u)
    for i, line in enumerate(lines):
        canvas.text((box.centre[0], y + 7 * u + i * step), line, TITLE, "middle")
    return box
