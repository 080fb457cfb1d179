"""What a check tells: entropy, the gain expected of it, and how long a search takes. Pure functions.

States are what may be the case (a fault, a pair, nothing), with a probability each. A check has
outcomes, with a chance each in every state. Equations: Shannon 1948; tests as an AND/OR tree with a
cost each: Pattipati and Alexandridis 1990 (from memory).
"""

from collections.abc import Callable, Sequence
from functools import cache
from math import inf, prod
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Chances = NDArray[np.float64]
WORTH_BITS = 0.02  # bit; own: a check that is expected to tell less is not worth its minutes


def entropy_bits(chances: Chances) -> float:
    """Return -sum p log2 p, bit; `chances` are scaled to a sum of 1, those of 0 add nothing."""
    p = chances[chances > 0.0] / chances.sum()
    return float(-(p * np.log2(p)).sum())


def afterwards(prior: Chances, likelihood: Chances) -> Chances:
    """Return the probability of each state after an outcome that has this chance in each.

    ValueError if the outcome can't be in any state.
    """
    joint = prior * likelihood
    if joint.sum() <= 0.0:
        raise ValueError("an outcome that is possible in no state")
    return np.asarray(joint / joint.sum())


def gain_bits(prior: Chances, outcomes: Chances) -> float:
    """Return by how much a check is expected to lessen the entropy, bit; never below 0.

    prior : shape (states,); outcomes : shape (states, outcomes), each row with a sum of 1.
    """
    p = prior / prior.sum()
    left = 0.0
    for column in outcomes.T:
        chance = float(p @ column)
        if chance > 0.0:
            left += chance * entropy_bits(p * column)
    return max(0.0, entropy_bits(p) - left)


def any_of(powers: Sequence[float], false_alarm: float) -> float:
    """Return the chance that a check shows something with several causes at once (noisy or)."""
    return 1.0 - (1.0 - false_alarm) * prod(1.0 - power for power in powers)


def still_there(before: float, power: float, false_alarm: float) -> float:
    """Return the chance that a fault is there though a check sensitive to it showed nothing.

    before : the chance that the fix failed; power, false_alarm : of the check.
    """
    quiet = before * (1.0 - power), (1.0 - before) * (1.0 - false_alarm)
    return quiet[0] / (quiet[0] + quiet[1])


# --- a search with checks that never err ---------------------------------------------------------


class Sure(NamedTuple):
    """A check that never errs: its minutes, and the states in which it shows something."""

    minutes: float
    shows: frozenset[int]


States = frozenset[int]
Chooser = Callable[[Chances, States, Sequence[Sure]], Sure]


def _parted(left: States, check: Sure) -> tuple[States, States]:
    return left & check.shows, left - check.shows


def telling(left: States, checks: Sequence[Sure]) -> list[Sure]:
    """Return the checks that part the states left."""
    return [check for check in checks if all(_parted(left, check))]


def _gain(prior: Chances, left: States, check: Sure) -> float:
    states = sorted(left)
    shown = np.array([[float(s in check.shows), float(s not in check.shows)] for s in states])
    return gain_bits(prior[states], shown)


def most_a_minute(prior: Chances, left: States, checks: Sequence[Sure]) -> Sure:
    """Return the check that is expected to tell most a minute."""
    return max(checks, key=lambda check: _gain(prior, left, check) / check.minutes)


def most_at_once(prior: Chances, left: States, checks: Sequence[Sure]) -> Sure:
    """Return the check that is expected to tell most, however long it takes."""
    return max(checks, key=lambda check: _gain(prior, left, check))


def as_they_come(prior: Chances, left: States, checks: Sequence[Sure]) -> Sure:
    """Return the first check not done yet, whether it can tell anything or not."""
    return checks[0]


def minutes_until_known(prior: Chances, checks: Sequence[Sure], choose: Chooser) -> float:
    """Return the minutes expected until one state is left, or no check can part those that are.

    prior : with a sum of 1; choose : picks the next of the checks not done yet.
    """

    def rest(left: States, undone: Sequence[Sure]) -> float:
        if not telling(left, undone):
            return 0.0
        check = choose(prior, left, undone)
        others = [other for other in undone if other is not check]
        chance = prior[sorted(left)].sum()
        both = [(part, prior[sorted(part)].sum() / chance) for part in _parted(left, check) if part]
        return check.minutes + sum(float(share) * rest(part, others) for part, share in both)

    return float(rest(frozenset(range(len(prior))), checks))


def least_minutes_until_known(prior: Chances, checks: Sequence[Sure]) -> float:
    """Return the minutes expected with the best order there is: every order is tried.

    Grows fast with the number of states: meant for a dozen.
    """

    @cache
    def rest(left: States) -> float:
        usable, best = telling(left, checks), inf
        chance = prior[sorted(left)].sum()
        for check in usable:
            parts = _parted(left, check)
            after = sum(prior[sorted(part)].sum() / chance * rest(part) for part in parts)
            best = min(best, check.minutes + after)
        return best if usable else 0.0

    return float(rest(frozenset(range(len(prior)))))
