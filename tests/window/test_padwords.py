"""What the buttons of a device do, in words beside the keys."""

from sim.window.keys import KeyMap
from sim.window.padwords import either, flying, on_sheet, on_sheets, told
from sim.window.pixels.pads import Device
from sim.window.sticks.mapping import SWITCHES, Lever
from tests.window.padhands import mapped

DEVICE = mapped(Device(1, "made-up", "Test sticks", 8, 8))
BARE = DEVICE.model_copy(update=dict.fromkeys(SWITCHES))


def test_without_a_device_the_pilot_has_keys_alone():
    rows = dict(flying(KeyMap(), None))
    assert rows["Cut: disarm now"] == ["X"]
    assert rows["Throttle up, down"] == ["W", "S"]
    assert "Arm, disarm" not in rows


def test_a_device_takes_the_keys_of_the_sticks_and_adds_its_buttons():
    rows = dict(flying(KeyMap({"cut": "l"}), DEVICE))
    assert rows["Cut: disarm now"] == ["L", "button 2"]
    assert rows["Arm, disarm"] == ["button 1"]
    assert rows["Pause"] == ["Esc"]  # it has no button for that
    assert "Throttle up, down" not in rows
    assert "Whole stick travel" not in rows


def test_a_switch_is_counted_from_one_whatever_it_is():
    levered = DEVICE.model_copy(update={"arm": Lever(index=5)})
    assert either("X", levered, "arm") == "X or axis 6"
    assert either("X", DEVICE, "pause") == "X"
    assert either("X", None, "arm") == "X"


def test_each_switch_of_a_device_is_told_once():
    assert told(DEVICE) == (
        "Test sticks has the sticks; button 1 arms and disarms, button 2 stops the motors, "
        "button 3 changes the mode, button 4 held puts the hands on the aircraft, "
        "button 5 begins a check and is done with it."
    )
    assert told(DEVICE, ("hands", "check")) == (
        "Test sticks has the sticks; button 4 held puts the hands on the aircraft, "
        "button 5 begins a check and is done with it."
    )
    assert told(BARE) == "Test sticks has the sticks; the keys do the rest."


def test_what_of_a_device_does_what_a_key_does_on_a_sheet():
    keys = KeyMap({"pause": "f4"})
    leading = DEVICE.model_copy(update={"pause": Lever(index=6)})
    for cap, does in (("Enter", ["button 5"]), ("F4", ["axis 7"]), ("↑ ↓", ["pitch"]), ("?", [])):
        assert on_sheet(cap, keys, leading) == does
        assert on_sheet(cap, keys, None) == []
    assert on_sheet("Enter", keys, BARE) == []
    assert on_sheets(leading).endswith("yaw goes onward, button 5 presses, axis 7 leads out.")
    assert on_sheets(BARE).endswith("yaw goes onward.")
