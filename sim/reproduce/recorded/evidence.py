"""How likely a recording is under one hypothesis: a robust likelihood, what is not known fitted.

recorded - predicted = J delta + e, delta ~ N(0, S^2), e of Student's t with the scale sigma d of its
feature; sigma itself is fitted, near what sound recordings show. Solved by reweighting; by Laplace's
method, ln p = ln p(e) + ln p(delta) + ln p(sigma) - 1/2 ln|J' D^-1 J + S^-2| - sum ln S. What rows in a
row have in common counts once: each counts 1/tau.
"""

from math import log
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import cho_factor, cho_solve

from sim.reproduce.recording import Values

QUIETEST = 0.5  # of the usual scale; own: no model is better than that, however calm the air
FREEDOM = 4.0  # 1; recipe: Student's t, four degrees of freedom
ROUNDS = 60  # 1; own: no recording tried took more until nothing moved
STEADY = 10  # 1; own: rounds; a scale fifty times the usual then still moves by a thirtieth
FIRST_LOOK = 2  # 1; own: rounds for scales of a first look
STILL_NATS = 0.01  # nats; own: a step worth less; all that are left come to a tenth or so


class Noise(NamedTuple):
    """What is left of the features of a sound recording.

    which : feature of each number; shape : (n,) how its scale goes with what was recorded there;
    scale, spread : by feature, the usual sigma and the standard deviation of its logarithm; together
    : tau by feature, how many numbers in a row count as one.
    """

    which: NDArray[np.int64]
    shape: Values
    scale: Values
    spread: Values
    together: Values


class Fit(NamedTuple):
    """One hypothesis fitted: evidence, what was not known, in sigmas of its own, and its variance.

    rows : log likelihood of each number, weighted; residual : what is left; scale : by feature.
    """

    log_evidence: float
    delta: Values
    variance: Values
    rows: Values
    residual: Values
    scale: Values


def _scales(square: Values, noise: Noise) -> Values:
    """Return the scale of each feature: what its residuals ask for, drawn towards the usual."""
    count = np.bincount(noise.which, minlength=len(noise.scale))
    total = np.bincount(noise.which, square, minlength=len(noise.scale))
    told = 0.5 * np.log(np.maximum(total, 1e-300) / np.maximum(count, 1))
    worth = 2.0 * count / noise.together
    usual = 1.0 / noise.spread**2
    found = np.asarray(np.exp((worth * told + usual * np.log(noise.scale)) / (worth + usual)))
    return np.asarray(np.maximum(found, QUIETEST * noise.scale))


def _weights(e: Values, noise: Noise, scale: Values) -> Values:
    z = e / (noise.shape * scale[noise.which])
    return np.asarray((FREEDOM + 1.0) / (FREEDOM + z * z))


def scales(residual: Values, noise: Noise, start: Values, rounds: int = STEADY) -> Values:
    """Return the scale of each feature that what is left (n,) asks for. start : where to begin."""
    scale = start
    for _ in range(rounds):
        weights = _weights(residual, noise, scale)
        scale = _scales(weights * (residual / noise.shape) ** 2, noise)
    return scale


def fit(
    residual: Values,
    columns: Values,
    sigmas: Values,
    noise: Noise,
    start: Fit | None = None,
    rounds: int = ROUNDS,
) -> Fit:
    """Return the fit of one hypothesis.

    residual : (n,) recorded less predicted; columns : (n, k); sigmas : (k,) of each delta, in the
    units of the columns; start : where to begin, else with nothing moved; rounds : at most; it ends
    as soon as nothing moves any more.
    """
    delta = np.zeros(columns.shape[1]) if start is None else start.delta
    scale = noise.scale if start is None else start.scale
    tau = noise.together[noise.which]
    prior = 1.0 / sigmas**2
    for _ in range(rounds):
        e = residual - columns @ delta
        weights = _weights(e, noise, scale)
        scale = _scales(weights * (e / noise.shape) ** 2, noise)
        over = weights / ((noise.shape * scale[noise.which]) ** 2 * tau)
        weighted = columns * over[:, None]
        whole = columns.T @ weighted
        whole[np.diag_indices_from(whole)] += prior
        factor = cho_factor(whole, check_finite=False)
        before, delta = delta, cho_solve(factor, weighted.T @ residual, check_finite=False)
        step = delta - before
        if step @ whole @ step < STILL_NATS:
            break
    e = residual - columns @ delta
    variance = np.diag(cho_solve(factor, np.eye(len(delta)), check_finite=False))
    return _laplace(e, delta, sigmas, factor[0], variance, noise, scale)


def _laplace(
    e: Values, delta: Values, sigmas: Values, root: Values, variance: Values, noise: Noise, scale: Values
) -> Fit:  # fmt: skip
    """Return the fit that ends with a residual; root : triangular, of the whole matrix solved."""
    spread = noise.shape * scale[noise.which]
    tau = noise.together[noise.which]
    rows = -(np.log(spread) + 0.5 * (FREEDOM + 1.0) * np.log1p((e / spread) ** 2 / FREEDOM)) / tau
    log_p = (
        float(rows.sum())
        - 0.5 * float(((delta / sigmas) ** 2).sum())
        - float(np.log(np.diag(root)).sum())
        - float(np.log(sigmas).sum())
        - 0.5 * float((np.log(scale / noise.scale) ** 2 / noise.spread**2).sum())
    )
    return Fit(log_p, delta, variance, rows, e, scale)


def together_nats(evidence: Values) -> float:
    """Return the evidence of a fault from that of its ways: the mean over all of them."""
    top = float(evidence.max())
    return top + log(float(np.exp(evidence - top).mean()))


class Look:
    """A first look at many hypotheses: one linear step each, with the weights of the sound fit.

    What takes n k^2 is done once for all; a hypothesis costs n k.
    """

    def __init__(self, columns: Values, noise: Noise, sound: Fit) -> None:
        self.columns, self.noise, self.sound = columns, noise, sound
        spread = noise.shape * sound.scale[noise.which]
        weights = _weights(sound.residual, noise, sound.scale)
        self.over = weights / (spread**2 * noise.together[noise.which])
        self.weighted = columns * self.over[:, None]
        self.whole = columns.T @ self.weighted

    def fit(self, residual: Values, sigmas: Values, more: Values | None = None) -> Fit:
        """Return the fit of a hypothesis; `sigmas` are of all columns, those of `more` (n,) last."""
        columns, whole = self.columns, self.whole
        asked = self.weighted.T @ residual
        if more is not None:
            heavy = self.over * more
            beside = self.columns.T @ heavy
            whole = np.block([[whole, beside[:, None]], [beside[None, :], more @ heavy]])
            asked = np.append(asked, heavy @ residual)
        factor = cho_factor(whole + np.diag(1.0 / sigmas**2), check_finite=False)
        delta = cho_solve(factor, asked, check_finite=False)
        e = residual - columns @ delta[: columns.shape[1]]
        if more is not None:
            e = e - more * delta[-1]
        scale = scales(e, self.noise, self.sound.scale, FIRST_LOOK)
        return _laplace(e, delta, sigmas, factor[0], np.zeros(len(delta)), self.noise, scale)
