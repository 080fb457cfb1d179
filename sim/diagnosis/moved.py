"""Which way a fault moves a measure, and from where the careful call it. Pure.

A reading counts by its furthest value on each side of the band, in standard deviations of sound
aircraft (`sim/diagnosis/distance.py`).

The careful's limit is the cut that costs least: so many times the chance that a sound aircraft lies
beyond it, plus the share of readings it gets wrong, on average over the severities: faults not
called, and, at less weight, deviations called that are not yet faults.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import inf, isinf

import numpy as np
from numpy.typing import NDArray

from sim.bench.bands import Band, Side
from sim.bench.moves import Move, Way
from sim.diagnosis.distance import above, below, tail
from sim.diagnosis.sound import Z_INNER, Z_OUTER, rounded_out
from sim.keys import FaultId

HARMLESS = 0.0  # severity; design: a deviation that is not yet a fault
PLAIN_FROM = 0.5  # severity; design: from here on a fault has to show in its lines
FALSE_COST = 15.0  # misses; own: 60 causes to each fault hidden, a wrong call a quarter of a miss
HARMLESS_COST = 0.02  # misses; own: to call a deviation costs minutes, and neither points nor harm
CLEARLY = 0.3  # share; own: so much more often outside than sound aircraft is a mark of the fault
FEW = 3  # builds; own: fewer in doubt are chance
TWO = 2  # builds; own: fewer plainly outside are chance, as one sound build in some hundred is


@dataclass(frozen=True)
class Look:
    """One reading of one measure: the furthest of its `values` values to each side, in sigma."""

    seed: int
    below: float
    above: float
    values: int = 1

    def z(self, way: Way) -> float:
        """Return how far out it lies on the side, or on either."""
        return max(self.below, self.above) if way == "either" else getattr(self, way)


def look(band: Band, seed: int, values: Sequence[float]) -> Look:
    """Return a reading as seen against a band."""
    up, down = above(band), below(band)
    return Look(seed, max(down.z(-v) for v in values), max(up.z(v) for v in values), len(values))


def share(looks: Sequence[Look], way: Way, z: float = Z_INNER) -> float:
    """Return the share of readings that lie further out than z; 0 of none."""
    return sum(one.z(way) > z for one in looks) / len(looks) if looks else 0.0


def _moved(strong: Sequence[Look], sound: Sequence[Look], side: Side) -> bool:
    """Tell whether a fault moves a measure to a side.

    Either far more readings than of sound aircraft are doubtful there, or some builds are plainly
    outside: a fault of one axis or place of many moves a line only now and then.
    """
    doubtful = {one.seed for one in strong if one.z(side) > Z_INNER}
    plain = {one.seed for one in strong if one.z(side) > Z_OUTER}
    more = share(strong, side) - share(sound, side)
    by_chance = share(sound, side, Z_OUTER) * len(strong)
    return (len(doubtful) >= FEW and more >= CLEARLY) or len(plain) >= TWO + 2.0 * by_chance


def way(strong: Sequence[Look], sound: Sequence[Look]) -> Way | None:
    """Return to which side a fault moves a measure, from its plain severities; None for neither."""
    sides: tuple[Side, Side] = ("below", "above")
    moved = [side for side in sides if _moved(strong, sound, side)]
    return "either" if len(moved) == len(sides) else moved[0] if moved else None


def cuts(distances: Iterable[float]) -> NDArray[np.float64]:
    """Return the limits worth a try: the inner edge, and halfway between readings outside it."""
    outside = np.unique([z for z in distances if z > Z_INNER and not isinf(z)])
    known = np.concatenate(([Z_INNER], outside))
    last = max(Z_OUTER, float(known[-1])) + 1.0  # past all but what could not be read
    return np.concatenate((known[:1], 0.5 * (known[1:] + known[:-1]), [last]))


def costs(
    limits: NDArray[np.float64],
    by_severity: Mapping[float, Sequence[Look]],
    to: Way,
    harmless: bool,
) -> NDArray[np.float64]:
    """Return what each limit costs, in faults missed.

    harmless : whether severity 0 is a deviation that needs no cure.
    """
    values = max(one.values for looks in by_severity.values() for one in looks)
    false = np.array([tail(z, values * (2 if to == "either" else 1)) for z in limits.tolist()])
    wrong, weights = [], []
    for severity, looks in by_severity.items():
        if looks:
            inside = np.searchsorted(np.sort([one.z(to) for one in looks]), limits, side="right")
            missed, no_fault = inside / len(looks), harmless and severity == HARMLESS
            wrong.append(1.0 - missed if no_fault else missed)
            weights.append(HARMLESS_COST if no_fault else 1.0)
    total: NDArray[np.float64] = FALSE_COST * false + np.average(wrong, axis=0, weights=weights)
    return total


def limit(by_severity: Mapping[float, Sequence[Look]], to: Way, harmless: bool) -> float:
    """Return how far out, in sigma, the careful call a fault; never inside the inner edge."""
    tried = cuts(one.z(to) for looks in by_severity.values() for one in looks)
    return float(tried[np.argmin(costs(tried, by_severity, to, harmless))])


def move(
    fault: FaultId,
    band: Band,
    by_severity: Mapping[float, Sequence[Look]],
    sound: Sequence[Look],
    harmless: bool,
) -> Move | None:
    """Return a fault's mark on a measure, or None if it leaves none."""
    strong = [one for s, looks in by_severity.items() if s >= PLAIN_FROM for one in looks]
    to = way(strong, sound)
    if to is None:
        return None
    z = limit(by_severity, to, harmless)
    return Move(
        fault,
        band.check,
        band.measure,
        to,
        round(share(strong, to), 4),
        low=-rounded_out(below(band).value(z), up=True) if to != "above" else -inf,
        high=rounded_out(above(band).value(z), up=True) if to != "below" else inf,
    )
