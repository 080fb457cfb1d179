"""Curves of an answer: recorded, as the likeliest cause has it, and as what it is held against."""

from types import SimpleNamespace
from typing import Any, cast

import numpy as np
import pytest

from sim.reproduce.answer.compared import CHANNELS, FEWEST, curves, fit_of, rival_of
from sim.reproduce.causes import Cause, Causes
from sim.reproduce.recorded.evidence import Noise
from sim.reproduce.recorded.features import Feature
from sim.reproduce.recorded.noise import LEFT

T = np.arange(4.0)
RECORDED = np.array([1.0, 2.0, 3.0, 4.0, 10.0, 11.0, 12.0, 13.0, 0.5])


WHICH = np.array([0] * 4 + [1] * 4 + [2])
NOISE = Noise(WHICH, np.ones(9), np.ones(3), np.ones(3), np.array([2.0, 1.0, 1.0]))


def fit(evidence: float, residual: float) -> Any:
    n = len(RECORDED)
    return SimpleNamespace(
        log_evidence=evidence,
        residual=np.full(n, residual),
        scale=np.full(3, 0.2),
        delta=np.array([0.5, 7.0]),  # of what every aircraft has, and of the severity
    )


def weighed() -> Any:
    listed = [Feature("turning", 1, T), Feature("volt", 0, T), Feature("lean", 0, T[:1])]
    features = SimpleNamespace(
        list=listed,
        which=WHICH,
        recorded=RECORDED,
        times_s=np.concatenate([T, T, T[:1]]),
    )
    hypotheses = [SimpleNamespace(fault=f) for f in ("cg-offset", "cg-offset", "over-mass")]
    fits = {0: fit(1.0, 0.3), 1: fit(5.0, 0.1), 2: fit(3.0, 0.2)}
    return SimpleNamespace(
        features=features,
        hypotheses=hypotheses,
        fits=fits,
        sound=fit(0.0, 0.2),
        noise=NOISE,
        columns=np.full((9, 1), 1.0),
        sound_predicted=RECORDED - 1.0,
    )


CAUSES = Causes((Cause((), 0.0), Cause(("cg-offset",), 9.0), Cause(("over-mass",), 2.0)))


def test_a_curve_for_each_channel_with_enough_numbers():
    found = curves(cast(Any, weighed()), CAUSES)
    assert [curve.words for curve in found] == ["change of pitch rate", "pack voltage"]
    assert [curve.unit for curve in found] == ["rad/s", "V"]
    rate, volts = found
    assert volts.recorded == pytest.approx(RECORDED[4:8])
    assert rate.likeliest == pytest.approx(RECORDED[:4] - 0.1)  # the better of two ways
    assert rate.against == pytest.approx(RECORDED[:4] - 1.0 + 0.5)  # the same one without the fault
    apart = 2.5 * (np.log1p(2.5**2 / 4.0) - np.log1p(0.5**2 / 4.0))  # Student's t, four degrees
    assert volts.nats == pytest.approx(np.full(4, apart))
    assert rate.nats == pytest.approx(np.full(4, apart / 2.0))  # two numbers count as one
    assert FEWEST > 1


def test_a_cause_is_held_against_none_and_none_against_the_next():
    assert rival_of(CAUSES).faults == ()
    sound = Causes((Cause((), 9.0), Cause(("cg-offset",), 1.0), Cause(("over-mass",), 2.0)))
    assert rival_of(sound).faults == ("over-mass",)
    rate = curves(cast(Any, weighed()), sound)[0]
    assert rate.likeliest == pytest.approx(RECORDED[:4] - 0.2)
    assert rate.against == pytest.approx(RECORDED[:4] - 0.2)


def test_what_no_hypothesis_stands_for_is_as_sound():
    found = weighed()
    assert fit_of(found, Cause(("no-spotter",), 0.0)) is found.sound
    assert fit_of(found, Cause(("cg-offset", "over-mass"), 0.0)).log_evidence == 5.0


def test_every_kind_of_number_that_is_compared_has_a_name():
    assert {name for name, _ in LEFT} <= set(CHANNELS)
    for name, axis in LEFT:
        channel = CHANNELS[name]
        assert "{" not in channel.words.format(channel.axes[axis])
