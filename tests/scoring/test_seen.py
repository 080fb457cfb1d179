"""What was to be seen: hidden faults, and the cards' checks answered; the less of the two counts."""

from dataclasses import replace

import pytest

from sim.bench.checklist import CHECKS
from sim.faults.catalogue import CATALOGUE
from sim.keys import CheckKey, FaultId
from sim.procedure.cards import CARDS
from sim.procedure.rubric import shipped
from sim.scoring.ladder import stories
from sim.scoring.seen import answerable, answered, seen_share
from sim.session.actions import Answer, Prepare, Read
from tests.scoring.tables import TABLES, answers, case_of, family, own

PITCH: FaultId = "pitch-channel-reversed"
YAW: FaultId = "yaw-channel-reversed"
EYES: FaultId = "no-eye-protection"
CHANNELS: tuple[FaultId, ...] = ("pitch-channel-reversed", "roll-channel-reversed")
STICKS = Read(check="stick-display")
GOGGLES: tuple[object, ...] = (Prepare(what="goggles"), set())
ITEM = next((c.key, i.key) for c in CARDS for i in c.items if i.check == "stick-display")


def seen(made):
    case = case_of(made)
    return seen_share(case, stories(case))


def written(value):
    return Answer(card=ITEM[0], item=ITEM[1], value=value)


@pytest.mark.parametrize(
    ("there", "claimed", "share"),
    [
        ([PITCH], [], 0.0),
        ([PITCH], [PITCH], 1.0),
        ([PITCH, YAW], [YAW], 3 / 8 / 0.5),  # hazards 5 and 3; half of it is enough
        ([PITCH, YAW], [PITCH], 1.0),
        ([PITCH, YAW, "failsafe-holds-last"], [YAW], 3 / 13 / 0.5),
    ],
)
def test_the_share_of_what_was_hidden_by_hazard(record, squawk, there, claimed, share):
    assert [CATALOGUE[f].hazard for f in (PITCH, YAW, "failsafe-holds-last")] == [5, 3, 5]
    said = [squawk(c) for c in claimed]
    assert seen(record(set(there), *said)) == pytest.approx(share)
    assert seen(record(set(there), *said, answered=False)) == 0.0


@pytest.mark.parametrize(
    ("there", "claimed", "share"),
    [
        ([PITCH], "roll-channel-reversed", 1.0),  # half of it is enough
        ([PITCH, YAW], "roll-channel-reversed", 5 / 2 / 8 / 0.5),  # near the graver one alone
        ([PITCH, YAW], PITCH, 1.0),
    ],
)
def test_a_wrong_cause_that_comes_near_counts_half(record, squawk, there, claimed, share):
    line = own(claimed) if claimed in there else family(claimed)
    said = squawk(claimed, line=line, check="stick-display")
    assert seen(record(set(there), said)) == pytest.approx(share)


def test_a_precaution_says_nothing_of_reading(record, squawk):
    """Goggles are put on with the eyes shut too: what else was there counts, or the answers."""
    assert seen(record({EYES, PITCH}, GOGGLES, (Read(check="failsafe"), {PITCH}))) == 0.0
    assert seen(record({EYES}, GOGGLES)) == 1.0
    assert seen(record({EYES}, GOGGLES, answered=False)) == 0.0
    assert seen(record({EYES}, squawk(EYES), GOGGLES)) == 1.0


def test_a_right_guess_without_answers_is_no_reading(record, squawk):
    """A stopped clock is right at one drill; who leaves a fault is asked for answers up to there."""
    made = record({PITCH}, squawk(PITCH), answered=False)
    case = case_of(made)
    assert seen_share(case, stories(case)) == 0.0
    left, first = frozenset({PITCH}), list(CHECKS).index("stick-display")
    asked = answerable(case) & set(list(CHECKS)[:first])
    assert asked  # of those before it, nothing was answered
    assert seen_share(case, stories(case), left, first) == 0.0
    assert seen_share(case, stories(case), left, 0) == 1.0
    whole = case_of(record({PITCH}, squawk(PITCH)))
    assert seen_share(whole, stories(whole), left, first) == 1.0


@pytest.mark.parametrize(
    ("share", "worth"), [(0.0, 0.0), (0.45, 0.5), (0.89, 0.89 / 0.9), (0.91, 1)]
)
def test_nine_answers_in_ten_are_enough(record, share, worth):
    steps = [Read(check=i.check) for c in CARDS for i in c.items] + answers(frozenset())
    made = record(set(), *steps, looked_first=False)
    asked = sorted(answerable(case_of(made)))
    few = set(asked[: round(share * len(asked))])
    by_item = {(c.key, i.key): i.check for c in CARDS for i in c.items}
    kept = [
        e
        for e in made.events
        if not isinstance(e.action, Answer) or by_item[e.action.card, e.action.item] in few
    ]
    got = seen(replace(made, events=tuple(kept)))
    assert got == pytest.approx(min(1.0, len(few) / len(asked) / 0.9))
    assert got == pytest.approx(worth, abs=0.03)  # 1 of some thirty checks


@pytest.mark.parametrize(
    ("value", "counts"),
    [
        ("pitch_channel_reversed 0.5", True),
        ("pitch_channel_reversed 0.5, yaw_channel_reversed 0.5", True),
        ("pitch_channel_reversed 0.50000001", True),  # to four digits
        ("pitch_channel_reversed 0.5001", False),
        ("pitch_channel_reversed 0.5, yaw_channel_reversed 0.6", False),  # one is wrong
        ("pitch_channel_reversed -0.5", False),
        ("throttle_nonsense 0.5", False),
        ("off by 12, pitch_channel_reversed 0.5", True),  # a word and a number are no line
        ("0.5", False),
        ("all fine", False),
        ("pitch_channel_reversed 0.5.5", False),
    ],
)
def test_an_answer_says_what_was_read(record, value, counts):
    made = record(set(), STICKS, written(value), looked_first=False)
    assert ("stick-display" in answered(case_of(made))) is counts


def test_an_answer_needs_a_reading_before_it(record):
    right = written("pitch_channel_reversed 0.5")
    assert answered(case_of(record(set(), right, STICKS, looked_first=False))) == set()
    other = record(set(), Read(check="failsafe"), right, looked_first=False)
    assert answered(case_of(other)) == set()
    call = Answer(card=ITEM[0], item="complete", value="pitch_channel_reversed 0.5")
    assert answered(case_of(record(set(), STICKS, call, looked_first=False))) == set()


@pytest.mark.parametrize(("low", "high", "varies"), [(-2, 2, True), (0, 2, False), (-2, 0, False)])
def test_what_all_sound_aircraft_show_alike_is_no_answer(record, low, high, varies):
    """It could be written without a look."""
    line: tuple[CheckKey, str] = ("stick-display", "pitch_channel_reversed")
    band = replace(TABLES.bands[line], low_inner=low, high_inner=high)
    case = case_of(record(set(), STICKS, written(f"{line[1]} 0.5"), looked_first=False))
    case = replace(case, measured=replace(TABLES, bands={line: band}))
    assert (answered(case) == {"stick-display"}) is varies
    assert (answerable(case) == {"stick-display"}) is varies
    assert shipped().seen.answered == 0.9
    assert seen_share(case, stories(case)) == 1.0  # where nothing can be asked, nothing is missed
