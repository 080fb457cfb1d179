"""What a recording can't rule out: by the evidence of each way, how bad a fault may be there unseen."""

import pytest

from sim.reproduce.recorded.hidden import hidden
from sim.reproduce.recorded.hypotheses import Hypothesis

STEPS = (0.3, 0.55, 0.85)


def ways(fault, severities=STEPS, chain=0, degrees=True):
    return [Hypothesis(fault, s, 0, None, None, (), chain, degrees) for s in severities]


def seen(every, *nats):
    return hidden(every, dict(enumerate(nats)))


def test_it_may_be_as_bad_as_where_evidence_turns_twenty_to_one_against_it():
    found = seen(ways("over-mass"), -1.0, -2.0, -6.0)
    assert found == {"over-mass": pytest.approx(0.55 + 0.30 * (3.0 - 2.0) / (6.0 - 2.0))}


def test_what_is_ruled_out_while_hardly_a_fault_is_not_told():
    assert seen(ways("over-mass"), -4.0, -20.0, -60.0) == {"over-mass": pytest.approx(0.225)}
    assert seen(ways("over-mass"), -9.0, -20.0, -60.0) == {}  # from 0.1 up it would show


def test_what_shows_nowhere_may_be_as_bad_as_it_gets():
    assert seen(ways("over-mass"), 0.0, -0.1, -0.2) == {"over-mass": 1.0}
    # from the last step on it goes as up to there: -2.8 at 0.85 would be -3.3 at 1
    (upto,) = seen(ways("over-mass"), -1.0, -2.0, -2.8).values()
    assert 0.85 < upto < 0.95


def test_the_place_counts_at_which_it_shows_least():
    every = [*ways("cg-offset", chain=0), *ways("cg-offset", chain=1)]
    found = seen(every, -30.0, -60.0, -90.0, -1.0, -2.0, -6.0)
    assert found == {"cg-offset": pytest.approx(0.625)}


def test_what_has_no_degrees_is_ruled_out_or_not():
    none = ways("mode-switch-swapped", (0.55,), degrees=False)
    assert seen(none, -2.9) == {"mode-switch-swapped": 1.0}
    assert seen(none, -3.1) == {}


def test_evidence_for_it_rules_out_nothing():
    assert seen(ways("over-mass"), 2.0, 9.0, 4.0) == {"over-mass": 1.0}
