"""Signal detection: sensitivity, caution, and how sure a share is. Pure functions.

Signals are faults that are there, noise items are those that are not. Rates take the log-linear
correction (half an item added to each count, one to each total), so a perfect record stays finite.
"""

from bisect import bisect_left, bisect_right
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import accumulate
from math import exp, sqrt
from statistics import NormalDist

NORMAL = NormalDist()
FEWEST_ITEMS = 10  # own: below ten of each kind d' says more about luck than about people
Z_95 = (
    1.959963984540054  # 1; two-sided 95 % point of the normal distribution, as every printed ± is
)


@dataclass(frozen=True)
class Calls:
    """How often something was called, where it was so and where it was not."""

    hits: int
    misses: int
    false_alarms: int
    correct_rejections: int

    def __post_init__(self) -> None:
        """Refuse counts that can't be counts."""
        if min(self.hits, self.misses, self.false_alarms, self.correct_rejections) < 0:
            raise ValueError(f"counts can't be negative: {self}")

    @property
    def signals(self) -> int:
        """How many items were faulty."""
        return self.hits + self.misses

    @property
    def noises(self) -> int:
        """How many items were sound."""
        return self.false_alarms + self.correct_rejections

    def __add__(self, other: "Calls") -> "Calls":
        return Calls(
            self.hits + other.hits,
            self.misses + other.misses,
            self.false_alarms + other.false_alarms,
            self.correct_rejections + other.correct_rejections,
        )


def rates(calls: Calls) -> tuple[float, float]:
    """Return the corrected hit rate and false-alarm rate."""
    hit = (calls.hits + 0.5) / (calls.signals + 1.0)
    false = (calls.false_alarms + 0.5) / (calls.noises + 1.0)
    return hit, false


def d_prime(calls: Calls) -> float:
    """Return the sensitivity d' = z(H) - z(F)."""
    hit, false = rates(calls)
    return NORMAL.inv_cdf(hit) - NORMAL.inv_cdf(false)


def criterion(calls: Calls) -> float:
    """Return the caution c = -(z(H) + z(F)) / 2; positive: slow to call."""
    hit, false = rates(calls)
    return -0.5 * (NORMAL.inv_cdf(hit) + NORMAL.inv_cdf(false))


def beta(calls: Calls) -> float:
    """Return the likelihood ratio at the criterion, exp(d' c)."""
    return exp(d_prime(calls) * criterion(calls))


def a_z(calls: Calls) -> float:
    """Return the area under the curve of equal-variance normals, from 0.5 (chance) to 1."""
    return NORMAL.cdf(d_prime(calls) / sqrt(2.0))


def d_prime_se(calls: Calls) -> float:
    """Return the standard error of d' (delta method on the corrected rates)."""
    variance = 0.0
    for rate, items in zip(rates(calls), (calls.signals, calls.noises), strict=True):
        if items == 0:
            return float("inf")
        variance += rate * (1.0 - rate) / (items * NORMAL.pdf(NORMAL.inv_cdf(rate)) ** 2)
    return sqrt(variance)


def shown(calls: Calls) -> bool:
    """Tell whether there are items enough of both kinds, and any call, for d' to be shown."""
    called = calls.hits + calls.false_alarms > 0
    return called and min(calls.signals, calls.noises) >= FEWEST_ITEMS


def words(calls: Calls) -> str:
    """Return d' as it may be shown: with its error, or why it is not."""
    if calls.hits + calls.false_alarms == 0:
        return "no calls made"
    if not shown(calls):
        return f"too few items ({calls.signals} faulty, {calls.noises} sound)"
    return f"{d_prime(calls):.2f} ± {Z_95 * d_prime_se(calls):.2f}"


def wilson(count: int, of: int) -> tuple[float, float]:
    """Return the 95 % Wilson interval of a share; all of 0..1 if nothing was counted."""
    if of == 0:
        return 0.0, 1.0
    share, z2 = count / of, Z_95**2
    middle = (share + 0.5 * z2 / of) / (1.0 + z2 / of)
    half = Z_95 / (1.0 + z2 / of) * sqrt(share * (1.0 - share) / of + 0.25 * z2 / of**2)
    low = 0.0 if count == 0 else middle - half
    return low, 1.0 if count == of else middle + half


def auc(better: Iterable[float], worse: Iterable[float]) -> float:
    """Return how often one of the better group has more points than one of the worse; ties half.

    Each group is its values, or a Counter of them. ValueError for an empty group.
    """
    more, less = Counter(better), Counter(worse)
    if not more or not less:
        raise ValueError("each group needs at least one member")
    values = sorted(less)
    up_to = list(accumulate((less[value] for value in values), initial=0))
    halves = sum(
        count * (up_to[bisect_left(values, value)] + up_to[bisect_right(values, value)])
        for value, count in more.items()
    )
    return halves / (2 * more.total() * less.total())


def auc_se(area: float, better: int, worse: int) -> float:
    """Return the standard error of an AUC after Hanley and McNeil (1982)."""
    q1, q2 = area / (2.0 - area), 2.0 * area**2 / (1.0 + area)
    spread = area * (1.0 - area) + (better - 1) * (q1 - area**2) + (worse - 1) * (q2 - area**2)
    return sqrt(spread / (better * worse))
