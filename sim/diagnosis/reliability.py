"""How far marks can be relied on: agreement, generalizability, known groups. Pure functions.

Kappa after Cohen (1960), generalizability after Cronbach and others (1972), the cut of contrasting
groups after Livingston and Zieky (1982), Cohen's d (1988); formulas from memory, worked examples
reckoned apart stand in the tests.
"""

from collections.abc import Sequence
from math import log, sqrt
from statistics import NormalDist, fmean, stdev
from typing import NamedTuple

import numpy as np


class Kappa(NamedTuple):
    """Agreement of two judges: the share they agree in, kappa, its standard error."""

    agreed: float
    kappa: float
    se: float


def kappa(table: Sequence[Sequence[int]]) -> Kappa:
    """Return the agreement of two judges.

    table : counts, (n, n); one judge's answer by rows, the other's by columns. Kappa of two judges
    who always give one and the same answer is nan: there is nothing to agree on by more than chance.
    """
    counts = np.asarray(table, dtype=float)
    total = counts.sum()
    agreed = float(np.trace(counts) / total)
    by_chance = float((counts.sum(axis=0) * counts.sum(axis=1)).sum() / total**2)
    if by_chance == 1.0:
        return Kappa(agreed, float("nan"), float("nan"))
    left = 1.0 - by_chance
    return Kappa(
        agreed, (agreed - by_chance) / left, sqrt(agreed * (1.0 - agreed) / (total * left**2))
    )


class Parts(NamedTuple):
    """Variance components of points: of persons, of drills, and of what is left."""

    persons: float
    drills: float
    rest: float

    def phi(self, drills_n: float) -> float:
        """Return the dependability of a mean over so many drills against a fixed cut, 0..1."""
        noise = (self.drills + self.rest) / drills_n
        return self.persons / (self.persons + noise) if self.persons else 0.0

    def relative(self, drills_n: float) -> float:
        """Return how well a mean over so many drills puts persons in order, 0..1."""
        noise = self.rest / drills_n
        return self.persons / (self.persons + noise) if self.persons else 0.0

    def drills_for(self, phi: float) -> float:
        """Return how many drills make the dependability as large; inf if persons don't differ."""
        if self.persons == 0.0:
            return float("inf")
        return phi / (1.0 - phi) * (self.drills + self.rest) / self.persons


def parts(points: Sequence[Sequence[float]]) -> Parts:
    """Return the variance components of points, (persons, drills), one of each; at least two by two.

    A component that comes out negative is none.
    """
    x = np.asarray(points, dtype=float)
    persons_n, drills_n = x.shape
    by_person, by_drill, mean = x.mean(axis=1), x.mean(axis=0), x.mean()
    of_persons = drills_n * ((by_person - mean) ** 2).sum() / (persons_n - 1)
    of_drills = persons_n * ((by_drill - mean) ** 2).sum() / (drills_n - 1)
    left = x - by_person[:, None] - by_drill[None, :] + mean
    rest = float((left**2).sum() / ((persons_n - 1) * (drills_n - 1)))
    return Parts(
        max(0.0, float((of_persons - rest) / drills_n)),
        max(0.0, float((of_drills - rest) / persons_n)),
        rest,
    )


def apart(better: Sequence[float], worse: Sequence[float]) -> float:
    """Return Cohen's d: the difference of two means by the pooled spread; inf without any spread."""
    n, m = len(better), len(worse)
    pooled = sqrt(((n - 1) * stdev(better) ** 2 + (m - 1) * stdev(worse) ** 2) / (n + m - 2))
    difference = fmean(better) - fmean(worse)
    return difference / pooled if pooled else float("inf")


class Cut(NamedTuple):
    """Points at which two groups are best told apart, and the shares of either on the wrong side.

    failing, passing : good ones below, poor ones at or above it, as normal curves have it;
    failing_seen, passing_seen : as counted.
    """

    points: float
    failing: float
    passing: float
    failing_seen: float
    passing_seen: float


def cut(better: Sequence[float], worse: Sequence[float]) -> Cut:
    """Return where the normal curves of two groups cross between their means.

    Raises ValueError unless the better group's mean is higher and both have a spread.
    """
    good, poor = NormalDist(fmean(better), stdev(better)), NormalDist(fmean(worse), stdev(worse))
    if good.mean <= poor.mean or not good.stdev or not poor.stdev:
        raise ValueError("the better group needs the higher mean, and both need a spread")
    at = _crossing(good, poor)
    return Cut(
        at,
        good.cdf(at),
        1.0 - poor.cdf(at),
        sum(x < at for x in better) / len(better),
        sum(x >= at for x in worse) / len(worse),
    )


def _crossing(good: NormalDist, poor: NormalDist) -> float:
    """Return where two densities are the same between the means; the middle if they never are there."""
    a = 1.0 / poor.variance - 1.0 / good.variance
    b = 2.0 * (good.mean / good.variance - poor.mean / poor.variance)
    c = (
        poor.mean**2 / poor.variance
        - good.mean**2 / good.variance
        + 2.0 * log(poor.stdev / good.stdev)
    )
    roots = np.roots([a, b, c]) if a else np.array([-c / b])
    between = [float(r.real) for r in roots if poor.mean <= r.real <= good.mean and not r.imag]
    return between[0] if between else 0.5 * (good.mean + poor.mean)
