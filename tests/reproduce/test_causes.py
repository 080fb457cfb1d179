"""Causes: what is likelier before and after, two sources joined, what is not told apart."""

from dataclasses import replace
from math import log

import pytest

from sim.faults.catalogue import CATALOGUE
from sim.reproduce.causes import (
    LOOK_ALIKES,
    Cause,
    Causes,
    Faults,
    groups,
    hidden_of,
    silent_of,
    sorted_faults,
    together,
)

A: Faults = ("cg-offset",)
B: Faults = ("over-mass",)
C: Faults = ("rate-gain-high",)
PAIR: Faults = ("cg-offset", "over-mass")


def said(**nats: float) -> Causes:
    sets: dict[str, Faults] = {"none": (), "a": A, "b": B, "c": C, "pair": PAIR}
    return Causes(tuple(Cause(sets[name], value) for name, value in nats.items()))


def test_where_nothing_speaks_the_prior_is_left():
    shares = {cause.faults: share for cause, share in said(none=0, a=0, b=0, pair=0).posterior()}
    assert shares[()] == pytest.approx(0.25)
    assert shares[A] == shares[B] == pytest.approx(0.75 * 0.85 / 2)
    assert shares[PAIR] == pytest.approx(0.75 * 0.15)


def test_evidence_counts_by_its_exponential():
    shares = {cause.faults: share for cause, share in said(none=5, a=5 + log(4), b=5).posterior()}
    assert shares[A] / shares[B] == pytest.approx(4.0)
    assert sum(shares.values()) == pytest.approx(1.0)
    assert said(none=0, a=9, b=1, c=2).posterior()[0][0].faults == A


def test_a_pair_is_rarer_than_one_fault():
    ranked = said(none=0, a=9, b=0, c=0, pair=9).posterior()
    assert [cause.faults for cause, _ in ranked[:2]] == [A, PAIR]
    assert ranked[0][1] / ranked[1][1] == pytest.approx((0.85 / 3) / (0.15 / 3))


def test_sources_add():
    both = together(said(none=1, a=3, b=2), said(none=10, a=10.5, b=14))
    total = {cause.faults: cause.log_evidence for cause in both.causes}
    assert total == {(): 11, A: 13.5, B: 16}


def test_what_a_source_does_not_know_it_takes_for_the_likeliest_part():
    both = together(said(none=1, a=3, b=2, pair=7), said(none=10, b=14, c=4))
    total = {cause.faults: cause.log_evidence for cause in both.causes}
    assert total[A] == 3 + 10, "of a the second says as much as of none"
    assert total[PAIR] == 7 + 14
    assert total[C] == 1 + 4
    assert {cause.faults for cause in both.causes} == {(), A, B, C, PAIR}


def test_place_and_severity_come_from_the_surer():
    sure = Causes((Cause((), 0.0), Cause(A, 20.0, "front right", (0.4, 0.5, 0.6), 3)))
    vague = Causes((Cause((), 0.0), Cause(A, -1.0, None, (0.1, 0.5, 0.9), None)))
    for joined in (together(sure, vague), together(vague, sure)):
        cause = joined.of(A)
        assert cause is not None
        assert cause[2:] == ("front right", (0.4, 0.5, 0.6), 3)


def test_fit_is_that_of_the_worse_source():
    good = Causes((Cause((), 0.0),), 0.9)
    bad = Causes((Cause((), 0.0),), 0.1, fits=False)
    assert together(good, bad).fit == 0.1
    assert not together(good, bad).fits
    assert together(good, said(none=0)).fit == 0.9
    assert together(said(none=0), said(none=0)).fit is None


def test_what_is_not_twenty_times_less_likely_is_one_group():
    assert groups(said(none=0, a=10, b=7.1, c=6.9)) == [(A, B), (C,), ((),)]
    assert groups(said(none=0.0, a=1.0)) == [(A, ())]
    # before, *none* is exp(0.16) times as likely as one of three faults: 0.25 against 0.75 * 0.85 / 3
    for nats, likely in ((2.3, ((), A)), (2.0, ((),))):
        assert groups(said(none=5.0, a=nats, b=-9.0, c=-9.0))[0] == likely


def test_what_looks_as_none_does_is_told_of_as_nothing():
    assert silent_of(said(none=0.0, a=20.0, b=0.3, c=-0.6)) == {"over-mass": 1.0}
    assert silent_of(said(none=5.0, a=5.3, b=4.6, c=4.4)) == {}  # all of them may be the likeliest


def test_where_it_is_worked_out_how_bad_a_fault_may_be_unseen_that_is_told():
    seen = said(none=0.0, a=20.0, b=0.3)
    worked_out = replace(seen, hidden={A[0]: 0.4, "over-mass": 0.7, "pack-cold": 1.0})
    beside = {"over-mass": 0.7, "pack-cold": 1.0}  # not of the likeliest itself
    assert silent_of(worked_out) == hidden_of(worked_out) == beside
    assert silent_of(together(worked_out, said(none=0.0))) == silent_of(worked_out)
    assert silent_of(together(said(none=0.0), worked_out)) == silent_of(worked_out)


def test_what_would_look_sound_at_most_severities_goes_with_none():
    said_of = replace(said(none=9.0, a=0.0, b=0.0, c=0.0), hidden={A[0]: 0.59, B[0]: 0.6})
    assert groups(said_of)[0] == ((), B)
    assert silent_of(said_of) == {A[0]: 0.59}
    assert hidden_of(said_of) == {A[0]: 0.59, B[0]: 0.6}
    faulty = replace(said(none=0.0, a=0.0, b=0.0, c=30.0), hidden={A[0]: 1.0})
    assert groups(faulty)[0] == (
        C,
    )  # beside another fault it may be there, but it does not explain this


def test_stated_look_alikes_may_lie_further_behind():
    weak: Faults = ("motor-weak-or-shorted",)
    small: Faults = ("prop-size-mismatch",)
    near = Causes((Cause((), 0.0), Cause(weak, 60.0), Cause(small, 52.5), Cause(A, 52.5)))
    assert groups(near)[0] == (weak, small)
    far = Causes((Cause((), 0.0), Cause(weak, 60.0), Cause(small, 51.5)))
    assert groups(far)[0] == (weak,)


def test_look_alikes_are_faults_of_the_catalogue():
    assert set().union(*LOOK_ALIKES) <= set(CATALOGUE)


@pytest.mark.parametrize(
    "causes",
    [
        (Cause(A, 1.0),),
        (Cause((), 0.0), Cause((), 0.0)),
        (Cause((), 0.0), Cause(("over-mass", "cg-offset"), 0.0)),
        (Cause((), 0.0), Cause((*PAIR, "rate-gain-high"), 0.0)),
    ],
)
def test_what_cannot_be_ranked_is_refused(causes):
    with pytest.raises(ValueError, match=r"faults|none"):
        Causes(causes)


def test_sorting():
    assert sorted_faults(["over-mass", "cg-offset", "over-mass"]) == PAIR
