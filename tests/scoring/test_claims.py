"""What claims earn and cost, worked by hand from Brier's rule: 2p - p² if right, p² if wrong."""

from dataclasses import replace

import pytest
from pydantic import ValidationError

from sim.aircraft.conduct import Conduct
from sim.bench.moves import Move, by_measure
from sim.bench.reading import Reading
from sim.faults.catalogue import CATALOGUE
from sim.kernel.clock import TICK_S
from sim.keys import FaultId
from sim.procedure.rubric import Rubric, shipped
from sim.scoring.case import Case, Claim
from sim.scoring.claims import cost, earned, near_claims, on_nothing, surest, wrong_claims
from sim.session.actions import Calibrate, Prepare, Read, Set, Squawk, Swap, Withdraw
from tests.scoring.tables import (
    DOUBTFUL,
    MOVES,
    SOUND,
    TABLES,
    case_of,
    family,
    item,
    own,
    share,
    story,
)

PITCH: FaultId = "pitch-channel-reversed"
ROLL: FaultId = "roll-channel-reversed"
YAW: FaultId = "yaw-channel-reversed"
COMPASS: FaultId = "mag-hard-iron-offset"
LEVEL: FaultId = "level-trim-off"
GAINS: FaultId = "rate-gain-high"
PACK: FaultId = "pack-high-resistance"
TURN = Set(key="setup.transmitter.pitch.direction", value=1)
STICKS = Read(check="stick-display")
MANY = frozenset({PITCH, YAW, LEVEL, GAINS, PACK})  # five: below the least scale
BY_HAND = [(1, 0.40, 0.64, 0.16), (2, 0.60, 0.84, 0.36), (3, 0.80, 0.96, 0.64)]
BY_HAND += [(4, 0.95, 0.9975, 0.9025)]  # step, chance, earned if right, cost if wrong
each_step = pytest.mark.parametrize(("step", "chance", "right", "wrong"), BY_HAND)


def untrue(made):
    return wrong_claims(case_of(made))


def founded(made):
    return [(c.cause, c.well_founded) for c in untrue(made)]


@each_step
def test_the_rule_by_hand(step, chance, right, wrong):
    assert shipped().sureness[step - 1] == chance
    assert earned(chance) == pytest.approx(right)
    assert cost(chance) == pytest.approx(wrong)


@pytest.mark.parametrize("chance", [0.40, 0.60, 0.80, 0.95])
def test_it_pays_to_say_what_one_believes(chance):
    """With a chance q of being right the best of the four steps is the one that says q."""
    worth = [chance * earned(p) - (1.0 - chance) * cost(p) for p in shipped().sureness]
    assert shipped().sureness[worth.index(max(worth))] == chance


@pytest.mark.parametrize(("chance", "pays"), [(1 / 88, False), (0.19, False), (0.21, True)])
def test_a_guess_loses_where_nothing_is_known(chance, pays):
    worth = max(chance * earned(p) - (1.0 - chance) * cost(p) for p in shipped().sureness)
    assert (worth > 0.0) == pays


def test_so_does_a_family_by_chance():
    """One family in eight, whose name is worth a half whatever the chance stated."""
    assert len({fault.family for fault in CATALOGUE.values()}) == 8
    assert shipped().right_family / 8 - cost(shipped().sureness[0]) < 0.0


@each_step
def test_a_right_claim(record, squawk, step, chance, right, wrong):
    assert share(record({PITCH}, squawk(PITCH, confidence=step))) == pytest.approx(
        0.3 + 0.2 * right
    )
    assert untrue(record({PITCH}, squawk(PITCH, confidence=step))) == []


