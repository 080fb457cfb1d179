"""The pause asks before anything is lost; the debrief tells the whole story."""

from pathlib import Path
from typing import get_args

import pytest

from sim.keys import FixKey
from sim.procedure.hazards import HAZARDS
from sim.window.action_words import fix_words
from sim.window.canvas import TextCanvas
from sim.window.inputs import Stroke
from sim.window.screens.debrief import Debrief, Leads, nowhere
from sim.window.screens.keys import Keys
from sim.window.screens.pause import Pause
from sim.window.screens.settings import SettingsSheet
from sim.window.screens.walk import Walk
from tests.window.screens.person import KeyPerson
from tools.labels import shown
from tools.samples.sheets import bad_card, card_of, drill_stood, refused_card, rung, stayed_card

NOWHERE = Leads(nowhere, nowhere)
FOLDER = Path("runs") / ("x" * 70) / "first-evening-20261125-101112"


class Back:
    def show(self, ui, app, area, dt_s):
        pass


@pytest.fixture
def done():
    return []


@pytest.fixture
def pause(app, done):
    made = Pause(Back(), drill_stood(), lambda: done.append("again"), lambda: done.append("home"))
    app.go(made)
    return made


@pytest.fixture
def person(app, pause):
    return KeyPerson(app)


@pytest.mark.parametrize("key", ["escape", "return"])
def test_it_goes_on(person, app, pause, key):
    pause.drill.paused = False
    person.frame()
    assert pause.drill.paused
    person.strike(key)
    assert app.screen is pause.back
    assert not pause.drill.paused


def test_the_pace_of_the_clock(person, pause):
    person.to("pace")
    person.strike("left")
    assert pause.drill.rate == 0.5
    person.strike("left")
    assert pause.drill.rate == 0.25
    person.strike("right", "right")
    assert pause.drill.rate == 1.0


@pytest.mark.parametrize(("id_", "word"), [("again", "again"), ("give-up", "home")])
def test_what_loses_the_attempt_asks_once(person, done, id_, word):
    person.press(id_)
    assert done == []
    person.frame()
    assert "can be taken up again" in person.said
    person.strike("return")
    assert done == [word]


@pytest.mark.parametrize(("key", "word"), [("b", "again"), ("g", "home")])
def test_its_key_asks_once_as_well(person, done, key, word):
    person.strike(key)
    assert done == []
    person.frame([Stroke(key, key, again=True)])  # still the same stroke
    assert done == []
    person.strike(key)
    assert done == [word]


def test_asking_for_one_does_not_answer_for_the_other(person, done):
    person.press("again")
    person.press("give-up")
    assert done == []


@pytest.mark.parametrize(
    ("id_", "kind"), [("settings", SettingsSheet), ("keys", Keys), ("walk", Walk)]
)
def test_the_ways_on_come_back_here(person, app, pause, id_, kind):
    person.press(id_)
    assert isinstance(app.screen, kind)
    person.frame()
    person.strike("escape")
    assert app.screen is pause
    assert pause.drill.paused


def told(app, card):
    app.go(Debrief(card, FOLDER, NOWHERE))
    canvas = shown(app, app.screen, TextCanvas(1280, 30_000))
    return "\n".join(canvas.lines()), canvas.pictures


def test_a_good_run_is_told(app):
    words, pictures = told(app, card_of())
    assert "stamp: cleared to hop" in pictures
    for part in (
        "93.4",
        "Pitch channel reversed",
        "Gone before takeoff.",
        "No unsafe act was seen.",
    ):
        assert part in words
    assert "31.20 s" in words
    assert "0.42 m" in words


def test_figures_follow_the_units(app):
    app.change(units="imperial")
    assert "1.38 ft" in told(app, card_of())[0]


def test_a_bad_run_is_told_whole(app):
    words, pictures = told(app, bad_card())
    assert "stamp: stay on the bench" in pictures
    assert "named (family)" in words
    assert "made by yourself" in words
    flat = " ".join(words.split())
    assert "You made it, and left it in at takeoff." in flat
    assert "propeller unbalanced, 95 % sure, and something was changed for it" in flat
    assert "pack cold, 40 % sure; its line spoke for it, so it cost half" in flat
    assert "Squawks that rested on nothing no spotter" in flat
    assert "130 min at work; the careful need 72" in flat
    assert "The club locked up" in flat
    for fix in ("pack (parts bin)", "roll P gain (setting)", "compass (calibration)"):
        assert fix in words
    assert "Out of the parts bin: 3 parts." in words
    assert "You found 1 and raised 2 false alarms." in flat
    assert "d': too few items (2 faulty, 42 sound)." in flat
    assert "You claimed 3 causes, on average 70 % sure; 33 % were so." in flat
    assert "Brier score 0.31" in flat
    assert "ended by a precaution" in words
    assert "Points count as far as you saw what was to be seen." in flat
    assert "It ended in a crash." in words
    flat = " ".join(words.split())
    assert all(hazard.words in flat for hazard in HAZARDS.values())
    assert "Could have come to: a pack burns" in flat
    assert "Grave" in words
    assert FOLDER.name[-9:] in words


