"""What is found after the first takeoff is told apart, and a second hop can only lose points."""

from dataclasses import replace

import pytest

from sim.keys import FaultId
from sim.procedure.rubric import shipped
from sim.scoring.case import Case
from sim.scoring.hop import hop_quality
from sim.scoring.refusal import STAY
from sim.scoring.scorecard import CLEARED, scorecard
from sim.session.actions import Prepare, Read, Set, Squawk
from sim.session.record import Hop
from tests.scoring.tables import TABLES, own

GAIN: FaultId = "rate-gain-high"
LOWER = Set(key="setup.controller.roll.p", value=0.06)
PROOF = Read(check="steady-throttle")
FELT = Squawk(item="gains", cause=GAIN, confidence=3)
READ = Squawk(item="gains", cause=GAIN, confidence=3, check="settings-sheet", line=own(GAIN))
FIRST = Hop(takeoff_s=10.0, present=frozenset({GAIN}), over_s=18.0, touchdown_m_s=0.2)
SECOND = Hop(takeoff_s=90.0, present=frozenset(), over_s=170.0, touchdown_m_s=0.2)


@pytest.fixture
def card(record):
    """Return the card of an evening with GAIN aboard at takeoff, and steps after it."""

    def made(*after, hops=(FIRST, SECOND), start=frozenset({GAIN}), **changes):
        kept = record(set(start), "takeoff", *after, hops=hops, **changes)
        return scorecard(kept, "someone", "made", shipped(), TABLES)

    return made


def found(card, fault=GAIN):
    return next(f for f in card["air"]["found"] if f["id"] == fault)


def test_what_was_found_in_the_air_is_told_and_earns_nothing(card):
    bare, good = card(), card(FELT, (LOWER, set()), PROOF)
    assert found(good) == {
        "id": GAIN,
        "flew": True,
        "named": True,
        "felt": True,
        "cleared": True,
        "proved": True,
    }
    assert found(bare)["named"] is found(bare)["cleared"] is found(bare)["proved"] is False
    assert good["points"] == bare["points"]
    assert (good["parts"], good["faults"]) == (bare["parts"], bare["faults"])
    assert good["verdict"] == bare["verdict"] == STAY


@pytest.mark.parametrize(
    ("steps", "told"),
    [
        ((FELT,), (True, True, False, False)),
        ((READ,), (True, False, False, False)),
        ((PROOF, (LOWER, set())), (False, False, True, False)),  # a proof before the cure is none
        (((LOWER, set()), PROOF), (False, False, True, True)),
        (((LOWER, set()), FELT), (True, True, True, False)),  # written down afterwards
    ],
)
def test_each_rung_after_takeoff(card, steps, told):
    story = found(card(*steps))
    assert (story["named"], story["felt"], story["cleared"], story["proved"]) == told


def test_a_claim_of_another_cause_or_on_a_line_that_does_not_speak_names_nothing(card):
    other = Squawk(item="pack", cause="pack-high-resistance")
    silent = READ.model_copy(update={"line": own("pack-high-resistance")})
    assert not found(card(other))["named"]
    assert not found(card(silent))["named"]


def test_a_claim_written_before_takeoff_was_not_found_in_the_air(record):
    kept = record({GAIN}, READ, "takeoff", hops=(FIRST,))
    told = scorecard(kept, "a", "b", shipped(), TABLES)
    assert not found(told)["named"]
    assert told["faults"][0]["noticed"]


def test_what_a_crash_or_a_change_made_afterwards_is_told_too_but_not_a_spent_pack(card):
    after = Prepare(what="sweep")
    told = card((after, {GAIN, "leg-snag-or-bent", "pack-undercharged"}))["air"]["found"]
    assert {f["id"]: f["flew"] for f in told} == {GAIN: True, "leg-snag-or-bent": False}


@pytest.mark.parametrize("present", [frozenset(), frozenset({"leg-snag-or-bent"})])
def test_a_fault_at_any_takeoff_keeps_it_on_the_bench(card, present):
    sound = replace(FIRST, present=frozenset())
    again = replace(SECOND, present=present)
    told = card(hops=(sound, again), start=frozenset())
    assert told["verdict"] == (STAY if present else CLEARED)


EARLY = {
    "soon": (replace(FIRST, over_s=39.9), "", True),  # the hover asked for lasts 30 s
    "late": (replace(FIRST, over_s=40.1), "", False),
    "still up": (replace(FIRST, over_s=None), "", False),
    "crashed": (replace(FIRST, crash=("It fell over.",)), "", False),
    "sound": (replace(FIRST, present=frozenset()), "", False),
    "past the cue": (FIRST, "no-abort-within-2s", False),
    "another hazard": (FIRST, "area-unread", True),
}


@pytest.mark.parametrize("how", EARLY)
def test_landing_at_the_first_doubt_is_praised(card, how):
    hop, hazard, praised = EARLY[how]
    told = card(hops=(hop,), hazards=hazard)
    assert told["air"]["landed_at_first_doubt"] is praised


def test_a_second_hop_neither_mends_nor_spoils_the_first(record, track):
    long = record(set(), track=track(hold_s=40.0))
    short = replace(long, hops=(replace(FIRST, takeoff_s=100.0, over_s=115.0), SECOND))
    one, both = hop_quality(long, shipped()), hop_quality(short, shipped())
    assert one.desired_s == pytest.approx(40.0, abs=0.1)
    assert both.desired_s == pytest.approx(14.0, abs=0.1)  # up a second after takeoff
    lasting = replace(long, hops=(replace(FIRST, over_s=None),))
    assert hop_quality(lasting, shipped()) == one


def test_without_a_hop_nothing_is_told(record):
    told = scorecard(record({GAIN}, takeoff_s=None), "a", "b", shipped(), TABLES)
    assert told["air"] == {"hops": [], "found": [], "landed_at_first_doubt": False}


def test_before_takeoff_is_up_to_the_takeoff_itself(record):
    kept = record(set(), FELT)
    case = Case(kept, shipped(), TABLES)
    assert all(case.before_takeoff(e) for e in case.events)
    assert len(tuple(case.done)) == len(kept.events)


def test_every_hop_with_a_fault_aboard_has_to_be_landed_early(card):
    again = replace(SECOND, present=frozenset({GAIN}))  # 80 s, longer than the hover asked for
    assert not card(hops=(FIRST, again))["air"]["landed_at_first_doubt"]
    soon = replace(again, over_s=100.0)
    assert card(hops=(FIRST, soon))["air"]["landed_at_first_doubt"]
