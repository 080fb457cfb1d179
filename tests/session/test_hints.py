"""The helper: what it points at, in which order, and what it keeps to itself."""

import numpy as np
import pytest

from sim.bench.check import brought
from sim.bench.checklist import CHECKS
from sim.bench.evidence import measured
from sim.bench.lines import measures
from sim.errors import Refusal
from sim.faults.catalogue import CATALOGUE
from sim.session import actions as act
from sim.session import scenario
from sim.session.hints import Cue, Hinted, cue, pointer
from sim.session.journal import replayed
from sim.session.scenario import HiddenFault, Scenario
from sim.session.session import Session
from tests.worlds import TRAINER

TABLES = measured(TRAINER)
IN_SIGHT = {"props-on-at-bench"}  # moves no line


def drill(*faults, help="hints", **more):
    return Scenario.model_validate(
        {
            "title": "Made for a test",
            "purpose": "Testing",
            "origin": "invented",
            "help": help,
            "faults": tuple(HiddenFault(id=f, severity=0.6) for f in faults),
            **more,
        }
    )


def test_every_fault_has_a_cue_at_a_check_that_is_to_show_it():
    for name, fault in CATALOGUE.items():
        found = cue(name, TABLES)
        assert found.check in (*fault.revealed_by, *fault.proved_by), name
        assert (found.measure == "") is (name in IN_SIGHT), name
        if found.measure:
            rows = [m for m in TABLES.moves[found.check, found.measure] if m.fault == name]
            assert [m.side for m in rows] == [found.side]
            best = max(
                m.power
                for (check, _), moves in TABLES.moves.items()
                for m in moves
                if m.fault == name and check in fault.shown_by
            )
            assert rows[0].power >= min(0.8, best)  # what shows it surely, where anything does


def test_the_check_named_first_in_the_catalogue_comes_first_if_it_is_sure():
    assert cue("pitch-channel-reversed", TABLES).check == "stick-display"
    assert cue("pack-high-resistance", TABLES).check == "restrained-run-up"


@pytest.mark.parametrize("fault", ["pitch-channel-reversed", "cg-offset", "voltage-scale-wrong"])
def test_the_line_pointed_at_is_out_of_its_band_to_that_side_on_the_aircraft_itself(fault):
    session = Session(drill(fault, help="shown"), 5)
    (pointed,) = [p for p in session.view().pointers if p.fault == fault]
    check = CHECKS[pointed.cue.check]
    reading = check.take(brought(session.rig.world, check, 5))
    sides = {
        side
        for key in reading.values
        for measure, side in TABLES.outside(pointed.cue.check, reading.values, key).items()
        if measure == pointed.cue.measure and measure in measures(reading.values, key)
    }
    assert sides == {pointed.cue.side} or (pointed.cue.side == "either" and sides)


def test_a_step_tells_no_more_than_its_own():
    whole = cue("cg-offset", TABLES)
    assert pointer("cg-offset", 1, TABLES).cue == Cue(whole.check)
    assert pointer("cg-offset", 2, TABLES).cue == whole
    assert [pointer("cg-offset", step, TABLES).fault for step in (1, 2, 3)] == [
        None,
        None,
        "cg-offset",
    ]


def test_hints_come_fault_by_fault_the_most_dangerous_first():
    session = Session(drill("cg-offset", "motor-order-swapped"), 3)
    words = [session.do(act.Hint()).words for _ in range(6)]
    given = session.record().hints
    assert [(h.fault, h.step) for h in given] == [
        ("motor-order-swapped", 1),
        ("motor-order-swapped", 2),
        ("motor-order-swapped", 3),
        ("cg-offset", 1),
        ("cg-offset", 2),
        ("cg-offset", 3),
    ]
    for early in (*words[:2], *words[3:5]):  # neither names a cause nor tells what is wrong
        assert not any(CATALOGUE[f].explanation in early for f in CATALOGUE)
        assert "order" not in early.lower()
        assert "balance is" not in early.lower()
    assert CATALOGUE["cg-offset"].explanation in words[5]
    with pytest.raises(Refusal, match="all there is to tell"):
        session.do(act.Hint())
    assert session.record().minutes == pytest.approx(6 * act.Hint.takes_min)


