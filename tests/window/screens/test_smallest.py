"""The smallest window: nothing is cut and no words lie over others; a smaller one says so instead."""

from dataclasses import dataclass, field

import pytest

from sim.window.app import Blank
from sim.window.canvas import Rect, TextCanvas, Written
from sim.window.inputs import Inputs, Stroke
from sim.window.screens.settings import SettingsSheet
from sim.window.theme import SCALES, scale_of
from sim.window.toosmall import SMALLEST
from tests.window.screens.test_all_screens import RealLetters, all_states, strays
from tools.samples import SAMPLES

HIGH, WIDE = 0.3, 2.0  # of a line's height, px; own: letters have room above and below, and beside


@dataclass
class Layered(RealLetters):
    """Keeps of each line the part that is seen: a sheet laid on top hides what lies below it."""

    seen: list[tuple[Written, Rect]] = field(default_factory=list)

    def text(self, at, words, style, align="left"):
        before = len(self.written)
        super().text(at, words, style, align)
        for line in self.written[before:]:
            w, h = self.measure(words, style)
            rect = Rect(*line.at, w, h)
            for clip in self.clips:
                rect = within(rect, clip)
            self.seen.append((line, rect))

    def fill(self, rect, colour, radius=0.0):
        left = [(line, uncovered(part, rect)) for line, part in self.seen]
        self.seen = [(line, part) for line, part in left if part.w > WIDE]

    def picture(self, rect, name, paint):
        super().picture(rect, name, paint)
        self.fill(rect, (0, 0, 0))


def within(rect, clip):
    x, y = max(rect.x, clip.x), max(rect.y, clip.y)
    w, h = min(rect.right, clip.right) - x, min(rect.bottom, clip.bottom) - y
    return Rect(x, y, max(0.0, w), max(0.0, h))


def uncovered(line, sheet):
    """Return the longer part of a line that a sheet leaves, if it covers half its height."""
    hidden = within(line, sheet)
    if hidden.h < 0.5 * line.h or hidden.w == 0.0:
        return line
    before, after = hidden.x - line.x, line.right - hidden.right
    return Rect(line.x if before >= after else hidden.right, line.y, max(before, after), line.h)


def overlaps(seen):
    for i, (one, a) in enumerate(seen):
        for other, b in seen[i + 1 :]:
            common = within(a, b)
            if common.w > WIDE and common.h > HIGH * min(a.h, b.h):
                yield one.words, other.words


def drawn(app, screen, size, text_scale):
    app.settings = app.settings.model_copy(update={"text_scale": text_scale})
    canvas = Layered(width=size[0], height=size[1], scale=scale_of(*size))
    app.go(screen)
    for _ in range(2):
        canvas.written.clear()
        canvas.seen.clear()
        app.frame(canvas, Inputs(), 0.0)
    return canvas


@pytest.mark.parametrize("size", [SMALLEST, (1280, 720)])
def test_no_words_lie_over_others_or_are_cut(app, size):
    wrong = []
    for name, screen in all_states(app):
        for text_scale in SCALES:
            canvas = drawn(app, screen, size, text_scale)
            where = f"{name}, {text_scale}"
            wrong += [f"{where}: {words}" for words in strays(canvas, app.ui.tree)]
            wrong += [f"{where}: {a!r} and {b!r}" for a, b in overlaps(canvas.seen)]
    assert not wrong, "\n" + "\n".join(wrong)


@pytest.mark.parametrize(
    ("size", "told"),
    [
        (SMALLEST, False),
        ((SMALLEST[0] - 1, 2000), True),
        ((2000, SMALLEST[1] - 1), True),
        ((320, 200), True),
    ],
)
def test_a_smaller_window_says_so_and_nothing_else(app, size, told):
    app.go(SettingsSheet(Blank()))
    canvas = TextCanvas(width=size[0], height=size[1], scale=scale_of(*size))
    app.frame(canvas, Inputs(), 0.0)
    said = " ".join(canvas.lines())
    assert ("Too small to read" in said) is told
    assert ("Settings" in said) is not told
    if told:
        assert f"{SMALLEST[0]} by {SMALLEST[1]}" in said
        assert app.ui.keys.cap("full-screen") in said


def test_made_too_small_in_the_hop_the_clock_stops_and_the_cut_still_cuts(app):
    states = SAMPLES["hop"](app)
    next(states)  # at the desk still
    screen, drill = next(states), app.drill
    assert drill.flying
    assert not drill.paused
    app.go(screen)
    app.frame(TextCanvas(400, 300), Inputs(), 0.0)
    assert drill.paused
    app.frame(TextCanvas(400, 300), Inputs(strokes=[Stroke(app.ui.keys.key("cut"))]), 0.0)
    while drill.busy:
        drill.poll()
    assert not drill.view.armed
