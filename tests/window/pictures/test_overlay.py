"""Curves over each other: seconds below them, a closer look where there is one, what leaves the paper."""

import numpy as np
import pytest

from sim.reproduce.answer.curves import Curve
from sim.window.canvas import Rect, TextCanvas
from sim.window.pictures import overlay
from tools.samples.reported import curve

PLACE = Rect(0.0, 0.0, 560.0, 140.0)


def lines_of(drawn):
    canvas = TextCanvas(1280, 720)
    overlay.draw(canvas, PLACE, drawn, ())
    return canvas.lines()


def short(against):
    t = np.linspace(2.2, 2.4, 6)
    flat = 0.1 * t
    return Curve("roll rate", "rad/s", t, flat, flat, np.full(6, against), np.ones(6))


def test_each_paper_has_its_first_and_last_second():
    said = " ".join(lines_of(curve("roll rate", "rad/s", 3.0)))
    assert "0.0 s" in said
    assert "12.0 s" in said


def test_a_closer_look_stands_only_where_it_shows_less_than_the_whole():
    assert sum(line.count("2.2 s") for line in lines_of(short(0.22))) == 1
    assert sum(line.count(" s") for line in lines_of(curve("roll rate", "rad/s", 3.0))) == 4


@pytest.mark.parametrize(("against", "far"), [(0.22, False), (-5.0, True), (5.0, True)])
def test_a_line_far_off_the_paper_is_told_in_numbers(against, far):
    assert ("dotted: " in " ".join(lines_of(short(against)))) is far


def test_a_line_far_off_the_paper_is_not_drawn_along_its_edge():
    drawn = short(-5.0)
    span = overlay.span_of(drawn)
    assert overlay._points(PLACE, drawn.time_s, drawn.against, span) == []
    assert len(overlay._points(PLACE, drawn.time_s, drawn.recorded, span)) == 1
