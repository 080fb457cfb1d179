"""What evidence is worth: nothing up to what sound recordings give, a share beyond, never all."""

import numpy as np
import pytest

from sim.keys import FaultId
from sim.reproduce.causes import NONE, Cause, Faults
from sim.reproduce.recorded import judging
from sim.reproduce.recorded.hypotheses import seen_faults
from sim.reproduce.recorded.judging import (
    BLUNT,
    DOUBT_NATS,
    PAIR_BLUNT,
    TEMPER,
    doubted,
    judged,
    judged_pair,
    limit_nats,
    limit_of,
    log_of,
    read,
    worth,
)
from tests.reproduce.limits import LEAST_NATS, rows


def test_evidence_up_to_what_sound_ones_give_says_nothing():
    assert worth(0.0, 5.0) == worth(4.9, 5.0) == 0.0
    assert worth(5.1, 5.0) == pytest.approx(TEMPER * 0.1, rel=0.02)
    assert worth(-4.0, 5.0) == -4.0


def test_the_more_evidence_the_less_of_it_counts():
    step = 0.01  # nats
    near, far = ((worth(5.0 + x + step, 5.0) - worth(5.0 + x, 5.0)) / step for x in (0.0, 400.0))
    assert near == pytest.approx(TEMPER, rel=0.01)
    assert far == pytest.approx(TEMPER / (1.0 + BLUNT * TEMPER * 400.0), rel=0.01)


def test_the_limit_is_what_one_in_six_passes_of_an_exponential_tail():
    mean = 2.5
    tail = np.random.default_rng(1).exponential(mean, 200_000)
    assert (tail > limit_nats(mean)).mean() == pytest.approx(1.0 / 6.0, abs=0.003)


def test_what_shows_between_rows_is_never_claimed_from_a_slow_log():
    assert judged("filter-cutoff-wrong", 500.0, 0.01) > 10.0
    assert judged("filter-cutoff-wrong", 500.0, 0.05) == 0.0
    assert judged("filter-cutoff-wrong", -5.0, 0.05) == judged("filter-cutoff-wrong", -5.0, 0.01)
    alone: dict[FaultId, float] = {"cg-offset": 50.0, "filter-cutoff-wrong": 90.0, "over-mass": 0.0}
    told = judged("cg-offset", 50.0, 0.05)
    assert judged_pair(("cg-offset", "filter-cutoff-wrong"), 500.0, alone, 0.05) == told
    assert judged_pair(("filter-cutoff-wrong", "over-mass"), 500.0, alone, 0.05) == told
    assert judged_pair(("cg-offset", "over-mass"), 500.0, alone, 0.05) > told + 5.0


def test_a_second_fault_is_worth_what_it_adds_beyond_its_limit():
    alone: dict[FaultId, float] = {"cg-offset": 40.0, "over-mass": 7.0}
    told, limit = judged("cg-offset", 40.0, 0.01), limit_of("over-mass", 0.01)

    def both(more):
        return judged_pair(("cg-offset", "over-mass"), 40.0 + more, alone, 0.01) - told

    assert both(limit) == 0.0
    assert both(limit + 1.0) == pytest.approx(worth(1.0, 0.0, PAIR_BLUNT))
    assert both(limit + 50.0) < worth(50.0, 0.0)  # much of it may be what is wrong of the first
    assert both(-3.0) == -3.0


def test_two_faults_have_to_explain_more_than_the_likeliest_single_one():
    alone: dict[FaultId, float] = {
        "rate-gain-high": 276.0,
        "axis-gains-unequal": 118.0,
        "arm-joint-loose": 20.0,
    }
    pair: Faults = ("arm-joint-loose", "axis-gains-unequal")
    told = judged("rate-gain-high", 276.0, 0.01)
    assert judged_pair(pair, 276.0, alone, 0.01) == told
    assert judged_pair(pair, 270.0, alone, 0.01) == pytest.approx(told - 6.0)
    added = judged_pair(pair, 300.0, alone, 0.01) - told
    limit = limit_of("arm-joint-loose", 0.01)
    assert added == pytest.approx(worth(24.0, limit, PAIR_BLUNT))


def test_a_slow_log_has_limits_of_its_own(monkeypatch):
    means = {("filter-cutoff-wrong", "quick"): 1.0, ("filter-cutoff-wrong", "slow"): 2.5}
    monkeypatch.setattr(judging, "_means", lambda: means)
    assert (log_of(0.02), log_of(0.025)) == ("quick", "slow")
    assert limit_of("filter-cutoff-wrong", 0.05) == pytest.approx(limit_nats(2.5))
    assert limit_of("filter-cutoff-wrong", 0.01) == pytest.approx(limit_nats(1.0))


def test_a_fault_that_was_never_measured_gets_the_largest_limit():
    slow = [row.nats for row in read(judging.table()) if row.log == "slow"]
    assert limit_of("nose-lost", 0.05) == pytest.approx(limit_nats(max(slow)))
    assert max(slow) > min(slow)


def test_no_answer_is_surer_than_doubt_allows():
    causes = [Cause(NONE, 0.0), Cause(("cg-offset",), 500.0), Cause(("over-mass",), 499.0)]
    none, first, second = (cause.log_evidence for cause in doubted(causes))
    assert first - none == pytest.approx(DOUBT_NATS, abs=0.01)
    assert first - second == pytest.approx(1.0, abs=0.01)


def test_look_alikes_are_told_apart_by_their_own_evidence():
    alike = [Cause(("stick-centre-off",), 100.0), Cause(("level-trim-off",), 60.0)]
    first, second = (cause.log_evidence for cause in doubted(alike))
    assert first - second == pytest.approx(40.0, abs=0.01)


def test_the_shipped_table_has_every_fault_that_a_recording_shows(sound):
    there = {(row.fault, row.log) for row in read(judging.table())}
    assert {(f, log) for f in seen_faults(sound) for log in ("quick", "slow")} <= there


def test_a_fault_that_sound_recordings_favour_gets_a_limit_others_do_not_pay_for():
    quiet = {"cg-offset": -3.0, "over-mass": 0.5, "idle-too-low": -1.0}
    lines = [
        {"set": "twin", "number": n, "step_s": 0.01, "nats": quiet | {"pack-cold": 40.0}}
        for n in range(30)
    ]
    nats = {row.fault: row.nats for row in rows(lines)}
    assert nats["pack-cold"] == pytest.approx(40.0, rel=0.2)
    assert nats["cg-offset"] == nats["over-mass"] == LEAST_NATS
    assert {row.log for row in rows(lines)} == {"quick"}


def test_what_speaks_against_a_fault_is_sometimes_wrong():
    """A mixture: nineteen times in twenty as it is, else it says nothing."""
    assert judged("over-mass", -1.0, 0.01) == pytest.approx(np.log(0.95 * np.exp(-1.0) + 0.05))
    assert judged("over-mass", -80.0, 0.01) == pytest.approx(np.log(0.05))
    assert judged("filter-cutoff-wrong", -80.0, 0.05) == pytest.approx(np.log(0.05))
    assert judged("over-mass", 0.0, 0.01) == 0.0
    much = worth(500.0, limit_of("over-mass", 0.01))
    assert judged("over-mass", 500.0, 0.01) == pytest.approx(much + np.log(0.95), abs=0.001)
