"""A run for a class: nothing is told before the vote, hands are counted by key or pointer, the run is the same."""

import time

import pytest

from sim.runs import rehearse
from sim.session import actions as act
from sim.session.journal import begun, replayed
from sim.session.scenario import load
from sim.trainees.standins import Attempt
from sim.window.action_words import logged
from sim.window.app import App
from sim.window.classrun import ClassRun
from sim.window.screens.classroom import LEAST_TEXT, UNREAD, Classroom
from tests.window.screens.person import KeyPerson

DRILL = "first-evening"
LONGEST = 4000  # frames; own: a hop at twice the speed takes fewer


class Person(KeyPerson):
    """Waits for what is being done after each stroke."""

    def settled(self):
        drill = self.app.drill
        assert drill is not None
        while not drill.ready or drill.busy:
            self.frame(seconds=0.0)
            time.sleep(0.001)
        self.frame(seconds=0.0)

    def does(self, *keys):
        for key in keys:
            self.strike(key)
            self.settled()


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    made = tmp_path_factory.mktemp("run") / "r"
    rehearse(Attempt(load(DRILL), "partial-75", 7), DRILL, made)
    return made


@pytest.fixture
def led():
    return []


@pytest.fixture
def person(tmp_path, folder, led):
    app = App(tmp_path / "s.json")
    run = ClassRun(folder, "First evening")
    app.take(run)
    app.go(Classroom(run, lambda a: led.append("left"), lambda a, r: led.append((r.card, r.told))))
    made = Person(app)
    made.settled()
    yield made
    app.leave()


def acts_of(folder):
    return [step.action for step in begun(folder)[1] if step.action is not None]


def test_before_the_vote_nothing_of_what_follows_is_known_or_told(person, folder):
    run, acts = person.app.drill, acts_of(folder)
    assert UNREAD in person.said
    for _ in range(6):
        decision = run.decision
        assert [said.action for _, said in run.log] == acts[: decision.act]
        told = " ".join(person.said.split())
        done = acts[decision.act]
        assert isinstance(done, act.Read | act.Begin) or logged(done) not in told
        assert "this was done" not in told
        assert "expected to tell" not in told
        person.does("c")
        told = " ".join(person.said.split())
        assert logged(done) in told
        assert "this was done" in told
        person.does("c")
    assert run.decision.minutes > 0.0


def test_hands_are_typed_or_clicked_and_stay_beside_what_was_done(person):
    run, ui = person.app.drill, person.app.ui
    assert ui.focus == "vote:0"
    person.strike("1", "2")
    person.strike("down", "return", "return")
    assert run.decision.hands[:2] == [12, 2]
    person.strike("backspace")
    assert run.decision.hands[1] == 0
    at = ui.node("vote:3").rect.centre
    person.frame(pointer=at, pressed=True, down=True)
    person.frame(pointer=at, released=True)
    assert run.decision.hands[3] == 1
    person.does("c")
    assert ui.focus == "work-out"
    assert "12" in person.said.split("\n")
    person.strike("5")
    assert run.decision.hands == [12, 0, 0, 1, *[0] * (len(run.decision.hands) - 4)]


def test_letters_are_large_whatever_the_window_has(person):
    def height(words):
        line = next(one for one in person.canvas.written if one.words == words)
        return line.style.size

    person.frame()
    assert person.canvas.text_scale == 1.0  # as before the screen
    roomy = {node.id: node.rect.h for node in person.app.ui.tree}
    person.app.change(text_scale=LEAST_TEXT)
    person.frame()
    assert {node.id: node.rect.h for node in person.app.ui.tree} == roomy


@pytest.mark.slow
def test_the_run_ends_as_it_did_and_the_summary_counts(person, folder, led):
    run = person.app.drill
    n = len(run.decisions)
    hops = 0
    for k in range(n):
        if k in (0, 3):
            run.decision.count(run.decision.made, 4)
        if k == 5:
            run.decision.count((run.decision.made + 1) % len(run.decision.choices), 3)
        person.does("c")
        assert run.phase == "told"
        if run.view.armed:
            hops += 1
            for _ in range(LONGEST):
                person.frame(seconds=0.05)
                time.sleep(0.0002)
                if not run.view.armed:
                    break
            assert not run.view.armed
            person.settled()
        person.does("c")
    assert hops == 1
    assert run.phase == "over"
    assert run.session.rig.fingerprint() == replayed(folder).rig.fingerprint()
    assert [said.action for _, said in run.log] == acts_of(folder)
    told = " ".join(person.said.split())
    assert f"{n} decisions, 3 of them voted on, 11 hands." in told
    assert "As the trainee did: 2 of 3." in told
    assert told.count("the trainee: ") == 1
    person.does("c")
    ((card, came),) = led
    assert card["points"] > 0.0
    assert came.faults


def test_a_long_reading_can_be_turned_over_before_the_vote(person):
    run = person.app.drill
    while "page 1 of" not in person.said:
        person.does("c", "c")
    assert run.phase == "vote"
    person.strike("]")
    person.frame()
    assert "page 2 of" in person.said
    pages = int(person.said.split("page 2 of ")[1].split()[0])
    for _ in range(pages - 1):
        person.strike("]")
    person.frame()
    assert "page 1 of" in person.said


def test_it_is_left_at_any_time(person, led):
    person.strike("escape")
    assert led == ["left"]
