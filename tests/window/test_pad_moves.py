"""Sheets gone through with a gamepad: real events of a virtual one, no key struck."""

import time
from types import SimpleNamespace
from typing import Any

import pygame
import pytest

from sim.aircraft.fields import CHANNELS
from sim.session.scenario import load
from sim.window import start
from sim.window.app import App
from sim.window.keys import KeyMap
from sim.window.padmoves import AGAIN_S, FIRST_S, PadMoves, stroke
from sim.window.pixels.loop import Window
from sim.window.practice import Practice
from sim.window.screens.desk import Desk
from sim.window.screens.home import Home
from sim.window.screens.mapping import PadSheet
from sim.window.screens.own.sheet import OwnSheet
from sim.window.screens.pause import Pause
from sim.window.screens.settings import SettingsSheet
from sim.window.sticks.mapping import Button
from sim.window.sticks.positions import Positions
from tests.window.padhands import CHECK, mapped
from tests.window.virtual_pad import VirtualPad, missing

PAUSE = CHECK + 1  # button of the pad
FRAME_S = 0.02
MOST = 300  # pushes of a stick; no sheet has more to go past
KEYS = KeyMap()


def at(roll=0.0, pitch=0.0, yaw=0.0, on=()) -> Any:
    """Return how a pad stands."""
    positions = Positions(roll=roll, pitch=pitch, throttle=0.0, yaw=yaw)
    return SimpleNamespace(positions=positions, mapping="known", went_on=frozenset(on))


def struck(moves: PadMoves, pad: Any, dt_s=FRAME_S, here=True, typing=False) -> list[str]:
    return [s.name for s in moves.strokes(pad, here, typing, KEYS, dt_s)]


@pytest.mark.parametrize(
    ("out", "key"),
    [
        ({"pitch": -0.6}, "up"),
        ({"pitch": 0.6}, "down"),
        ({"roll": -0.6}, "left"),
        ({"roll": 0.6}, "right"),
        ({"yaw": 0.6}, "tab"),
        ({"yaw": -0.6}, "shift+tab"),
        ({"yaw": -0.6, "pitch": 0.7}, "down"),
    ],
)
def test_each_way_of_a_stick_is_one_key(out, key):
    moves = PadMoves()
    assert struck(moves, at(**out)) == [key]
    assert struck(moves, at(**out)) == []  # once


def test_a_stick_held_out_strikes_again_and_one_let_go_at_once():
    moves, down = PadMoves(), at(pitch=0.9)
    assert struck(moves, down) == ["down"]
    assert struck(moves, down, FIRST_S - 0.01) == []
    assert struck(moves, down, 0.02) == ["down"]
    assert struck(moves, down, AGAIN_S + 0.01) == ["down"]
    assert struck(moves, at(pitch=0.4)) == []  # neither let go nor anew
    assert struck(moves, at(pitch=0.2)) == []
    assert struck(moves, down) == ["down"]


def test_half_out_is_nothing_and_a_stick_already_out_waits_to_be_let_go():
    moves = PadMoves()
    assert struck(moves, at(pitch=0.45)) == []
    assert struck(moves, at(pitch=0.9), here=False) == []
    assert struck(moves, at(pitch=0.9), 10.0) == []
    assert struck(moves, at()) == []
    assert struck(moves, at(pitch=0.9)) == ["down"]


def test_the_checks_button_presses_and_the_pauses_leads_out_of_field_and_sheet():
    moves, keys = PadMoves(), KEYS.with_key("pause", "f4")
    pressed = at(on=("check", "pause", "arm"))
    assert [s.name for s in moves.strokes(pressed, True, False, keys, 0.0)] == ["return", "f4"]
    assert struck(moves, pressed, typing=True) == ["return", "escape"]
    assert struck(moves, pressed, here=False) == []
    assert moves.strokes(None, True, False, KEYS, 0.0) == []
    assert stroke("ctrl+q").ctrl


