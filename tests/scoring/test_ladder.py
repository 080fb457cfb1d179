"""Each rung by hand-made records, and the worked numbers of the training notes.

Values: design 6 (rungs .30 .20 .25 .25, half a name for the family). What claims earn and cost
beyond that: test_claims.py.
"""

from dataclasses import replace

import pytest

from sim.bench.checklist import CHECKS
from sim.faults.catalogue import CATALOGUE
from sim.keys import FaultId
from sim.procedure.cards import CARDS
from sim.scoring.ladder import rung, stories
from sim.session.actions import (
    Answer,
    Calibrate,
    Done,
    Prepare,
    Read,
    RemoveProps,
    Set,
    Squawk,
    Swap,
)
from tests.scoring.tables import (
    DOUBTFUL,
    SOUND,
    case_of,
    family,
    item,
    own,
    share,
    showing_nothing,
    story,
)

PITCH: FaultId = "pitch-channel-reversed"
ROLL: FaultId = "roll-channel-reversed"
YAW: FaultId = "yaw-channel-reversed"
LEVEL: FaultId = "level-trim-off"
EYES: FaultId = "no-eye-protection"
DOOR: FaultId = "draught-from-door"
COLD: FaultId = "pack-cold"
WEAK: FaultId = "pack-cell-weak"
PROPS: FaultId = "props-on-at-bench"
GAINS: FaultId = "rate-gain-high"
PACK: FaultId = "pack-high-resistance"
ALARM: FaultId = "low-volt-alarm-unset"
ALARM_SET = Set(key="setup.controller.low_cell_alarm_v", value=3.5)
Step = tuple[object, ...]
TURN = Set(key="setup.transmitter.pitch.direction", value=1)
PROOF = Read(check="stick-display")
ELSE = Read(check="heading-marks")
SAID = Answer(card=CARDS[0].key, item="complete", value="done")


def marks(record, fault: FaultId = PITCH):
    r = story(fault, record)
    return r.noticed, r.named, r.cleared, r.proved


def test_all_four_rungs(record, squawk):
    full = record({PITCH}, squawk(PITCH), (TURN, set()), PROOF)
    assert marks(full) == (True, 1.0, True, True)
    assert share(full) == pytest.approx(0.8 + 0.2 * 0.96)  # quite sure: 0.80


@pytest.mark.parametrize(
    ("claims", "noticed", "named"),
    [
        ([], False, 0.0),
        ([(PITCH, own(PITCH))], True, 1.0),
        ([(PITCH, family(PITCH))], True, 1.0),  # a line that speaks for others too
        ([(PITCH, own(ROLL))], False, 0.0),  # a line that speaks for nothing
        ([(PITCH, "nonsense")], False, 0.0),
        ([(ROLL, family(ROLL))], True, 0.5),  # right family, another item
        ([(GAINS, own(PITCH))], False, 0.0),  # something else altogether
        ([(ROLL, family(ROLL)), (PITCH, own(PITCH))], True, 1.0),  # the best claim counts
    ],
)
def test_noticed_and_named(record, squawk, claims, noticed, named):
    steps = [squawk(cause, line=line, check="stick-display") for cause, line in claims]
    assert marks(record({PITCH}, *steps)) == (noticed, named, False, False)


@pytest.mark.parametrize(("high", "noticed"), [(DOUBTFUL, True), (SOUND, False)])
def test_a_doubtful_line_is_enough_to_notice_by(record, squawk, high, noticed):
    assert marks(record({PITCH}, squawk(PITCH), high=high))[0] is noticed


@pytest.mark.parametrize(("high", "proved"), [(DOUBTFUL, True), (SOUND, True), (10.0, False)])
def test_a_proof_that_still_shows_the_fault_is_none(record, squawk, high, proved):
    """The pitch channel is cured, but its family's line speaks on, as the yaw channel does."""
    steps = [squawk(PITCH), (TURN, {YAW}), PROOF]
    assert marks(record({PITCH, YAW}, *steps, high=high))[3] is proved


@pytest.mark.parametrize(("missing", "proved"), [((), True), (("yaw_low_us",), False)])
def test_half_a_check_done_by_hand_proves_nothing(record, squawk, missing, proved):
    whole = record({PITCH}, squawk(PITCH), (TURN, set()), PROOF)
    last = whole.events[-1]
    done = replace(last, action=Done(), reading=replace(last.reading, missing=missing))
    assert marks(replace(whole, events=(*whole.events[:-1], done)))[3] is proved


@pytest.mark.parametrize(("claimed", "named"), [(COLD, 0.0), (WEAK, 0.5)])
def test_the_right_item_with_another_cause_is_noticed(record, squawk, claimed, named):
    pack, other = CATALOGUE[PACK], CATALOGUE[claimed]
    assert (other.item, other.family == pack.family) == (pack.item, named > 0.0)
    check = pack.revealed_by[0]
    hint = squawk(claimed, line=item(claimed), check=check)
    put_in = {"hidden": frozenset({PACK})}  # else a cold pack is what its resistance comes of
    assert marks(record({PACK}, hint, **put_in), PACK)[:2] == (True, named)
    assert marks(record({PACK}, hint, looked_first=False, **put_in), PACK)[:2] == (False, 0.0)


