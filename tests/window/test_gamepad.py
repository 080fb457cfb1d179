"""The hop flown with a gamepad through the whole window, and the gamepad lost in the middle of it."""

import time

import pygame
import pytest

from sim.aircraft.fields import CHANNELS
from sim.kernel.radio import Sticks
from sim.session import actions as act
from sim.session.scenario import load
from sim.trainees.driver import Hands
from sim.trainees.hop import hop
from sim.window.app import App
from sim.window.controls import STOPPED_ITSELF
from sim.window.pixels.loop import Window
from sim.window.practice import Practice
from sim.window.screens.desk import Desk
from sim.window.screens.flight import Flight
from tests.window.padhands import ARM, CHECK, HANDS, STOP, learned
from tests.window.virtual_pad import VirtualPad, missing
from tools.samples.drill import TO_THE_PAD

pytestmark = pytest.mark.skipif(missing() is not None, reason=str(missing()))
READY = (act.SwitchTransmitter(on=True), *TO_THE_PAD)
DRAWN_EVERY = 5  # own: the hop is long; every fifth frame's picture is enough
FRAME_S = 0.02  # s; the pilot model's own pace
PATIENCE = 3000  # frames


class Pilot:
    """Moves a virtual pad's sticks; one of a stand-in's two ways to act."""

    def __init__(self, window: Window, pad: VirtualPad) -> None:
        self.window, self.pad, self.frames = window, pad, 0

    @property
    def practice(self) -> Practice:
        drill = self.window.app.drill
        assert isinstance(drill, Practice)
        return drill

    def advance(self, sticks, seconds):
        for i, name in enumerate(CHANNELS):
            value = getattr(sticks, name)
            self.pad.move(i, 2.0 * value - 1.0 if name == "throttle" else value)
        for _ in range(round(seconds / FRAME_S)):
            self.let(FRAME_S)

    def let(self, seconds):
        self.frames += 1
        if self.frames % DRAWN_EVERY:
            self.window.take(seconds)
        else:
            self.window.frame(seconds)

    def do(self, action):
        before = self.practice.last
        if isinstance(action, act.Disarm):
            self.pad.press(STOP)
        else:
            assert self.practice.ask(action)
        for _ in range(PATIENCE):
            self.window.frame(0.0)
            if self.practice.last is not before and not self.practice.busy:
                break
            time.sleep(0.001)
        said = self.practice.last
        assert said is not None
        assert not said.refused, said
        return said


@pytest.fixture
def pilot(tmp_path):
    pygame.display.init()
    pygame.joystick.init()
    pygame.event.clear()
    pad = VirtualPad()
    app = App(tmp_path / "window.json")
    window = Window(app, size=(960, 540))
    learned(window.pads)
    practice = Practice(load("quiet-morning"), "quiet-morning", 3, "a test", tmp_path / "run")
    app.take(practice)
    app.go(Desk(app, practice, lambda *_: None, lambda *_: None))
    made = Pilot(window, pad)
    for _ in range(PATIENCE):
        window.frame(0.0)
        if practice.ready and not practice.busy:
            break
        time.sleep(0.001)
    for action in READY:
        made.do(action)
    yield made
    pad.unplug()
    pygame.event.clear()
    window.close()


def armed(pilot: Pilot) -> None:
    """Show the throttle low, then press the arm button."""
    pilot.pad.move(CHANNELS.index("throttle"), -0.5)
    pilot.window.frame(0.0)
    pilot.pad.move(CHANNELS.index("throttle"), -1.0)
    pilot.window.frame(0.0)
    pilot.pad.press(ARM)
    for _ in range(PATIENCE):
        pilot.window.frame(0.0)
        if pilot.practice.view.armed and not pilot.practice.busy:
            break
        time.sleep(0.001)
    pilot.pad.press(ARM, down=False)
    pilot.window.frame(0.0)
    assert isinstance(pilot.window.app.screen, Flight)


def test_nothing_arms_before_the_throttle_has_been_seen_low(pilot):
    pilot.pad.press(ARM)
    pilot.window.frame(0.0)
    pilot.window.frame(0.0)
    assert not pilot.practice.view.armed
    assert "throttle" in pilot.window.app.notice


def pressed(pilot: Pilot, button: int) -> None:
    """Press a button, let it go, and wait for what comes of it."""
    for down in (True, False):
        pilot.pad.press(button, down)
        pilot.let(FRAME_S)
    for _ in range(PATIENCE):
        if not pilot.practice.busy:
            return
        pilot.window.frame(0.0)
        time.sleep(0.001)


