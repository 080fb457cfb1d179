"""A shared file opened in the window: a drill at the bench, a run on the screen."""

import time

import pytest

from sim.sharing.container import packed
from sim.sharing.shared import drill_content, opened, run_content
from sim.window import start
from sim.window.practice import Practice
from sim.window.screens.desk import Desk
from sim.window.screens.home import Home
from sim.window.screens.watch import Watch
from tests.window.screens.person import KeyPerson
from tools.fuzz import small_run

PATIENCE_S = 120.0  # s; own: a busy machine


@pytest.fixture
def places(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(start, "own_drills", lambda: tmp_path / "drills")
    monkeypatch.setattr(start, "opened_runs", lambda: tmp_path / "opened")
    return tmp_path


def file_of(folder, content):
    path = folder / "given.dryhop"
    path.write_bytes(packed(content))
    return path


def test_a_drill_is_put_among_ones_own_and_begun(app, places):
    start.open_shared(app, file_of(places, drill_content("first-evening")))
    assert isinstance(app.screen, Desk)
    assert isinstance(app.drill, Practice)
    assert app.drill.name == "first-evening-1"
    assert [path.name for path in (places / "drills").iterdir()] == ["first-evening-1.yaml"]
    app.leave()


def test_a_run_is_laid_down_and_shown_and_the_window_answers_meanwhile(app, places):
    small_run(places / "mine", whole=True)
    start.open_shared(app, file_of(places, run_content(places / "mine")))
    person = KeyPerson(app)
    until = time.monotonic() + PATIENCE_S
    while not isinstance(app.screen, Watch) and time.monotonic() < until:
        time.sleep(0.02)
        person.frame()
    assert isinstance(app.screen, Watch)
    assert (places / "opened" / "first-evening-1" / "scorecard.json").exists()
    app.leave()


def test_a_run_that_cannot_be_laid_down_leads_home_with_the_reason(app, places):
    small_run(places / "mine", whole=True)
    one = opened(file_of(places, run_content(places / "mine")))
    (places / "opened").write_text("in the way")
    start.given(app, one)
    person = KeyPerson(app)
    until = time.monotonic() + PATIENCE_S
    while not isinstance(app.screen, Home) and time.monotonic() < until:
        time.sleep(0.02)
        person.frame()
    assert isinstance(app.screen, Home)
    assert app.notice
