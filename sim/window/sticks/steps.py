"""The steps of the mapping helper: each takes samples until it has learned its one thing.

`feed` returns True when the step is done; `trouble` says in words what was wrong with the last try.
"""

from typing import Literal, Protocol

import numpy as np

from sim.aircraft.fields import CHANNELS, ChannelName
from sim.window.sticks import prompts
from sim.window.sticks.mapping import (
    USUAL_DEAD_BAND,
    USUAL_EXPO,
    Axis,
)
from sim.window.sticks.positions import clipped
from sim.window.sticks.watching import (
    ENOUGH,
    MARGIN,
    MOVED,
    NEAR_END,
    TURNS,
    Findings,
    Sample,
    Swing,
    Window,
    spans,
)

REST_S = 1.0  # s; own: long enough for noise and middle
REST_SPREAD = 0.2  # raw units of 2; own: more is a hand, not noise
QUIET_S = 0.4  # s; own: this long without motion ends a sweep
QUIET_SPREAD = 0.06  # raw units of 2; own
QUIET_SIGMAS = 8.0  # 1; own: noise of both ends of a run of some 25 samples
SIGMAS = 12.0  # 1; measured on 300 simulated devices: least travel over noise
RUNNER_UP = 0.6  # 1; measured on 300 simulated devices: most another axis may move along
HOLD_S = 0.5  # s; own: held this long is meant
HOLD_SPREAD = 0.1  # 1 of the travel; own
PATIENCE_S = 8.0  # s; own: then say what is missing
IDLE_S = 3.0  # s; own: stopped this long is given up
SWEEP_LIMIT_S = 15.0  # s; own: two slow sweeps take ten
MIDDLE = 0.25  # 1 of the travel; own: this near the middle counts as the middle
DEAD_SIGMAS = 4.0  # 1; own: noise stays inside the dead band and is no motion
MOST_DEAD = 0.2  # 1; own: a worse stick needs repair
JERK = 0.4  # raw units of 2; own: another stick moved this far is held on purpose


class Step(Protocol):
    """One step of the helper."""

    @property
    def prompt(self) -> str:
        """What the person should do."""
        ...

    @property
    def trouble(self) -> str | None:
        """What was wrong with the last try."""
        ...

    def feed(self, sample: Sample) -> bool:
        """Take a sample; tell whether the step is done."""
        ...


class Rest:
    """A second with hands off: noise, and where everything stands."""

    prompt = prompts.REST

    def __init__(self, found: Findings) -> None:
        self.found = found
        self._window = Window(REST_S)
        self.trouble: str | None = None

    def feed(self, sample: Sample) -> bool:
        """Take a sample; done after a quiet second."""
        window = self._window
        window.add(sample)
        if any(window.spread(i) > REST_SPREAD for i in range(self.found.axes_count)):
            self.trouble, self._window = prompts.SHAKY, Window(REST_S)
            return False
        if not window.full:
            return False
        table = window.table()
        self.found.rest = [float(v) for v in table.mean(axis=0)]
        self.found.noise = [float(v) for v in table.std(axis=0)]
        return True


class Sweep:
    """Both ends of one function, twice: which axis it is and how far it goes."""

    def __init__(self, found: Findings, function: ChannelName, mode: int) -> None:
        self.found, self.function, self.mode = found, function, mode
        self.prompt = prompts.sweep(function, mode)
        self.trouble: str | None = None
        self._what = prompts.stick_words(function, mode)
        self._fresh()

    def _fresh(self) -> None:
        self._came: Sample | None = None
        self._back = False
        self._start: Sample | None = None
        self._moved: Sample | None = None
        self._rows: list[tuple[float, ...]] = []
        self._swings: list[Swing] = []
        self._quiet, self._idle = Window(QUIET_S), Window(IDLE_S)

    def _refuse(self, words: str) -> None:
        self.trouble = words.format(what=self._what, wanted=self.function)
        self._fresh()

    def feed(self, sample: Sample) -> bool:
        """Take a sample; done when one free axis went to both ends twice and stopped."""
        if not self._back and not self._all_back(sample):
            return False
        self._start = self._start or sample
        if self._moved is None:
            self._await_motion(sample, self._start)
            return False
        self._rows.append(sample.axes)
        self._quiet.add(sample)
        self._idle.add(sample)
        for swing, raw in zip(self._swings, sample.axes, strict=True):
            swing.add(raw)
        lead = max(range(self.found.axes_count), key=lambda i: self._swings[i].span)
        late = sample.time_s - self._moved.time_s > SWEEP_LIMIT_S
        twice = self._swings[lead].turns >= TURNS
        if twice and (late or self._is_quiet(lead, self._quiet)):
            return self._judged()
        if late or self._is_quiet(lead, self._idle):
            far = self._swings[lead].span >= ENOUGH
            self._refuse(prompts.NOT_TWICE if far else prompts.TOO_LITTLE)
        return False

    def _all_back(self, sample: Sample) -> bool:
        """Wait for the sticks already known to spring back."""
        self._came = self._came or sample
        found = self.found
        out = [
            abs(found.share(name, sample.axes[i]) - 0.5) > MIDDLE for name, i in found.index.items()
        ]
        if any(out) and sample.time_s - self._came.time_s > PATIENCE_S:
            self.trouble = prompts.NOT_BACK
        self._back = not any(out)
        return self._back

    def _await_motion(self, sample: Sample, start: Sample) -> None:
        triples = zip(sample.axes, start.axes, self.found.noise, strict=True)
        if any(abs(a - b) > max(MOVED, DEAD_SIGMAS * noise) for a, b, noise in triples):
            self._moved = sample
            self._rows = [start.axes, sample.axes]
            self._swings = [Swing(raw) for raw in start.axes]
        elif sample.time_s - start.time_s > PATIENCE_S:
            self._refuse(prompts.TOO_LITTLE)

    def _is_quiet(self, axis: int, window: Window) -> bool:
        most = max(QUIET_SPREAD, QUIET_SIGMAS * self.found.noise[axis])
        return window.full and window.spread(axis) <= most

    def _judged(self) -> bool:
        """Find the axis that moved; refuse what is unclear."""
        found = self.found
        low, high = spans(self._rows)
        reach = high - low
        order = np.argsort(reach)
        best, second = int(order[-1]), int(order[-2])
        owner = found.owner(best)
        middle = (found.rest[best] - low[best]) / max(float(reach[best]), MOVED)
        sprung = self.function != "throttle"
        if reach[best] < ENOUGH:
            self._refuse(prompts.TOO_LITTLE)
        elif reach[best] < SIGMAS * found.noise[best]:
            self._refuse(prompts.TOO_NOISY)
        elif reach[second] > RUNNER_UP * reach[best]:
            self._refuse(prompts.SEVERAL)
        elif owner is not None:
            self._refuse(prompts.TAKEN.replace("{what}", owner))
        elif sprung and not NEAR_END < middle < 1.0 - NEAR_END:
            self._refuse(prompts.ONE_SIDED)
        else:
            found.index[self.function] = best
            found.low[self.function], found.high[self.function] = (
                float(low[best]),
                float(high[best]),
            )
            return True
        return False


