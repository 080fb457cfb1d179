"""What hints leave to be earned, and that nothing changes without them."""

from dataclasses import replace

import pytest

from sim.keys import FaultId
from sim.procedure.rubric import HintedRubric, shipped
from sim.scoring.ladder import left_by_hints
from sim.scoring.scorecard import scorecard
from sim.session.actions import Read, Set
from sim.session.hints import Hinted
from tests.scoring.tables import case_of, share

PITCH: FaultId = "pitch-channel-reversed"
CG: FaultId = "cg-offset"
TURN = Set(key="setup.transmitter.pitch.direction", value=1)
PROOF = Read(check="stick-display")


def hints(fault, steps, at_s=1.0):
    return tuple(Hinted(fault, step, None, at_s, 2.0) for step in range(1, steps + 1))


@pytest.fixture
def found(record, squawk):
    """Return a run that found, named, cured and proved a fault, with some hints."""

    def made(*given):
        run = record({PITCH}, squawk(PITCH, confidence=4), (TURN, set()), PROOF)
        return replace(run, hints=tuple(given))

    return made


@pytest.mark.parametrize(
    ("steps", "noticed", "named"),
    [(0, 0.30, 0.20), (1, 0.21, 0.20), (2, 0.12, 0.20), (3, 0.12, 0.0)],
)
def test_what_is_left_of_noticing_and_naming(found, steps, noticed, named):
    marks = share(found(*hints(PITCH, steps)))
    assert marks == pytest.approx(noticed + named * (2 * 0.95 - 0.95**2) + 0.50)


def test_a_hint_on_another_fault_or_after_takeoff_takes_nothing(found):
    whole = share(found())
    assert share(found(*hints(CG, 3))) == whole
    took_off = found().takeoff_s
    assert share(found(*hints(PITCH, 3, at_s=took_off + 0.1))) == whole
    assert share(found(*hints(PITCH, 3, at_s=took_off))) < whole


def test_to_hear_that_nothing_is_left_costs_each_time(found):
    nothing = Hinted(None, 0, None, 1.0, 2.0)
    whole = share(found())
    assert share(found(nothing)) == pytest.approx(whole - 0.05)
    assert share(found(nothing, nothing)) == pytest.approx(whole - 0.10)
    assert share(found(replace(nothing, time_s=1e6))) == whole


def test_without_hints_the_marks_are_the_same_to_the_bit(found):
    assert left_by_hints(PITCH, case_of(found())) == (1.0, 1.0)
    assert [left_by_hints(PITCH, case_of(found(*hints(PITCH, n)))) for n in (1, 2, 3)] == [
        (0.7, 1.0),
        (0.4, 1.0),
        (0.4, 0.0),
    ]


def test_two_steps_leave_a_lone_fault_enough_to_be_cleared_and_three_do_not(found):
    def points(n):
        s = shipped().shares
        return 100 * (s.ladder * share(found(*hints(PITCH, n))) + s.conduct + s.hop)

    assert points(2) > shipped().pass_points > points(3)


def test_the_card_tells_which_hints_were_given(found):
    from sim.bench.evidence import measured
    from tests.worlds import TRAINER

    card = scorecard(found(*hints(PITCH, 2)), "a test", "drill", shipped(), measured(TRAINER))
    assert [(h["fault"], h["step"], h["minutes"]) for h in card["hints"]] == [
        (PITCH, 1, 2.0),
        (PITCH, 2, 2.0),
    ]
    assert card["help"] == "none"
    assert scorecard(found(), "a test", "drill", shipped(), measured(TRAINER))["hints"] == []


def test_more_hints_never_leave_more():
    with pytest.raises(ValueError, match="can't leave more"):
        HintedRubric(noticed=(0.4, 0.7, 0.4), named=(1.0, 1.0, 0.0), nothing=0.05)
