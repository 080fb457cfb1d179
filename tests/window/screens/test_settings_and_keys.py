"""Settings and keys, changed by keys and kept at once."""

import pytest

from sim.window.app import App
from sim.window.inputs import Stroke
from sim.window.keys import BY_NAME
from sim.window.screens.keys import Keys
from sim.window.screens.mapping import PadSheet
from sim.window.screens.settings import SettingsSheet
from tests.window.screens.person import KeyPerson


class Back:
    def show(self, ui, app, area, dt_s):
        pass


@pytest.fixture
def person(app):
    app.go(SettingsSheet(Back()))
    return KeyPerson(app)


@pytest.mark.parametrize(
    ("id_", "key", "name", "value"),
    [
        ("text-scale", "right", "text_scale", 1.25),
        ("text-scale", "left", "text_scale", 2.0),
        ("stick-mode", "left", "stick_mode", 1),
        ("units", "right", "units", "imperial"),
        ("volume", "left", "volume", 0.5),
        ("volume", "home", "volume", 0.0),
        ("full_screen", "return", "full_screen", True),
        ("frames_per_s", "right", "frames_per_s", 30),
    ],
)
def test_a_setting_is_changed_and_kept_at_once(person, app, id_, key, name, value):
    person.to(id_)
    person.strike(key)
    assert getattr(app.settings, name) == value
    assert getattr(App(app.path).settings, name) == value


def test_the_last_setting_is_pulled_into_view_with_large_writing(person, app):
    app.change(text_scale=2.0)
    person.to("frames_per_s")
    person.frame()
    assert "Pictures drawn" in person.said


def test_the_sticks_are_drawn_for_the_mode(person, app):
    assert "Mode 2: what each stick does" in person.said
    person.to("stick-mode")
    person.strike("right")
    person.frame()
    assert "Mode 3: what each stick does" in person.said


@pytest.fixture
def typist(app):
    app.go(Keys(Back()))
    return KeyPerson(app)


def test_an_act_gets_another_key_and_keeps_it(typist, app):
    typist.press("key-pack")
    assert "Strike the key for: Plug or unplug the pack" in typist.said or typist.frame() is None
    typist.strike(";")
    assert app.ui.keys.key("pack") == ";"
    assert App(app.path).settings.keys == {"pack": ";"}
    typist.frame()
    assert "first P" in typist.said


def test_a_clash_is_told_and_another_key_may_follow(typist, app):
    typist.press("key-pack")
    typist.strike("c")
    assert app.settings.keys == {}
    typist.frame()
    assert "C is taken: make the card's call." in typist.said
    typist.strike(";")
    assert app.settings.keys == {"pack": ";"}


def test_arrows_and_whole_window_keys_are_taken_as_keys_while_waiting(typist, app):
    typist.press("key-yaw-left")
    typist.strike("up")
    typist.frame()
    assert "↑ is taken: stick forward" in typist.said
    typist.strike("f10")
    assert app.settings.text_scale == 1.0
    typist.frame()
    assert "F10 is taken" in typist.said
    typist.strike("pagedown")
    assert app.settings.keys == {"yaw-left": "pagedown"}


def test_a_shift_on_the_way_to_another_key_is_not_taken(typist, app):
    typist.press("key-pack")
    typist.frame([Stroke("shift", shift=True)])
    assert app.settings.keys == {}
    typist.frame([Stroke("!", "!", shift=True)])
    assert app.settings.keys == {"pack": "!"}


def test_a_held_act_may_have_a_bare_shift_or_ctrl(typist, app):
    typist.press("key-firm")
    typist.frame([Stroke("ctrl", ctrl=True)])
    assert app.settings.keys == {"firm": "ctrl"}


def test_acts_of_the_other_sheets_are_shown_and_changed_too(typist, app):
    typist.press("key-gamepads")
    typist.strike("s")
    typist.frame()
    assert "S is taken: settings." in typist.said
    typist.strike("j")  # a bench act's, which is never there at the same time
    assert app.settings.keys == {"gamepads": "j"}
    typist.strike("z", "z")
    assert app.settings.keys == {}
    app.go(SettingsSheet(Back()))
    typist.strike("m")
    assert isinstance(app.screen, PadSheet)


def test_enter_leaves_a_key_as_it_is_and_esc_can_be_given(typist, app):
    typist.press("key-pack")
    typist.strike("return")
    assert app.screen.waits is None
    assert app.settings.keys == {}
    typist.press("key-pause")
    typist.strike("f1")
    assert app.settings.keys == {"pause": "f1"}
    typist.strike("escape")
    assert isinstance(app.screen, Keys)
    typist.strike("f1")
    assert not isinstance(app.screen, Keys)


def test_all_first_keys_come_back_after_asking_once(typist, app):
    app.change(keys={"pack": ";"})
    typist.press("first-keys")
    assert app.settings.keys == {"pack": ";"}
    typist.strike("return")
    assert app.settings.keys == {}
    assert app.ui.keys.key("pack") == BY_NAME["pack"].key
