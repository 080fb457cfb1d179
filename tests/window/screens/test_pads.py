"""Teaching a device by keys and hands; how it feels; what is kept."""

from types import SimpleNamespace

import numpy as np
import pytest

from sim.window.app import App
from sim.window.screens.mapping import PadSheet
from sim.window.sticks.mapping import SWITCHES
from tests.window.screens.person import KeyPerson
from tests.window.sticks.hands import STEP_S, Device, Person
from tools.samples.sheets import MadeUpDevice, MadeUpPads, guessed, state_of


class Back:
    def show(self, ui, app, area, dt_s):
        pass


@pytest.fixture
def sheet(app):
    made = PadSheet(Back())
    app.go(made)
    return made


def plugged(app, device=None):
    app.devices = MadeUpPads((device or MadeUpDevice(),))
    app.pad = state_of(device=device)
    return app.devices


def test_without_a_device_it_says_so_and_leads_back(app, sheet):
    person = KeyPerson(app)
    assert "Plug a gamepad or a USB transmitter in" in person.said
    person.strike("escape")
    assert app.screen is sheet.back


def test_the_usual_order_is_tried_felt_and_kept(app, sheet):
    pads = plugged(app)
    person = KeyPerson(app)
    person.press("guess")
    person.to("dead-roll")
    person.strike("right", "right")
    person.to("expo-yaw")
    person.strike("home")
    person.press("save")
    (kept,) = App(app.path).settings.devices
    assert kept == pads.mappings[0]
    assert not kept.unconfirmed
    assert kept.roll.dead_band == pytest.approx(0.10)
    assert kept.yaw.expo == 0.0
    assert kept.pitch == guessed(MadeUpDevice()).pitch
    person.frame()
    assert "is known from now on" in person.said


def test_the_acts_have_keys(app, sheet):
    plugged(app)
    person = KeyPerson(app)
    person.strike("u")
    assert sheet.feel is not None
    person.strike("o")
    assert len(app.settings.devices) == 1
    person.strike("f")
    assert sheet.feel is not None
    person.strike("escape", "t")
    assert sheet.helper is not None


def test_sliders_left_alone_change_nothing(app, sheet):
    pads = plugged(app)
    axis = guessed(MadeUpDevice()).roll.model_copy(update={"dead_band": 0.0234})
    pads.learn(guessed(MadeUpDevice()).model_copy(update={"roll": axis}))
    person = KeyPerson(app)
    person.press("feel")
    person.press("save")
    assert app.settings.devices[0].roll.dead_band == 0.0234


class Wired(Person):
    """Hands on a device that is plugged in; every sample is a frame of the window."""

    def __init__(self, app, keys, device, helper):
        super().__init__(device, helper)
        self.app, self.keys = app, keys

    def deliver(self):
        self.app.pad = SimpleNamespace(
            device=self.app.devices.devices[0],
            axes=self.device.raw(self.way),
            buttons=tuple(self.device.buttons),
            mapping=None,
        )
        self.keys.frame(seconds=STEP_S)


def test_a_device_is_learned_by_hands_and_kept(app, sheet):
    made = MadeUpDevice(axes_count=8, buttons_count=8)
    plugged(app, made)
    app.pad = state_of((0.0,) * 8, made)
    keys = KeyPerson(app)
    keys.press("teach")
    hands = Wired(app, keys, Device(np.random.default_rng(1)), sheet.helper)
    hands.step()
    assert "Hands off" in keys.said
    assert hands.to_switches()
    hands.wait(0.2)
    assert "arms the motors" in keys.said
    for _ in SWITCHES:
        keys.press("skip")
    assert hands.until(lambda: sheet.helper.ready)
    keys.press("keep")
    keys.press("save")
    (kept,) = app.settings.devices
    assert [kept.axis(n).index for n in ("roll", "pitch", "throttle", "yaw")] == [0, 1, 2, 3]
    assert (kept.guid, kept.name) == (made.guid, made.name)


def test_a_device_lost_on_the_way_is_told(app, sheet):
    pads = plugged(app)
    person = KeyPerson(app)
    person.press("teach")
    assert sheet.helper is not None
    pads.devices, app.pad = (), None
    person.frame()
    person.frame()
    assert sheet.helper is None
    assert "unplugged" in person.said
    assert "Plug a gamepad" in person.said


def test_esc_leaves_the_helper_before_the_sheet(app, sheet):
    plugged(app)
    person = KeyPerson(app)
    person.press("teach")
    person.strike("escape")
    assert sheet.helper is None
    assert app.screen is sheet
    person.strike("escape")
    assert app.screen is sheet.back


def test_many_axes_and_buttons_are_all_shown(app, sheet):
    device = MadeUpDevice(axes_count=16, buttons_count=40)
    plugged(app, device)
    app.pad = state_of((0.0,) * 16, device)
    app.change(text_scale=2.0)
    person = KeyPerson(app)
    for i in range(16):
        assert f"axis {i + 1}" in person.canvas.lines()
