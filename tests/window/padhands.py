"""Hands with a gamepad: its sticks and buttons for what they can do, the keyboard for all else."""

from collections.abc import Callable

from sim.aircraft.fields import CHANNELS
from sim.bench.check import sticks as at_rest
from sim.kernel.radio import Sticks
from sim.session import actions as act
from sim.window.app import App
from sim.window.pixels.pads import Device, Pads
from sim.window.sticks.mapping import Axis, Button, DeviceMapping
from tests.window.keyhands import KeyHands
from tests.window.thumbs import FRAME_S
from tests.window.virtual_pad import VirtualPad

ARM, STOP, MODE, HANDS, CHECK = range(5)  # buttons of the pad
BUTTON_OF = {"arm": ARM, "disarm": STOP, "set-mode": MODE}


def straight(index: int) -> Axis:
    """Return an axis without dead band or curve."""
    return Axis(index=index, dead_band=0.0, expo=0.0)


def mapped(device: Device) -> DeviceMapping:
    """Return what the window is taught of a device: axes in our order, buttons as above."""
    roll, pitch, throttle, yaw = (straight(i) for i in range(len(CHANNELS)))
    return DeviceMapping(
        guid=device.guid,
        name=device.name,
        axes_count=device.axes_count,
        buttons_count=device.buttons_count,
        roll=roll,
        pitch=pitch,
        throttle=throttle,
        yaw=yaw,
        arm=Button(index=ARM, momentary=True),
        stop=Button(index=STOP, momentary=True),
        mode=Button(index=MODE, momentary=True),
        hands=Button(index=HANDS),
        check=Button(index=CHECK, momentary=True),
    )


def learned(pads: Pads) -> None:
    """Teach the window the one pad that is plugged in."""
    (device,) = pads.devices
    pads.learn(mapped(device))


class PadHands(KeyHands):
    """Moves sticks, arms, stops, turns the aircraft and is done with checks by the pad."""

    springs_1_s = float("inf")  # a thumb on a stick brings it back itself

    def __init__(
        self,
        app: App,
        strike: Callable[[str], None],
        types: Callable[[str], None],
        frame: Callable[[frozenset[str], float], None],
        pad: VirtualPad,
    ) -> None:
        super().__init__(app, strike, types, frame)
        self.pad = pad
        self.presses = 0
        self._down: dict[int, bool] = {}
        for throttle in (0.2, 0.0):  # nobody arms before it has been seen low
            self.steer(at_rest(throttle), False, FRAME_S)

    def _hold(self, button: int, down: bool) -> None:
        """Hold a button down, or let it go."""
        if self._down.get(button, False) != down:
            self.presses += down
            self._down[button] = down
            self.pad.press(button, down)

    def steer(self, sticks: Sticks, hands_on: bool, dt_s: float, idle_s: float = 0.0) -> float:
        """Put the pad's sticks where they should be and do one frame."""
        for i, name in enumerate(CHANNELS):
            value = getattr(sticks, name)
            self.pad.move(i, 2.0 * value - 1.0 if name == "throttle" else value)
        self._hold(HANDS, hands_on)
        more_s = max(0.0, idle_s - dt_s)
        self.frame(frozenset(), dt_s + more_s)
        return more_s

    def _take_sticks(self) -> None:
        """Do nothing: a pad's sticks are in the hands already."""

    def _switch(self, sticks: Sticks) -> None:
        """Hold the stop button while it should stop; the radio's own switch is a key."""
        super()._switch(sticks._replace(stop=float(self.practice.stop)))
        self._hold(STOP, sticks.stop > 0.0)

    def _press(self, button: int) -> None:
        """Press a button and let it go."""
        self._hold(button, True)
        self.frame(frozenset(), 0.0)
        self._hold(button, False)
        self.frame(frozenset(), 0.0)  # let go is seen too, or the next press is none

    def perform(self, action: act.Action) -> None:
        """Do it by a button of the pad if there is one, else by keys."""
        if action.do == "disarm" and self.practice.view.doing == "switches":
            self._press(ARM)  # there the stop button is only the switch that is being tried
        elif action.do in BUTTON_OF:
            self._press(BUTTON_OF[action.do])
        elif action.do == "done":
            self._press(CHECK)
        else:
            super().perform(action)
