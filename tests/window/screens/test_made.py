"""A drill made by keys alone: ticked, refused while it gives itself away, rehearsed, kept, begun."""

import threading
import time

import pytest

from sim.errors import InputError
from sim.maker.rating import Rated
from sim.session.scenario import load
from sim.sharing.shared import SharedDrill, opened
from sim.window import made
from sim.window.screens.home import Home
from sim.window.screens.made import sheet as sheets
from sim.window.screens.made.drills import DrillsSheet, listed
from sim.window.screens.made.sheet import MadeSheet, free
from sim.window.screens.reported.working import Working
from tests.window.screens.person import KeyPerson
from tools.samples.made import rating

TALL = 3000  # px; own: so tall that nothing scrolls
PATIENCE_S = 60.0  # s; own: a busy machine


@pytest.fixture
def places(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    folder = tmp_path / "drills"
    for module in (made, sheets):
        monkeypatch.setattr(module, "own_drills", lambda: folder)
    return folder


@pytest.fixture
def begun():
    return []


@pytest.fixture
def person(app, places, begun):
    def practise(app, path):
        begun.append(path)

    def open_shared(app, path):
        begun.append(opened(path))

    def at_once(app, airframe, then):
        then(app)

    go = lambda back: made.own(app, back, practise, open_shared, at_once)  # noqa: E731
    app.go(Home(print, print, made=go))
    sits = KeyPerson(app, height=TALL)
    sits.strike("a")
    sits.frame()
    assert isinstance(app.screen, DrillsSheet)
    return sits


@pytest.fixture
def sheet(person, app):
    person.strike("h")
    person.frame()
    person.frame()
    assert isinstance(app.screen, MadeSheet)
    return app.screen


@pytest.fixture
def found(monkeypatch):
    """Rehearsals that are over at once."""
    there = [rating()]
    monkeypatch.setattr(made, "rated", lambda drill, minutes, tell: there[0])
    return there


def ticked(person, app, *ids):
    for id_ in ids:
        person.press(id_)
        person.frame()


def mark(person, app, row):
    """Go to a row of a list: into the list by Tab, up to its head, then down."""
    while not (app.ui.focus or "").startswith(row.partition(":")[0]):
        person.strike("tab")
    person.strike("home")
    while app.ui.focus != row:
        person.strike("down")


def waited(person, app, kind):
    until = time.monotonic() + PATIENCE_S
    while not isinstance(app.screen, kind) and time.monotonic() < until:
        time.sleep(0.01)
        person.frame()
    assert isinstance(app.screen, kind)
    person.frame()
    person.frame()


def test_a_drill_from_a_blank_sheet_to_the_bench(person, app, sheet, places, begun, found):
    assert sheet.form.text("title") == "Own drill 1"
    person.to("made-story")
    person.types("The pack is new.")
    person.strike("return")
    person.frame()
    person.to("family")
    while app.ui.node("family").value != "pack and power":
        person.strike("right")
        person.frame()
    ticked(person, app, "faults.pack-high-resistance")
    assert "gives away what is hidden: say it without “pack”" in " ".join(person.said.split("\n"))
    person.strike("c")
    assert isinstance(app.screen, MadeSheet)  # not while it gives itself away
    person.to("made-story")
    for _ in "pack is new.":
        person.strike("backspace")
    person.types("sky was clear.")
    person.strike("return")
    person.frame()
    person.to("severity")
    person.strike("right")
    person.frame()
    person.to("rung")
    person.strike("right", "right")
    person.frame()
    ticked(person, app, "needs.radio")
    person.press("work-out")
    waited(person, app, MadeSheet)
    assert "3 of 3 came to a good end" in person.said
    person.press("keep-file")
    person.frame()
    [path] = places.iterdir()
    assert path.name == "own-drill-1.yaml"
    drill = load(str(path))
    assert (drill.title, drill.story) == ("Own drill 1", "The sky was clear.")
    assert [(f.id, f.severity) for f in drill.faults] == [("pack-high-resistance", 0.7)]
    assert (drill.rung, drill.needs, drill.careful_min) == (2, ("radio",), rating().careful_min)
    assert f"Kept: {path}" in person.said
    person.strike("p")
    assert begun == [path]
    assert [p.name for p in places.iterdir()] == ["own-drill-1.yaml"]


def test_practise_this_keeps_it_first(person, app, sheet, places, begun, found):
    ticked(person, app, "faults.pitch-channel-reversed")
    person.strike("c")
    waited(person, app, MadeSheet)
    person.strike("p")
    assert begun == list(places.iterdir())


def test_a_change_wants_another_rehearsal(person, app, sheet, places, found):
    person.press("work-out")
    waited(person, app, MadeSheet)
    assert sheet.rated is not None
    ticked(person, app, "faults.pitch-channel-reversed")
    assert sheet.rated is None
    person.strike("y", "p")
    assert not places.exists()


def test_what_nobody_comes_well_out_of_is_not_kept(person, app, sheet, places, begun, found):
    bad = tuple(one._replace(cleared=False) for one in rating().tries)
    found[0] = Rated(bad, 75.0, rating().hard)
    person.press("work-out")
    waited(person, app, MadeSheet)
    assert "Nobody came to a good end" in person.said
    person.strike("y", "p")
    assert (begun, places.exists()) == ([], False)


def test_drawn_by_chance_and_by_another_way_again(person, app, sheet):
    person.to("hidden")
    person.strike("right")
    person.frame()
    ticked(person, app, "families.power", "families.site")
    person.to("count")
    person.strike("right")
    person.frame()
    drill = sheet.form.drill
    assert drill.draw is not None
    assert (drill.draw.families, drill.draw.count, drill.rung) == (("power", "site"), 2, 5)
    person.to("hidden")
    person.strike("right")
    person.frame()
    assert sheet.form.drill.draw is None
    assert "to leave a sound aircraft alone" in " ".join(person.said.split("\n"))


def test_the_window_draws_while_it_is_rehearsed_and_can_stop_it(person, app, sheet, monkeypatch):
    go_on, began = threading.Event(), threading.Event()

    def slow(drill, minutes, tell):
        tell("Rehearsed by careful, seed 1", 0.25)
        began.set()
        go_on.wait(PATIENCE_S)
        tell("Rehearsed by careful, seed 2", 0.5)
        raise AssertionError("it was to be stopped")

    monkeypatch.setattr(made, "rated", slow)
    person.press("work-out")
    assert began.wait(PATIENCE_S)
    person.frame()
    assert isinstance(app.screen, Working)
    assert "Rehearsed by careful, seed 1" in person.said
    assert "25 %" in person.said
    person.strike("escape")
    person.frame()
    go_on.set()
    assert isinstance(app.screen, MadeSheet)
    assert app.screen.rated is None


def test_what_goes_wrong_in_a_rehearsal_is_told(person, app, sheet, monkeypatch):
    def bad(*_):
        raise InputError(())

    monkeypatch.setattr(made, "rated", bad)
    person.press("work-out")
    waited(person, app, MadeSheet)


def test_a_disk_that_takes_nothing_is_told(person, app, sheet, places, begun, found):
    places.write_text("in the way")
    person.press("work-out")
    waited(person, app, MadeSheet)
    person.strike("p")
    person.frame()
    assert "It could not be kept" in person.said
    assert begun == []


def test_ones_own_drills_are_listed_begun_and_given_away(person, app, places, begun, tmp_path):
    places.mkdir()
    (places / "mine.yaml").write_text("title: Mine\npurpose: P\norigin: invented\n")
    (places / "bad.yaml").write_text("title: 3\n")
    assert {(one.path.name, one.drill is None) for one in listed(places)} == {
        ("mine.yaml", False),
        ("bad.yaml", True),
    }
    person.strike("escape")
    person.frame()
    person.strike("a")
    person.frame()
    titles = [node.name for node in app.ui.tree if node.id.startswith("mine:")]
    assert set(titles) == {"Mine", "bad.yaml"}
    mark(person, app, f"mine:{titles.index('Mine')}")
    person.strike("y")
    person.frame()
    one = opened(tmp_path / "mine.dryhop")
    assert isinstance(one, SharedDrill)
    assert one.drill.title == "Mine"
    mark(person, app, f"mine:{titles.index('Mine')}")
    person.strike("return")
    assert begun == [places / "mine.yaml"]
    person.to("shared-file")
    person.types("mine.dryhop")
    person.strike("return")
    assert begun[1:] == [one]
    person.to("shared-file")
    person.types("no.dryhop")
    person.strike("return")
    person.frame()
    assert "no such file" in person.said


def test_a_place_that_is_free(tmp_path):
    assert free(tmp_path, "a.yaml").name == "a.yaml"
    (tmp_path / "a.yaml").touch()
    assert free(tmp_path, "a.yaml").name == "a-1.yaml"
    (tmp_path / "a-1.yaml").touch()
    assert free(tmp_path, "a.yaml").name == "a-2.yaml"