def test_a_guess_without_a_look_notices_nothing(record, squawk):
    guess = record({PITCH}, squawk(PITCH), (TURN, set()), PROOF, looked_first=False)
    assert marks(guess) == (False, 0.0, True, True)
    assert share(guess) == 0.0  # and what was not noticed was not cleared on purpose


def test_one_exact_claim_names_one_fault_only(record, squawk):
    made = record({PITCH, YAW}, squawk(PITCH))
    assert marks(made, PITCH)[:2] == (True, 1.0)
    assert marks(made, YAW)[:2] == (False, 0.0)


def test_who_names_the_cause_has_named_what_comes_of_it(record, squawk):
    uneven: FaultId = "axis-gains-unequal"
    assert GAINS in CATALOGUE[uneven].also
    made = record({uneven, GAINS}, squawk(uneven))
    assert marks(made, GAINS)[:2] == (True, 1.0)
    assert marks(record({uneven, GAINS}, squawk(GAINS)), uneven)[:2] == (False, 0.0)
    # put in beside it, the one does not come of the other
    made = record({uneven, GAINS}, squawk(uneven), hidden=frozenset({uneven, GAINS}))
    assert marks(made, GAINS)[:2] == (False, 0.0)


def test_a_claim_may_be_written_after_the_cure_if_it_was_read_before(record, squawk):
    steps = [(TURN, set()), squawk(PITCH), PROOF]
    assert marks(record({PITCH}, *steps)) == (True, 1.0, True, True)
    blind = record({PITCH}, *steps, looked_first=False)
    assert marks(blind) == (False, 0.0, True, True)
    too_late = record({PITCH}, (TURN, set()), PROOF, squawk(PITCH), looked_first=False)
    assert marks(too_late) == (False, 0.0, True, True)
    early = record({PITCH}, PROOF, (TURN, set()), squawk(PITCH), looked_first=False)
    assert marks(early) == (True, 1.0, True, False)


def test_a_precaution_notices_the_fault_of_conduct_it_ends(record):
    """Goggles put on before the first look, and nothing written down."""
    goggles: Step = (Prepare(what="goggles"), set())
    assert marks(record({EYES}, goggles, looked_first=False), EYES) == (True, 0.0, True, False)
    look = Read(check="people-and-room")
    assert marks(record({EYES}, goggles, look), EYES) == (True, 0.0, True, True)
    off: Step = (RemoveProps(), set())
    assert marks(record({PROPS}, off, looked_first=False), PROPS)[0] is True
    other: Step = (Prepare(what="spotter"), set())  # not what ended it
    assert marks(record({EYES}, other, looked_first=False), EYES)[0] is False
    still = (Prepare(what="goggles"), {EYES})
    assert marks(record({EYES}, still, looked_first=False), EYES)[0] is False
    shut: Step = (Prepare(what="shut-door"), set())  # of the place, not of conduct
    assert marks(record({DOOR}, shut, looked_first=False), DOOR)[0] is False


def test_what_was_there_is_told_from_what_was_made(record):
    def made(start, *steps):
        return story(PITCH, record(start, *steps)).made_by_trainee

    assert not made({PITCH})
    assert not made({PITCH}, (TURN, set()))
    assert made(set(), (TURN, {PITCH}))
    assert made({PITCH}, (TURN, set()), (TURN, {PITCH}))  # cured, and back by one's own hand


def test_luck_is_told_of_what_flew_and_did_not_show(record):
    words = CATALOGUE[ALARM].lucky
    assert words
    assert story(ALARM, record({ALARM})).lucky == words
    assert story(ALARM, record({ALARM}, (ALARM_SET, set()))).lucky == ""  # gone before takeoff
    assert story(ALARM, record({ALARM}, crash=("It fell over.",))).lucky == ""
    assert story(ALARM, record({ALARM}, takeoff_s=None)).lucky == ""
    assert story(GAINS, record({GAINS})).lucky == ""  # shows itself in the air


def test_cleared_without_proof_and_the_worth_of_each_rung(record, squawk):
    cleared = record({PITCH}, squawk(PITCH), (TURN, set()))
    assert marks(cleared) == (True, 1.0, True, False)
    assert share(cleared) == pytest.approx(0.55 + 0.2 * 0.96)
    lucky = record({PITCH}, (TURN, set()), PROOF)  # cured and proved, never written down
    assert marks(lucky) == (False, 0.0, True, True)
    assert share(lucky) == 0.0
    seen = record({EYES}, (Prepare(what="goggles"), set()), Read(check="people-and-room"))
    assert share(seen) == pytest.approx(0.80)  # noticed by seeing to it


