"""The walk round: tried by keys, left at any time, never forced twice."""

import pytest

from sim.window.app import App
from sim.window.screens.tries import CheckTry, HandTry, SquawkTry, SticksTry, StopTry
from sim.window.screens.walk import PAGES, Walk
from tests.window.screens.person import KeyPerson


class Back:
    def show(self, ui, app, area, dt_s):
        pass


@pytest.fixture
def back():
    return Back()


def at(app, back, kind):
    page = next(i for i, (_, _, made) in enumerate(PAGES) if made is kind)
    app.go(Walk(back, page))
    return KeyPerson(app)


def test_all_sheets_are_turned_by_one_key_and_end_where_it_came_from(app, back):
    app.go(Walk(back))
    person = KeyPerson(app)
    for title, _, _ in PAGES:
        assert title in person.said
        assert app.screen is not back
        person.strike("]")
        person.frame()
    assert app.screen is back


def test_a_sheet_can_be_turned_back_and_the_walk_be_left(app, back):
    walk = Walk(back)
    app.go(walk)
    person = KeyPerson(app)
    person.strike("]", "]", "[")
    assert walk.page == 1
    person.strike("escape")
    assert app.screen is back


def test_having_been_shown_is_kept_from_the_first_frame(tmp_path, back):
    app = App(tmp_path / "window.json")
    assert not app.settings.shown_round
    app.go(Walk(back))
    KeyPerson(app)
    assert App(tmp_path / "window.json").settings.shown_round


def test_pressing_things(app, back):
    app.go(Walk(back, 1))
    person = KeyPerson(app)
    person.strike("return")
    person.strike("down", "return")
    assert "The box of propellers. That makes 2." in person.said
    person.press("try-it")
    assert "That makes 3." in person.said


def test_the_aircraft_is_leaned_by_arrows(app, back):
    person = at(app, back, HandTry)
    person.strike("right", "right", "down")
    person.frame()
    assert "roll +30°" in person.said
    assert "pitch +15°" in person.said
    person.strike(*["left"] * 20)
    person.strike("home")
    person.frame()
    assert "roll 0°" in person.said


def test_a_check_and_what_was_seen(app, back):
    person = at(app, back, CheckTry)
    assert "3.71 V" not in person.said
    person.strike("return")
    person.frame()
    assert "3.71 V" in person.said
    person.to("try-note")
    person.types("cell 3 is low")
    person.strike("return")
    assert app.screen.tried.noted == "cell 3 is low"


def test_a_squawk_is_written(app, back):
    person = at(app, back, SquawkTry)
    person.strike("right")
    person.to("try-item")
    person.strike("right")
    person.to("try-sure")
    person.strike("right")
    person.press("try-it")
    person.frame()
    squawk = "a propeller: one cell is weak (quite sure), on your goggles on, read as no"
    assert app.screen.tried.sheet == [squawk]
    assert squawk[:30] in person.said


def test_held_keys_move_the_sticks_and_arrows_do_not_leave(app, back):
    person = at(app, back, SticksTry)
    for _ in range(50):
        person.frame(held={"w", "right", "shift"})
    tried = app.screen.tried
    assert tried.positions.throttle > 0.3
    assert tried.positions.roll > 0.9
    person.strike("up", "down")
    assert app.ui.focus == "try-sticks"
    page = app.screen.page
    app.change(keys={"page-after": "w"})
    person.strike("w")
    assert app.screen.page == page
    for _ in range(50):
        person.frame()
    assert tried.positions.roll == pytest.approx(0.0, abs=0.01)
    person.frame(held={"space"})
    assert tried.positions.throttle == 0.0


def test_cut_stops_the_motor(app, back):
    person = at(app, back, StopTry)
    assert "turning" in person.said
    person.strike("x")
    person.frame()
    assert "stopped, once now" in person.said
    person.strike("d")
    person.frame()
    assert "turning" in person.said
    person.strike("x", "x")
    person.frame()
    assert "stopped, 2 times now" in person.said


def test_the_last_sheet_tells_what_counts_and_both_verdicts(app, back):
    app.go(Walk(back, len(PAGES) - 1))
    person = KeyPerson(app)
    for words in ("noticed", "named", "cleared", "proved", "takeoff"):
        assert words in person.said
    assert {"stamp: cleared to hop", "stamp: stay on the bench"} <= set(person.canvas.pictures)
