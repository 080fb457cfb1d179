"""Severity at a person's edge, from the measured power and their skill; hints that fade."""

from dataclasses import replace
from typing import Any, Literal

import numpy as np
import pytest

from sim.aircraft import library
from sim.diagnosis import table
from sim.diagnosis.table import save, shipped
from sim.faults.catalogue import CATALOGUE
from sim.logbook import edge, memory
from sim.logbook.book import Book
from sim.logbook.edge import curves, fits_whoever, fitted, severity_at, severity_for, wanted
from sim.logbook.knowing import drill_for
from sim.logbook.skill import UNKNOWN, Skill
from sim.logbook.standing import Standing
from sim.session import scenario
from sim.session.journal import replayed
from sim.session.scenario import HiddenFault, Scenario
from sim.session.session import Session
from sim.session.severities import stated
from sim.window.debriefwords import edge_words
from tests.logbook.entering import BEGAN, card, entry, fault

TABLE = shipped()
FAINT = sorted(name for name in CATALOGUE if edge.can_be_faint(TABLE, name))
SKILLS = [Skill(mean, 0.3) for mean in (-4.0, -1.0, 0.0, 1.0, 2.5, 6.0)]
DRAWS = [n for n in scenario.names() if scenario.load(n).draw is not None]


def stands(mean: float, variance: float = 0.1) -> Standing:
    return Standing(Skill(mean, variance), 9, 8, memory.reviewed("", True, BEGAN))


def power(fault: str, severity: float | Literal["at-edge"]) -> float:
    assert isinstance(severity, float)
    return max(TABLE.power(fault, row.check, severity) for row in TABLE if row.fault == fault)


def test_an_airframe_has_its_own_edge_where_that_is_measured_and_the_trainers_is_told(
    monkeypatch, tmp_path
):
    fault = HiddenFault(id="cg-offset", severity="at-edge")
    drill = scenario.load("lucky-dip").model_copy(update={"draw": None, "faults": (fault,)})
    middle = drill.on("middle-203mm")
    by_trainer = fitted(middle, 5, {})
    assert by_trainer.edge_by == library.TRAINER
    assert library.TRAINER in edge_words(by_trainer)
    (hidden,) = by_trainer.faults
    best = "weigh-and-balance"
    own = [
        replace(row, power=min(1.0, 1.25 * row.severity) if row.check == best else 0.0)
        for row in TABLE
        if row.fault == hidden.id
    ]
    others = [row for row in TABLE if row.fault != hidden.id]
    save([*own, *others], tmp_path / "middle-203mm.csv")
    monkeypatch.setattr(table, "table_file", lambda kind, name, folder: tmp_path / f"{name}.csv")
    by_own = fitted(middle, 5, {})
    assert by_own.edge_by == "middle-203mm"
    assert edge_words(by_own) == ""
    assert by_own.faults[0].severity == pytest.approx(wanted(UNKNOWN) / 1.25, abs=0.02)
    assert by_own.faults[0].severity != pytest.approx(hidden.severity, abs=0.02)
    on_the_trainer = fitted(drill, 5, {})
    assert on_the_trainer.faults[0].severity == hidden.severity
    assert on_the_trainer.edge_by == library.TRAINER
    assert edge_words(on_the_trainer) == ""
    assert edge_words(scenario.load("first-evening").on("middle-203mm")) == ""


def test_the_abler_the_fainter_from_nine_in_ten_to_six():
    powers = [wanted(skill) for skill in SKILLS]
    assert powers == sorted(powers, reverse=True)
    assert 0.895 < powers[0] < 0.9
    assert 0.6 < powers[-1] < 0.605
    assert wanted(Skill(1.0, 0.0)) == pytest.approx(0.75)  # even odds at the rung of drawn drills


def test_a_severity_is_found_from_both_sides_of_a_curve():
    curve = [(0.1, 0.2), (0.2, 0.6), (0.5, 0.8), (1.0, 1.0)]
    assert severity_at(curve, 0.1) == 0.1  # more than enough where it is just a fault
    assert severity_at(curve, 0.4) == pytest.approx(0.15)
    assert severity_at(curve, 0.6) == pytest.approx(0.2)
    assert severity_at(curve, 0.7) == pytest.approx(0.35)
    assert severity_at(curve, 1.0) == pytest.approx(1.0)
    assert severity_at(curve, 1.01) is None


def test_the_best_check_decides_not_the_first():
    weak, strong = [(0.1, 0.0), (1.0, 0.5)], [(0.1, 0.0), (1.0, 1.0)]
    assert edge.edge([weak, strong], 0.45) == pytest.approx(0.1 + 0.9 * 0.45)
    assert edge.edge([weak], 0.6) is None


def test_many_faults_can_be_faint_and_those_that_are_so_or_not_can_not():
    assert len(FAINT) >= 20
    assert {CATALOGUE[f].family for f in FAINT} == {
        "airframe", "propulsion", "power", "radio", "sensing", "site",
    }  # fmt: skip
    assert not {"failsafe-holds-last", "pitch-channel-reversed", "person-in-ring"} & set(FAINT)


@pytest.mark.parametrize("fault", FAINT)
@pytest.mark.parametrize("skill", SKILLS)
def test_the_measured_power_at_the_severity_chosen_is_the_one_wanted(fault, skill):
    severity = severity_for(fault, skill, TABLE)
    at, aim = power(fault, severity), wanted(skill)
    assert 0.1 <= severity <= 1.0
    assert 0.6 <= at <= 0.9
    if severity == 0.1:
        assert at >= aim - 1e-9
    else:
        assert at == pytest.approx(aim)
        assert power(fault, severity - 0.005) < aim  # the least severity that will do


