"""Where keys lead in a long list."""

import pytest

from sim.window.inputs import Inputs, Stroke
from sim.window.longlist import moved

NAMES = ["arm", "board", "Battery", "cable", "bell"]


def led(key, at=2, names=NAMES, ctrl=False):
    inputs = Inputs([Stroke(key, key if len(key) == 1 else "", ctrl=ctrl)])
    return moved(inputs, at, len(NAMES), 2, names), len(inputs.strokes)


@pytest.mark.parametrize(
    ("key", "at", "to"),
    [
        ("pagedown", 0, 2),
        ("pagedown", 3, 4),
        ("pageup", 4, 2),
        ("pageup", 1, 0),
        ("home", 3, 0),
        ("end", 1, 4),
        ("b", 0, 1),
        ("b", 1, 2),  # capitals or not
        ("b", 2, 4),
        ("b", 4, 1),  # from the top again
        ("c", 3, 3),
    ],
)
def test_a_key_leads_there_and_is_used_up(key, at, to):
    assert led(key, at) == (to, 0)


@pytest.mark.parametrize("key", ["z", "space", "f1", "?"])
def test_any_other_key_is_left(key):
    assert led(key) == (None, 1)


def test_letters_that_stand_on_caps_are_left():
    inputs = Inputs([Stroke("b", "b")])
    assert moved(inputs, 0, len(NAMES), 2, NAMES, {"b"}) is None
    assert moved(inputs, 0, len(NAMES), 2, NAMES, {"c"}) == 1


def test_letters_are_left_where_no_names_are_given_and_with_control():
    assert led("b", names=()) == (None, 1)
    assert led("b", ctrl=True) == (None, 1)
