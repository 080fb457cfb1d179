from itertools import combinations

import numpy as np
import pytest

from sim.bench.checklist import CHECKS
from sim.bench.reading import Reading, Series
from sim.window.canvas import Rect, TextCanvas
from sim.window.names import COLUMNS
from sim.window.pictures.reading import Drawn, draw_reading
from sim.window.values import noted, reading_told
from tests.window.pictures.conftest import Remembering

SIZES = ((700.0, 300.0, 1.0), (480.0, 400.0, 1.0), (700.0, 300.0, 1.5), (700.0, 300.0, 2.0))
JUDGING = ("fault", "wrong", "bad", "ok", "pass", "fail", "toleran", "should be", "good:")


def every_page(canvas: TextCanvas | Remembering, rect: Rect, reading: Reading) -> list[Drawn]:
    first = draw_reading(canvas, rect, "a check", reading)
    return [first] + [
        draw_reading(canvas, rect, "a check", reading, page=k) for k in range(1, first.pages)
    ]


def overlap(one: Rect, other: Rect) -> bool:
    return (
        min(one.right, other.right) - max(one.x, other.x) > 1.0
        and min(one.bottom, other.bottom) - max(one.y, other.y) > 1.0
    )


def core(rect: Rect) -> Rect:
    """The part of a line of text that has ink in it."""
    return Rect(rect.x, rect.y + 0.22 * rect.h, rect.w, 0.56 * rect.h)


def test_every_check_is_drawn(readings):
    assert set(readings) == set(CHECKS)


@pytest.mark.parametrize(("width", "height", "text_scale"), SIZES)
def test_every_value_can_be_picked_once(readings, width, height, text_scale):
    rect = Rect(20.0, 30.0, width, height)
    for reading in readings.values():
        canvas = TextCanvas(text_scale=text_scale)
        keys = [k for page in every_page(canvas, rect, reading) for k, _ in page.values]
        assert sorted(keys) == sorted(reading.values), reading.check


def test_every_value_is_written(readings):
    for reading in readings.values():
        canvas = TextCanvas()
        every_page(canvas, Rect(0.0, 0.0, 700.0, 300.0), reading)
        written = canvas.lines()
        for key, value in reading.values.items():
            assert reading_told(key, value).value in written, (reading.check, key)
        for note in reading.notes:
            assert noted(note)[:30] in " ".join(written), note


@pytest.mark.parametrize(("width", "height", "text_scale"), SIZES)
def test_nothing_lies_on_anything_else(readings, width, height, text_scale):
    rect = Rect(20.0, 30.0, width, height)
    for reading in readings.values():
        first = draw_reading(Remembering(text_scale), rect, "a check", reading)
        for page in range(first.pages):
            canvas = Remembering(text_scale)
            drawn = draw_reading(canvas, rect, "a check", reading, page=page)
            for key, place in drawn.values:
                assert rect.x <= place.x, key
                assert place.right <= rect.right, key
                assert rect.y <= place.y, key
                assert place.bottom <= rect.bottom + 1.0, (reading.check, key)
            for (one, a), (other, b) in combinations(drawn.values, 2):
                assert not overlap(a, b), (reading.check, one, other)
            for words, place in canvas.placed:
                ink = core(place)
                assert rect.x <= ink.x, (reading.check, words)
                assert ink.right <= rect.right, (reading.check, words)
                assert ink.bottom <= rect.bottom, (reading.check, words)
            for (one, a), (other, b) in combinations(canvas.placed, 2):
                assert not overlap(core(a), core(b)), (reading.check, one, other)


def test_settings_differ_in_nothing_but_their_numbers(readings):
    sheet = readings["settings-sheet"]
    changed = dict(sheet.values) | {"roll.p now": 0.18, "heading_hold now": 0.0}
    other = Reading("settings-sheet", changed)
    rect = Rect(0.0, 0.0, 700.0, 300.0)
    lines = []
    for reading in (sheet, other):
        canvas = TextCanvas()
        every_page(canvas, rect, reading)
        lines.append([(w.style, w.words) for w in canvas.written])
    differing = [(a, b) for a, b in zip(*lines, strict=True) if a != b]
    assert [a[1] for a, _ in differing] == ["0.06", "yes"]
    assert all(a[0] == b[0] for a, b in differing if a[1] != "yes")
    assert all(column in canvas.lines() for column in COLUMNS.values())


def test_no_verdict_is_written(readings):
    for reading in readings.values():
        canvas = TextCanvas()
        every_page(canvas, Rect(0.0, 0.0, 700.0, 300.0), reading)
        said = " ".join(w.words for w in canvas.written if w.words not in reading.notes).lower()
        for note in reading.notes:
            said = said.replace(noted(note).lower(), "")
        words = said.replace(",", " ").split()
        assert not {w for w in JUDGING if w in words}, reading.check


def test_marked_value_is_framed(readings):
    class Framing(TextCanvas):
        def frame(self, rect, colour, width=1.0, radius=0.0):
            frames.append(rect)

    frames: list[Rect] = []
    reading = readings["failsafe"]
    rect = Rect(0.0, 0.0, 700.0, 300.0)
    drawn = draw_reading(Framing(), rect, "t", reading, marked="stop_s")
    assert dict(drawn.values)["stop_s"] in frames
    frames.clear()
    draw_reading(Framing(), rect, "t", reading)
    assert not frames


def test_units_change_what_is_written(readings):
    canvas = TextCanvas()
    draw_reading(canvas, Rect(0, 0, 700, 300), "t", readings["people-and-room"], "imperial")
    assert "ft" in canvas.lines()
    assert "m" not in canvas.lines()


def test_a_page_past_the_last_is_the_last(readings):
    reading = readings["settings-sheet"]
    rect = Rect(0.0, 0.0, 700.0, 300.0)
    last = draw_reading(TextCanvas(), rect, "t", reading).pages - 1
    assert (
        draw_reading(TextCanvas(), rect, "t", reading, page=99).values
        == draw_reading(TextCanvas(), rect, "t", reading, page=last).values
    )


def test_output_that_turns_another_corner_shows_that_corner(readings):
    values = dict(readings["one-motor"].values) | {"front_left_turns_corner": 3.0}
    canvas = TextCanvas()
    draw_reading(canvas, Rect(0.0, 0.0, 700.0, 300.0), "t", Reading("one-motor", values))
    row = canvas.lines()
    assert row[row.index("corner that turns") + 1] == "rear right"


@pytest.mark.parametrize("values", [(0.0, 0.0), (1e-9, -1e-9), (3.0, 3.0), (-5e4, 5e4)])
def test_traces_of_any_size_can_be_drawn(values):
    x = tuple(np.linspace(0.0, 5.0, 50).tolist())
    y = tuple(np.linspace(values[0], values[1], 50).tolist())
    reading = Reading("rails", {}, series={"any": Series("time_s", "speed_rpm", x, y)})
    canvas = TextCanvas()
    assert draw_reading(canvas, Rect(0.0, 0.0, 700.0, 300.0), "t", reading).pages == 1
    assert "time, s" in canvas.lines()


def test_unknown_keys_are_still_drawn():
    reading = Reading("rails", {"something_new": 1.25, "spin_rad_s": 2.0})
    canvas = TextCanvas()
    drawn = draw_reading(canvas, Rect(0.0, 0.0, 700.0, 300.0), "t", reading)
    assert [key for key, _ in drawn.values] == ["something_new", "spin_rad_s"]
    assert "1.25" in canvas.lines()
