"""The scorer against trainees whose rung was planted, and groups that points have to tell apart."""

import pytest

from sim.diagnosis.attempts import Result
from sim.diagnosis.planted import NO_TWIN, NOT_SHOWN, RUNGS, Climbed, Plan, climbed, plans
from sim.diagnosis.pool import here
from sim.diagnosis.validity import (
    GOOD,
    LEAST_KAPPA,
    NOT_PEOPLE,
    PERSONS,
    POOR,
    agreement,
    dependability,
    enough,
    groups,
    studied,
)
from sim.faults.catalogue import CATALOGUE
from sim.keys import FaultId
from sim.scoring import ladder
from sim.session.scenario import load
from sim.trainees.driver import Hands

SOME: tuple[FaultId, ...] = ("pitch-channel-reversed", "level-trim-off", "prop-upside-down")


def climbs(*faults: FaultId) -> list[Climbed]:
    return [climbed(Plan(fault, rungs, 7)) for fault in faults for rungs in range(5)]


def test_the_scorer_gives_the_rungs_that_were_climbed():
    """The last number is of those for whom another cause could not be named by the same line."""
    found = climbs(*SOME)
    assert {one.left_out for one in found} <= {"", NO_TWIN}
    carried = [one for one in found if not one.left_out]
    assert len(carried) >= 12
    assert [one.scored for one in carried] == [one.planned for one in carried]
    assert {one.planned for one in carried if one.rungs == 3} == {(True, True, True, False)}
    for rung, one in agreement(found).items():
        assert (rung, one["kappa"]) == (rung, 1.0)


def test_a_scorer_that_gives_the_proof_away_does_not_agree(monkeypatch):
    """As a judge would who takes a cure for its proof."""
    monkeypatch.setattr(ladder, "proved", lambda fault, case: True)
    found = agreement(climbs(SOME[0]))
    assert found["proved"]["table"] == [[1, 0], [1, found["proved"]["plans"] - 2]]
    assert found["proved"]["kappa"] < LEAST_KAPPA
    assert found["named"]["kappa"] == 1.0


def test_a_plan_that_can_not_be_carried_out_is_left_out_and_counted(monkeypatch):
    monkeypatch.setattr(Hands, "suspects", lambda hands, reading: [])
    one = climbed(Plan(SOME[0], 2, 7))
    assert (one.left_out, one.scored) == (NOT_SHOWN, ())
    whole = Climbed(SOME[0], 4, (True,) * 4)
    assert agreement([one, whole, Climbed(SOME[0], 0, (False,) * 4)])["named"]["plans"] == 2


def test_there_is_a_plan_for_every_rung_of_every_fault_that_shows_on_the_bench():
    on_the_bench = {name for name, fault in CATALOGUE.items() if not fault.only_in_the_air}
    assert {(p.fault, p.rungs) for p in plans()} == {(f, n) for f in on_the_bench for n in range(5)}
    assert len({p.seed for p in plans()}) == len(plans())
    assert len(RUNGS) == 4


def result(stand_in: str, drill: str, points: float) -> Result:
    return Result(drill, stand_in, 0, "cleared to hop", points, (), (), 0, 0)


def marks(drills: int, good: float, poor: float) -> list[Result]:
    """Return marks that rise with the stand-in and differ a little from drill to drill."""
    base = dict.fromkeys(PERSONS, 0.5 * (good + poor)) | dict.fromkeys(GOOD, good)
    base |= dict.fromkeys(POOR, poor)
    return [
        result(who, f"d{n}", base[who] + 3.0 * ((n + at) % 3) - n)
        for at, who in enumerate(PERSONS)
        for n in range(drills)
    ]


def test_groups_far_apart_are_told_apart_and_cut_between():
    found = groups(marks(4, 90.0, 30.0))
    assert found["auc"] == 1.0
    assert 40.0 < found["cut"]["points"] < 88.0
    assert (found["cut"]["failing_seen"], found["cut"]["passing_seen"]) == (0.0, 0.0)
    alike = groups(marks(4, 60.0, 60.0))
    assert 0.3 < alike["auc"] < 0.7
    turned = groups(marks(4, 30.0, 90.0))
    assert turned["auc"] == 0.0
    assert turned["cut"] is None
    assert "higher mean" in turned["why_no_cut"]


def test_drills_in_which_persons_differ_more_than_drills_do_are_dependable():
    names = [f"d{n}" for n in range(4)]
    clear = dependability(marks(4, 90.0, 30.0), names)
    blurred = dependability(marks(4, 61.0, 60.0), names)
    assert clear is not None
    assert blurred is not None
    assert clear["phi"]["4"] > 0.95 > 0.5 > blurred["phi"]["4"]
    assert clear["drills_wanted"] < 1.0 < blurred["drills_wanted"]
    assert dependability(marks(1, 90.0, 30.0), ["d0"]) is None


@pytest.mark.slow
def test_the_whole_study_of_two_drills_and_every_plan():
    drills = {name: load(name) for name in ("first-evening", "quiet-morning")}
    document = studied(drills, 1, plans(), here, lambda name, n: None, lambda: None)
    assert document["groups"]["auc"] > 0.95
    assert enough(document)
    assert document["caution"] == NOT_PEOPLE
    carried = document["rungs"]["proved"]["plans"]
    assert carried + sum(document["left_out"].values()) == len(plans())
    assert carried > 0.8 * len(plans())
