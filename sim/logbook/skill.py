"""How able a person is in one family of faults, told from what they proved. Pure functions.

A Rasch model with one ability per family, filtered as a Gaussian: what is known of the ability is
its mean and variance, on the scale of log odds; each trial moves it by how much it surprised, and
between trials ability drifts upwards a little, as practice does, and is known a little less well.
"""

from math import comb, exp, pi, sqrt
from typing import NamedTuple

DRIFT = 0.04  # log odds a trial; own: some 25 trials of practice are one unit of log odds
DRIFT_VARIANCE = 0.04  # (log odds)^2 a trial; own: as large as the drift
RUNG_STEP = 0.5  # log odds; own: from one rung of the ladder to the next
MIDDLE_RUNG = 3  # 1; the rung whose difficulty is 0 by definition of the scale
Z_10 = 1.2815515655446004  # 1; 10 % point of the normal distribution, one-sided


class Skill(NamedTuple):
    """What is known of an ability: mean and variance, on the scale of log odds."""

    mean: float
    variance: float

    @property
    def low(self) -> float:
        """What the ability is above in nine cases of ten."""
        return self.mean - Z_10 * sqrt(self.variance)


UNKNOWN = Skill(
    -0.3, 1.69
)  # log odds; own: a beginner proves 43 % at the middle rung, give or take


def odds(x: float) -> float:
    """Return the chance of log odds."""
    return 1.0 / (1.0 + exp(-x))


def difficulty(rung: int) -> float:
    """Return how hard the faults of a rung's drills are, on the scale of log odds."""
    return RUNG_STEP * (rung - MIDDLE_RUNG)


def chance(skill: Skill, difficulty: float) -> float:
    """Return the chance to prove a fault of some difficulty, what is not known of the ability averaged over."""
    shrunk = 1.0 / sqrt(1.0 + pi * skill.variance / 8.0)
    return odds(shrunk * (skill.mean - difficulty))


def surely(skill: Skill, difficulty: float) -> float:
    """Return what the chance is above in nine cases of ten."""
    return odds(skill.low - difficulty)


def tried(skill: Skill, difficulty: float, right: bool) -> Skill:
    """Return what is known after a trial, before any drift."""
    q = odds(skill.mean - difficulty)
    variance = 1.0 / (1.0 / skill.variance + q * (1.0 - q))
    return Skill(skill.mean + variance * (right - q), variance)


def drifted(skill: Skill) -> Skill:
    """Return what is known one trial later."""
    return Skill(skill.mean + DRIFT, skill.variance + DRIFT_VARIANCE)


def at_first(others: list[Skill]) -> Skill:
    """Return what is known of a family never tried, from the same person's others.

    The mean lies between a beginner's and theirs, each counted once; the variance is a beginner's.
    """
    means = [UNKNOWN.mean, *(skill.mean for skill in others)]
    return Skill(sum(means) / len(means), UNKNOWN.variance)


def believed(right: int, tried: int, share: float) -> float:
    """Return how much belief is due to "at least this share is proved", after some trials of one kind.

    From an even prior, Beta(1, 1); exact, as a sum of binomial terms.
    """
    n = tried + 1
    return sum(comb(n, k) * share**k * (1.0 - share) ** (n - k) for k in range(right + 1))