@each_step
@pytest.mark.parametrize(
    ("start", "scale"), [({PITCH}, 0.20), ({PITCH, YAW}, 0.10), (MANY, 0.05), (set(), 0.10)]
)
def test_a_wrong_claim_costs_on_the_scale_of_the_gain(
    record, squawk, start, scale, step, chance, right, wrong
):
    """The naming over the number of hidden faults; not below .05, and .10 on a sound aircraft."""
    claims = [squawk(name) for name in start]
    less = share(record(start, *claims)) - share(
        record(start, *claims, squawk("pack-swollen-or-dented", confidence=step))
    )
    assert less == pytest.approx(scale * wrong)  # its line speaks for nothing


def test_a_line_that_speaks_for_the_cause_halves_its_price(record, squawk):
    """The line of the family speaks for a channel that is not reversed, as another one is."""
    base = record({PITCH}, squawk(PITCH))
    hinted = record({PITCH}, squawk(PITCH), squawk(ROLL, line=family(ROLL)))
    blind = record({PITCH}, squawk(PITCH), squawk(ROLL))
    assert founded(hinted) == [(ROLL, True)]
    assert founded(blind) == [(ROLL, False)]
    assert share(base) - share(hinted) == pytest.approx(0.2 * 0.64 * 0.5)
    assert share(base) - share(blind) == pytest.approx(0.2 * 0.64)
    unread = record({PITCH}, squawk(ROLL, line=family(ROLL)), looked_first=False)
    assert founded(unread) == [(ROLL, False)]
    late = record({PITCH}, squawk(ROLL, line=family(ROLL)), STICKS, looked_first=False)
    assert founded(late) == [(ROLL, False)]
    pointless = Squawk(item="x", cause=ROLL)
    assert founded(record({PITCH}, pointless)) == [(ROLL, False)]


def test_a_line_as_read_once_serves_one_wrong_claim(record, squawk):
    order: FaultId = "channel-order-mixed"
    hint = [squawk(cause, line=family(cause), check="stick-display") for cause in (ROLL, order)]
    assert all("stick-display" in CATALOGUE[c].revealed_by for c in (PITCH, ROLL, order))
    start, done = {PITCH}, [(ROLL, True), (order, False)]
    assert founded(record(start, *hint)) == done
    assert (
        founded(record(start, squawk(PITCH, line=family(PITCH)), *hint)) == done
    )  # right ones too
    assert founded(record(start, hint[0], STICKS, hint[1])) == [(ROLL, True), (order, True)]
    other = squawk(order, line=item(order), check="stick-display")
    assert founded(record(start, hint[0], other)) == [(ROLL, True), (order, False)]


@pytest.mark.parametrize(("high", "half"), [(DOUBTFUL, True), (SOUND, False)])
def test_a_doubtful_line_is_evidence(record, squawk, high, half):
    made = record({PITCH}, squawk(ROLL, line=family(ROLL)), high=high)
    assert founded(made) == [(ROLL, half)]


def test_the_same_cause_is_wrong_once_at_its_surest(record, squawk):
    made = record(set(), *[squawk(PACK, confidence=n) for n in (1, 3, 2)])
    assert [(c.cause, c.sure) for c in untrue(made)] == [(PACK, 0.80)]
    assert share(made) == pytest.approx(1.0 - 0.1 * 0.64)
    right = record({PITCH}, *[squawk(PITCH, confidence=n) for n in (1, 3, 2)])
    assert story(PITCH, right).sure == 0.80


@pytest.mark.parametrize(("step", "wrong"), [(1, 0.16), (4, 0.9025)])
def test_a_wrong_cause_of_the_right_family_notices_and_is_half_a_name_and_a_wrong_claim(
    record, squawk, step, wrong
):
    made = record({PITCH}, squawk(ROLL, confidence=step, line=family(ROLL)))
    assert founded(made) == [(ROLL, True)]
    assert share(made) == pytest.approx(0.3 + 0.2 * 0.5 - 0.2 * wrong * 0.5)
    mute = record({PITCH}, squawk(ROLL, confidence=step))
    assert (story(PITCH, mute).noticed, share(mute)) == (False, 0.0)


