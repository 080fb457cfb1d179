"""Every set of up to three faults with its probability: what readings, cures and changes make of it. Pure.

Faults cause what is seen independently of each other (noisy or): a line stays inside if chance and
each fault of the set leave it there.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import chain, combinations
from typing import cast

import numpy as np
from numpy.typing import NDArray

from sim.keys import FaultId
from sim.scoring.information import Chances, afterwards

MOST = 3  # faults at once; more make too many sets, and no drill names more
BY_SIZE = (
    0.15,
    0.60,
    0.20,
    0.05,
)  # 1; own: how often none, one, two, three: about as the shipped drills have them
Members = NDArray[np.int32]


def sets_of(faults: int, most: int = MOST) -> Members:
    """Return every set of up to `most` of so many faults, shape (sets, most).

    A place left over holds the number of faults, which is nobody's.
    """
    rows = [np.full((1, most), faults, dtype=np.int32)]
    for size in range(1, most + 1):
        every = chain.from_iterable(combinations(range(faults), size))
        part = np.fromiter(every, dtype=np.int32)
        full = np.full((len(part) // size, most), faults, dtype=np.int32)
        full[:, :size] = part.reshape(-1, size)
        rows.append(full)
    return np.concatenate(rows)


@dataclass(frozen=True)
class FaultSets:
    """Fault sets with their chances. members : as of `sets_of`; chances : shape (sets,), sum of 1."""

    faults: tuple[FaultId, ...]
    members: Members
    chances: Chances

    @property
    def sizes(self) -> NDArray[np.int64]:
        """How many faults each set has."""
        return cast(NDArray[np.int64], (self.members < len(self.faults)).sum(axis=1))

    def all_in(self, shares: Chances, which: NDArray[np.int64] | None = None) -> Chances:
        """Return the product over each set's members of what each fault has.

        shares : shape (faults,) or (faults, columns); which : sets, all if not given.
        """
        nobody = np.ones((1, *shares.shape[1:]))
        each = np.concatenate([shares, nobody])
        members = self.members if which is None else self.members[which]
        found = each[members[:, 0]]
        for column in members.T[1:]:
            found = found * each[column]
        return np.asarray(found)

    def marginals(self) -> Chances:
        """Return the chance of each fault, alone or with others; shape (faults,)."""
        n = len(self.faults)
        found = sum(np.bincount(column, self.chances) for column in self.members.T)
        return np.asarray(found, dtype=np.float64)[:n]

    def given(self, likelihood: Chances) -> "FaultSets":
        """Return the sets after an outcome that has this chance with each."""
        return replace(self, chances=afterwards(self.chances, likelihood))

    def cured(self, faults: Sequence[int], good: float) -> "FaultSets":
        """Return the sets after a fix of these faults that takes with the chance `good`."""
        n = len(self.faults)
        goes = np.zeros(n + 1, dtype=bool)
        goes[list(faults)] = True
        rows = np.flatnonzero(goes[self.members].any(axis=1))
        left = np.where(goes[self.members[rows]], n, self.members[rows])
        left.sort(axis=1)
        into = np.searchsorted(self._codes, _codes(left, n))
        chances = self.chances.copy()
        chances[rows] *= 1.0 - good
        np.add.at(chances, into, good * self.chances[rows])
        return replace(self, chances=chances)

    def unsettled(self, before: "FaultSets", share: float) -> "FaultSets":
        """Return the sets after a change that may have brought any fault, with a chance of `share`."""
        return replace(self, chances=(1.0 - share) * self.chances + share * before.chances)

    def heaviest(self, most: int) -> NDArray[np.int64]:
        """Return which sets are the likeliest, at most so many."""
        if most >= len(self.chances):
            return np.arange(len(self.chances))
        return np.argpartition(self.chances, -most)[-most:]

    @property
    def _codes(self) -> NDArray[np.int64]:
        return _codes(self.members, len(self.faults))


def _codes(members: Members, n: int) -> NDArray[np.int64]:
    """Return a number for each set that rises in the order of `sets_of`; n : faults there are."""
    code: NDArray[np.int64] = (
        (members < n).sum(axis=1).astype(np.int64)
    )  # a set with fewer faults comes first
    for column in members.T:
        code = code * (n + 1) + np.where(column < n, column, 0)
    return code


def fault_sets(faults: tuple[FaultId, ...], by_size: Sequence[float] = BY_SIZE) -> FaultSets:
    """Return all sets before anything is read: of each size as often as stated, all of one size alike."""
    sets = FaultSets(faults, sets_of(len(faults), len(by_size) - 1), np.zeros(0))
    counts = np.bincount(sets.sizes, minlength=len(by_size))
    chances = (np.array(by_size) / np.maximum(counts, 1))[sets.sizes]
    return replace(sets, chances=chances / chances.sum())
