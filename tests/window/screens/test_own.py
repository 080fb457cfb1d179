"""An aircraft of one's own described by keys alone, its file kept, and a drill begun on it."""

import time

import pytest

from sim.aircraft.airframe import Airframe
from sim.aircraft.textfile import load_model
from sim.describe.account import CAUTION
from sim.describe.form import Form
from sim.window.screens.home import Home, drills
from sim.window.screens.own import made
from sim.window.screens.own.made import Made
from sim.window.screens.own.sheet import OwnSheet
from tests.window.screens.person import KeyPerson
from tools.samples.own import SWUNG, WRITTEN

PATIENCE_S = 300.0  # s; own: a first compilation on a busy machine
TALL = 6000  # px; own: so tall that nothing scrolls


@pytest.fixture
def begun():
    return []


@pytest.fixture
def person(app, begun):
    home = Home(print, print, own=lambda back: app.go(OwnSheet(back, lambda *to: begun.append(to))))
    app.go(home)
    sits = KeyPerson(app, height=TALL)
    sits.strike("i")
    sits.frame()
    assert isinstance(app.screen, OwnSheet)
    return sits


def fill(person, app, texts):
    for id_, _ in Form(texts).asked:
        text = texts.get(id_, "")
        assert app.ui.focus == id_
        if text in ("yes", "no"):
            while app.ui.node(id_).value != text:
                person.strike("right")
                person.frame()
            person.strike("tab")
        else:
            person.types(text)
            person.strike("return")
        person.frame()


def test_all_questions_by_keys_to_a_file_and_a_drill(person, app, begun, tmp_path, monkeypatch):
    monkeypatch.setattr(made, "own_airframes", lambda: tmp_path / "airframes")
    fill(person, app, WRITTEN | {"swung": "no"})
    person.press("work-out")
    until = time.monotonic() + PATIENCE_S
    while not isinstance(app.screen, Made) and time.monotonic() < until:
        time.sleep(0.02)
        person.frame()
    assert isinstance(app.screen, Made)
    person.frame()
    person.strike("p")  # nothing is kept yet
    assert begun == []
    person.press("keep-file")
    person.frame()
    [path] = (tmp_path / "airframes").iterdir()
    assert f"Kept: {path}" in person.said
    airframe = load_model(path, Airframe)
    assert (airframe.name, airframe.mass_kg, airframe.origin) == ("my-own", 0.62, "described")
    assert set(airframe.clockwise) == {"front_left", "rear_right"}
    assert airframe.sheet.hover_current_a == 7.5
    assert 0.0 < airframe.sheet.ringing_share < 0.01  # its sheet was read off
    person.strike("p")
    assert begun == [(drills()[0].name, path)]


def test_estimates_follow_what_is_written_and_give_way_to_a_measurement(person, app):
    person.to("mass_g")
    person.types("1000")
    person.to("motor.mass_g")
    person.frame()
    assert "mass of one motor: 38 g" in person.said
    assert "3.8 % of the whole (own: 3 to 5 % are common)" in person.said
    assert "Measure it: Weigh one motor with its leads." in person.said
    assert "about 38" in person.said
    person.types("25")
    person.frame()
    assert "mass of one motor: 25 g" in person.said
    assert "Measure it: Weigh one motor" not in person.said
    assert CAUTION.split(":")[0] in " ".join(person.canvas.lines())


def test_a_wrong_answer_is_told_as_in_the_terminal_and_comes_first(person, app):
    person.to("mass_g")
    person.types("5")
    person.strike("return")
    person.frame()
    assert "That can't be: it must be at least 20." in person.said
    person.press("work-out")
    person.frame()
    assert app.ui.focus == "name"
    assert "Still open: A name for it, in one word." in person.said
    assert isinstance(app.screen, OwnSheet)


def test_what_is_put_right_leads_to_what_is_open_next_and_then_back_to_the_button(person, app):
    slips = {"mass_g": "heavy", "pack.cells": "7"}
    fill(person, app, WRITTEN | {"swung": "no"} | slips)
    person.press("work-out")
    person.frame()
    for id_, slip in slips.items():
        assert app.ui.focus == id_
        assert app.ui.node(id_).value == slip
        person.strike(*["backspace"] * len(slip))
        person.types(WRITTEN[id_])
        person.strike("return")
        person.frame()
    assert app.ui.focus == "work-out"
    assert "Still open" not in person.said
    person.to("mass_g")  # looked at of one's own accord it leads on as ever
    person.strike("return")
    person.frame()
    assert app.ui.focus == "frame.front_width_mm"


def test_a_swing_asks_for_its_times(person, app):
    person.to("swung")
    person.strike("right")
    person.frame()
    person.to("swing.yaw_s")
    person.frame()
    assert "One swing lying level, s" in person.said
    assert "m g d^2 T^2/(16 pi^2 l)" in person.said
    assert "Jardin and Mueller" in person.said


def test_what_is_written_is_there_again_and_a_blank_sheet_takes_two_presses(person, app):
    person.types("mine")
    person.strike("tab", "escape")
    app.go(OwnSheet(app.screen, print))
    person.frame()
    person.frame()
    assert app.ui.node("name").value == "mine"
    person.strike("escape", "h")
    person.frame()
    assert app.ui.node("name").value == "mine"
    person.strike("h")
    person.frame()
    person.frame()
    assert app.ui.node("name").value == ""


def test_arrows_lead_from_line_to_line_and_esc_twice_leads_back(person, app):
    person.strike("down")
    person.frame()
    assert app.ui.focus == "about"
    person.strike("up")
    person.frame()
    assert app.ui.focus == "name"
    person.strike("escape")
    person.frame()
    person.strike("escape")
    assert isinstance(app.screen, Home)


def test_answers_that_do_not_go_together():
    heavy = Form(WRITTEN | {"pack.mass_g": "700"})
    assert heavy.said == "Motors and pack together must weigh less than the whole."
    assert Form(WRITTEN | {"propeller.diameter_in": "9"}).said.startswith("Propellers of 9 inches")
    weak = Form(WRITTEN | {"motor.kv_rpm_v": "500"})
    assert weak.said or [f for f in weak.findings if f.level == "stop"]
    assert not Form(WRITTEN | SWUNG).said