def test_its_line_must_speak_for_both(record, squawk):
    def near(line, **changes):
        return near_claims(case_of(record({PITCH}, squawk(ROLL, line=line), **changes)))

    assert near(family(ROLL)) == {PITCH: ROLL}
    assert near(own(PITCH)) == {}  # not for what was claimed
    assert near(own(ROLL)) == {}  # not for what is there
    assert near(family(ROLL), high=SOUND) == {}
    cured = record({PITCH}, (TURN, set()), STICKS, squawk(ROLL, line=family(ROLL)))
    assert near_claims(case_of(cured)) == {}  # as read last it speaks for nothing


def near_where(made, cause, line):
    """Return what came near where a cause moves one more line of the stick display."""
    more = Move(cause, "stick-display", line, "above", 1.0, 2.0, 2.0)
    tables = replace(TABLES, moves=by_measure([*MOVES, more]))
    return near_claims(Case(made, shipped(), tables))


def test_a_cause_of_another_family_and_item_comes_near_nothing(record, squawk):
    def claimed(cause):
        return record({PITCH}, squawk(cause, line=own(PITCH), check="stick-display"))

    assert near_where(claimed(ROLL), ROLL, own(PITCH)) == {PITCH: ROLL}
    assert near_where(claimed(LEVEL), LEVEL, own(PITCH)) == {}


def test_it_comes_near_the_fault_its_line_speaks_for_not_another_of_the_family(record, squawk):
    made = record({PITCH, YAW}, squawk(ROLL, line=own(YAW), check="stick-display"))
    assert near_where(made, ROLL, own(YAW)) == {YAW: ROLL}


def test_a_family_is_named_once_for_each_fault_and_by_each_claim(record, squawk):
    def named(start, *causes):
        claims = [
            squawk(c, line=own(c) if c in start else family(c), check="stick-display")
            for c in causes
        ]
        made = record(start, *claims)
        return sorted((story(f, made).named, story(f, made).noticed) for f in start)

    order: FaultId = "channel-order-mixed"
    no, half, all_ = (0.0, False), (0.5, True), (1.0, True)
    assert named({PITCH}, ROLL, order) == [half]
    assert named({PITCH, YAW}, ROLL) == [no, half]
    assert named({PITCH, YAW}, ROLL, ROLL) == [no, half]
    assert named({PITCH, YAW}, ROLL, order) == [half, half]
    assert named({PITCH, YAW}, ROLL, PITCH) == [half, all_]  # the half goes to the one not named


def test_a_harmless_fault_of_ones_own_excuses_no_claim_of_its_family(record, squawk):
    made = record({PACK}, (TURN, {PACK, PITCH}), squawk(ROLL))
    assert [c.cause for c in untrue(made)] == [ROLL]
    own_ = record({PACK}, (TURN, {PACK, PITCH}), squawk(PITCH))
    assert untrue(own_) == []
    assert share(own_) == 0.0  # true, and worth nothing


def test_a_claim_true_when_written_is_never_false_later(record, squawk):
    assert untrue(record({PITCH}, squawk(PITCH), (TURN, set()))) == []
    after = record({PITCH}, (TURN, set()), squawk(PITCH))
    assert untrue(after) == []
    blind = record({PITCH}, (TURN, set()), squawk(PITCH), looked_first=False)
    assert untrue(blind) == []  # so it was, but nothing was noticed
    assert not story(PITCH, blind).noticed
    early = record(set(), squawk(PITCH), (TURN, {PITCH}))
    assert [c.cause for c in untrue(early)] == [PITCH]  # made so afterwards
    at_once = record(set(), (TURN, {PITCH}), squawk(PITCH), (TURN, set()))
    assert untrue(at_once) == []
    assert untrue(record(set(), "takeoff", squawk(PACK))) == []


