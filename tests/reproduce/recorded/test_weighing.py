"""From fits to causes: what counts of the evidence, where nothing fits, faults that come and go."""

from types import SimpleNamespace

import numpy as np
import pytest

from sim.reproduce.recorded.evidence import Fit, Noise
from sim.reproduce.recorded.features import Feature
from sim.reproduce.recorded.hypotheses import Hypothesis
from sim.reproduce.recorded.moments import coming_and_going
from sim.reproduce.recorded.nuisance import NUISANCES
from sim.reproduce.recorded.summing import _cause, _quantiles, nats_of


def fitted(log_evidence: float, scale: float = 1.0) -> Fit:
    nothing = np.zeros(0)
    return Fit(log_evidence, nothing, nothing, nothing, nothing, np.array([scale]))


MASS = [
    (Hypothesis("over-mass", s, 2, "nose", None), fitted(log_evidence))
    for s, log_evidence in ((0.3, 10.0), (0.55, 30.0), (0.85, 10.0))
]


def test_evidence_is_averaged_over_ways():
    ways, fits = zip(*MASS, strict=True)
    found = SimpleNamespace(
        hypotheses=ways, fits=dict(enumerate(fits)), sound=fitted(5.0), going={"wire-in-disc": (3.0, "rear_left")}
    )  # fmt: skip
    nats = nats_of(found)  # type: ignore[arg-type]
    assert nats == {"over-mass": pytest.approx(30.0 - 5.0 - np.log(3.0)), "wire-in-disc": 3.0}


def test_a_cause_is_its_likeliest_way():
    cause = _cause("over-mass", MASS, 12.0)
    assert cause.log_evidence == 12.0
    assert (cause.place, cause.variation) == ("nose", 2)
    low, mid, high = cause.severity
    assert low < 0.45 < mid < 0.65 < high


def test_what_has_no_degrees_has_no_range_of_severity():
    ways = [(Hypothesis("channel-order-mixed", s, 2, None, None, degrees=False), fitted(x)) for s, x in ((0.3, 40.0), (0.85, 10.0))]  # fmt: skip
    assert _cause("channel-order-mixed", ways, 5.0).severity == (0.3, 0.3, 0.3)


def test_severity_lies_where_the_weight_is():
    severities = np.array([0.3, 0.55, 0.85])
    low, mid, high = _quantiles(severities, np.array([1e-9, 1e-9, 1.0]))
    assert 0.6 < low < mid < high <= 1.0
    assert mid == pytest.approx(0.85, abs=0.08)


class _Turning:
    """Two axes of changes of rate, and a column for each corner's blades."""

    def __init__(self, n: int) -> None:
        times = np.arange(n, dtype=np.float64) * 0.05
        self.list = [Feature("turning", axis, times) for axis in range(2)]
        self.which = np.repeat([0, 1], n)


@pytest.mark.parametrize(
    ("often", "fault"), [(0.05, "phase-joint-bad"), (1.0, "signal-ground-missing")]
)
def test_kicks_along_one_lever_are_its_corner(often, fault):
    n, rng = 400, np.random.default_rng(1)
    left = rng.standard_t(4.0, (2, n))
    assert max(nats for nats, _ in _tells(left).values()) < 3.0
    kick = np.where(rng.random(n) < often, 15.0 if often < 1.0 else 2.5, 0.0) * rng.standard_normal(
        n
    )
    nats, place = _tells(left + LEVER * kick)[fault]
    assert nats > 15.0
    assert place in ("front_right", "rear_left")


def test_gusts_and_moves_by_hand_are_no_kicks_and_hide_none():
    """What comes from anywhere, as hard as it may, says nothing of a lever; kicks besides still do."""
    n, rng = 400, np.random.default_rng(2)
    gusty = rng.standard_t(4.0, (2, n))
    gusty += np.where(rng.random(n) < 0.1, 12.0, 0.0) * rng.standard_normal((2, n))
    gusty[0, 100:110] += 20.0  # a roll
    told = _tells(gusty)
    assert max(told[fault][0] for fault in ("phase-joint-bad", "wire-in-disc")) < 3.0
    kick = np.where(rng.random(n) < 0.1, 25.0, 0.0) * rng.standard_normal(n)
    nats, place = _tells(gusty + LEVER * kick)["phase-joint-bad"]
    assert nats > 10.0
    assert place in ("front_right", "rear_left")


LEVER = np.array([[-1.0], [1.0]])  # front right to rear left


def _tells(left):
    """Return what is told of (roll, pitch) that a sound aircraft leaves, (2, n)."""
    n = left.shape[1]
    columns = np.zeros((2 * n, len(NUISANCES)))
    ways = {
        "front_left": (1, 1),
        "front_right": (-1, 1),
        "rear_right": (-1, -1),
        "rear_left": (1, -1),
    }
    for i, nuisance in enumerate(NUISANCES):
        if nuisance.name.startswith("blades "):
            x, y = ways[nuisance.name.removeprefix("blades ")]
            columns[:n, i], columns[n:, i] = x, y
    return coming_and_going(_Turning(n), columns, _plain(n), _left(left))  # type: ignore[arg-type]


def _plain(n: int) -> Noise:
    return Noise(np.repeat([0, 1], n), np.ones(2 * n), np.ones(2), np.ones(2), np.ones(2))


def _left(rows: np.ndarray) -> Fit:
    scale = np.median(np.abs(rows), axis=1) / 0.741  # of Student's t of four degrees of freedom
    return fitted(0.0)._replace(residual=rows.ravel(), scale=scale)