@pytest.mark.parametrize(
    "steps",
    [
        [PROOF, (TURN, set())],  # before the fix
        [(TURN, set()), ELSE],  # a check that can't see it
        [(TURN, set()), (PROOF, set(), "Plug the pack in first.")],  # refused
        [(TURN, set()), "takeoff", PROOF],  # in the air
        [(TURN, set()), PROOF, (TURN, {PITCH}), (TURN, set())],  # undone and cured again
    ],
    ids=["before", "insensitive", "refused", "after takeoff", "stale"],
)
def test_what_is_no_proof(record, squawk, steps):
    assert marks(record({PITCH}, squawk(PITCH), *steps))[2:] == (True, False)


@pytest.mark.parametrize("fault", sorted(CATALOGUE))
def test_only_sensitive_checks_prove(record, fault):
    for check in CHECKS:
        proved = marks(record({fault}, (TURN, set()), Read(check=check)), fault)[3]
        assert proved == (check in CATALOGUE[fault].proved_by)


def test_nothing_after_takeoff_counts(record, squawk):
    late = record({PITCH}, "takeoff", squawk(PITCH), (TURN, set()), PROOF)
    assert marks(late) == (False, 0.0, False, False)
    assert share(late) == 0.0
    assert story(PITCH, late).present_at_takeoff


def test_without_a_takeoff_everything_counts(record, squawk):
    made = record({PITCH}, squawk(PITCH), (TURN, set()), PROOF, takeoff_s=None)
    assert marks(made) == (True, 1.0, True, True)


def test_marks_never_fall_below_nothing(record, squawk):
    many = [squawk(PACK), Swap(part="pack")] * 60
    assert share(record({PITCH}, *many)) == 0.0


def test_a_fault_of_ones_own_is_told_but_not_marked(record):
    made = record(set(), (TURN, {PITCH}), (TURN, set()), PROOF)
    told = story(PITCH, made)
    assert (told.present_at_start, told.cleared, told.proved) == (False, True, True)
    assert share(made) == pytest.approx(
        1.0 - 0.02
    )  # but nothing called for the change that made it


@pytest.mark.parametrize(
    ("steps", "told"),
    [
        ([(TURN, {PITCH}), (TURN, set())], False),  # half set, then set
        ([(TURN, {PITCH}), (SAID, {PITCH}), (TURN, set())], False),  # talk is no deed
        ([(TURN, {PITCH}), PROOF, (TURN, set())], True),
        ([(TURN, {PITCH}), (Calibrate(what="level"), {PITCH}), (TURN, set())], True),
        ([(TURN, {PITCH})], True),  # left in
        ([(TURN, {PITCH}), "takeoff", (TURN, set())], True),
    ],
    ids=[
        "set back at once",
        "talked between",
        "read between",
        "calibrated between",
        "left",
        "flown",
    ],
)
def test_an_aircraft_half_set_is_no_fault_of_ones_own(record, steps, told):
    assert [s.id for s in stories(case_of(record(set(), *steps)))] == [PITCH] * told


def test_the_line_counts_as_read_while_the_fault_was_there(record, squawk):
    """Cured, read again and then written down: the reading before the cure is the evidence."""
    after = record({PITCH}, (TURN, set()), PROOF, squawk(PITCH, check="stick-display"))
    assert marks(after) == (True, 1.0, True, True)
    back = record(set(), PROOF, (TURN, {PITCH}), squawk(PITCH, check="stick-display"))
    assert marks(back)[:2] == (False, 0.0)  # read only before it came
    unread = record({PITCH}, ELSE, squawk(PITCH, check="stick-display"), looked_first=False)
    assert marks(unread)[:2] == (False, 0.0)  # another check was


def test_what_moves_no_line_is_in_sight_and_named_while_it_is_there(record):
    def noticed(*steps):
        case = showing_nothing(record({PROPS}, *steps, looked_first=False), PROPS)
        return rung(CATALOGUE[PROPS], case, None).noticed

    say = Squawk(item="propellers", cause=PROPS)
    assert noticed(say)
    assert not noticed((TURN, set()), say)  # too late
    assert not noticed()
    assert not story(PROPS, record({PROPS}, say)).noticed  # where a line shows it, it is pointed at


def test_a_fault_gone_with_the_first_act_is_proved_by_the_second(record):
    made = record({PITCH}, (TURN, set()), PROOF, looked_first=False)
    assert marks(made) == (False, 0.0, True, True)


def test_a_check_read_while_the_fault_was_there_is_no_proof(record, squawk):
    """Not even one whose line is only doubtful, read last before the cure."""
    steps: tuple[object, ...] = (squawk(PITCH), PROOF, (TURN, set()))
    assert marks(record({PITCH}, *steps, high=DOUBTFUL)) == (True, 1.0, True, False)
    assert marks(record({PITCH}, *steps, PROOF, high=DOUBTFUL)) == (True, 1.0, True, True)
