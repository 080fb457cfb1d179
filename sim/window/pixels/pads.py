"""Gamepads and USB transmitters through the media library: raw values, mapped, lost and found.

Two traps of the library are met here. On unplugging it first sends every moved axis to the middle,
the throttle with them, and only then, in the same batch, that the device is gone: so a batch is
read whole, and a lost device's motions in it count as never seen. And an axis not moved since
plugging in may read anything, and its first event only repeats that reading: it counts as unknown
until it has left it.
"""

import os
from collections.abc import Iterable
from dataclasses import dataclass, field

import pygame

from sim.aircraft.fields import plain
from sim.window.sticks.mapping import (
    STICK_AXES,
    SWITCHES,
    DeviceKey,
    DeviceMapping,
    Switches,
    SwitchName,
    apply,
    apply_switches,
    guess,
)
from sim.window.sticks.modes import DEFAULT_MODE
from sim.window.sticks.positions import SAFE, Positions

THROTTLE_LOW = 0.05  # 1; own: the throttle was down if it was seen this low
BACKGROUND_HINT = "SDL_JOYSTICK_ALLOW_BACKGROUND_EVENTS"


@dataclass(frozen=True)
class Device:
    """One device plugged in; `instance` is new at every plugging in."""

    instance: int
    guid: str
    name: str
    axes_count: int
    buttons_count: int

    @property
    def key(self) -> DeviceKey:
        """What the device is recognised by when it comes back."""
        return self.guid, self.name, self.axes_count


@dataclass(frozen=True)
class PadState:
    """The device in use after a batch of events.

    `raw` holds None for axes not moved yet, `axes` their reading instead (for the mapping helper).
    Without a mapping the positions are safe and the switches unknown. `went_on` and `went_off` are
    flips within the batch; a switch that is on when plugged in has not flipped.
    """

    device: Device
    raw: tuple[float | None, ...]
    axes: tuple[float, ...]
    buttons: tuple[bool, ...]
    mapping: DeviceMapping | None
    positions: Positions
    switches: Switches
    went_on: frozenset[SwitchName]
    went_off: frozenset[SwitchName]
    throttle_seen_low: bool


@dataclass(frozen=True)
class Lost:
    """The device in use was unplugged: sticks safe, radio failsafe."""

    device: Device


@dataclass
class _Open:
    """A device held open and what it has said."""

    device: Device
    joystick: pygame.joystick.JoystickType
    resting: tuple[float, ...]
    raw: list[float | None]
    buttons: list[bool]
    mapping: DeviceMapping | None = None
    throttle_seen_low: bool = False
    switches: Switches = field(default_factory=Switches)
    went: dict[bool, set[SwitchName]] = field(default_factory=lambda: {True: set(), False: set()})

    def use(self, mapping: DeviceMapping | None) -> None:
        """Take a mapping; the throttle has to be shown low again."""
        self.mapping, self.throttle_seen_low = mapping, False
        self.switches = self._read()

    def _read(self) -> Switches:
        if self.mapping is None:
            return Switches()
        return apply_switches(self.mapping, self.raw, self.buttons)

    def note(self, event: pygame.Event) -> None:
        """Take one motion or press."""
        if event.type == pygame.JOYAXISMOTION:
            if event.axis >= len(self.raw):
                return
            if self.raw[event.axis] is None and event.value == self.resting[event.axis]:
                return
            self.raw[event.axis] = float(event.value)
            self._note_throttle(event.axis)
        elif event.button < len(self.buttons):
            self.buttons[event.button] = event.type == pygame.JOYBUTTONDOWN
        before, self.switches = self.switches, self._read()
        for name in SWITCHES:
            was, now = getattr(before, name), getattr(self.switches, name)
            if was is not None and now is not None and now != was:
                self.went[now].add(name)

    def _note_throttle(self, axis: int) -> None:
        if self.mapping is not None and axis == self.mapping.throttle.index:
            low = apply(self.mapping, self.raw).throttle <= THROTTLE_LOW
            self.throttle_seen_low = self.throttle_seen_low or low

    def state(self) -> PadState:
        """Return what it says now, and begin counting flips anew."""
        pairs = zip(self.raw, self.resting, strict=True)
        went_on, went_off = frozenset(self.went[True]), frozenset(self.went[False])
        self.went = {True: set(), False: set()}
        return PadState(
            device=self.device,
            raw=tuple(self.raw),
            axes=tuple(resting if raw is None else raw for raw, resting in pairs),
            buttons=tuple(self.buttons),
            mapping=self.mapping,
            positions=SAFE if self.mapping is None else apply(self.mapping, self.raw),
            switches=self.switches,
            went_on=went_on,
            went_off=went_off,
            throttle_seen_low=self.throttle_seen_low,
        )


