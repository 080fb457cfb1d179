"""What one sees of propellers: hand, face, span, on a corner or lying ready for it."""

import pytest

from sim.aircraft.fields import PLACES
from sim.bench.fitting import Spare
from sim.session import actions as act
from sim.session.scenario import load
from sim.session.session import Session


@pytest.fixture
def session():
    return Session(load("quiet-morning"), 3)


def test_as_designed_each_is_for_its_motor(session):
    view = session.view()
    for place in PLACES:
        seen = view.propellers[place]
        assert seen.clockwise == (place in view.airframe.clockwise)
        assert (seen.marks_up, seen.span) == (True, 1.0)


def test_a_piece_of_another_corner_is_seen_for_what_it_is(session):
    hand = session.view().propellers["front_right"].clockwise
    session.do(act.FitProp(place="front_left", piece="front_right", face="marks-down"))
    view = session.view()
    assert view.propellers["front_left"].clockwise == hand
    assert not view.propellers["front_left"].marks_up
    assert view.propellers["front_right"].clockwise != hand  # that of the front left lies there now
    assert set(view.conduct.bare) == set(PLACES) - {"front_left"}


@pytest.mark.parametrize(
    ("piece", "clockwise"), [("smaller-right-hand", True), ("smaller-left-hand", False)]
)
def test_a_smaller_spare_is_seen_to_be_smaller(session, piece: Spare, clockwise):
    session.do(act.FitProp(place="rear_left", piece=piece))
    seen = session.view().propellers["rear_left"]
    assert seen.span == pytest.approx(0.9)
    assert seen.clockwise == clockwise
