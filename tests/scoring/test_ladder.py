"""Each rung by hand-made records, and the worked numbers of the training notes.

Values: design 6 (rungs .30 .20 .25 .25, half a name for the family, .02 a false change) and
training design A3 (worked example 0.75, 0.90, 0 -> 0.645 -> 0.605).
"""

import pytest

from sim.bench.checklist import CHECKS
from sim.faults.catalogue import CATALOGUE
from sim.keys import FaultId
from sim.procedure.rubric import shipped
from sim.scoring.ladder import false_squawks, ladder_share, rung, stories
from sim.scoring.scorecard import conduct_share
from sim.session.actions import Calibrate, Read, Set, Swap

PITCH: FaultId = "pitch-channel-reversed"
ROLL: FaultId = "roll-channel-reversed"
YAW: FaultId = "yaw-channel-reversed"
COMPASS: FaultId = "mag-hard-iron-offset"
LEVEL: FaultId = "level-trim-off"
GAINS: FaultId = "rate-gain-high"
PACK: FaultId = "pack-high-resistance"
TURN = Set(key="setup.transmitter.pitch.direction", value=1)
TURN_YAW = Set(key="setup.inputs.yaw", value=1)
PROOF = Read(check="stick-display")
ELSE = Read(check="heading-marks")


def marks(record, fault: FaultId = PITCH):
    r = rung(CATALOGUE[fault], record, shipped())
    return r.noticed, r.named, r.cleared, r.proved


def test_all_four_rungs(record, squawk):
    full = record({PITCH}, squawk(PITCH), (TURN, set()), PROOF)
    assert marks(full) == (True, 1.0, True, True)
    assert ladder_share(full, shipped()) == 1.0


@pytest.mark.parametrize(
    ("claims", "noticed", "named"),
    [
        ([], False, 0.0),
        ([(PITCH, "x")], True, 1.0),
        ([(ROLL, "x")], True, 0.5),  # right family, wrong cause
        ([(GAINS, "x")], False, 0.0),  # something else altogether
        ([(GAINS, "pitch channel")], True, 0.0),  # right item, wrong cause
        ([(ROLL, "x"), (PITCH, "y")], True, 1.0),  # the best claim counts
    ],
)
def test_noticed_and_named(record, squawk, claims, noticed, named):
    made = record({PITCH}, *[squawk(cause, item) for cause, item in claims])
    assert marks(made) == (noticed, named, False, False)
    assert ladder_share(made, shipped()) == pytest.approx(0.3 * noticed + 0.2 * named)


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


def test_a_claim_made_after_the_cure_notices_nothing(record, squawk):
    assert marks(record({PITCH}, (TURN, set()), squawk(PITCH), PROOF)) == (False, 0.0, True, True)


def test_cleared_without_proof_and_the_worth_of_each_rung(record, squawk):
    cleared = record({PITCH}, squawk(PITCH), (TURN, set()))
    assert marks(cleared) == (True, 1.0, True, False)
    assert ladder_share(cleared, shipped()) == pytest.approx(0.75)
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


def test_worked_example(record, squawk):
    """w = 5, 3, 2: named but not proved; by family, cured and proved; missed."""
    steps = [squawk(PITCH), squawk(ROLL, "x"), (TURN_YAW, {PITCH, LEVEL}), PROOF, (TURN, {LEVEL})]
    made = record({PITCH, YAW, LEVEL}, *steps)
    assert [marks(made, f) for f in (PITCH, YAW, LEVEL)] == [
        (True, 1.0, True, False),
        (True, 0.5, True, True),
        (False, 0.0, False, False),
    ]
    assert [CATALOGUE[f].hazard for f in (PITCH, YAW, LEVEL)] == [5, 3, 2]
    assert ladder_share(made, shipped()) == pytest.approx(0.645)
    lower = Set(key="setup.controller.roll.p", value=0.03)
    rash = [squawk(PACK), Swap(part="pack"), squawk(GAINS), lower]
    twice = record({PITCH, YAW, LEVEL}, *rash, *steps, hazards="no-goggles")
    assert ladder_share(twice, shipped()) == pytest.approx(0.605)
    assert 0.7 * ladder_share(twice, shipped()) + 0.3 * conduct_share(twice, shipped()) == (
        pytest.approx(0.6935)
    )


CHANGES = [
    (PACK, Swap(part="pack")),
    (COMPASS, Calibrate(what="compass-finish")),
    (LEVEL, Calibrate(what="level")),
    (GAINS, Set(key="setup.controller.pitch.p", value=0.03)),
    ("failsafe-holds-last", Set(key="setup.controller.failsafe", value="stop")),
    (YAW, Set(key="setup.inputs.yaw", value=-1)),
]


@pytest.mark.parametrize(("cause", "change"), CHANGES, ids=[c for c, _ in CHANGES])
def test_a_false_squawk_costs_only_if_something_was_changed_for_it(record, squawk, cause, change):
    talk, act = record(set(), squawk(cause)), record(set(), squawk(cause), change)
    assert false_squawks(talk) == [(cause, False)]
    assert false_squawks(act) == [(cause, True)]
    assert ladder_share(talk, shipped()) == 1.0
    assert ladder_share(act, shipped()) == pytest.approx(0.98)
    assert ladder_share(record(set(), change), shipped()) == 1.0  # changing is no claim
    assert false_squawks(record(set(), change, squawk(cause))) == [(cause, False)]


@pytest.mark.parametrize("what", ["compass-start", "compass-finish"])
def test_a_refused_change_or_a_beginning_is_no_change(record, squawk, what):
    refused = "no readings" if what == "compass-finish" else None
    step: tuple[object, ...] = (Calibrate(what=what), set(), refused)
    assert false_squawks(record(set(), squawk(COMPASS), step)) == [(COMPASS, False)]


def test_a_right_claim_is_never_false_and_late_talk_is_free(record, squawk):
    assert false_squawks(record({PITCH}, squawk(PITCH), (TURN, set()))) == []
    assert false_squawks(record(set(), "takeoff", squawk(PACK), Swap(part="pack"))) == []


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
