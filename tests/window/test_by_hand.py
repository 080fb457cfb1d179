"""Checks done by hand through the screens: begun, worked at by held keys, done, read."""

import pytest

from sim.session import actions as act
from sim.trainees.byhand import OwnHands
from sim.window.pixels.pads import Device, PadState
from sim.window.screens.desk import Desk
from sim.window.sticks.mapping import Switches, SwitchName
from sim.window.sticks.positions import SAFE
from tests.window.keyhands import ON_THE_PAD
from tests.window.padhands import mapped
from tests.window.test_drill import TextWindow


@pytest.fixture
def window(tmp_path):
    made = TextWindow(tmp_path)
    yield made
    made.app.leave()


def taken_up(window):
    """Take the aircraft up at the bench, under power; return the hands at the keys."""
    keys = window.hands()
    keys.settle()
    for action in (
        act.SwitchTransmitter(on=True),
        act.Carry(to="bench", hold="hands"),
        act.PlugPack(),
    ):
        keys.do(action)
    return keys


def test_the_stick_display_is_done_by_held_keys_and_shows_the_reversed_channel(window):
    keys = taken_up(window)
    hands = OwnHands(keys, window.practice.session)
    reading = hands.do(act.Read(check="stick-display")).reading
    assert reading is not None
    assert reading.missing == ()
    assert reading.values["roll_high_share"] == pytest.approx(1.0, abs=0.03)
    assert reading.values["pitch_high_share"] == pytest.approx(-1.0, abs=0.03)  # the drill's fault
    done = [event.action.do for event in window.practice.session.record().events]
    assert "read" not in done
    assert done[-1] == "done"


@pytest.mark.parametrize(
    ("drill", "said", "offered"),
    [
        ("first-evening", None, True),  # the first rung
        ("harvest-evening", None, False),  # the second
        ("harvest-evening", "shown", True),
        ("first-evening", "none", False),
    ],
)
def test_a_check_is_shown_at_the_first_rung_or_where_the_drill_says_so(
    tmp_path, drill, said, offered
):
    window = TextWindow(tmp_path, drill)
    practice = window.practice
    practice.scenario = practice.scenario.model_copy(update={"help": said})
    window.hands().settle()
    desk = window.app.screen
    assert isinstance(desk, Desk)
    desk.page = "page-card"
    while not any(node.id == "show-me" for node in window.app.ui.tree):
        before = desk.card.at
        window.strike("]")
        window.frame()
        if desk.card.at == before:
            break
    seen = any(node.id == "show-me" for node in window.app.ui.tree)
    window.app.leave()
    assert seen is offered


def test_a_stick_left_alone_is_a_line_not_read(window):
    keys = taken_up(window)
    keys.do(act.Begin(check="stick-display"))
    window.strike("j")
    window.frame()
    for held in (("right", "shift"), (), ("left", "shift"), ()):
        for _ in range(50):
            window.frame(held=frozenset(held))
    reading = keys.do(act.Done()).reading
    assert reading is not None
    assert reading.values["roll_low_share"] == pytest.approx(-1.0, abs=0.03)
    assert "yaw_low_share" in reading.missing
    assert "yaw_low_share" not in reading.values


def test_the_hold_key_gives_the_sticks_to_the_hands_on_the_aircraft(window):
    taken_up(window)
    for _ in range(40):
        window.frame(held=frozenset({"z", "right", "shift"}))
    for _ in range(60):
        window.frame()
    view = window.practice.view
    assert view.aircraft.roll_rad > 0.5  # rad; right side down
    assert view.display is not None
    assert view.display.roll_pct == pytest.approx(0.0, abs=2.0)  # the transmitter's stick is let go
    assert view.display.roll_deg > 28.0


def test_armed_on_the_pad_the_sheet_tells_the_open_check_and_how_it_is_read(window):
    keys = window.hands()
    keys.settle()
    for action in (*ON_THE_PAD, act.Begin(check="light-on-legs"), act.Arm()):
        keys.do(action)
    window.frame()
    window.frame()
    said = " ".join(window.canvas.lines())
    assert "Light on the legs for two seconds" in said
    assert "X disarms" in said
    assert "The hop" not in said


def lying_there():
    """Return a gamepad the window knows, with nobody's hands on it."""
    device = Device(1, "made-up", "Test sticks", 8, 8)
    nothing: frozenset[SwitchName] = frozenset()
    still = ((0.0,) * 8, (0.0,) * 8, (False,) * 8)
    return PadState(device, *still, mapped(device), SAFE, Switches(), nothing, nothing, True)


def said(window):
    """Return all that is written, two frames later."""
    window.frame()
    window.frame()
    return " ".join(window.canvas.lines())


def test_with_a_gamepad_its_buttons_are_told_and_not_the_keys_of_the_sticks(window):
    keys = window.hands()
    keys.settle()
    for action in (*ON_THE_PAD, act.Begin(check="light-on-legs")):
        keys.do(action)
    assert "button" not in said(window)
    window.app.pad = lying_there()
    assert "button 1 arms and disarms, button 2 stops the motors" in said(window)
    keys.do(act.Arm())
    told = said(window)
    assert "X or button 1 disarms" in told
    assert "K or button 5 says done" in told
    assert "Throttle up" not in told  # its keys move nothing now
    window.app.pad = None
    told = said(window)
    assert "X disarms" in told
    assert "Throttle up" in told


def test_armed_at_the_bench_the_button_that_arms_disarms(window):
    keys = taken_up(window)
    assert "Disarm" not in said(window)
    keys.do(act.Arm())
    assert "Disarm" in said(window)
    keys.press("cut")
    keys.settle()
    assert not window.practice.view.armed
    assert "Disarm " not in said(window)
