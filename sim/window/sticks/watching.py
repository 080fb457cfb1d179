"""What the mapping helper sees of a device: runs of samples, and what they show."""

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from sim.aircraft.fields import ChannelName
from sim.window.sticks.mapping import Axis, Button, Lever, SwitchName

NEAR_END = 0.2  # 1; own: within a fifth of the travel counts as the end
MARGIN = 0.02  # 1; own: cut from each end, so that the whole travel is reached every time
TURNS = 4  # one end, the other, and both again: two sweeps
ENOUGH = 0.5  # raw units of 2; measured on 300 simulated devices: least travel to be believed
TRIM_PERCENT = 1.0  # %; own: outliers left out at each end
MOVED = 0.1  # raw units of 2; own: beyond noise and a touch


@dataclass(frozen=True)
class Sample:
    """Raw axes and buttons at a time."""

    time_s: float
    axes: tuple[float, ...]
    buttons: tuple[bool, ...]


@dataclass
class Findings:
    """What has been learned so far; raw units."""

    axes_count: int
    rest: list[float] = field(default_factory=list)
    noise: list[float] = field(default_factory=list)
    low: dict[ChannelName, float] = field(default_factory=dict)
    high: dict[ChannelName, float] = field(default_factory=dict)
    index: dict[ChannelName, int] = field(default_factory=dict)
    sign: dict[ChannelName, int] = field(default_factory=dict)
    axes: dict[ChannelName, Axis] = field(default_factory=dict)
    switches: dict[SwitchName, Button | Lever] = field(default_factory=dict)

    def share(self, function: ChannelName, raw: float) -> float:
        """Return where a raw value lies in a function's travel, 0 at the low end, 1 at the high."""
        low = self.low[function]
        return (raw - low) / (self.high[function] - low)

    def owner(self, axis: int) -> ChannelName | None:
        """Return the function an axis carries, if any."""
        return next((name for name, i in self.index.items() if i == axis), None)


class Window:
    """The samples of the last `length_s` seconds, and how much each axis moved in them."""

    def __init__(self, length_s: float) -> None:
        self.length_s = length_s
        self.samples: list[Sample] = []

    def add(self, sample: Sample) -> None:
        """Take a sample and forget those too old, keeping one at or before the start."""
        kept = self.samples
        kept.append(sample)
        while len(kept) > 2 and kept[1].time_s <= sample.time_s - self.length_s:
            del kept[0]

    @property
    def full(self) -> bool:
        """Whether the samples reach over the whole length."""
        return self.samples[-1].time_s - self.samples[0].time_s >= self.length_s

    def values(self, axis: int) -> list[float]:
        """Return an axis over the window."""
        return [s.axes[axis] for s in self.samples]

    def spread(self, axis: int) -> float:
        """Return how far an axis moved in the window."""
        values = self.values(axis)
        return max(values) - min(values)

    def table(self) -> np.ndarray:
        """Return the samples as an array, one row a sample."""
        return np.array([s.axes for s in self.samples])


class Swing:
    """Counts how often one axis has gone from end to end of what it has shown."""

    def __init__(self, raw: float) -> None:
        self.low = self.high = raw
        self.turns, self._side = 0, 0

    def add(self, raw: float) -> None:
        """Take the next raw value."""
        self.low, self.high = min(self.low, raw), max(self.high, raw)
        if self.span < 0.5 * ENOUGH:  # half of it: the first way out may be half a sweep
            return
        share = (raw - self.low) / self.span
        side = 1 if share > 1.0 - NEAR_END else -1 if share < NEAR_END else 0
        if side and side != self._side:
            self._side, self.turns = side, self.turns + 1

    @property
    def span(self) -> float:
        """How far it has moved between its ends."""
        return self.high - self.low


def spans(rows: Sequence[tuple[float, ...]]) -> tuple[np.ndarray, np.ndarray]:
    """Return the low and the high end of each axis, outliers left out."""
    low, high = np.percentile(np.array(rows), (TRIM_PERCENT, 100.0 - TRIM_PERCENT), axis=0)
    return low, high
