"""Studies of drills by stand-ins: what is counted, pooled and told apart."""

import pytest

from sim.diagnosis.attempts import NO_CALLS, Result, attempts
from sim.diagnosis.pool import here
from sim.diagnosis.tally import Tallies, Tally, studied
from sim.errors import Refusal
from sim.keys import FaultId
from sim.scoring.detection import Calls
from sim.scoring.judgement import Calibration
from sim.session.scenario import load

FAULTS: tuple[FaultId, ...] = ("pitch-channel-reversed", "level-trim-off")


def result(stand_in, points, calls=NO_CALLS, known=None, hidden=(), noticed=()):
    return Result("d", stand_in, 0, "cleared to hop", points, hidden, noticed, 0, 0, calls, known)


def test_careful_and_hasty_are_told_apart():
    drills = {"first-evening": load("first-evening")}
    document = studied(attempts(drills, ("careful", "hasty"), 2, here))
    (apart,) = document["separations"]
    assert (apart["better"], apart["worse"], apart["auc"]) == ("careful", "hasty", 1.0)
    assert document["stand_ins"]["careful"]["verdicts"] == {"cleared to hop": 2}
    assert document["stand_ins"]["careful"]["calibration"]["claims"] >= 4
    assert document["by_drill"]["first-evening"]["careful"]["cleared"] == 2


def test_a_stand_in_stuck_at_a_refusal_counts_as_far_as_it_went(monkeypatch):
    from sim.trainees import standins

    def gives_up(hands, scenario, rng):
        raise Refusal("by design", "over")

    monkeypatch.setitem(standins.STAND_INS, "hasty", gives_up)
    (one,) = attempts({"first-evening": load("first-evening")}, ("hasty",), 1, here)
    assert (one.stuck, one.verdict) == (True, "stay on the bench")


def tally(*results):
    found = Tally()
    for one in results:
        found.add(one)
    return found


def test_calls_of_all_attempts_are_taken_together():
    seen = tally(
        result("careful", 90.0, Calls(1, 2, 3, 4)), result("careful", 80.0, Calls(5, 6, 7, 8))
    )
    assert seen.calls == Calls(6, 8, 10, 12)


def test_calibration_counts_each_claim_alike():
    known = tally(
        result("careful", 90.0, known=Calibration(3, 0.9, 1.0, 0.01)),
        result("careful", 90.0, known=Calibration(1, 0.5, 0.0, 0.25)),
        result("careful", 90.0),
    ).known.together()
    assert known is not None
    assert vars(known) == pytest.approx(dict(claims=4, stated=0.8, right=0.75, brier=0.07))
    assert tally(result("hasty", 20.0)).known.together() is None


def test_no_sensitivity_without_calls_and_no_spread_of_one():
    silent = studied([result("hasty", 20.0, Calls(0, 20, 0, 200), hidden=FAULTS)])
    one = silent["stand_ins"]["hasty"]
    assert one["d_prime_words"] == "no calls made"
    assert one["d_prime"] is None
    assert one["calibration"] is None
    assert one["points"]["spread"] is None
    assert one["faults"]["hidden"] == 2
    assert silent["separations"] == []


def test_spread_is_the_standard_deviation_of_the_points():
    document = studied([result("noisy", p) for p in (60.0, 70.0, 80.0)])
    assert document["stand_ins"]["noisy"]["points"]["spread"] == 10.0


def test_each_pair_that_was_there_is_told_apart_the_better_first():
    tallies = Tallies()
    for one in (
        *(result("partial-75", p) for p in (50.0, 70.0)),
        *(result("partial-25", p) for p in (40.0, 60.0)),
        result("careful", 90.0),
    ):
        tallies.add(one)
    assert [(s["better"], s["worse"], s["auc"]) for s in tallies.separations()] == [
        ("partial-75", "partial-25", 0.75)
    ]
