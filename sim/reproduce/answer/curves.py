"""What was recorded beside what the model makes of it, and the moments that decided. Pure."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Values = NDArray[np.float64]

MOMENT_S = 0.5  # s; own: what decides within half a second is one moment to the eye
MOST_MOMENTS = 4  # own: a picture with more of them marks none
PLAIN_NATS = 1.0  # nats; own: what speaks less for one than for the other decided nothing


@dataclass(frozen=True)
class Curve:
    """One channel over time: recorded, by the likeliest cause, and by what it is held against.

    words, unit : of the channel; rival : what it is held against, in words; nats : by how much each
    row speaks for the likeliest cause against it. All arrays have one value a row; NaN where nothing
    is compared.
    """

    words: str
    unit: str
    time_s: Values
    recorded: Values
    likeliest: Values
    against: Values
    nats: Values

    @property
    def decided_nats(self) -> float:
        """By how much the whole channel speaks for the likeliest cause."""
        return float(np.nansum(self.nats))


class Moment(NamedTuple):
    """Half a second in which a channel decided: from when, on which channel, and by how much."""

    time_s: float
    words: str
    nats: float

    @property
    def told(self) -> str:
        """It in words."""
        end = self.time_s + MOMENT_S
        return f"{self.words}, {self.time_s:.1f} to {end:.1f} s ({self.nats:.0f} nats)"


def deciding(curves: Iterable[Curve]) -> list[Curve]:
    """Return the channels that spoke for the likeliest cause, the most telling first."""
    telling = [curve for curve in curves if curve.decided_nats >= PLAIN_NATS]
    return sorted(telling, key=lambda curve: -curve.decided_nats)


def moments(curves: Sequence[Curve], most: int = MOST_MOMENTS) -> list[Moment]:
    """Return the half seconds that decided most, in order of time."""
    found = []
    for curve in curves:
        bins = np.floor(curve.time_s / MOMENT_S).astype(int)
        for n in np.unique(bins):
            nats = float(np.nansum(curve.nats[bins == n]))
            if nats >= PLAIN_NATS:
                found.append(Moment(float(n) * MOMENT_S, curve.words, nats))
    return sorted(sorted(found, key=lambda moment: -moment.nats)[:most])
