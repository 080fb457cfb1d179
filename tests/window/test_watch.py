"""Watching a recorded run: every act told, the same aircraft at the end, at any speed."""

import time

import pytest

from sim.runs import rehearse
from sim.session.journal import begun, replayed
from sim.session.scenario import load
from sim.trainees.standins import Attempt
from sim.window.app import App
from sim.window.canvas import TextCanvas
from sim.window.inputs import Inputs, Stroke
from sim.window.screens.debrief import Debrief
from sim.window.screens.watch import Showing, Watch

LONGEST = 200_000  # frames; own: no run is longer at eight times the speed


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    made = tmp_path_factory.mktemp("run") / "r"
    rehearse(Attempt(load("first-evening"), "careful", 7), "first-evening", made)
    return made


@pytest.fixture
def window(tmp_path, folder):
    app = App(tmp_path / "s.json")
    showing = Showing(folder, "First evening")
    left = []
    app.take(showing)
    app.go(Watch(showing, lambda a: left.append(a)))
    yield app, showing, left
    app.leave()


def frame(app, *keys, dt_s=0.05):
    canvas = TextCanvas()
    app.frame(canvas, Inputs(strokes=[Stroke(k, k if len(k) == 1 else "") for k in keys]), dt_s)
    return canvas.lines()


def ready(app, showing):
    while not showing.ready or showing.busy:
        frame(app, dt_s=0.0)
        time.sleep(0.001)


def test_a_run_is_shown_to_its_end_as_it_was(window, folder):
    app, showing, _ = window
    ready(app, showing)
    for _ in range(3):
        frame(app, "=")
    assert showing.rate == 8.0
    for _ in range(LONGEST):
        if showing.over:
            break
        frame(app)
        if showing.busy:
            time.sleep(0.0005)
    assert showing.over
    assert showing.session.rig.fingerprint() == replayed(folder).rig.fingerprint()
    acts = [step.action for step in begun(folder)[1] if step.action is not None]
    assert [said.action for _, said in showing.log] == acts
    words = " ".join(frame(app))
    assert "Finishes" in words
    frame(app, "space")
    assert isinstance(app.screen, Debrief)


def test_the_clock_can_be_held_and_the_run_left(window):
    app, showing, left = window
    ready(app, showing)
    frame(app, "space")
    ready(app, showing)  # what was being done is finished
    at = showing.at
    for _ in range(200):
        frame(app)
    assert (showing.paused, showing.at) == (True, at)
    app.change(keys={"hold": "j"})
    frame(app, "space")
    assert showing.paused
    assert "J" in frame(app, "j")
    assert not showing.paused
    frame(app, "escape")
    assert left == [app]
