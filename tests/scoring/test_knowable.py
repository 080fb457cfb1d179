"""From when on a fault could be seen, by whom it was named, and which check would have paid."""

from dataclasses import replace

import pytest

from sim.bench.bands import Band
from sim.bench.evidence import Measured
from sim.bench.moves import Move
from sim.bench.reading import Reading
from sim.keys import FaultId
from sim.procedure.rubric import shipped
from sim.scoring.case import Case
from sim.scoring.knowable import best_made, chances, known, would_have_paid
from sim.session import actions as act
from sim.session.record import Event
from tests.scoring.conftest import READY

LINES = (
    Band("weigh-and-balance", "mass_kg", 1.0, 1.1, 1.2, 1.3, 1.4, 99, 0),
    Band("pack-at-rest", "cell_v", 3.0, 3.1, 3.2, 3.3, 3.4, 99, 0),
)
MOVES = (
    Move("over-mass", "weigh-and-balance", "mass_kg", "above", 0.9, 1.0, 1.35),
    Move("over-mass", "restrained-run-up", "sag_v", "below", 0.95, 0.0, 9.0),
    Move("over-mass", "pad-look", "lean_deg", "above", 0.2, 0.0, 9.0),
)
THERE: frozenset[FaultId] = frozenset({"over-mass"})


def tables() -> Measured:
    bands = {(band.check, band.measure): band for band in LINES}
    return Measured(bands, {(move.check, move.measure): (move,) for move in MOVES})


@pytest.fixture
def case(record):
    """Return what makes a case of readings: (minute, mass read, faults there)."""

    def made(*readings, claims=()):
        whole = record(set(THERE), looked_first=False, answered=False)
        events = []
        for minute, mass_kg, present in readings:
            read = Reading("weigh-and-balance", {"mass_kg": mass_kg})
            act_ = act.Read(check="weigh-and-balance")
            events.append(Event(0, "bench", act_, None, read, present, READY, False, minute))
        for minute, claim in claims:
            events.append(Event(0, "bench", claim, None, None, THERE, READY, False, minute))
        return Case(replace(whole, events=tuple(events)), shipped(), tables())

    return made


def squawk(line: str = "mass_kg") -> act.Squawk:
    return act.Squawk(
        item="mass", cause="over-mass", confidence=4, check="weigh-and-balance", line=line
    )


def test_it_could_be_seen_from_the_first_reading_outside_on_its_side(case):
    story = known("over-mass", case((3.0, 1.25, THERE), (7.0, 1.32, THERE), (9.0, 1.5, THERE)))
    assert story.first is not None
    assert (story.first.minutes, story.first.line, story.first.value) == (7.0, "mass_kg", 1.32)
    assert (story.first.side, story.first.plain, story.first.off_four) == ("above", False, False)


def test_what_lies_outside_both_edges_is_plain(case):
    first = known("over-mass", case((3.0, 1.41, THERE))).first
    assert first is not None
    assert first.plain


@pytest.mark.parametrize(
    "reading", [(3.0, 1.05, THERE), (3.0, 1.5, frozenset()), (3.0, 1.3, THERE)]
)
def test_the_other_side_and_an_aircraft_without_it_and_the_edge_itself_show_nothing(case, reading):
    assert known("over-mass", case(reading)).first is None


def test_a_claim_on_the_line_names_it_and_one_on_another_does_not(case):
    seen = ((3.0, 1.5, THERE),)
    assert known("over-mass", case(*seen, claims=[(8.0, squawk())])).named_min == 8.0
    missed = known("over-mass", case(*seen, claims=[(8.0, squawk("thrust_n"))]))
    assert missed.named_min is None
    assert missed.passed_over


def test_what_was_named_or_never_showed_was_not_passed_over(case):
    assert not known("over-mass", case((3.0, 1.5, THERE), claims=[(8.0, squawk())])).passed_over
    assert not known("over-mass", case((3.0, 1.2, THERE))).passed_over


@pytest.mark.parametrize(("there", "changed_min"), [(THERE, 6.0), (frozenset(), None)])
def test_a_change_belongs_to_a_fault_while_it_is_there(case, there, changed_min):
    lighter = act.Swap(part="ballast")
    story = known("over-mass", case((3.0, 1.5, there), claims=[(6.0, lighter)]))
    assert story.changed_min == changed_min


def test_what_was_not_read_is_told_by_power_a_minute_and_what_is_seldom_is_not(case):
    story = known("over-mass", case((3.0, 1.2, THERE)))
    assert [one.check for one in story.unread] == ["restrained-run-up"]
    every = chances("over-mass", case())
    assert [one.check for one in every] == ["weigh-and-balance", "restrained-run-up"]
    assert every[0].a_minute > every[1].a_minute


def test_whether_a_check_that_shows_it_was_looked_at_while_it_was_there(case):
    assert known("over-mass", case((3.0, 1.2, THERE))).looked
    assert not known("over-mass", case((3.0, 1.2, frozenset()))).looked
    assert not known("over-mass", case()).looked
    assert known("over-mass", case()).in_sight == ("over-mass" not in tables().moving)
    assert not known("over-mass", case()).in_sight
    assert known("cg-offset", case()).in_sight  # these tables say nothing of it


def test_the_check_that_would_have_paid_is_of_what_nothing_showed(case):
    unseen = known("over-mass", case((3.0, 1.2, THERE)))
    seen = known("over-mass", case((3.0, 1.5, THERE)))
    paid = would_have_paid([unseen])
    assert paid is not None
    assert paid.check == "restrained-run-up"
    assert would_have_paid([seen]) is None
    assert best_made([unseen]) is None
    assert best_made([seen, unseen]) == "weigh-and-balance"


def test_the_best_made_showed_the_most_not_the_first_by_name(case):
    heavy = known("over-mass", case((3.0, 1.5, THERE)))
    assert heavy.first is not None
    low = replace(heavy, first=replace(heavy.first, check="pack-at-rest"))
    assert best_made([low, heavy, heavy]) == "weigh-and-balance"
    assert best_made([low, low, heavy]) == "pack-at-rest"


def test_what_would_have_paid_adds_up_over_faults(case):
    unseen = known("over-mass", case((3.0, 1.2, THERE)))
    (one,) = unseen.unread
    alone, twice = would_have_paid([unseen]), would_have_paid([unseen, unseen])
    assert alone is not None
    assert twice is not None
    assert alone.power == pytest.approx(one.power)
    assert twice.power == pytest.approx(2.0 * one.power)
