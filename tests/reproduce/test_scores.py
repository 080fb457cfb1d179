"""What measures answers tells right from wrong, and the sets are what they say."""

import json
from functools import partial

import numpy as np
import pytest

from sim.reproduce.causes import Cause, Causes
from tests.reproduce import scores
from tests.reproduce.brought import SETS


def line(
    truth, *likely, group=None, fits=True, kind="simulated", foreign=False, severity=(), silent=None
):
    ranked = [[list(f), p] for f, p in likely]
    group = [list(f) for f in group] if group else [ranked[0][0]] if ranked else []
    return {"set": kind, "number": 0, "truth": list(truth), "severity": list(severity), "silent": silent or {}, "how": "", "foreign": foreign, "ranked": ranked, "group": group, "fits": fits, "fit": None, "seconds": 1.0}  # fmt: skip


CG, TRIM, GYRO, MASS = ("cg-offset",), ("level-trim-off",), ("gyro-bias-moved",), ("over-mass",)


def test_first_is_the_truth_or_one_not_told_apart_from_it():
    right = line(CG, (CG, 0.9), (MASS, 0.1))
    alike = line(GYRO, (TRIM, 0.6), (GYRO, 0.3), group=(TRIM, GYRO))
    other = line(CG, (MASS, 0.9), (CG, 0.1))
    assert [scores.first(x) for x in (right, alike, other)] == [True, True, False]
    assert [scores.strict(x) for x in (right, alike, other)] == [True, False, False]
    assert [scores.in_three(x) for x in (right, alike, other)] == [True, True, True]
    assert [scores.wrong(x) for x in (right, alike, other)] == [False, False, True]


def test_the_fourth_is_not_among_three_but_a_stated_look_alike_of_the_third_is():
    far = line(CG, (MASS, 0.4), ((), 0.3), (TRIM, 0.2), (CG, 0.1))
    assert not scores.in_three(far)
    assert scores.in_three(line(GYRO, (MASS, 0.5), ((), 0.3), (TRIM, 0.2)))


def test_saying_that_it_cannot_tell_is_not_wrong_and_not_right():
    for unsure in (line(CG), line(CG, (MASS, 0.9), fits=False), line(CG, (MASS, 0.4), (CG, 0.3))):
        assert not scores.wrong(unsure)
        assert not scores.first(unsure)
    assert not scores.strict(line((), ((), 0.9), fits=False))


def test_both_of_a_pair_have_to_be_there():
    two = (*CG, *MASS)
    assert scores.both(line(two, (two, 0.8), kind="pairs"))
    assert not scores.both(line(two, (CG, 0.8), kind="pairs"))
    assert scores.either(line(two, (CG, 0.8), kind="pairs"))


def test_a_fault_that_is_said_not_to_show_while_so_mild_is_held_and_a_worse_one_is_not():
    mild, worse = (line(CG, ((), 0.9), severity=(s,), silent={CG[0]: 0.5}) for s in (0.45, 0.55))
    assert [scores.held(x) for x in (mild, worse)] == [True, False]
    assert [scores.in_three(x) for x in (mild, worse)] == [True, False]
    assert [scores.wrong(x) for x in (mild, worse)] == [False, True]
    assert not scores.first(mild)
    assert not scores.unseen(line((), ((), 0.9), silent={CG[0]: 1.0}))  # a sound one hides nothing


def test_of_two_faults_one_may_be_named_and_the_other_said_not_to_show():
    two = (*CG, *MASS)
    said = line(two, (CG, 0.9), severity=(0.9, 0.3), silent={MASS[0]: 0.4}, kind="pairs")
    assert scores.unseen(said)
    assert not scores.both(said)
    assert not scores.unseen(said | {"severity": [0.9, 0.5]})
    assert not scores.unseen(said | {"ranked": [[["pack-cold"], 0.9]]})
    assert not scores.unseen(line(two, (two, 0.9), severity=(0.9, 0.3), kind="pairs"))


def test_reliability_holds_what_is_stated_against_what_is_true():
    lines = [line(CG if n < 80 else MASS, (CG, 0.85), (MASS, 0.15)) for n in range(100)]
    found = scores.reliability(lines)
    assert np.allclose(found, [(0.15, 0.2, 100), (0.85, 0.8, 100)])


def test_the_table_counts_each_set_by_itself():
    lines = [line(CG, (CG, 1.0)), line(CG, (MASS, 1.0)), line((), ((), 1.0)), line((), ((), 0.9), kind="another", foreign=True)]  # fmt: skip
    text = scores.table(lines)
    assert "| simulated | 1 of 2 (50 %) | 1 of 2 (50 %) | 1 of 2 (50 %) | 1 of 2 (50 %) | 1 of 1 (100 %) | 1 of 3 (33 %) |" in text  # fmt: skip
    assert "none fits 0 of 1" in text
    assert scores.failing(lines).count("\n") == 1  # two


def test_an_answer_is_kept_as_it_was_given_and_not_asked_again(tmp_path):
    path = tmp_path / "answers.jsonl"
    job = partial(scores.answer, f"{__name__}:always_none")
    scores.gather(job, ["simulated"], range(3), path, 1)
    kept = path.read_text()
    path.write_text(kept + '{"set": "simu')
    scores.gather(job, ["simulated"], range(4), path, 1)
    assert [json.loads(x)["number"] for x in path.read_text().splitlines()] == [0, 1, 2, 3]
    assert path.read_text().startswith(kept)
    assert all(scores.strict(x) == (not x["truth"]) for x in scores.read(path))


def always_none(recording, airframe):
    return Causes((Cause((), 0.0), Cause(("cg-offset",), -20.0)))


@pytest.mark.parametrize("kind", ["simulated", "disguised", "pairs"])
def test_a_set_brings_recordings_of_its_kind(kind):
    some = [SETS[kind](n) for n in range(4)]
    kept = [one.recording for one in some if one.recording is not None]
    assert len(kept) >= 3
    assert all(np.isfinite(r["drive_front_left"]).all() for r in kept)
    assert all(len(one.truth) == 2 for one in some) == (kind == "pairs")
    assert not any(one.foreign for one in some)
