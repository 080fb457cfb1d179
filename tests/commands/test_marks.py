"""Studies of marks and of the choice of drills, by the command."""

import json
from functools import cache

import pytest

from sim.commands import marks
from sim.commands.ends import BAD_INPUT, FINE, NO, STOPPED
from sim.diagnosis import attempts, validity
from sim.diagnosis.attempts import made as make
from sim.diagnosis.kept import ResultsFile
from sim.diagnosis.planted import Climbed, Plan
from sim.keys import FaultId
from sim.session.scenario import load
from sim.trainees.standins import Attempt

VALIDITY = ("study", "quiet-morning", "first-evening", "--validity", "--workers", "1")
FAULT: FaultId = "level-trim-off"


@cache
def done(name: str):
    return make(Attempt(load("first-evening"), name, 0))


@pytest.fixture(autouse=True)
def at_no_cost(monkeypatch, tmp_path):
    """Let careful and hasty stand for all the good and all the poor, and two plans for all."""
    monkeypatch.setattr("sim.commands.working.user_cache", lambda: str(tmp_path / "cache"))
    like = {name: "careful" if name in validity.GOOD else "hasty" for name in validity.PERSONS}
    monkeypatch.setattr(attempts, "made", lambda attempt: done(like[attempt.stand_in]))
    monkeypatch.setattr(marks, "plans", lambda: [Plan(FAULT, rungs, 7) for rungs in (0, 4)])


def document(said) -> dict:
    found = json.loads(said.out)
    del found["seconds"]
    return found


def test_validity_says_how_far_groups_drills_and_rungs_go(dryhop):
    said = dryhop(*VALIDITY, "--json")
    assert said.code == FINE
    found = document(said)
    assert found["groups"]["auc"] == 1.0
    assert found["drills"] == ["quiet-morning", "first-evening"]
    assert {rung: one["plans"] for rung, one in found["rungs"].items()} == dict.fromkeys(
        ("noticed", "named", "cleared", "proved"), 2
    )
    printed = dryhop(*VALIDITY)
    assert "AUC 1.000" in printed.out
    assert "not people" in printed.out


def test_validity_cut_short_goes_on_where_it_was(dryhop, monkeypatch):
    """Across its two stages: all attempts, and one plan of two."""
    whole = document(dryhop(*VALIDITY, "--json"))
    write, most = ResultsFile.write, 2 * len(validity.PERSONS) + 1

    def stops(self, stage, item, result):
        if self.count == most:
            raise KeyboardInterrupt
        write(self, stage, item, result)

    monkeypatch.setattr(ResultsFile, "write", stops)
    assert dryhop(*VALIDITY, "--json").code == STOPPED
    monkeypatch.setattr(ResultsFile, "write", write)
    again = dryhop(*VALIDITY, "--json")
    assert f"Going on with {most} results" in again.err
    assert document(again) == whole


def test_a_scorer_that_does_not_agree_is_a_no(dryhop, monkeypatch):
    def gives_all(plan: Plan) -> Climbed:
        return Climbed(plan.fault, plan.rungs, (True,) * 4)

    monkeypatch.setattr(validity, "climbed", gives_all)
    said = dryhop(*VALIDITY)
    assert said.code == NO
    assert f"{FAULT}: planned [False, False, False, False], scored [True, True" in said.out


def test_learners_are_compared_at_every_pace(dryhop):
    said = dryhop("study", "--learners", "--runs", "2", "--workers", "1", "--json")
    found = document(said)
    assert list(found["paces"]) == ["0.5", "1", "2"]
    assert all(one["trainees"] == 2 for one in found["paces"].values())
    quick, usual = (found["paces"][pace]["logbook"]["median_minutes"] for pace in ("2", "1"))
    assert quick < usual
    assert "not people" in found["caution"]


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("study", "--validity", "--bands"), "give one of --bands, --detection"),
        (("study", "first-evening", "--learners"), "give one of --bands, --detection"),
        ((*VALIDITY, "--stand-ins", "hasty"), "--stand-ins: ['hasty']: goes with drills alone"),
        (
            ("study", "--learners", "--airframe", "heavy-381mm"),
            "--airframe: heavy-381mm: goes with",
        ),
    ],
)
def test_what_does_not_go_together_is_refused(dryhop, words, says):
    said = dryhop(*words)
    assert (said.code, said.out) == (BAD_INPUT, "")
    assert says in said.err
