"""An open question: a click marks a row; Enter, the button or a printed digit does it."""

import pytest

from sim.window.canvas import Rect, TextCanvas
from sim.window.inputs import Inputs, Stroke
from sim.window.keys import KeyMap
from sim.window.screens.asked import MOST_DIGITS, asked, plain_rows
from sim.window.ui import Ui


class Question:
    def __init__(self, rows):
        self.ui, self.rows = Ui(KeyMap()), [(f"row {i}", "") for i in range(rows)]
        self.ui.focus = "q:0"
        self.frame()

    def frame(self, *keys, **more):
        self.canvas = TextCanvas()
        strokes = [Stroke(k, k if len(k) == 1 else "") for k in keys]
        self.ui.begin(self.canvas, Inputs(strokes, **more))
        rect = Rect(0, 0, 400, 600)
        draw = plain_rows(self.ui, self.rows)
        found = asked(self.ui, "q", rect, len(self.rows), draw, "Do it")
        self.ui.end()
        return found

    def click(self, node):
        at = self.ui.node(node).rect.centre
        assert self.frame(pointer=at, pressed=True, down=True) is None
        return self.frame(pointer=at, released=True)


def test_a_click_marks_and_the_button_does_the_row_marked():
    question = Question(4)
    assert question.click("q:2") is None
    assert question.ui.focus == "q:2"
    assert question.click("q-do") == 2
    assert question.ui.marked("q") == 2


def test_enter_does_the_row_the_keys_are_on():
    question = Question(4)
    question.frame("down")
    assert question.frame("return") == 1


def test_the_printed_digit_does_its_row():
    question = Question(4)
    assert "3" in question.canvas.lines()
    assert question.frame("3") == 2
    assert question.frame("5") is None


def test_a_question_with_too_many_rows_prints_no_digits():
    question = Question(MOST_DIGITS + 1)
    assert "3" not in question.canvas.lines()
    assert question.frame("3") is None


def test_a_digit_is_writing_while_something_is_typed():
    question = Question(2)
    question.ui.typing = True
    question.ui.inputs = Inputs([Stroke("1", "1")])
    draw = plain_rows(question.ui, question.rows)
    assert asked(question.ui, "q", Rect(0, 0, 400, 600), 2, draw, "Do it") is None


@pytest.mark.parametrize("rows", [1, 9, 40])
def test_the_button_stands_below_the_rows_and_on_the_sheet(rows):
    question = Question(rows)
    button = question.ui.node("q-do").rect
    seen = [n.rect for n in question.ui.tree if n.role == "row"]
    assert max(rect.bottom for rect in seen) <= button.y
    assert button.bottom <= 600