@pytest.mark.parametrize("button", [ARM, STOP])
def test_a_press_meant_to_disarm_arms_nothing_where_it_has_disarmed_by_itself(pilot, button):
    armed(pilot)
    pilot.do(act.SwitchTransmitter(on=False))
    for _ in range(100):
        pilot.let(FRAME_S)
    assert not pilot.practice.view.armed  # the link is lost
    pilot.do(act.SwitchTransmitter(on=True))
    pressed(pilot, button)
    assert not pilot.practice.view.armed
    assert pilot.window.app.notice == STOPPED_ITSELF
    pressed(pilot, ARM)
    assert pilot.practice.view.armed
    assert pilot.window.app.notice == ""
    pressed(pilot, ARM)
    assert not pilot.practice.view.armed
    assert pilot.window.app.notice == ""  # a person did it
    pressed(pilot, ARM)
    assert pilot.practice.view.armed


def test_the_hop_is_flown_with_a_gamepad(pilot):
    armed(pilot)
    hands = Hands(pilot, pilot.practice.session)
    plan = pilot.practice.scenario.hop
    assert hop(hands, plan.height_m, 5.0, hands.sheet.hover_throttle)
    record = pilot.practice.session.record()
    assert record.takeoff_s is not None
    assert record.crash == ()
    assert record.track["height_m"].max() == pytest.approx(plan.height_m, abs=0.3)  # pilot's swing
    assert record.touchdown_m_s < 1.0  # m/s; a hard landing is logged above that


def test_a_gamepad_unplugged_in_the_hop_pauses_with_safe_sticks(pilot):
    armed(pilot)
    throttle = 0.5
    hands = Hands(pilot, pilot.practice.session)
    rig = pilot.practice.session.rig
    for _ in range(60):
        hands.fly(Sticks(0.1, 0.0, throttle, 0.0, 1.0, 1.0, 0.0), 0.02)
    at = rig.tick
    pilot.pad.move(CHANNELS.index("roll"), 0.4)
    pilot.pad.unplug()
    for _ in range(20):
        pilot.window.frame(0.02)
    app = pilot.window.app
    assert pilot.practice.paused
    assert rig.tick == at
    now = app.controls.positions
    assert (now.roll, now.pitch, now.yaw) == (0.0, 0.0, 0.0)
    assert now.throttle == pytest.approx(
        throttle, abs=1e-3
    )  # 16-bit axis; not the library's middle
    assert "is gone" in app.notice
    assert isinstance(app.screen, Flight)
    pygame.event.post(pygame.event.Event(pygame.KEYDOWN, key=pygame.K_RETURN, unicode="\r", mod=0))
    pilot.window.frame(0.02)
    pilot.window.frame(0.02)
    assert not pilot.practice.paused
    assert rig.tick > at


def test_the_pads_sticks_are_the_transmitters_until_its_button_puts_the_hands_on(pilot):
    pilot.do(act.UnplugPack())
    pilot.do(act.RemoveProps())
    pilot.do(act.Carry(to="bench", hold="hands"))
    pilot.do(act.PlugPack())
    roll = CHANNELS.index("roll")
    pilot.pad.move(roll, 0.5)
    for _ in range(50):
        pilot.let(FRAME_S)
    view = pilot.practice.view
    assert view.display is not None
    assert view.display.roll_pct == pytest.approx(50.0, abs=3.0)
    assert view.display.roll_deg == pytest.approx(0.0, abs=3.0)
    pilot.pad.press(HANDS)
    for _ in range(20):
        pilot.let(FRAME_S)
    turned = pilot.practice.view.aircraft.roll_rad
    assert turned == pytest.approx(0.5 * 1.6 * 0.4, abs=0.12)  # rad: half the fastest, for 0.4 s
    pilot.pad.press(HANDS, down=False)
    pilot.pad.move(roll, 0.0)
    for _ in range(50):
        pilot.let(FRAME_S)
    view = pilot.practice.view
    assert view.display is not None
    assert view.display.roll_pct == pytest.approx(0.0, abs=3.0)
    assert view.display.roll_deg > 12.0  # it is kept where it was turned to


def test_the_pads_button_begins_a_check_and_is_done_with_it(pilot):
    pilot.do(act.UnplugPack())
    pilot.do(act.RemoveProps())
    pilot.do(act.Carry(to="bench", hold="hands"))
    pilot.do(act.PlugPack())
    desk = pilot.window.app.screen
    page = desk.card
    page.at = next(
        i for i, c in enumerate(page.cards) if "stick-display" in [n.check for n in c.items]
    )
    page.item = [n.check for n in page.card.items].index("stick-display")
    for expected in ("stick-display", None):
        pilot.pad.press(CHECK)
        for _ in range(PATIENCE):
            pilot.window.frame(FRAME_S)
            if pilot.practice.view.doing == expected and not pilot.practice.busy:
                break
            time.sleep(0.001)
        pilot.pad.press(CHECK, down=False)
        assert pilot.practice.view.doing == expected
        for channel in ("roll", "pitch"):
            for value in (-1.0, 0.0, 1.0, 0.0):
                pilot.pad.move(CHANNELS.index(channel), value)
                for _ in range(40):
                    pilot.let(FRAME_S)
    read = pilot.practice.view.readings["stick-display"]
    assert read.values["roll_high_share"] == pytest.approx(1.0, abs=0.03)
    assert "yaw_high_share" in read.missing
