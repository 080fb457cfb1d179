"""Which hypotheses are fitted again: where *none* rises, what does not show rises with it."""

import numpy as np
import pytest

from sim.keys import FaultId
from sim.reproduce.recorded.again import again
from sim.reproduce.recorded.evidence import Fit
from sim.reproduce.recorded.hypotheses import Hypothesis
from sim.reproduce.recorded.weigher import Weigher
from sim.reproduce.recording import Values

NOTHING = np.zeros(0)


def fitted(log_evidence: float) -> Fit:
    return Fit(log_evidence, NOTHING, NOTHING, NOTHING, NOTHING, NOTHING)


class Stuck(Weigher):
    """One fault shows, one does not; *none* ends early until it is fitted from where the first lies."""

    def __init__(self) -> None:
        faults: tuple[FaultId, ...] = ("over-mass", "drive-thermal-limit", "drive-thermal-limit")
        self.every = tuple(Hypothesis(f, 0.5, 1, None, None, chain=n) for n, f in enumerate(faults))
        self.sigmas: Values = NOTHING
        self.none = fitted(0.0)
        self.asked: list[int] = []

    def settle(self, fits) -> None:
        if max(fit.log_evidence for fit in fits) > 15.0:
            self.none = fitted(15.0)

    def looked(self, i):
        return fitted(10.0 if i == 0 else self.none.log_evidence)

    def fitted(self, i, start):
        self.asked.append(i)
        return fitted(20.0 if i == 0 else self.none.log_evidence)


def test_what_does_not_show_rises_with_none():
    weigher = Stuck()
    shares: list[float] = []
    fits = again(weigher, {i: weigher.looked(i) for i in range(3)}, shares.append)
    assert weigher.none.log_evidence == pytest.approx(15.0)
    assert [fits[i].log_evidence for i in range(3)] == pytest.approx([20.0, 15.0, 15.0])
    assert shares == sorted(shares)
    assert shares[-1] <= 1.0


def test_where_none_does_not_rise_nothing_is_fitted_twice():
    weigher = Stuck()
    weigher.none = fitted(15.0)
    again(weigher, {i: weigher.looked(i) for i in range(3)}, lambda _: None)
    assert sorted(set(weigher.asked)) == sorted(weigher.asked)
