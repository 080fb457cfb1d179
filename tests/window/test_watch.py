"""Watching a recorded run: every act told, the same aircraft at the end, at any speed."""

import time

import pytest

from sim.runs import rehearse
from sim.session.journal import apply, begun, replayed
from sim.session.scenario import load
from sim.trainees.standins import Attempt
from sim.window import start
from sim.window.app import App
from sim.window.canvas import TextCanvas
from sim.window.inputs import Inputs, Stroke
from sim.window.screens.debrief import Debrief
from sim.window.screens.watch import Watch
from sim.window.showing import Showing

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
    app.go(Watch(showing, lambda a: left.append(a), start._shown_out))
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
    ready(app, showing)
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


def opened(tmp_path, folder, act):
    """Return an app that shows a run from an act on, once it is there."""
    app = App(tmp_path / "s.json")
    showing = Showing(folder, "First evening", until=act)
    back = []
    app.take(showing)
    app.go(Watch(showing, lambda a: back.append("left"), lambda a, s: back.append("over"), "Back"))
    seen = []
    while not showing.ready:
        seen.append((showing.far, frame(app, dt_s=0.0)))
        time.sleep(0.002)
    ready(app, showing)
    return app, showing, back, seen


def before(folder, act):
    """Return the session of a run with everything done up to an act and it as well."""
    session, steps = begun(folder)
    left = act + 1
    for step in steps:
        apply(session, step)
        left -= step.action is not None
        if not left:
            return session
    raise AssertionError("the run has fewer acts")


@pytest.mark.parametrize("act", [0, 25, 60])
def test_it_opens_just_after_an_act_bit_for_bit_and_holds(tmp_path, folder, act):
    app, showing, _, seen = opened(tmp_path, folder, act)
    assert showing.session.rig.fingerprint() == before(folder, act).rig.fingerprint()
    acts = [step.action for step in begun(folder)[1] if step.action is not None]
    assert [said.action for _, said in showing.log] == acts[: act + 1]
    assert showing.paused
    assert all("The run is fetched …" in words for _, words in seen)
    assert [far for far, _ in seen] == sorted(far for far, _ in seen)
    assert "PAUSED" in frame(app)
    app.leave()


def test_it_goes_on_act_by_act_or_at_speed_and_back(tmp_path, folder):
    app, showing, back, _ = opened(tmp_path, folder, 30)
    acts = [step.action for step in begun(folder)[1] if step.action is not None]
    for n in (32, 33):
        frame(app, "]")
        ready(app, showing)
        assert [said.action for _, said in showing.log] == acts[:n]
        assert showing.paused
        assert showing.session.rig.fingerprint() == before(folder, n - 1).rig.fingerprint()
    frame(app, "=", "=")
    frame(app, "=")
    assert showing.rate == 4.0
    frame(app, "space")
    assert not showing.paused
    for _ in range(400):
        frame(app)
        time.sleep(0.0005)
    assert len(showing.log) > 33
    ready(app, showing)
    frame(app, "escape")
    assert back == ["left"]
    app.leave()


def test_past_the_last_act_it_opens_at_the_end_and_leads_to_what_it_came_to(tmp_path, folder):
    app, showing, back, _ = opened(tmp_path, folder, 10_000)
    acts = [step.action for step in begun(folder)[1] if step.action is not None]
    assert len(showing.log) == len(acts)
    assert showing.over
    frame(app)
    ready(app, showing)
    assert showing.card is not None
    assert showing.told is not None
    frame(app, "space")
    assert back == ["over"]
    app.leave()
