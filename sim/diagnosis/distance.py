"""How far a value lies off what sound aircraft show, in standard deviations, by a band's edges.

The middle of a band is 0, its inner edge the z that holds 95 %, its outer edge 4; between them and
beyond on straight lines. So the probability that a sound aircraft shows more can be said of any value,
out to where no number of sound builds would have shown it.
"""

from dataclasses import dataclass
from math import inf, isinf
from statistics import NormalDist

from sim.bench.bands import Band
from sim.diagnosis.sound import Z_INNER, Z_OUTER

FINEST = 1e-6  # of the value; own: a line that never changes is called by the last digit kept


@dataclass(frozen=True)
class Scale:
    """One side of a band, growing outwards; `beyond` is one standard deviation past the outer edge."""

    middle: float
    inner: float
    outer: float
    beyond: float

    def z(self, value: float) -> float:
        """Return how far out a value lies; 0 on the other side of the middle."""
        if value <= self.middle:
            return 0.0
        if value <= self.inner:
            return Z_INNER * _part(value, self.middle, self.inner)
        if value <= self.outer:
            return Z_INNER + (Z_OUTER - Z_INNER) * _part(value, self.inner, self.outer)
        return Z_OUTER + (value - self.outer) / self.beyond

    def value(self, z: float) -> float:
        """Return the value that lies so far out; the nearest that does where several or none do."""
        if z <= Z_INNER:
            return _between(self.middle, self.inner, z / Z_INNER)
        if z <= Z_OUTER:
            return _between(self.inner, self.outer, (z - Z_INNER) / (Z_OUTER - Z_INNER))
        return self.outer + (z - Z_OUTER) * self.beyond


def _part(value: float, start: float, end: float) -> float:
    """Return how far between two a value lies, 0..1; what reaches to infinity is never passed."""
    if isinf(end):
        return float(isinf(value))
    return (value - start) / (end - start)


def _between(start: float, end: float, part: float) -> float:
    if start == end or isinf(start):
        return start
    return (
        end if part == 1.0 else inf if isinf(end) and part > 0.0 else start + part * (end - start)
    )


def _scale(middle: float, inner: float, outer: float) -> Scale:
    beyond = FINEST * max(1.0, abs(middle))
    if inner > middle:
        beyond = (inner - middle) / Z_INNER
    if outer > inner:
        beyond = (outer - inner) / (Z_OUTER - Z_INNER)
    return Scale(middle, inner, outer, beyond)


def above(band: Band) -> Scale:
    """Return the upper side of a band."""
    return _scale(band.middle, band.high_inner, band.high_outer)


def below(band: Band) -> Scale:
    """Return the lower side of a band, of values with their signs turned."""
    return _scale(-band.middle, -band.low_inner, -band.low_outer)


def tail(z: float, values: int = 1) -> float:
    """Return the chance that one of so many values of a sound aircraft lies further out than z."""
    return 1.0 - NormalDist().cdf(z) ** values
