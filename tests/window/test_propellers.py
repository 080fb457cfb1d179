"""Propellers fitted corner by corner, by keys alone."""

import pytest

from sim.aircraft.fields import PLACES
from sim.bench.fitting import SPARES
from sim.session import actions as act
from sim.window.screens.propellers import PropellersSlip, piece_choices
from tests.window.test_drill import TextWindow


@pytest.fixture
def window(tmp_path):
    made = TextWindow(tmp_path, "fresh-board", 1)
    yield made
    made.app.leave()


def faults(window):
    return {f for f in window.practice.session.record().present_now if f.startswith("prop-")}


def test_each_choice_reaches_the_aircraft(window):
    hands = window.hands()
    hands.do(
        act.FitProp(
            place="rear_right",
            piece="spare-right-hand",
            face="marks-down",
            tightness="finger-tight",
        )
    )
    assert faults(window) == {"prop-wrong-hand", "prop-upside-down", "prop-hub-slip"}
    assert set(window.practice.view.conduct.bare) == set(PLACES) - {"rear_right"}
    hands.do(act.RemoveProp(place="rear_right"))
    assert not window.practice.view.conduct.props_fitted


def test_all_four_by_corner_close_the_way_to_more(window):
    hands = window.hands()
    for place in PLACES:
        hands.do(act.FitProp(place=place, piece=place))
    assert window.practice.view.conduct.bare == ()
    assert not faults(window)
    assert isinstance(window.app.screen.slip, PropellersSlip)
    window.strike("escape")
    window.frame()
    hands.do(act.RemoveProps())  # the same key takes all four off
    assert not window.practice.view.conduct.props_fitted


def test_all_at_once_is_there_only_where_it_is_shown(window):
    def offered():
        window.frame()
        return any(node.id == "fit-all" for node in window.app.ui.tree)

    hands = window.hands()
    hands.settle()
    window.strike("o")
    assert offered()
    practice = window.practice
    practice.scenario = practice.scenario.model_copy(update={"help": "none"})
    assert not offered()


def test_every_piece_can_be_chosen_at_every_corner_and_its_own_comes_first():
    for place in PLACES:
        pieces = piece_choices(place)
        assert next(iter(pieces.values())) == place
        assert set(pieces.values()) == {*PLACES, *SPARES}
