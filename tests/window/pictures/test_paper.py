import string

import pytest

from sim.window import theme
from sim.window.canvas import Rect, TextCanvas
from sim.window.pictures import paper


class Shapes(TextCanvas):
    def shape(self, points, colour):
        self.points = [*getattr(self, "points", []), *points]


def test_every_letter_and_digit_can_be_stamped():
    assert set(string.ascii_uppercase + string.digits) <= set(paper.STROKES)
    for strokes in paper.STROKES.values():
        assert all(-0.1 <= c <= 1.1 for stroke in strokes for point in stroke for c in point)


@pytest.mark.parametrize("angle_deg", [-12.0, 0.0, 7.0])
def test_stamp_stays_near_its_middle_and_is_kept_as_words(angle_deg):
    canvas = Shapes()
    paper.stamp(canvas, (300.0, 200.0), "stay on the bench", theme.WARNING, angle_deg)
    w, h = paper.stamp_size(canvas, "stay on the bench")
    reach = (w**2 + h**2) ** 0.5 / 2 + 4.0
    assert all((x - 300.0) ** 2 + (y - 200.0) ** 2 < reach**2 for x, y in canvas.points)
    assert canvas.pictures == ["stamp: stay on the bench"]


def test_lines_stay_on_the_sheet():
    class Fills(TextCanvas):
        def fill(self, rect, colour, radius=0.0):
            rules.append(rect)

    rules: list[Rect] = []
    sheet = Rect(0.0, 0.0, 200.0, 105.0)
    paper.lines(Fills(), sheet, 20.0)
    assert [rule.y for rule in rules] == [20.0, 40.0, 60.0, 80.0, 100.0]


def test_writing_begins_right_of_the_margin():
    canvas = TextCanvas()
    assert paper.margin(canvas, Rect(100.0, 0.0, 300.0, 400.0)) > 100.0 + paper.MARGIN_UNITS


def test_tape_is_as_long_as_its_words():
    canvas = TextCanvas()
    short = paper.label(canvas, (100.0, 50.0), "ab")
    long = paper.label(canvas, (100.0, 50.0), "a longer label")
    assert long.w > short.w > canvas.measure("ab", theme.BODY_BOLD)[0]