def test_a_wise_refusal_is_told(app):
    words, _ = told(app, refused_card())
    assert "A wise refusal" in words
    assert "The aircraft did not leave the floor." in words
    words, _ = told(app, {**refused_card(), "wise_refusal": "Not with that pack."})
    assert "Not with that pack." in words
    assert "A wise refusal" not in told(app, card_of())[0]


def test_a_sound_decision_is_told(app):
    words, _ = told(app, stayed_card())
    assert "A sound decision" in words
    assert "A wise refusal" not in words
    assert "A sound decision" not in told(app, refused_card())[0]


def test_what_was_there_and_left_is_told_from_what_was_made(app):
    left = rung("rate-gain-high", "control", 4, present_at_takeoff=True)
    flat = " ".join(told(app, card_of(faults=[left]))[0].split())
    assert "It was there, and you left it in at takeoff." in flat
    assert "Named 80 % sure." in flat
    assert "You made it" not in flat
    assert "You were lucky" not in flat
    unseen = {**left, "lucky": "nothing rang this time."}
    flat = " ".join(told(app, card_of(faults=[unseen]))[0].split())
    assert "You were lucky: nothing rang this time." in flat
    stayed = {"takeoff_s": None, "declared": "stay on the bench"}
    kept = rung("rate-gain-high", "control", 4, cleared=False, proved=False)
    assert "It was there, and you left it." in told(app, card_of(faults=[kept], **stayed))[0]
    made = {**kept, "made_by_trainee": True}
    words = told(app, card_of(faults=[made], **stayed))[0]
    assert "You made it, and left it." in words
    assert "Rate gain high, made by yourself" in words
    assert "It was there, and you left it to the instructor." in told(app, stayed_card())[0]
    cured = told(app, card_of(**stayed))[0]
    assert "left it" not in cured
    assert "Gone before takeoff." not in cured


def test_good_work_is_told(app):
    flat = " ".join(told(app, card_of())[0].split())
    assert "Nothing was changed without need. Out of the parts bin: 1 part." in flat
    assert "1 fault was there and 55 not. You found 1 and raised 0 false alarms." in flat
    assert "d': 3.42 ± 2.10." in flat
    assert "You claimed 1 cause, on average 80 % sure; 100 % were so." in flat
    assert "rested on nothing" not in flat
    assert "Points count as far" not in flat


def test_every_change_has_words():
    for fix in get_args(FixKey):
        words = fix_words(fix)
        assert words
        assert "_" not in words
        assert ":" not in words


def test_the_end_is_reached_by_keys_with_large_writing(app):
    app.change(text_scale=2.0)
    app.go(Debrief(bad_card(), FOLDER, NOWHERE))
    person = KeyPerson(app)
    assert "Where it lies" not in person.said
    person.to("story")
    person.strike("pagedown")
    person.strike("end")
    person.frame()
    assert "Where it lies" in person.said
    person.strike("home")
    person.frame()
    assert "Unsafe acts" in person.said
    assert "Where it lies" not in person.said


def test_the_ways_on_from_the_debrief(app, done):
    made = Debrief(
        card_of(), FOLDER, Leads(lambda: done.append("home"), lambda: done.append("again"))
    )
    app.go(made)
    person = KeyPerson(app)
    person.strike("return")
    person.press("again")
    person.strike("escape")
    assert done == ["home", "again", "home"]
    person.strike("b")
    assert done[-1] == "again"
    person.strike("?")
    assert isinstance(app.screen, Keys)


@pytest.mark.parametrize(
    ("time_s", "takeoff_s", "told_as"),
    [(12.5, 64.2, "at minute 34"), (70.0, 64.2, "5.8 s after takeoff"), (70.0, None, "minute 34")],
)
def test_unsafe_acts_are_told_in_the_clock_that_was_seen(app, time_s, takeoff_s, told_as):
    act = {"id": "no-goggles", "time_s": time_s, "minutes": 34.0, "critical": True}
    flat = " ".join(told(app, card_of(hazards=[act], takeoff_s=takeoff_s))[0].split())
    assert told_as in flat
