"""The setup page: shown once it is read, read as it is opened, and what is missing before that."""

from dataclasses import replace

import pytest

from sim.session import actions as act
from sim.window import sheet
from sim.window.screens.pages.setup import missing
from tests.window.test_drill import TextWindow, said

CHECK = "settings-sheet"


@pytest.fixture
def window(tmp_path):
    made = TextWindow(tmp_path)
    made.hands().settle()
    yield made
    made.app.leave()


def turn_to(window, key):
    """Turn to a page and wait for what comes of it."""
    window.strike(key)
    window.hands().settle()
    window.frame()
    window.frame()


def times_read(window):
    return sum(getattr(done.action, "check", "") == CHECK for _, done in window.practice.log)


def rows(window):
    return [n for n in window.app.ui.tree if n.id.startswith("setting:")]


def test_without_power_it_says_what_is_missing_and_how_to_get_it(window):
    turn_to(window, "3")
    assert times_read(window) == 0
    assert not rows(window)
    assert "no power" in said(window)
    assert "Propellers off first; then P plugs the pack in." in said(window)


def test_opened_with_power_it_is_read_once_until_something_is_changed(window):
    keys = window.hands()
    keys.do(act.PlugPack())
    before = window.practice.view.minutes
    turn_to(window, "3")
    assert times_read(window) == 1
    assert window.practice.view.minutes == before + 2.0  # it costs what the check costs
    assert window.app.ui.focus == "setting:0"
    for key in "13":
        turn_to(window, key)
    assert times_read(window) == 1
    keys.do(act.Set(key="setup.controller.tilt_limit_deg", value=20.0))
    window.frame()
    assert times_read(window) == 1  # it still lies open
    assert "Changed: read again" in said(window)
    for key in "13":
        turn_to(window, key)
    assert times_read(window) == 2
    assert "Changed: read again" not in said(window)


def test_power_given_while_it_lies_open_lets_it_be_read(window):
    turn_to(window, "3")
    keys = window.hands()
    keys.do(act.PlugPack())
    window.frame()
    assert not rows(window)
    keys.press("read-settings")
    keys.settle()
    window.frame()
    window.frame()
    assert times_read(window) == 1
    assert window.app.ui.focus == "setting:0"


@pytest.mark.parametrize(
    ("setting", "line"),
    [("controller.tilt_limit_deg", "tilt_limit_deg now"), ("transmitter.memory", None)],
)
def test_a_squawk_can_rest_on_what_the_check_reads_of_it(window, setting, line):
    keys = window.hands()
    keys.do(act.PlugPack())
    turn_to(window, "3")
    every = [row.key for row in sheet.rows(window.practice.view)]
    keys.reach(f"setting:{every.index('setup.' + setting)}")
    window.frame()
    window.strike("q")
    window.frame()
    picked = window.app.screen.picked
    assert picked == (line and (CHECK, line))
    assert line is None or line in window.practice.view.readings[CHECK].values


def test_a_board_that_hangs_or_is_not_connected_says_so(window):
    window.hands().do(act.PlugPack())
    view = window.practice.view
    keys = window.app.ui.keys

    for board, words in (
        ("one light, steady", "load its software on page 4"),
        ("lights on, not connected", "Open the connection on page 4"),
    ):
        assert words in missing(replace(view, setup=None, board=board), keys)
    assert missing(view, keys) == ""


def test_what_was_never_chosen_is_told_apart_until_it_is(tmp_path):
    made = TextWindow(tmp_path, "four-new-drives", 1)
    keys = made.hands()
    keys.settle()
    keys.do(act.SwitchTransmitter(on=True))
    keys.do(act.PlugPack())
    keys.do(act.Connect(by="telemetry", rate_bd=57600))
    turn_to(made, "3")
    assert [n.value for n in rows(made)].count("not chosen") == 1
    keys.do(act.Set(key="setup.transmitter.mode_switch_right", value=True))
    made.frame()
    assert "not chosen" not in [n.value for n in rows(made)]
    made.app.leave()
