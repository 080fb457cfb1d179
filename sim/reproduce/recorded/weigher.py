"""Each hypothesis against what a recording leaves of its prediction: a first look, and a fit.

*None* is fitted until nothing moves, and again from where the best others came to lie: what lies
within it must not beat it because its own fit ended early.
"""

from collections.abc import Iterable

import numpy as np

from sim.reproduce.recorded.evidence import Fit, Look, Noise, fit
from sim.reproduce.recorded.features import Features
from sim.reproduce.recorded.hypotheses import HALF_CELL, QUARTER, STRAY, Hypothesis
from sim.reproduce.recording import Values

ROUNDS = 12  # 1; own: more than the recipe's four to eight, which leave up to ten nats unfound


class Weigher:
    """Fits each hypothesis to what a recording leaves of its prediction."""

    def __init__(
        self, features: Features, noise: Noise, sound: Values, columns: Values, sigmas: Values,
        every: tuple[Hypothesis, ...],
    ) -> None:  # fmt: skip
        self.recorded, self.noise, self.sound, self.columns = (
            features.recorded,
            noise,
            sound,
            columns,
        )
        self.every = every
        self.predicted: dict[int, Values] = {}
        self.sigmas = sigmas
        self.none = fit(self.recorded - sound, columns, self.sigmas, noise)
        self.look = Look(columns, noise, self.none)

    def settle(self, fits: Iterable[Fit]) -> None:
        """Fit *none* again from where some others lie; keep what is better, and look from there."""
        before = self.none
        for other in fits:
            start = other._replace(delta=other.delta[: len(self.sigmas)])
            again = fit(self.recorded - self.sound, self.columns, self.sigmas, self.noise, start)
            if again.log_evidence > self.none.log_evidence:
                self.none = again
        if self.none is not before:
            self.look = Look(self.columns, self.noise, self.none)

    def _worse(self, i: int) -> Values | None:
        """Return how a prediction changes with severity, over the part of it a hypothesis stands for."""
        ours = self.every[i].chain
        near = range(max(0, i - 1), min(len(self.every), i + 2))
        beside = [k for k in near if self.every[k].chain == ours]
        if len(beside) < 2:
            return None
        low, high = beside[0], beside[-1]
        away = self.every[high].severity - self.every[low].severity
        return (self.predicted[high] - self.predicted[low]) * (HALF_CELL / away)

    def parts(self, i: int) -> tuple[Values, Values, Values | None]:
        """Return (residual, sigmas, column of severity) of a hypothesis before anything is fitted."""
        hypothesis = self.every[i]
        amounts = np.zeros(len(self.sigmas))
        for k, sigmas in hypothesis.shift:
            amounts[k] = sigmas
        stray = (STRAY if hypothesis.world is None else QUARTER) * float(np.linalg.norm(amounts))
        wide = np.where(amounts != 0.0, np.hypot(self.sigmas, stray), self.sigmas)
        if hypothesis.world is None:
            return self.recorded - self.sound - self.columns @ amounts, wide, None
        residual, worse = self.recorded - self.predicted[i], self._worse(i)
        return residual, wide if worse is None else np.append(wide, 1.0), worse

    def looked(self, i: int) -> Fit:
        """Return a first fit of a hypothesis."""
        residual, sigmas, worse = self.parts(i)
        return self.look.fit(residual, sigmas, worse)

    def fitted(self, i: int, start: Fit | None) -> Fit:
        """Return the fit of a hypothesis."""
        residual, sigmas, worse = self.parts(i)
        columns = self.columns if worse is None else np.column_stack([self.columns, worse])
        if start is not None and len(start.delta) != columns.shape[1]:
            delta = np.zeros(columns.shape[1])
            kept = min(len(delta), len(start.delta), len(self.sigmas))
            delta[:kept] = start.delta[:kept]
            start = start._replace(delta=delta)
        first = fit(residual, columns, sigmas, self.noise, start, ROUNDS)
        others = (
            fit(residual, columns, sigmas, self.noise, x, ROUNDS) for x in self._starts(first)
        )
        return max((first, *others), key=lambda fitted: fitted.log_evidence)

    def _starts(self, first: Fit) -> tuple[Fit, ...]:
        """Return where else a fit may begin: nowhere moved, and as *none* lies.

        Heavy tails give it several ends.
        """
        count = len(self.sigmas)
        as_none = np.concatenate([self.none.delta, np.zeros(len(first.delta) - count)])
        return (
            first._replace(delta=np.zeros(len(first.delta)), scale=self.noise.scale),
            first._replace(delta=as_none, scale=self.none.scale),
        )
