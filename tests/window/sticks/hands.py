"""Devices as they come, and a person who does what the mapping helper asks."""

from collections.abc import Callable
from dataclasses import dataclass, field
from math import pi, sin

import numpy as np

from sim.aircraft.fields import CHANNELS, ChannelName
from sim.window.sticks import prompts
from sim.window.sticks.helper import ORDER, Helper
from sim.window.sticks.mapping import SWITCHES

STEP_S = 1.0 / 30.0
SPEED_1_S = 9.0  # stick travel a second: a quick hand
DOWN = {"roll": 0.0, "pitch": 0.0, "yaw": 0.0, "throttle": -1.0}  # hands off, throttle left down
SPRUNG = {**DOWN, "throttle": 0.0}

Way = dict[str, float]  # travel of each function, -1..1


@dataclass
class Device:
    """Raw axes for the travel of each function: order, sense, range, offset, noise, steps, mix."""

    rng: np.random.Generator
    axes: int = 8
    spread_over: tuple[int, ...] = (0, 1, 2, 3)  # axis of roll, pitch, throttle, yaw
    sense: tuple[float, ...] = (1.0, 1.0, 1.0, 1.0)
    reach: tuple[float, ...] = (1.0, 1.0, 1.0, 1.0)
    offset: tuple[float, ...] = (0.0, 0.0, 0.0, 0.0)
    noise: float = 0.0
    bits: int = 11
    crosstalk: float = 0.0
    buttons: list[bool] = field(default_factory=lambda: [False] * 8)
    levers: dict[int, float] = field(default_factory=dict)

    @classmethod
    def random(cls, seed: int) -> "Device":
        rng = np.random.default_rng(seed)
        axes = int(rng.integers(4, 9))
        order = tuple(int(i) for i in rng.permutation(axes)[:4])
        return cls(
            rng,
            axes=axes,
            spread_over=order,
            sense=tuple(rng.choice([-1.0, 1.0], 4)),
            reach=tuple(rng.uniform(0.6, 1.0, 4)),
            offset=tuple(rng.uniform(-0.1, 0.1, 4)),
            noise=float(rng.uniform(0.0, 0.01)),
            bits=int(rng.integers(8, 12)),
            crosstalk=float(rng.uniform(0.0, 0.15)),
        )

    def raw(self, way: Way, quiet: bool = False) -> tuple[float, ...]:
        values = np.zeros(self.axes)
        travels = [way[name] for name in CHANNELS]
        for i, axis in enumerate(self.spread_over):
            mixed = travels[i] + self.crosstalk * travels[(i + 1) % 4]
            values[axis] = self.offset[i] + self.sense[i] * self.reach[i] * mixed
        for axis, value in self.levers.items():
            values[axis] = value
        if not quiet:
            values += self.rng.normal(0.0, self.noise, self.axes)
        steps = 2.0 ** (self.bits - 1)
        return tuple(float(v) for v in np.clip(np.round(values * steps) / steps, -1.0, 1.0))


def swung(time_s: float, seconds: float = 2.0) -> float:
    """Two sweeps to both ends, from the middle back to it."""
    return sin(4.0 * pi * min(time_s, seconds) / seconds)


class Person:
    """Follows the prompts. `sprung`: the throttle springs to the middle."""

    def __init__(self, device: Device, helper: Helper, mode: int = 2, sprung: bool = False) -> None:
        self.device, self.helper, self.mode = device, helper, mode
        self.rest = SPRUNG if sprung else DOWN
        self.way = dict(self.rest)
        self.time_s = 0.0
        self._prompt, self._since_s = "", 0.0

    def _wanted(self) -> Way:
        """Where the sticks should be, for the prompt and the time since it came up."""
        after_s = self.time_s - self._since_s - 0.3
        wanted = dict(self.rest)
        for name in ORDER:
            if self._prompt == prompts.sweep(name, self.mode) and after_s > 0.0:
                wanted[name] = self.way_of_sweep(name, after_s)
            if self._prompt == prompts.hold(name, self.mode):
                wanted[name] = self.rest[name] if after_s < 0.0 else self.held(name)
        if self._prompt.startswith(prompts.LIVE[:30]) and after_s > 0.0:
            wanted = {name: self.way_of_sweep(name, after_s % 3.0) for name in CHANNELS}
        return wanted

    def way_of_sweep(self, name: ChannelName, after_s: float) -> float:
        rest = self.rest[name]
        if rest == 0.0:
            return swung(after_s)
        return -1.0 + 2.0 * abs(sin(2.0 * pi * min(after_s, 1.0)))

    def held(self, name: ChannelName) -> float:
        return 1.0

    def step(self) -> None:
        """One sample: hands move as fast as hands can."""
        self.time_s += STEP_S
        if self.helper.prompt != self._prompt:
            self._prompt, self._since_s = self.helper.prompt, self.time_s
        most = SPEED_1_S * STEP_S
        for name, target in self._wanted().items():
            self.way[name] += min(most, max(-most, target - self.way[name]))
        self.deliver()

    def deliver(self) -> None:
        self.helper.feed(self.time_s, self.device.raw(self.way), tuple(self.device.buttons))

    def until(self, done: Callable[[], bool], most_s: float = 60.0) -> bool:
        """Go on until something holds; tell whether it did in time."""
        end_s = self.time_s + most_s
        while not done() and self.time_s < end_s:
            self.step()
        return done()

    def wait(self, seconds: float) -> None:
        """Let time pass."""
        self.until(lambda: False, seconds)

    def flip(self, button: int, momentary: bool = False) -> None:
        """Flip a switch a moment after the prompt and wait for the next step."""
        prompt = self.helper.prompt
        self.wait(0.8)
        self.device.buttons[button] = True
        if momentary:
            for _ in range(6):
                self.step()
            self.device.buttons[button] = False
        self.until(lambda: self.helper.prompt != prompt or self.helper.trouble is not None, 3.0)

    def to_switches(self) -> bool:
        return self.until(lambda: self.helper.may_skip)

    def skip_all(self) -> None:
        for _ in SWITCHES:
            self.helper.skip()

    def whole(self) -> bool:
        """Do everything, leave the switches out, confirm."""
        if not self.to_switches():
            return False
        self.skip_all()
        return self.until(lambda: self.helper.ready) and self.helper.confirm()