class Thumbs:
    """A person with nothing but a gamepad before the window."""

    def __init__(self, app: App) -> None:
        self.app, self.pad, self.window = app, VirtualPad(), Window(app, size=(1280, 720))
        self.ui = app.ui
        self.frame()
        (device,) = self.window.pads.devices
        self.window.pads.learn(
            mapped(device).model_copy(update={"pause": Button(index=PAUSE, momentary=True)})
        )
        self.frame()

    def frame(self, seconds=FRAME_S) -> None:
        self.window.frame(seconds)

    def push(self, axis: str, way: float) -> None:
        for value in (way, 0.0):
            self.pad.move(CHANNELS.index(axis), value)
            self.frame()

    def press(self, button: int) -> None:
        for down in (True, False):
            self.pad.press(button, down)
            self.frame()
        self.frame()

    def to(self, id_: str) -> None:
        """Go to something by the yaw stick."""
        for _ in range(MOST):
            if self.ui.focus == id_:
                return
            self.push("yaw", 1.0)
        raise AssertionError([n.id for n in self.ui.tree])


@pytest.fixture
def thumbs(tmp_path, monkeypatch):
    if missing():
        pytest.skip(str(missing()))
    monkeypatch.chdir(tmp_path)
    for name in ("DATA", "CONFIG"):
        monkeypatch.setenv(f"XDG_{name}_HOME", str(tmp_path / name.lower()))
    pygame.display.init()
    pygame.joystick.init()
    pygame.event.clear()
    made = Thumbs(App(tmp_path / "window.json"))
    yield made
    made.pad.unplug()
    pygame.event.clear()
    made.window.close()


def test_the_drills_and_the_settings_are_gone_through_with_a_gamepad_alone(thumbs):
    start.home(thumbs.app)
    thumbs.frame()
    ui, first = thumbs.ui, thumbs.app.screen.picked
    assert ui.focus == f"drill:{first}"
    thumbs.push("pitch", 0.9)
    thumbs.push("pitch", 0.9)
    thumbs.push("pitch", -0.9)
    assert ui.focus == f"drill:{first + 1}"
    thumbs.to("settings")
    thumbs.press(CHECK)
    assert isinstance(thumbs.app.screen, SettingsSheet)
    units = thumbs.app.settings.units
    thumbs.to("units")
    thumbs.push("roll", 0.9)
    assert thumbs.app.settings.units != units
    thumbs.press(PAUSE)
    assert isinstance(thumbs.app.screen, Home)


def test_a_sheet_of_questions_is_gone_through_and_left_with_a_gamepad(thumbs):
    start.home(thumbs.app)
    thumbs.frame()
    thumbs.to("own")
    thumbs.press(CHECK)
    assert isinstance(thumbs.app.screen, OwnSheet)
    met = set()
    for _ in range(60):
        met.add(thumbs.ui.focus)
        thumbs.push("yaw", 1.0)
    assert {n.id for n in thumbs.ui.tree if n.enabled and ":" not in n.id} <= met
    thumbs.to(next(n.id for n in thumbs.ui.tree if n.role == "field"))
    thumbs.frame()
    assert thumbs.ui.typing
    thumbs.press(PAUSE)  # out of the field
    assert isinstance(thumbs.app.screen, OwnSheet)
    thumbs.press(PAUSE)
    assert isinstance(thumbs.app.screen, Home)


def test_where_a_device_is_taught_its_sticks_and_buttons_press_nothing(thumbs):
    app = thumbs.app
    app.go(PadSheet(app.screen))
    thumbs.frame()
    thumbs.to("teach")
    thumbs.press(CHECK)
    assert app.screen.helper is not None
    focus = thumbs.ui.focus
    thumbs.push("pitch", 0.9)
    thumbs.press(CHECK)
    thumbs.press(PAUSE)
    assert thumbs.ui.focus == focus
    assert app.screen.helper is not None


def test_at_the_bench_the_sticks_are_the_transmitters_and_the_pause_is_a_sheet(thumbs, tmp_path):
    app = thumbs.app
    practice = Practice(load("quiet-morning"), "quiet-morning", 3, "a test", tmp_path / "run")
    app.take(practice)
    app.go(Desk(app, practice, lambda *_: None, start.pause))
    for _ in range(3000):
        thumbs.frame(0.0)
        if practice.ready and not practice.busy:
            break
        time.sleep(0.001)
    thumbs.frame()
    focus = thumbs.ui.focus
    thumbs.push("pitch", 0.9)
    thumbs.push("yaw", 0.9)
    assert thumbs.ui.focus == focus
    thumbs.press(PAUSE)
    assert isinstance(app.screen, Pause)
    thumbs.to("pause")
    thumbs.press(CHECK)
    assert isinstance(app.screen, Desk)
    assert not practice.paused
