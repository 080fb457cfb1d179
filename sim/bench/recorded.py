"""What was recorded while somebody did a check by hand, and how to find what was done in it.

A check's `by_hand` reads from it as a person reads off a display: where the sticks rested, where
the aircraft was held still, when a switch went over.
"""

from collections import deque
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sim.aircraft.conduct import Conduct
from sim.aircraft.world import World
from sim.bench.inputs import Inputs, Slider, Turning
from sim.bench.reading import Reading
from sim.bench.rig import History, Rig
from sim.kernel.clock import TICK_S
from sim.kernel.history import HISTORY
from sim.kernel.radio import Sticks

KEPT_S = 300.0  # s; own: no check takes that long without a pause; what was before it is let go
TREMBLES_S = 0.2  # s; own: two trembles of a hand
Reals = NDArray[np.float64]
Mask = NDArray[np.bool_]


@dataclass(frozen=True)
class Stretch:
    """A time in which the hands did one thing.

    sticks : as they were moved, sent or not; armed, armed_after : before the first and after the
    last tick; history : rows 2 ms apart, none if it was shorter.
    """

    sticks: Sticks
    turning: Turning | None
    motor: Slider | None
    armed: bool
    armed_after: bool
    conduct: Conduct
    history: History

    @property
    def transmitting(self) -> bool:
        """Whether the transmitter was on."""
        return self.conduct.transmitter_on and self.sticks.transmitter_on > 0.0


@dataclass(frozen=True)
class ArmTry:
    """A try to arm: when, how the sticks were, whether the transmitter was on, whether it refused."""

    time_s: float
    sticks: Sticks
    transmitting: bool
    refused: bool


@dataclass(frozen=True)
class Span:
    """Some rows of a recording that belong together."""

    rows: slice
    history: History

    @property
    def seconds(self) -> float:
        """How long it lasted, s: from its first row to its last."""
        return self.ends_s - self.begins_s

    @property
    def begins_s(self) -> float:
        """The clock at its first row, s."""
        return float(self.history["time_s"][0])

    @property
    def ends_s(self) -> float:
        """The clock at its last row, s."""
        return float(self.history["time_s"][-1])

    def first(self, seconds: float) -> History:
        """Return its first `seconds`."""
        return History(self.history.rows[self.history["time_s"] <= self.begins_s + seconds])


@dataclass(frozen=True)
class Recorded:
    """All that was done between beginning a check and being done with it, in order."""

    stretches: tuple[Stretch, ...]
    arm_tries: tuple[ArmTry, ...] = ()

    @cached_property
    def whole(self) -> History:
        """Everything as one recording."""
        rows = [stretch.history.rows for stretch in self.stretches]
        return History(np.vstack(rows) if rows else np.empty((0, len(HISTORY))))

    def each(self, of: Callable[[Stretch], float]) -> NDArray[np.float64]:
        """Return a value of the stretches once for every row."""
        values = [float(of(stretch)) for stretch in self.stretches]
        return np.repeat(values, [len(stretch.history) for stretch in self.stretches])

    def where(self, mask: Mask, least_s: float = 0.0) -> list[Span]:
        """Return the spans of rows in which a mask holds without a break, from `least_s` on."""
        edges = np.flatnonzero(np.diff(np.concatenate(([False], mask, [False])).astype(int)))
        spans = [
            Span(slice(a, b), History(self.whole.rows[a:b]))
            for a, b in zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True)
        ]
        return [span for span in spans if span.seconds >= least_s - TICK_S]

    def still(self, rad_s: float, least_s: float, within: Mask | None = None) -> list[Span]:
        """Return the spans in which the aircraft turned no faster than `rad_s`, tremor apart.

        within : rows to look at, all of them if not given.

        The rate is a mean over some trembles, since hands tremble ten times a second.
        """
        whole = self.whole
        if len(whole) == 0:
            return []
        slow = turn_rate_rad_s(whole, TREMBLES_S) <= rad_s
        return self.where(slow if within is None else slow & within, least_s)

    def disarmed_by_hand(self) -> list[float]:
        """Return when somebody disarmed it, clock in s; the controller's own stops are not there."""
        pairs = zip(self.stretches, self.stretches[1:], strict=False)
        return [
            float(after.history["time_s"][0])
            for before, after in pairs
            if before.armed_after and not after.armed and len(after.history)
        ]


def averaged(history: History, values: Reals, over_s: float) -> Reals:
    """Return the mean of a column over so long a time about each row; less at either end."""
    if len(values) < 2:
        return values
    step = float(np.median(np.diff(history["time_s"])))
    n = min(len(values), max(1, round(over_s / step)))
    kernel = np.ones(n)
    held = np.convolve(np.ones(len(values)), kernel, "same")
    mean: Reals = np.convolve(values, kernel, "same") / held
    return mean


def turn_rate_rad_s(history: History, over_s: float) -> Reals:
    """Return how fast the aircraft turned about each row, each axis averaged over so long a time."""
    axes = ("roll", "pitch", "yaw")
    rates = [averaged(history, history[f"{axis}_rate_rad_s"], over_s) for axis in axes]
    size: Reals = np.sqrt(np.sum(np.square(rates), axis=0))
    return size


def longest(spans: Iterable[Span]) -> Span | None:
    """Return the longest span, the first of equals; None if there is none."""
    return max(spans, key=lambda span: len(span.history), default=None)


Form = Callable[[Rig, Recorded], Reading]
"""How a check is read from what was done by hand; it refuses if nothing of it was done."""


class Scene(NamedTuple):
    """Where a check is done, if not where everything else is.

    set : sets the scene as the check begins; gives the world as it is then, each time that time
    passes. minutes : what it takes to get there and back, min.
    """

    set: Callable[[Rig], Callable[[Rig], World]]
    minutes: float


class Tape:
    """Takes down what is done with a rig; whatever is older than a few minutes falls off its end."""

    def __init__(self, rig: Rig) -> None:
        self._rig = rig
        self._stretches: deque[Stretch] = deque()
        self._arm_tries: list[ArmTry] = []

    def __call__(self, hands: Inputs, history: History, armed: bool) -> None:
        """Take down one stretch of time; armed : before it."""
        rig = self._rig
        now_armed = rig.value("armed") > 0.0
        conduct = rig.world.conduct
        self._stretches.append(Stretch(*hands, armed, now_armed, conduct, history))
        while self._old(self._stretches[0].history):
            self._stretches.popleft()

    def _old(self, history: History) -> bool:
        return len(history) > 0 and float(history["time_s"][0]) < self._rig.time_s - KEPT_S

    def arm_try(self, held: Sticks, refused: bool) -> None:
        """Take down a try to arm, the sticks as they were held."""
        on = self._rig.world.conduct.transmitter_on and held.transmitter_on > 0.0
        self._arm_tries.append(ArmTry(self._rig.time_s, held, on, refused))

    def recorded(self) -> Recorded:
        """Return all of it."""
        return Recorded(tuple(self._stretches), tuple(self._arm_tries))