def allow_background() -> None:
    """Keep sticks alive while another window has the focus; call before the library starts."""
    os.environ.setdefault(BACKGROUND_HINT, "1")


class Pads:
    """All devices plugged in, and the one in use.

    Parameters
    ----------
    mappings : iterable of DeviceMapping
        What is known of devices from before.
    mode : int
        Stick mode for the guess at a plain pad.
    """

    def __init__(self, mappings: Iterable[DeviceMapping] = (), mode: int = DEFAULT_MODE) -> None:
        allow_background()
        pygame.joystick.init()
        self.mode = mode
        self._known = {mapping.key: mapping for mapping in mappings}
        self._open: dict[int, _Open] = {}
        self._used: int | None = None
        self._chosen = False
        for index in range(pygame.joystick.get_count()):
            self._plugged(index)

    @property
    def devices(self) -> tuple[Device, ...]:
        """Every device with enough axes for two sticks."""
        return tuple(pad.device for pad in self._open.values())

    @property
    def mappings(self) -> tuple[DeviceMapping, ...]:
        """Every mapping known, to be kept."""
        return tuple(self._known.values())

    def use(self, instance: int) -> None:
        """Use this device from now on; KeyError if it isn't plugged in."""
        self._open[instance].throttle_seen_low = False
        self._used, self._chosen = instance, True

    def learn(self, mapping: DeviceMapping) -> None:
        """Keep a mapping and use it at once for every such device."""
        self._known[mapping.key] = mapping
        for pad in self._open.values():
            if pad.device.key == mapping.key:
                pad.use(mapping)

    def guessed(self) -> DeviceMapping | None:
        """Return an unconfirmed guess for the device in use, if it is a plain pad."""
        if self._used is None:
            return None
        pad = self._open[self._used]
        device = pad.device
        return guess(device.guid, device.name, pad.resting, device.buttons_count, self.mode)

    def poll(self, events: Iterable[pygame.Event]) -> PadState | Lost | None:
        """Take the whole batch of one frame; say how the device in use stands, or that it is gone.

        Call it with every event of the frame at once, never with a part.
        """
        batch = list(events)
        gone = {e.instance_id for e in batch if e.type == pygame.JOYDEVICEREMOVED}
        moves = (pygame.JOYAXISMOTION, pygame.JOYBUTTONDOWN, pygame.JOYBUTTONUP)
        for event in batch:
            if event.type == pygame.JOYDEVICEADDED:
                self._plugged(event.device_index)
            elif event.type in moves and event.instance_id not in gone:
                pad = self._open.get(event.instance_id)
                if pad is not None:
                    pad.note(event)
        lost = self._forget(gone)
        if lost is not None:
            return lost
        self._pick()
        return None if self._used is None else self._open[self._used].state()

    def close(self) -> None:
        """Let go of every device."""
        for pad in self._open.values():
            pad.joystick.quit()
        self._open.clear()
        self._used = None

    def _plugged(self, index: int) -> None:
        try:
            joystick = pygame.joystick.Joystick(index)
        except pygame.error:  # gone again within the batch
            return
        instance = joystick.get_instance_id()
        device = Device(
            instance,
            joystick.get_guid(),
            plain(joystick.get_name()),
            joystick.get_numaxes(),
            joystick.get_numbuttons(),
        )
        if instance in self._open or device.axes_count < STICK_AXES:
            return
        axes = tuple(joystick.get_axis(i) for i in range(device.axes_count))
        buttons = [bool(joystick.get_button(i)) for i in range(device.buttons_count)]
        pad = _Open(device, joystick, axes, [None] * device.axes_count, buttons)
        pad.use(self._known.get(device.key))
        self._open[instance] = pad

    def _forget(self, gone: set[int]) -> Lost | None:
        lost = None
        for instance in gone & self._open.keys():
            pad = self._open.pop(instance)
            pad.joystick.quit()
            if instance == self._used:
                lost = Lost(pad.device)
                self._used, self._chosen = None, False
        return lost

    def _pick(self) -> None:
        """Use a device nobody chose: one with a mapping before one without, the oldest first."""
        if self._chosen or (self._used is not None and self._open[self._used].mapping is not None):
            return
        best = min(self._open.values(), key=lambda pad: pad.mapping is None, default=None)
        if best is not None and best.device.instance != self._used:
            self._used = best.device.instance
            best.throttle_seen_low = False
