"""A failure told by keys alone: the answers make a report, what explains it stands beside, the file is kept."""

import pytest

from sim.reproduce.words.report import load_report
from sim.window.screens import told
from sim.window.screens.reported.brought import BroughtSheet
from sim.window.screens.told import DONT_KNOW, Told
from tests.window.screens.person import KeyPerson

TALL = 6000  # px; own: so tall that nothing scrolls


@pytest.fixture
def person(app):
    tells = lambda back: app.go(Told(back))  # noqa: E731
    app.go(BroughtSheet(app.screen, app.path.parent / "none", print, tells))
    sits = KeyPerson(app, height=TALL)
    sits.strike("q")
    sits.frame()
    assert isinstance(app.screen, Told)
    return sits


def choose(person, app, key, words):
    person.to(key)
    while app.ui.node(key).value != words:
        person.strike("right")
        person.frame()


def tick(person, key, *words):
    for word in words:
        person.press(f"{key}.{word}")
        person.frame()


def test_a_flip_is_told_and_explained_and_kept(person, app, tmp_path, monkeypatch):
    monkeypatch.setattr(told, "own_reports", lambda: tmp_path / "reports")
    person.types("Over")
    person.strike("return")
    person.frame()
    assert app.ui.focus == "story"
    choose(person, app, "when", "as it left the ground")
    choose(person, app, "moved", "nothing of it")
    person.frame()
    tick(person, "moved", "rolled-right", "flipped")
    assert "in 100: " in person.said
    assert "loop-sign-reversed" in person.said
    person.press("keep-file")
    person.frame()
    [path] = (tmp_path / "reports").iterdir()
    assert f"Kept: {path}" in person.said
    report = load_report(path)
    assert (report.title, report.when, report.moved) == (
        "Over",
        "leaving",
        ("rolled-right", "flipped"),
    )
    person.press("keep-file")
    person.frame()
    assert len(list((tmp_path / "reports").iterdir())) == 2


def test_what_is_not_known_is_taken_back(person, app):
    choose(person, app, "heard", "nothing of it")
    assert app.screen.form.report.heard == ()
    choose(person, app, "heard", DONT_KNOW)
    assert app.screen.form.report.heard is None


def test_at_the_bench_a_check_is_asked_for(person, app):
    choose(person, app, "when", "at the bench, at a check")
    person.frame()
    ids = [node.id for node in app.ui.tree]
    assert "check" in ids
    assert "moved" not in ids


def test_what_does_not_go_together_is_said_and_can_not_be_kept(person, app):
    choose(person, app, "moved", "nothing of it")
    person.frame()
    tick(person, "moved", "circled")
    choose(person, app, "when", "never: nothing went wrong")
    person.frame()
    assert "Moved must be empty where nothing went wrong" in " ".join(person.canvas.lines())
    assert not app.ui.node("keep-file").enabled


def test_a_blank_sheet_and_back(person, app):
    person.types("Over")
    person.strike("return")
    person.frame()
    person.press("blank")
    person.frame()
    assert app.screen.form.data == {}
    person.strike("escape")
    person.strike("escape")
    person.frame()
    assert isinstance(app.screen, BroughtSheet)


def test_a_full_disk_is_told(person, app, tmp_path, monkeypatch):
    (tmp_path / "reports").write_text("a file, not a folder")
    monkeypatch.setattr(told, "own_reports", lambda: tmp_path / "reports")
    person.types("Over")
    person.strike("return")
    person.press("keep-file")
    person.frame()
    assert "It could not be kept: " in person.said
