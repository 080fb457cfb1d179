"""How well the best explanation fits: judged on stretches of the recording that it was not fitted to.

So much is not known of any aircraft that what is fitted can bend round the recording of another one. What
it took up in one stretch then fails in the next.
"""

from collections.abc import Iterable

import numpy as np

from sim.reproduce.recorded.evidence import Fit, Noise, fit, scales
from sim.reproduce.recorded.weigher import ROUNDS
from sim.reproduce.recording import Values

STRETCH_S = 2.0  # s; own: longer than gusts and sticks last, so that one tells nothing of the next
FAR_OFF = (
    3.9  # spreads; own: 104 of 106 of the aircraft named left no more, 19 of 20 of others more
)
LEAST_FIT = 0.5  # 1; by definition of `goodness`, at `FAR_OFF` spreads


def left_out(best: Fit, columns: Values, sigmas: Values, noise: Noise, times_s: Values) -> Values:
    """Return what is left (n,) of a recording where each stretch is explained by what its neighbours tell.

    What is not known is fitted to every other stretch, and explains those between; the faults stay as in
    the best fit. columns : (n, k); sigmas : (k,); times_s : (n,) of each number.
    """
    before = best.residual + columns @ best.delta[: columns.shape[1]]
    even = np.floor((times_s - times_s.min(initial=np.inf)) / STRETCH_S) % 2 == 0
    left = best.residual.copy()
    for ours in (even, ~even):
        if ours.any() and not ours.all():
            some = noise._replace(which=noise.which[ours], shape=noise.shape[ours])
            told = fit(before[ours], columns[ours], sigmas, some, None, ROUNDS)
            left[~ours] = before[~ours] - columns[~ours] @ told.delta
    return left


def goodness(
    fits: Iterable[Fit], columns: Values, sigmas: Values, noise: Noise, times_s: Values
) -> float:
    """Return how well the best of some fits explains a recording, 0..1; `LEAST_FIT` is the limit.

    What counts is the feature that it leaves worst: by how many spreads of sound recordings the scale of
    what is left out lies above theirs.
    """
    best = max(fits, key=lambda fitted: fitted.log_evidence)
    found = scales(left_out(best, columns, sigmas, noise, times_s), noise, best.scale)
    worst = float(np.max(np.log(found / noise.scale) / noise.spread, initial=0.0))
    return float(0.5 ** ((worst / FAR_OFF) ** 2))
