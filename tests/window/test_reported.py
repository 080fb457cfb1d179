"""From a report in a file to a drill of it, by keys alone and with nothing made up."""

import time

import pytest

from sim.diagnosis.reported import Brought
from sim.session.scenario import load
from sim.window import reported
from sim.window.app import App
from sim.window.screens.home import Home
from sim.window.screens.reported.answer import AnswerSheet
from sim.window.screens.reported.columns import ColumnsSheet
from tests.window.screens.person import KeyPerson
from tools.samples.reported import answer, log

PATIENCE_S = 300.0  # s; own: a first compilation on a busy machine
REPORT = """
story: It left the ground and went over to the right. I think a motor was turning in the wrong direction.
when: leaving
moved: [flipped, rolled-right]
pilot: cut
changed: [motor]
"""


@pytest.fixture
def app(tmp_path):
    made = App(tmp_path / "window.json")
    made.settings = made.settings.model_copy(update={"shown_round": True})
    return made


@pytest.fixture
def begun():
    return []


@pytest.fixture
def person(app, tmp_path, monkeypatch, begun):
    folder = tmp_path / "flights"
    folder.mkdir()
    (folder / "over.yaml").write_text(REPORT)
    monkeypatch.chdir(folder)
    monkeypatch.setattr(reported, "own_drills", lambda: tmp_path / "drills")
    practise = lambda app, path: begun.append(path)  # noqa: E731
    app.go(Home(print, print, reported=lambda back: reported.brought(app, back, practise)))
    return KeyPerson(app, height=4000)


def wait(person, until):
    end = time.monotonic() + PATIENCE_S
    while not until() and time.monotonic() < end:
        time.sleep(0.02)
        person.frame()
    assert until()


def test_a_report_is_answered_and_its_drill_begun(person, app, begun, tmp_path):
    person.strike("v")
    person.frame()
    assert "over.yaml" in person.said
    person.strike("return")
    wait(person, lambda: isinstance(app.screen, AnswerSheet))
    person.frame()
    assert "Likeliest: " in person.said
    assert "The next check on the bench" in person.said
    sheet = app.screen
    names = [one.faults for one in sheet.ranking]
    person.strike(*["down"] * names.index(("motor-spin-reversed",)))
    person.strike("p")
    wait(person, lambda: begun)
    assert begun == [tmp_path / "drills" / "reported-1.yaml"]
    drill = load(str(begun[0]))
    assert [fault.id for fault in drill.faults] == ["motor-spin-reversed"]
    assert drill.story == "It left the ground and went over to the right."
    assert drill.seed is not None


def test_the_form_leads_to_the_answer_as_well(person, app):
    person.strike("v")
    person.frame()
    person.strike("q")
    person.frame()
    person.types("Over")
    person.press("work-out")
    wait(person, lambda: isinstance(app.screen, AnswerSheet))


def test_a_file_that_is_no_report_is_told_and_leads_nowhere(person, app, tmp_path):
    (tmp_path / "flights" / "over.yaml").write_text("moved: [sideways]\n")
    person.strike("v")
    person.frame()
    person.strike("return")
    person.frame()
    assert "moved.0" in person.said
    assert "over.yaml" in person.said


@pytest.fixture
def logged(tmp_path, person):
    table = log()
    rows = [",".join(table.names), *(",".join(f"{x:.6g}" for x in row) for row in table.values)]
    for name in ("friday.csv", "sunday.csv"):
        (tmp_path / "flights" / name).write_text("\n".join(rows) + "\n")
    return tmp_path / "flights"


def opened_columns(person, app, name):
    person.strike("v")
    person.frame()
    names = [path.name for path in app.screen.files]
    person.strike("home", *["down"] * names.index(name), "return")
    person.frame()
    assert isinstance(app.screen, ColumnsSheet)
    return app.screen


def test_what_was_said_of_columns_is_there_when_its_file_is_opened_again(person, app, logged):
    sheet = opened_columns(person, app, "friday.csv")
    open_ = len(sheet.sheet.questions)
    person.strike("c", "right")
    person.frame()
    person.strike("escape")
    person.frame()
    person.strike("return")
    person.frame()
    assert len(app.screen.sheet.questions) == open_ - 1


def test_a_kept_map_serves_the_next_recording_and_is_no_report(person, app, logged):
    sheet = opened_columns(person, app, "friday.csv")
    sheet.sheet.take_attitude("aboard")
    person.strike("y")
    person.frame()
    assert (logged / "friday-map.yaml").exists()
    person.strike("escape", "escape")
    person.frame()
    other = opened_columns(person, app, "sunday.csv")
    assert "friday-map.yaml" not in [path.name for path in other.back.files]
    assert other.sheet.guesses.attitude == "aboard"
    assert "Columns as kept in friday-map.yaml." in person.said


def test_what_went_wrong_before_is_not_said_of_the_next_file(person, app, logged):
    person.strike("v")
    person.frame()
    app.notice = "No row of it is in the air."
    names = [path.name for path in app.screen.files]
    person.strike("home", *["down"] * names.index("friday.csv"), "return")
    person.frame()
    assert isinstance(app.screen, ColumnsSheet)
    assert "in the air" not in person.said


def test_an_answer_is_there_again_for_the_same_columns_and_sought_anew_for_others(
    person, app, logged, monkeypatch
):
    asked: list[Brought] = []

    def found(brought, tell):
        asked.append(brought)
        return answer()

    monkeypatch.setattr(reported, "answered", found)
    sheet = opened_columns(person, app, "friday.csv")
    for where in ("aboard", "outside", "aboard"):
        sheet.sheet.take_attitude(where)
        sheet.go_on(sheet.sheet.settled)
        wait(person, lambda: isinstance(app.screen, AnswerSheet))
        person.frame()
        person.strike("escape")
        person.frame()
        assert app.screen is sheet
    assert [one.recording and one.recording.attitude for one in asked] == ["aboard", "outside"]
