"""The first screen by keys alone; the list of drills gives nothing away."""

import json
from pathlib import Path

import pytest

from sim.faults.catalogue import CATALOGUE
from sim.logbook.ahead import Next, shipped
from sim.logbook.way import Way, steps
from sim.session.scenario import load, names
from sim.window.canvas import TextCanvas
from sim.window.inputs import Stroke
from sim.window.screens.home import (
    BEGIN_HERE,
    Home,
    chance_seed,
    drills,
    ladder,
    seed_of,
    standing,
)
from sim.window.screens.keys import Keys
from sim.window.screens.settings import SettingsSheet
from sim.window.screens.walk import Walk
from tests.window.screens.person import KeyPerson
from tools.labels import shown
from tools.samples.sheets import left_then


@pytest.fixture
def begun():
    return []


@pytest.fixture
def home(begun):
    return Home(
        lambda name, seed: begun.append(("practise", name, seed)),
        lambda name, seed: begun.append(("watch", name, seed)),
        seed=77,
    )


@pytest.fixture
def person(app, home):
    app.go(home)
    return KeyPerson(app)


def test_enter_on_a_drill_begins_it(person, begun):
    person.strike("down", "down", "return")
    assert begun == [("practise", drills()[2].name, 77)]


def test_the_drill_to_begin_with_comes_first_and_all_are_there(person):
    assert drills()[0].name == BEGIN_HERE
    assert sorted(d.name for d in drills()) == names()


def test_the_last_drill_is_reached_by_arrows(person, begun):
    person.strike(*["down"] * (len(drills()) - 1))
    assert drills()[-1].title in person.said
    person.press("practise")
    assert begun == [("practise", drills()[-1].name, 77)]


def test_the_stand_in_can_be_watched(person, begun):
    person.strike("down")
    person.press("watch")
    assert begun == [("watch", drills()[1].name, 77)]


@pytest.mark.parametrize("leaves", ["return", "tab"])
def test_the_name_is_kept(person, app, leaves):
    person.to("trainee")
    person.types("Ada of the ?1club")
    person.strike(leaves, "tab")
    assert app.settings.trainee == "Ada of the ?1club"
    assert json.loads(app.path.read_text())["trainee"] == "Ada of the ?1club"


def test_a_name_too_long_is_cut_and_esc_leaves_it(person, app):
    person.to("trainee")
    person.types("x" * 90)
    person.strike("return")
    assert app.settings.trainee == "x" * 60
    person.types("more")
    person.strike("escape", "tab")
    assert app.settings.trainee == "x" * 60


def test_a_seed_can_be_written(person, begun, home):
    person.to("seed")
    person.strike("backspace", "backspace")
    person.types("1203")
    person.press("practise")
    assert begun == [("practise", BEGIN_HERE, 1203)]
    person.to("seed")
    person.types("x")
    person.strike("return")
    person.frame()
    assert home.seed == 1203
    assert "whole number" in person.said
    person.press("another-seed")
    person.frame()
    assert "whole number" not in person.said


def test_an_empty_seed_is_by_chance(person, home):
    person.to("seed")
    person.strike("backspace", "backspace", "return")
    assert 0 <= home.seed < 10_000


@pytest.mark.parametrize(
    ("text", "seed"),
    [("7", 7), (" 12 ", 12), ("-1", None), ("1.5", None), ("²", None), ("9" * 10, None)],
)
def test_what_a_seed_may_be(text, seed):
    assert seed_of(text) == seed


def test_chance_seeds_differ():
    assert len({chance_seed() for _ in range(50)}) > 25


@pytest.mark.parametrize(
    ("id_", "kind"), [("walk", Walk), ("settings", SettingsSheet), ("keys", Keys)]
)
def test_the_ways_on(person, app, home, id_, kind):
    person.press(id_)
    assert isinstance(app.screen, kind)
    person.frame()
    person.strike("escape")
    assert app.screen is home


def test_each_button_has_a_key(person, app, begun, home):
    person.strike("p", "w", "n")
    assert begun == [("practise", BEGIN_HERE, 77), ("watch", BEGIN_HERE, 77)]
    app.change(keys={"walk": "j"})
    person.strike("r")
    assert app.screen is home
    person.strike("j")
    assert isinstance(app.screen, Walk)


def test_a_name_is_written_with_the_letters_of_acts(person, app, begun):
    person.to("trainee")
    person.types("pwns")
    person.strike("return")
    assert (app.settings.trainee, begun) == ("pwns", [])


def test_quit_has_a_key_nobody_strikes_by_chance(person, app):
    person.strike("q")
    assert not app.quits
    person.frame([Stroke("q", ctrl=True)])
    assert app.quits


def test_quit(person, app):
    person.press("quit")
    assert app.quits


