"""What was recorded beside what the model makes of it, and the moments that decided. Pure."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Values = NDArray[np.float64]

NOTHING_DECIDED = "No channel spoke plainly for one cause against the other."
MOMENT_S = 0.5  # s; own: what decides within half a second is one moment to the eye
MOST_MOMENTS = 4  # own: a picture with more of them marks none
GAP = 3.0  # of the usual step; own: rows further apart are not joined
AROUND_S = 1.0  # s; own: seen before and after the half second that decided
EDGE = 0.003  # share; own: what lies further out, a start or a crash, may leave the picture
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

    @property
    def reach(self) -> tuple[float, float] | None:
        """From where to where nearly all of what was recorded lies, and of the likeliest; None of nothing."""
        seen = np.concatenate([self.recorded, self.likeliest])
        seen = seen[np.isfinite(seen)]
        if not seen.size:
            return None
        low, high = np.percentile(seen, [100.0 * EDGE, 100.0 * (1.0 - EDGE)])
        return float(low), float(high)

    def between(self, start_s: float, end_s: float) -> "Curve":
        """Return the part of it within a stretch of time."""
        rows = (self.time_s >= start_s) & (self.time_s <= end_s)
        return self._with(lambda values, _: values[rows])

    @property
    def whole(self) -> "Curve":
        """It with its gaps as gaps: a row of nothing in each."""
        if len(self.time_s) < 2:
            return self
        steps = np.diff(self.time_s)
        gaps = np.flatnonzero(steps > GAP * np.median(steps)) + 1
        middles = 0.5 * (self.time_s[gaps - 1] + self.time_s[gaps])
        return self._with(
            lambda values, times: np.insert(values, gaps, middles if times else np.nan)
        )

    def _with(self, change: Callable[[Values, bool], Values]) -> "Curve":
        """Return it with each array changed. change : also takes whether it is the times."""
        return replace(
            self,
            time_s=change(self.time_s, True),
            recorded=change(self.recorded, False),
            likeliest=change(self.likeliest, False),
            against=change(self.against, False),
            nats=change(self.nats, False),
        )


class Moment(NamedTuple):
    """A stretch in which a channel decided: from when to when, on which channel, and by how much."""

    time_s: float
    end_s: float
    words: str
    nats: float

    @property
    def told(self) -> str:
        """Which channel and when, in words."""
        return f"{self.words}, {self.time_s:.1f} to {self.end_s:.1f} s"


def _halves(curve: Curve) -> list[tuple[float, float]]:
    """Return when each half second of a channel begins, and by how much it spoke for the likeliest."""
    bins = np.floor(curve.time_s / MOMENT_S).astype(int)
    each = ((float(n) * MOMENT_S, float(np.nansum(curve.nats[bins == n]))) for n in np.unique(bins))
    return list(each)


def nearest_look(curve: Curve) -> tuple[float, float]:
    """Return the stretch of a channel worth a close look: the half second that decided most, and around."""
    start, _ = max(_halves(curve), key=lambda half: half[1])
    return start - AROUND_S, start + MOMENT_S + AROUND_S


def deciding(curves: Iterable[Curve]) -> list[Curve]:
    """Return the channels that spoke for the likeliest cause, the most telling first."""
    telling = [curve for curve in curves if curve.decided_nats >= PLAIN_NATS]
    return sorted(telling, key=lambda curve: -curve.decided_nats)


def moments(curves: Sequence[Curve], most: int = MOST_MOMENTS) -> list[Moment]:
    """Return the half seconds that decided most, in order of time; those in a row are one."""
    found = []
    for curve in curves:
        for start, nats in _halves(curve):
            if nats >= PLAIN_NATS:
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