def test_a_deviation_that_is_no_fault_yet_is_neither_right_nor_wrong_to_claim(record, squawk):
    hidden = frozenset({PITCH, PACK})
    made = record({PITCH}, squawk(PITCH), squawk(PACK), hidden=hidden)
    assert untrue(made) == []
    assert share(made) == pytest.approx(0.3 + 0.2 * 0.96)  # of the one fault there is
    assert [c.cause for c in untrue(record({PITCH}, squawk(PACK), hidden=frozenset({PITCH})))] == [
        PACK
    ]


CHANGES = [
    (PACK, Swap(part="pack")),
    (COMPASS, Calibrate(what="compass-finish")),
    (LEVEL, Calibrate(what="level")),
    (GAINS, Set(key="setup.controller.pitch.p", value=0.03)),
    ("failsafe-holds-last", Set(key="setup.controller.failsafe", value="stop")),
    (YAW, Set(key="setup.inputs.yaw", value=-1)),
]


@pytest.mark.parametrize(("cause", "change"), CHANGES, ids=[c for c, _ in CHANGES])
def test_a_change_for_a_wrong_claim_is_told_in_either_order(record, squawk, cause, change):
    def changed(*steps):
        (claim,) = untrue(record(set(), *steps))
        return claim.led_to_change

    assert not changed(squawk(cause))
    assert changed(squawk(cause), change)
    assert changed(change, squawk(cause))


@pytest.mark.parametrize("what", ["compass-start", "compass-finish"])
def test_a_refused_change_or_a_beginning_is_no_change(record, squawk, what):
    refused = "no readings" if what == "compass-finish" else None
    step: tuple[object, ...] = (Calibrate(what=what), set(), refused)
    (claim,) = untrue(record(set(), squawk(COMPASS), step))
    assert not claim.led_to_change


def test_a_suspicion_withdrawn_before_its_change_costs_and_earns_nothing(record, squawk):
    back, other = Withdraw(item="anything"), Withdraw(item="another")
    swap, fan = Swap(part="pack"), Swap(part="motor-front-left")

    def stands(*steps):
        return [c.cause for c in untrue(record(set(), *steps))]

    assert stands(squawk(PACK), back) == []
    assert stands(squawk(PACK), fan, back) == []  # a change for something else
    assert stands(squawk(PACK), swap, back) == [PACK]
    assert stands(squawk(PACK), other) == [PACK]
    assert stands(squawk(PACK), back, squawk(PACK)) == [PACK]
    assert share(record({PITCH}, squawk(PITCH), back)) == 0.0
    cured = record({PITCH}, squawk(PITCH), (TURN, set()), back)  # struck out as done
    assert share(cured) == pytest.approx(0.55 + 0.2 * 0.96)


PEOPLE: list[tuple[FaultId, Conduct, Conduct]] = [
    ("no-eye-protection", Conduct(), Conduct(goggles_on=True)),
    ("no-eye-protection", Conduct(goggles_on=True, others_ungoggled=1), Conduct(goggles_on=True)),
    ("no-spotter", Conduct(), Conduct(spotter_present=True)),
    ("props-on-at-bench", Conduct(props_fitted=True), Conduct()),
    ("props-on-at-bench", Conduct(props_fitted=True), Conduct(props_fitted=True, place="pad")),
]


@pytest.mark.parametrize(("cause", "so", "not_so"), PEOPLE)
def test_what_is_so_about_people_is_no_false_squawk(record, squawk, cause, so, not_so):
    """Goggles are not on and the spotter is not asked yet, though no propeller has power."""
    assert untrue(record(set(), squawk(cause), conduct=so)) == []
    (claim,) = untrue(record(set(), squawk(cause), conduct=not_so))
    assert claim.cause == cause


