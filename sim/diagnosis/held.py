"""Readings a study has in hand, packed: a tenth of what they take as objects."""

from array import array
from collections.abc import Iterable
from typing import NamedTuple

from sim.diagnosis.readings import Done, Trial
from sim.keys import CheckKey, FaultId

Key = tuple[FaultId | None, float, CheckKey]


class Packed(NamedTuple):
    """A trial; `keys` is shared by all that have the same."""

    refused: bool
    keys: tuple[str, ...]
    values: "array[float]"


class Held:
    """Trials by fault, severity and check."""

    def __init__(self) -> None:
        self._trials: dict[Key, dict[int, Packed]] = {}
        self._keys: dict[tuple[str, ...], tuple[str, ...]] = {}

    def put(self, results: Iterable[Done]) -> list[str]:
        """Take up what was read; return what broke off."""
        broken: list[str] = []
        for one in results:
            broken += one.broken
            for check, trial in one.trials.items():
                key = (one.batch.fault, one.batch.severity, check)
                found = tuple(trial.values)
                keys = self._keys.setdefault(found, found)
                packed = Packed(trial.refused, keys, array("d", trial.values.values()))
                self._trials.setdefault(key, {})[trial.seed] = packed
        return broken

    def has(self, key: Key, seed: int) -> bool:
        """Tell whether a check was done with a fault and severity on a build."""
        return seed in self._trials.get(key, ())

    def trials(self, key: Key) -> list[Trial]:
        """Return the trials of a check with a fault and severity, in the order of their seeds."""
        return [
            Trial(seed, one.refused, dict(zip(one.keys, one.values, strict=True)))
            for seed, one in sorted(self._trials.get(key, {}).items())
        ]

    def drop(self, fault: FaultId) -> None:
        """Let go of all trials with a fault."""
        self._trials = {key: kept for key, kept in self._trials.items() if key[0] != fault}