def test_the_keys_sheet_has_its_key_but_not_while_a_name_is_written(person, app, home):
    person.to("trainee")
    person.strike("?")
    assert app.screen is home
    person.strike("escape", "?")
    assert isinstance(app.screen, Keys)


def test_a_click_picks_and_does_not_begin(person, begun, home, app):
    row = app.ui.node("drill:3").rect
    person.frame(pointer=row.centre, pressed=True, down=True)
    person.frame(pointer=row.centre, released=True)
    assert (home.picked, begun) == (3, [])
    button = app.ui.node("practise").rect
    person.frame(pointer=button.centre, pressed=True, down=True)
    person.frame(pointer=button.centre, released=True)
    assert begun == [("practise", drills()[3].name, 77)]


def test_nothing_on_the_sheet_gives_a_fault_away(app, home):
    for i, drill in enumerate(drills()):
        home.picked, home._fresh = i, False
        canvas = shown(app, home, TextCanvas(1280, 20_000))
        told = "\n".join([*canvas.lines(), *(n.name + n.value for n in app.ui.tree)]).lower()
        scenario = load(drill.name)
        assert scenario.purpose.lower() not in told
        hidden = [f.id for f in scenario.faults]
        assert not [f for f in hidden if f in told or f.replace("-", " ") in told]
        items = {CATALOGUE[f].item for f in hidden if len(CATALOGUE[f].item.split()) > 1}
        assert not [item for item in items if item in told]


def test_practice_has_a_warning_about_the_real_thing(person):
    assert "does not replace your club's rules, local codes or licensed practice" in person.said
    assert "propellers cut" in person.said
    assert "lithium packs burn" in person.said


def test_drills_stand_rung_by_rung_and_what_was_cleared_comes_last_on_its_rung():
    first = drills()[0].name
    order = ladder({first: True, drills()[1].name: False})
    assert [drill.rung for drill in order] == sorted(drill.rung for drill in order)
    lowest = [drill.name for drill in order if drill.rung == 1]
    assert lowest[-1] == first
    assert lowest[0] == drills()[1].name


def way(done, name="twice-round", due=(), missing=None):
    (following,) = [drill for drill in shipped() if drill.name == name]
    return Way(
        2, steps(shipped(), done), done, due, Next(following, "Because it is so."), missing or {}
    )


def test_the_next_drill_is_in_hand_with_its_reason_and_rows_say_what_came_before(app):
    done = {drill.name: True for drill in drills() if drill.rung == 1} | {drills()[-1].name: False}
    theirs = way(done, due=("pack and power", "the place"))
    home = Home(lambda *_: None, lambda *_: None, 1, way_of=lambda who: theirs)
    app.go(home)
    person = KeyPerson(app)
    assert home.listed[home.picked].name == "twice-round"
    assert "Next for you. Because it is so." in person.said
    assert standing(home.listed[home.picked], theirs) == "next, 2 helped"
    assert "Due again: pack and power, the place." in person.said
    n = sum(drill.rung == 1 for drill in drills())
    assert f"1 shown {n} of {n}" in person.said
    assert "2 helped 0 of" in person.said
    assert "You stand on rung 2, helped." in person.said
    assert standing(home.listed[0], theirs) == "cleared, 1 shown"
    assert standing(drills()[-1], theirs).startswith(f"done, {drills()[-1].rung} ")


def test_a_drill_says_what_is_better_done_before_it(app):
    theirs = way({}, missing={"twice-round": ("First evening", "pack and power")})
    home = Home(lambda *_: None, lambda *_: None, 1, way_of=lambda who: theirs)
    app.go(home)
    assert "Better after: First evening, pack and power." in KeyPerson(app).said


def test_another_name_has_another_way(app):
    asked = []

    def of(who):
        asked.append(who)
        return way({}, "twice-round" if who == "Ada" else "twins")

    home = Home(lambda *_: None, lambda *_: None, 1, way_of=of)
    app.go(home)
    person = KeyPerson(app)
    assert home.listed[home.picked].name == "twins"
    person.to("trainee")
    person.types("Ada")
    person.strike("return")
    person.frame()
    assert asked == ["", "Ada"]
    assert home.listed[home.picked].name == "twice-round"


def test_a_click_on_an_attempt_left_marks_it_and_the_button_goes_on(app):
    gone: list[Path] = []
    left = left_then("first-evening", 7)
    home = Home(lambda *_: None, lambda *_: None, 1, [left], gone.append)
    app.go(home)
    person = KeyPerson(app)
    at = app.ui.node("left:0").rect.centre
    person.frame(pointer=at, pressed=True, down=True)
    person.frame(pointer=at, released=True)
    assert gone == []
    person.frame()
    assert app.ui.node("practise").name == "Go on"
    person.strike("p")
    assert gone == [left.folder]