class Hold:
    """The end that counts as positive."""

    def __init__(self, found: Findings, function: ChannelName, mode: int) -> None:
        self.found, self.function = found, function
        self.prompt = prompts.hold(function, mode)
        self.trouble: str | None = None
        self._what = prompts.stick_words(function, mode)
        self._start: Sample | None = None
        self._travelled = False
        self._window = Window(HOLD_S)

    def feed(self, sample: Sample) -> bool:
        """Take a sample; done when the axis came from elsewhere to an end and stayed there."""
        found, axis = self.found, self.found.index[self.function]
        start = self._start = self._start or sample
        self._window.add(sample)
        share = found.share(self.function, sample.axes[axis])
        moved = share - found.share(self.function, start.axes[axis])
        self._travelled |= abs(share - 0.5) < MIDDLE or abs(moved) > 0.5
        if not self._window.full:
            return False
        travel = found.high[self.function] - found.low[self.function]
        at_end = abs(share - 0.5) > 0.5 - NEAR_END
        held = at_end and self._window.spread(axis) <= HOLD_SPREAD * travel
        if held and self._travelled:
            found.sign[self.function] = 1 if share > 0.5 else -1
            return True
        if held and sample.time_s - start.time_s > 0.5 * PATIENCE_S:
            where = prompts.POSITIVE[self.function]
            self.trouble = prompts.THROUGH_MIDDLE.format(where=where)
        elif not at_end and self._other_held(axis, start):
            self.trouble = prompts.OTHER_HELD.format(what=self._what)
        return False

    def _other_held(self, axis: int, start: Sample) -> bool:
        last = self._window.samples[-1].axes
        return any(
            i != axis and abs(last[i] - start.axes[i]) > JERK and self._window.spread(i) < MOVED
            for i in range(self.found.axes_count)
        )


class Settle:
    """Hands off once more: the middles, now that every axis has been moved."""

    prompt = prompts.SETTLE

    def __init__(self, found: Findings) -> None:
        self.found = found
        self.trouble: str | None = None
        self._window = Window(REST_S)
        self._first: Sample | None = None

    def feed(self, sample: Sample) -> bool:
        """Take a sample; done when all sprung sticks lie in the middle and the throttle is down."""
        found, window = self.found, self._window
        first = self._first = self._first or sample
        window.add(sample)
        if not window.full:
            return False
        middle = window.table().mean(axis=0)
        trouble = self._out(middle)
        if trouble is None and any(window.spread(i) > REST_SPREAD for i in found.index.values()):
            trouble = prompts.SHAKY
        if trouble is not None:
            if sample.time_s - first.time_s > 2.0 * REST_S:
                self.trouble = trouble
            return False
        for name in CHANNELS:
            found.axes[name] = self._axis(name, float(middle[found.index[name]]))
        return True

    def _out(self, middle: np.ndarray) -> str | None:
        for name, i in self.found.index.items():
            share = self.found.share(name, float(middle[i]))
            if name != "throttle" and not NEAR_END < share < 1.0 - NEAR_END:
                return prompts.STILL_OUT.format(what=name)
            if name == "throttle" and self._height(share) > 0.5 + MIDDLE:
                return prompts.THROTTLE_UP
        return None

    def _height(self, share: float) -> float:
        return share if self.found.sign["throttle"] > 0 else 1.0 - share

    def _axis(self, name: ChannelName, centre: float) -> Axis:
        found, i = self.found, self.found.index[name]
        low, high = found.low[name], found.high[name]
        lever = name == "throttle"
        cut = MARGIN * (high - low)
        at_first, now = found.share(name, found.rest[i]), found.share(name, centre)
        sprung = lever and abs(at_first - 0.5) < MIDDLE and abs(now - 0.5) < MIDDLE
        dead = DEAD_SIGMAS * found.noise[i] / (0.5 * (high - low))
        sign: Literal[1, -1] = 1 if found.sign[name] > 0 else -1
        return Axis(
            index=i,
            sign=sign,
            low=low + cut,
            centre=centre if sprung or not lever else 0.5 * (low + high),
            high=high - cut,
            dead_band=clipped(dead, USUAL_DEAD_BAND, MOST_DEAD),
            expo=0.0 if lever else USUAL_EXPO,
            from_centre=sprung,
        )