def test_what_can_not_be_faint_is_put_in_middling():
    assert severity_for("failsafe-holds-last", UNKNOWN, TABLE) == 0.5
    assert not curves(TABLE, "props-on-at-bench") or not edge.can_be_faint(
        TABLE, "props-on-at-bench"
    )


@pytest.mark.parametrize("name", DRAWS)
def test_a_drawn_drill_is_fitted_to_whoever_sits_down(name):
    drill = scenario.load(name)
    able: dict[Any, Standing] = {
        family: stands(4.0) for family in {f.family for f in CATALOGUE.values()}
    }
    for seed in range(6):
        beginner, master = fitted(drill, seed, {}), fitted(drill, seed, able)
        assert beginner.draw is None
        assert [f.id for f in beginner.faults] == [f.id for f in master.faults]
        assert drill.draw is not None
        assert len(beginner.faults) == drill.draw.count
        for plain, faint in zip(beginner.faults, master.faults, strict=True):
            assert plain.variation == faint.variation is not None
            if plain.id in FAINT:
                assert (
                    0.6
                    <= power(plain.id, stated(faint.severity))
                    <= power(plain.id, stated(plain.severity))
                    <= 0.9
                )
                assert stated(plain.severity) > stated(faint.severity) or faint.severity == 0.1
            else:  # of a family that has none which can be
                family = CATALOGUE[plain.id].family
                assert not [f for f in FAINT if CATALOGUE[f].family == family]
        assert fitted(beginner, seed, able) == beginner  # nothing is left to fit


def test_the_fault_is_exactly_as_bad_as_worked_out():
    drill = scenario.load("lucky-dip")
    theirs = fitted(drill, 3, {})
    (fault,) = theirs.faults
    worlds = [theirs.world(np.random.default_rng(3)) for _ in range(2)]
    assert worlds[0] == worlds[1]
    other = theirs.model_copy(
        update={"faults": (fault.model_copy(update={"severity": stated(fault.severity) + 0.02}),)}
    )
    assert other.world(np.random.default_rng(3)) != worlds[0]
    assert Session(theirs, 3).record().hidden == {fault.id}


def test_named_faults_at_the_edge_are_fitted_and_others_left(tmp_path):
    hidden = (
        HiddenFault(id="cg-offset", severity="at-edge", variation=7),
        HiddenFault(id="level-trim-off", severity=0.4),
    )
    drill = scenario.load("twins").model_copy(update={"faults": hidden})
    theirs = fitted(drill, 1, {"airframe": stands(3.0)})
    assert theirs.faults[1] == hidden[1]
    assert theirs.faults[0].variation == 7
    assert power("cg-offset", stated(theirs.faults[0].severity)) == pytest.approx(
        wanted(Skill(3.0, 0.1))
    )


@pytest.mark.parametrize(("mean", "steps"), [(-2.0, 3), (0.4, 2), (0.9, 1), (1.4, 0), (5.0, 0)])
def test_hints_fade_with_each_rung_somebody_is_ready_for(mean, steps):
    standings: dict[Any, Standing] = {"radio": stands(mean), "sound": stands(9.0)}
    assert standings["radio"].ready_for == min(3 - steps, 3) or mean == 5.0
    drill = fitted(scenario.load("borrowed-gear"), 1, standings)
    assert drill.hint_steps == {"radio": steps}
    assert drill.hints_on("stick-ends-short") == steps
    assert drill.hints_on("cg-offset") == 3  # never tried


def test_a_drill_that_is_the_same_for_everybody_is_left_as_it_is():
    assert fits_whoever(scenario.load("first-evening"))
    assert fits_whoever(scenario.load("box-of-bits"))
    assert not fits_whoever(scenario.load("borrowed-gear"))
    assert not fits_whoever(scenario.load("lucky-dip"))
    alone = scenario.load("box-of-bits")
    assert fitted(alone, 4, {"power": stands(2.0)}) == alone


def test_what_was_chosen_stands_in_the_run_folder_and_comes_again(tmp_path):
    from sim.runs import rehearse
    from sim.session.journal import drill_of
    from sim.trainees.standins import Attempt

    theirs = fitted(scenario.load("lucky-dip"), 5, {"airframe": stands(1.0)})
    rehearse(Attempt(theirs, "hasty", 5), "lucky-dip", tmp_path / "run")
    kept = drill_of(tmp_path / "run")
    assert isinstance(kept, Scenario)
    assert kept.faults == theirs.faults
    assert kept.draw is None
    assert replayed(tmp_path / "run").scenario == theirs


def test_who_sits_down_is_looked_up_only_where_it_makes_a_difference(tmp_path, monkeypatch):
    monkeypatch.setattr("sim.logbook.book.user_data", lambda: tmp_path)
    alone = scenario.load("box-of-bits")
    assert drill_for(alone, 1, "Ada", tmp_path) is alone
    assert not (tmp_path / "logbook.sqlite").exists()
    helped = scenario.load("borrowed-gear")
    assert drill_for(helped, 1, "Ada", tmp_path).hint_steps == {}
    right = card(fault("stick-ends-short", "radio", True))
    with Book() as book:
        book.take_in([entry("Ada", "borrowed-gear", n, n, right) for n in range(14)])
        ready = book.standings("Ada")["radio"].ready_for
    assert ready >= 2
    assert drill_for(helped, 1, "Ada", tmp_path).hint_steps == {"radio": max(0, 3 - ready)}
    assert drill_for(helped, 1, "Bo", tmp_path).hint_steps == {}
    (tmp_path / "logbook.sqlite").write_text("no logbook")
    assert drill_for(helped, 1, "Ada", tmp_path).hint_steps == {}  # as for a beginner
