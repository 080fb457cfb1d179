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
    """A stretch in which a channel decided: from when to when, on which channel, and by how much."""

    time_s: float
    end_s: float
    words: str
    nats: float

    @property
    def told(self) -> str:
        """It in words."""
        return f"{self.words}, {self.time_s:.1f} to {self.end_s:.1f} s ({self.nats:.0f} nats)"


def deciding(curves: Iterable[Curve]) -> list[Curve]:
    """Return the channels that spoke for the likeliest cause, the most telling first."""
    telling = [curve for curve in curves if curve.decided_nats >= PLAIN_NATS]
    return sorted(telling, key=lambda curve: -curve.decided_nats)


def moments(curves: Sequence[Curve], most: int = MOST_MOMENTS) -> list[Moment]:
    """Return the half seconds that decided most, in order of time; those in a row are one."""
    found = []
    for curve in curves:
        bins = np.floor(curve.time_s / MOMENT_S).astype(int)
        for n in np.unique(bins):
            nats = float(np.nansum(curve.nats[bins == n]))
            if nats >= PLAIN_NATS:
                start = float(n) * MOMENT_S
                found.append(Moment(start, start + MOMENT_S, curve.words, nats))
    chosen = sorted(found, key=lambda moment: -moment.nats)[:most]
    return sorted(_joined(sorted(chosen, key=lambda moment: (moment.words, moment.time_s))))


def _joined(parts: Iterable[Moment]) -> list[Moment]:
    """Return moments, by channel and time, with those that follow each other put together."""
    found: list[Moment] = []
    for part in parts:
        last = found[-1] if found else None
        if last is not None and (last.words, last.end_s) == (part.words, part.time_s):
            found[-1] = last._replace(end_s=part.end_s, nats=last.nats + part.nats)
        else:
            found.append(part)
    return found
