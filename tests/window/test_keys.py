"""Keys of acts: none taken twice, all of them changeable, each with its cap."""

import pytest

from sim.window.keys import ACTS, KeyMap, cap_of


def test_no_two_acts_share_a_key_where_both_are_there():
    keys = KeyMap()
    assert {act.name: keys.clash(act.name, act.key) for act in ACTS} == {a.name: None for a in ACTS}


def test_a_changed_key_is_used_and_a_taken_one_is_refused():
    keys = KeyMap().with_key("pack", "f5")
    assert (keys.key("pack"), keys.cap("pack")) == ("f5", "F5")
    with pytest.raises(KeyError, match="taken"):
        keys.with_key("transmitter", "f5")
    with pytest.raises(KeyError, match="Tab"):
        keys.with_key("transmitter", "tab")
    assert keys.clash("yaw-left", "p") is None  # flight and bench never meet
    assert keys.clash("practise", "j") is None  # nor do the other sheets with either
    assert "taken" in (keys.clash("practise", "w") or "")
    assert "taken" in (keys.clash("practise", "x") or "")
    assert "taken" in (keys.clash("cut", "p") or "")


@pytest.mark.parametrize("key", ["left", "down", "home", "pagedown", "return"])
def test_on_the_other_sheets_no_act_takes_what_moves_lists_and_slides(key):
    assert "moves" in (KeyMap().clash("settings", key) or "")


def test_a_bench_key_may_not_hide_one_that_is_always_there():
    assert "taken" in (KeyMap().clash("pack", "x") or "")


def test_unknown_acts_of_an_old_settings_file_are_left_out():
    assert KeyMap({"no-such-act": "z"}).changed == {}


@pytest.mark.parametrize(
    ("key", "cap"), [("p", "P"), ("left", "←"), ("ctrl+s", "Ctrl+S"), ("+", "+")]
)
def test_caps(key, cap):
    assert cap_of(key) == cap
