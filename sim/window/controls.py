"""Who moves the sticks: the pad in use, or the keys; and what a lost pad does."""

from dataclasses import replace
from typing import Any, Protocol

from sim.session import actions as act
from sim.window.keys import ACTS, KeyMap
from sim.window.sticks.keysticks import KeySticks
from sim.window.sticks.positions import SAFE, Positions

HELD = tuple(a.name for a in ACTS if a.held)
STOPPED_ITSELF = "It had disarmed by itself. The arm button is off now; its next press arms."
UNKNOWN_THROTTLE = (
    "Move the transmitter's throttle all the way down first: nobody has seen it low yet."
)


class Pad(Protocol):
    """What is used of a pad's state."""

    positions: Positions
    mapping: Any
    switches: Any
    went_on: frozenset[str]
    went_off: frozenset[str]
    throttle_seen_low: bool


def held_acts(keys: KeyMap, down: frozenset[str]) -> frozenset[str]:
    """Return which held acts' keys are down."""
    return frozenset(name for name in HELD if keys.key(name) in down)


class Controls:
    """The sticks of one drill."""

    def __init__(self) -> None:
        self.positions = SAFE
        self._keys = KeySticks()
        self._by_pad = False
        self._seen_low = True
        self._thrown = False  # the sprung arm button has been pressed on, and not off since

    def step(self, acts: frozenset[str], pad: Pad | None, dt_s: float) -> Positions:
        """Return where the sticks are after a frame."""
        if pad is not None and pad.mapping is not None:
            self.positions, self._by_pad = pad.positions, True
            self._seen_low = pad.throttle_seen_low
            self._keys.set(replace(self.positions, roll=0.0, pitch=0.0, yaw=0.0))
            return self.positions
        self._by_pad, self._seen_low = False, True
        self.positions = self._keys.step(acts, dt_s)
        return self.positions

    def lost(self, name: str) -> str:
        """Take a pad's loss: sprung sticks centred, the throttle as it last was; say what now."""
        last = replace(self.positions, roll=0.0, pitch=0.0, yaw=0.0)
        self.positions, self._by_pad = last, False
        self._keys.set(last)
        return f"{name} is gone. The clock is stopped; the keys have the sticks from here."

    def low(self) -> None:
        """Put the keys' throttle down, as after a drill."""
        self._keys.set(SAFE)
        if not self._by_pad:
            self.positions = SAFE

    def refusal(self, action: act.Action) -> str:
        """Return why the sticks don't let an action be done, or nothing."""
        if isinstance(action, act.Arm) and self._by_pad and not self._seen_low:
            return UNKNOWN_THROTTLE
        return ""

    def see(self, armed: bool) -> None:
        """Notice that it is armed: the arm button stands on then, until somebody disarms."""
        self._thrown = self._thrown or armed

    def put_off(self) -> None:
        """Take that somebody disarms, by whatever key or button."""
        self._thrown = False

    def asked(
        self, pad: Pad | None, armed: bool, self_level: bool, tested: bool = False
    ) -> list[act.Action]:
        """Return what the pad's switches ask for in this frame; a sprung one changes over.

        Where it has disarmed by itself, the next press of a sprung arm button only puts that off: it may
        have been meant to disarm.

        tested : the switches are being checked, so that the stop switch is to do it by itself.
        """
        if pad is None or pad.mapping is None:
            return []
        on, off = pad.went_on, pad.went_off
        if "stop" in on and not tested:
            return [act.Disarm()] if armed or self._thrown else []
        wants: list[act.Action] = []
        if sprung(pad, "arm"):
            if "arm" in on:
                wants.append(act.Disarm() if self._thrown else act.Arm())
        elif "arm" in on | off and ("arm" in on) != armed:
            wants.append(act.Arm() if "arm" in on else act.Disarm())
        if "mode" in on | off:
            level = "mode" in on if not sprung(pad, "mode") else not self_level
            if ("mode" in on or not sprung(pad, "mode")) and level != self_level:
                wants.append(act.SetMode(self_level=level))
        return wants


def sprung(pad: Pad, switch: str) -> bool:
    """Tell whether a switch springs back, so that each press changes over."""
    found = pad.mapping.switches().get(switch)
    return found is not None and found.momentary