def test_what_is_named_or_cured_needs_no_hint():
    session = Session(drill("cg-offset", "failsafe-holds-last"), 3)
    session.do(act.Squawk(item="failsafe", cause="failsafe-holds-last"))
    session.do(act.Hint())
    assert session.record().hints[-1].fault == "cg-offset"
    session.do(act.Swap(part="pack-place"))
    assert "cg-offset" not in session.record().present_now
    assert "nothing that is not on your" in session.do(act.Hint()).words
    last = session.record().hints[-1]
    assert last == Hinted(None, 0, None, last.time_s, last.minutes)


def test_a_fault_in_hand_is_told_to_its_end_before_a_more_dangerous_one():
    session = Session(drill("cg-offset", "failsafe-holds-last"), 3)
    session.do(act.Squawk(item="failsafe", cause="failsafe-holds-last"))
    session.do(act.Hint())
    session.do(act.Withdraw(item="failsafe"))
    session.do(act.Hint())
    assert [(h.fault, h.step) for h in session.record().hints] == [
        ("cg-offset", 1),
        ("cg-offset", 2),
    ]


def test_hints_fade_with_what_is_known_of_somebody():
    session = Session(drill("cg-offset", hint_steps={"airframe": 1}), 3)
    session.do(act.Hint())
    with pytest.raises(Refusal, match="you have shown that you can find it"):
        session.do(act.Hint())
    assert len(session.record().hints) == 1
    none = Session(drill("cg-offset", hint_steps={"airframe": 0}), 3)
    with pytest.raises(Refusal, match="leaves the rest to you"):
        none.do(act.Hint())


@pytest.mark.parametrize("help", ["none", "shown"])
def test_hints_are_given_where_the_drill_gives_them_and_nowhere_else(help):
    session = Session(drill("cg-offset", help=help), 3)
    with pytest.raises(Refusal, match="Nobody gives hints"):
        session.do(act.Hint())
    assert session.record().hints == ()


def test_at_the_first_rung_the_fault_is_told_and_its_cue_pointed_at_from_the_start():
    pointers = Session(scenario.load("club-loaner"), 3).view().pointers
    assert [p.fault for p in pointers] == ["mag-hard-iron-offset"]
    assert pointers[0].cue == cue("mag-hard-iron-offset", TABLES)
    for name in ("borrowed-gear", "box-of-bits"):  # helped, alone: nothing unasked
        assert Session(scenario.load(name), 3).view().pointers == ()


def test_what_is_told_shows_in_the_view_step_by_step():
    session = Session(drill("cg-offset"), 3)
    seen = []
    for _ in range(3):
        session.do(act.Hint())
        (one,) = session.view().pointers
        seen.append((one.step, one.cue.measure != "", one.fault))
    assert seen == [(1, False, None), (2, True, None), (3, True, "cg-offset")]


def test_hints_come_again_to_the_bit(tmp_path):
    from sim.session.attempt import Note
    from sim.session.folder import RunFolder

    note = Note(trainee="a test", by="person", scenario="test", seed=4)
    with RunFolder.begin(tmp_path / "run", drill("cg-offset", "stick-ends-short"), note) as run:
        for _ in range(4):
            run.recorder.do(act.Hint())
        run.recorder.do(act.Finish())
        given = run.finish().hints
    assert len(given) == 4
    assert replayed(tmp_path / "run").record().hints == given


def test_a_deviation_too_small_to_be_a_fault_is_no_matter_for_the_helper():
    small = drill().model_copy(update={"faults": (HiddenFault(id="cg-offset", severity=0.0),)})
    session = Session(small, 3)
    assert session.record().hidden == {"cg-offset"}
    assert "nothing that is not" in session.do(act.Hint()).words
    assert small.hidden(np.random.default_rng(0))
