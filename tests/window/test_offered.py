"""The propeller chosen on the slip is the one seen in the hand."""

from dataclasses import replace

import pytest

from sim.session.scenario import load
from sim.session.session import Session
from sim.window.screens.propellers import PropellersSlip


@pytest.fixture(scope="module")
def view():
    seen = Session(load("quiet-morning"), 3).view()
    return replace(seen, conduct=replace(seen.conduct, hold="standing"))


def held(view, **chosen):
    slip = PropellersSlip()
    for name, value in chosen.items():
        setattr(slip, name, value)
    return slip.in_hand(view)


def test_the_one_that_lies_ready_is_over_its_corner(view):
    found = held(view, place="rear_right")
    assert (found.corner, found.lay_at) == (2, 2)
    assert found.seen == view.propellers["rear_right"]


def test_another_corners_over_this_one_face_down(view):
    found = held(view, place="front_left", piece="front_right", face="marks-down")
    assert (found.corner, found.lay_at) == (0, 1)
    assert found.seen.clockwise == view.propellers["front_right"].clockwise
    assert found.seen.clockwise != view.propellers["front_left"].clockwise
    assert not found.seen.marks_up


@pytest.mark.parametrize(("piece", "clockwise", "span"), [
    ("spare-right-hand", True, 1.0),
    ("spare-left-hand", False, 1.0),
    ("smaller-right-hand", True, 0.9),
    ("smaller-left-hand", False, 0.9),
])  # fmt: skip
def test_spares_come_from_the_shelf(view, piece, clockwise, span):
    found = held(view, piece=piece)
    assert found.lay_at is None
    assert (found.seen.clockwise, found.seen.span) == (clockwise, span)


def test_nothing_is_held_where_one_is_on_or_both_hands_are_full(view):
    on = replace(view, conduct=replace(view.conduct, props_fitted=True, bare=("rear_left",)))
    assert held(on, place="front_left") is None
    assert held(on, place="rear_left", piece="front_left") is None
    assert held(on, place="rear_left").corner == 3
    in_hands = replace(view, conduct=replace(view.conduct, hold="hands"))
    assert held(in_hands) is None