def test_claims_on_no_line_that_was_read_are_told(record, squawk):
    bare = Squawk(item="sticks", cause=YAW)
    made = record({PITCH}, squawk(PITCH), bare, squawk(LEVEL, line="no such line"))
    assert on_nothing(case_of(made)) == [YAW, LEVEL]
    unread = record({PITCH}, squawk(PITCH), STICKS, squawk(PITCH), looked_first=False)
    assert on_nothing(case_of(unread)) == [PITCH]  # the first was written before it was read
    taken_back = record({PITCH}, bare, Withdraw(item="sticks"))
    assert on_nothing(case_of(taken_back)) == []


def test_worked_example(record, squawk):
    """w = 5, 3, 2: named .80 sure, unproved; by another cause of the family, unproved; missed.

    (5 (.3 + .2 x .96 + .25) + 3 (.3 + .2 x .5 + .25) + 0) / 10 = .5660. The wrong cause costs
    .0667 x .36 / 2, as its line speaks for it; a pack claimed on no line and swapped
    .0667 x .64 + .02.
    """
    turned = Set(key="setup.inputs.yaw", value=1)
    hint = squawk(ROLL, confidence=2, line=family(ROLL), check="stick-display")
    claims = [STICKS, squawk(PITCH), hint]
    cures = [(turned, {PITCH, LEVEL}), STICKS, (TURN, {LEVEL})]
    start = {PITCH, YAW, LEVEL}
    assert [CATALOGUE[f].hazard for f in (PITCH, YAW, LEVEL)] == [5, 3, 2]
    first = record(start, *claims, *cures, looked_first=False)
    assert not story(YAW, first).proved  # the family's line still speaks for it: pitch is reversed
    yaw = 3 * (0.3 + 0.1 + 0.25)
    assert share(first) == pytest.approx((5 * 0.742 + yaw) / 10 - 0.2 / 3 * 0.36 / 2)
    rash = record(start, *claims, squawk(PACK), Swap(part="pack"), *cures, looked_first=False)
    assert share(first) - share(rash) == pytest.approx(0.2 / 3 * 0.64 + 0.02)


@pytest.mark.parametrize("steps", [(0.4, 0.6, 0.8), (0.4, 0.6, 0.6, 0.8), (0.8, 0.6, 0.4, 0.2)])
def test_steps_of_sureness_are_four_and_rise(steps):
    with pytest.raises(ValidationError):
        Rubric.model_validate({**shipped().model_dump(), "sureness": steps})


def test_withdrawing_is_of_a_claim_not_of_a_precaution(record):
    claim = Squawk(item="goggles", cause="no-eye-protection")
    eyes: FaultId = "no-eye-protection"
    steps: tuple[object, ...] = (claim, Withdraw(item="goggles"), (Prepare(what="goggles"), set()))
    assert story(eyes, record({eyes}, *steps)).noticed


def test_of_claims_as_sure_as_each_other_the_first_counts():
    first, again, surer = (Claim(n, PITCH, p, None, "") for n, p in ((1, 0.6), (2, 0.6), (3, 0.8)))
    assert surest([first, again]) == [first]
    assert surest([first, again, surer]) == [surer]


def test_what_is_done_in_the_tick_it_leaves_the_floor_is_done_before(record, squawk):
    made = record({PITCH}, squawk(PITCH))
    last = made.events[-1]
    assert last in case_of(replace(made, takeoff_s=last.tick * TICK_S)).events
    assert last not in case_of(replace(made, takeoff_s=(last.tick - 1) * TICK_S)).events


def test_readings_are_those_of_checks_that_were_done(record):
    """A check refused gave none, and what a calibration says is no check's."""
    made = record({PITCH}, (STICKS, {PITCH}, "not now"), looked_first=False)
    assert case_of(made).readings == {}
    done = record({PITCH}, STICKS, looked_first=False)
    assert [check for check, _ in case_of(done).readings.values()] == ["stick-display"]
    told = Reading("sticks-calibration", {"roll_low_us": 1000.0})
    events = (replace(done.events[0], action=Calibrate(what="sticks"), reading=told),)
    assert case_of(replace(done, events=events)).readings == {}
