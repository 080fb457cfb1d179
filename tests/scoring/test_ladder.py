"""Each rung by hand-made records, and the worked numbers of the training notes.

Values: design 6 (rungs .30 .20 .25 .25, half a name for the family). What claims earn and cost
beyond that: test_claims.py.
"""

import pytest

from sim.bench.checklist import CHECKS
from sim.faults.catalogue import CATALOGUE
from sim.keys import FaultId
from sim.procedure.rubric import shipped
from sim.scoring.ladder import ladder_share, rung, stories
from sim.session.actions import Calibrate, Prepare, Read, Set, Swap

PITCH: FaultId = "pitch-channel-reversed"
ROLL: FaultId = "roll-channel-reversed"
YAW: FaultId = "yaw-channel-reversed"
LEVEL: FaultId = "level-trim-off"
EYES: FaultId = "no-eye-protection"
DOOR: FaultId = "draught-from-door"
COLD: FaultId = "pack-cold"
WEAK: FaultId = "pack-cell-weak"
GAINS: FaultId = "rate-gain-high"
PACK: FaultId = "pack-high-resistance"
Step = tuple[object, ...]
TURN = Set(key="setup.transmitter.pitch.direction", value=1)
PROOF = Read(check="stick-display")
ELSE = Read(check="heading-marks")


def marks(record, fault: FaultId = PITCH):
    r = rung(CATALOGUE[fault], record, shipped())
    return r.noticed, r.named, r.cleared, r.proved


def test_all_four_rungs(record, squawk):
    full = record({PITCH}, squawk(PITCH), (TURN, set()), PROOF)
    assert marks(full) == (True, 1.0, True, True)
    assert ladder_share(full, shipped()) == pytest.approx(0.8 + 0.2 * 0.96)  # quite sure: 0.80


@pytest.mark.parametrize(
    ("claims", "noticed", "named"),
    [
        ([], False, 0.0),
        ([(PITCH, "x")], True, 1.0),
        ([(ROLL, "x")], False, 0.5),  # right family, another item
        ([(GAINS, "x")], False, 0.0),  # something else altogether
        ([(GAINS, "pitch channel")], False, 0.0),  # what is called the item is only a word
        ([(ROLL, "x"), (PITCH, "y")], True, 1.0),  # the best claim counts
    ],
)
def test_noticed_and_named(record, squawk, claims, noticed, named):
    made = record({PITCH}, *[squawk(cause, item) for cause, item in claims])
    assert marks(made) == (noticed, named, False, False)


@pytest.mark.parametrize(("claimed", "named"), [(COLD, 0.0), (WEAK, 0.5)])
def test_the_right_item_with_another_cause_is_noticed(record, squawk, claimed, named):
    pack, other = CATALOGUE[PACK], CATALOGUE[claimed]
    assert (other.item, other.family == pack.family) == (pack.item, named > 0.0)
    assert marks(record({PACK}, squawk(claimed)), PACK)[:2] == (True, named)
    assert marks(record({PACK}, squawk(claimed), looked_first=False), PACK)[:2] == (False, 0.0)


def test_a_guess_without_a_look_notices_nothing(record, squawk):
    guess = record({PITCH}, squawk(PITCH), (TURN, set()), PROOF, looked_first=False)
    assert marks(guess) == (False, 0.0, True, True)


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
    other: Step = (Prepare(what="spotter"), set())  # not what ended it
    assert marks(record({EYES}, other, looked_first=False), EYES)[0] is False
    still = (Prepare(what="goggles"), {EYES})
    assert marks(record({EYES}, still, looked_first=False), EYES)[0] is False
    shut: Step = (Prepare(what="shut-door"), set())  # of the place, not of conduct
    assert marks(record({DOOR}, shut, looked_first=False), DOOR)[0] is False


def test_what_was_there_is_told_from_what_was_made(record):
    def made(start, *steps):
        return rung(CATALOGUE[PITCH], record(start, *steps), shipped()).made_by_trainee

    assert not made({PITCH})
    assert not made({PITCH}, (TURN, set()))
    assert made(set(), (TURN, {PITCH}))
    assert made({PITCH}, (TURN, set()), (TURN, {PITCH}))  # cured, and back by one's own hand


def test_cleared_without_proof_and_the_worth_of_each_rung(record, squawk):
    cleared = record({PITCH}, squawk(PITCH), (TURN, set()))
    assert marks(cleared) == (True, 1.0, True, False)
    assert ladder_share(cleared, shipped()) == pytest.approx(0.55 + 0.2 * 0.96)
    lucky = record({PITCH}, (TURN, set()), PROOF)  # cured and proved, never written down
    assert ladder_share(lucky, shipped()) == pytest.approx(0.50)


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
    assert ladder_share(late, shipped()) == 0.0
    assert rung(CATALOGUE[PITCH], late, shipped()).present_at_takeoff


def test_without_a_takeoff_everything_counts(record, squawk):
    made = record({PITCH}, squawk(PITCH), (TURN, set()), PROOF, takeoff_s=None)
    assert marks(made) == (True, 1.0, True, True)


def test_marks_never_fall_below_nothing(record, squawk):
    many = [squawk(PACK), Swap(part="pack")] * 60
    assert ladder_share(record({PITCH}, *many), shipped()) == 0.0


def test_a_fault_of_ones_own_is_told_but_not_marked(record):
    made = record(set(), (TURN, {PITCH}), (TURN, set()), PROOF)
    story = rung(CATALOGUE[PITCH], made, shipped())
    assert (story.present_at_start, story.cleared, story.proved) == (False, True, True)
    assert ladder_share(made, shipped()) == 1.0


@pytest.mark.parametrize(
    ("steps", "told"),
    [
        ([(TURN, {PITCH}), (TURN, set())], False),  # half set, then set
        ([(TURN, {PITCH}), PROOF, (TURN, set())], True),
        ([(TURN, {PITCH}), (Calibrate(what="level"), {PITCH}), (TURN, set())], True),
        ([(TURN, {PITCH})], True),  # left in
        ([(TURN, {PITCH}), "takeoff", (TURN, set())], True),
    ],
    ids=["set back at once", "read between", "calibrated between", "left", "flown"],
)
def test_an_aircraft_half_set_is_no_fault_of_ones_own(record, steps, told):
    assert [s.id for s in stories(record(set(), *steps), shipped())] == [PITCH] * told


def test_a_fault_gone_with_the_first_act_is_proved_by_the_second(record):
    made = record({PITCH}, (TURN, set()), PROOF, looked_first=False)
    assert marks(made) == (False, 0.0, True, True)
