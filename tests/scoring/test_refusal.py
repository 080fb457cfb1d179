"""Staying on the bench for a right reason has full marks; for a wrong one, none of it (design 6)."""

import pytest
from pydantic import ValidationError

from sim.bench.evidence import measured
from sim.errors import InputError, Refusal
from sim.faults.catalogue import CATALOGUE
from sim.keys import FaultId
from sim.procedure.rubric import shipped
from sim.scoring.refusal import (
    STAY,
    excused,
    handed_over,
    sound_decision,
    stopped_at,
    wise_refusal,
)
from sim.scoring.scorecard import scorecard
from sim.session.actions import Prepare, Read, Set, Squawk, Swap, Withdraw
from sim.session.scenario import HiddenFault, Scenario, load, names
from sim.session.session import Session
from sim.trainees.standins import Attempt, rehearsed
from tests.scoring.tables import TABLES, case_of, item, own, showing_nothing

SWOLLEN: FaultId = "pack-swollen-or-dented"
DOOR: FaultId = "draught-from-door"
LITTER: FaultId = "loose-debris"
PITCH: FaultId = "pitch-channel-reversed"
NO_PACK = ("swap:pack",)


def told(cause: FaultId, words: str = "x", line: str = "") -> Squawk:
    check = CATALOGUE[cause].revealed_by[0]
    return Squawk(item=words, cause=cause, check=check, line=line or own(cause))


CLAIM = told(SWOLLEN, "pack")
STAYED = {"takeoff_s": None, "declared": STAY, "reason": "no good pack tonight"}
DRILLS = [name for name in names() if load(name).lacking]
# points of 90: noticed .3, named .80 sure .2 x .96, six tenths of cleared and proved .5; conduct .2
MOST_POINTS = pytest.approx(100.0 * (0.7 * (0.3 + 0.2 * 0.96 + 0.6 * 0.5) + 0.2) / 0.9, abs=0.006)


def drill(*faults: FaultId, lacking: tuple[str, ...] = NO_PACK) -> Scenario:
    hidden = tuple(HiddenFault(id=name) for name in faults)
    return Scenario(
        title="Made", purpose="Marking", origin="invented", faults=hidden, lacking=lacking
    )


@pytest.fixture
def refused(record):
    """Return the record of an evening that ended on the bench; of a swollen pack unless changed."""

    def made(start, *steps, lacking=NO_PACK, **changes):
        scenario = drill(*sorted(start), lacking=lacking)
        return record(set(start), *steps, **{"scenario": scenario, **STAYED, **changes})

    return made


def card(made):
    return scorecard(made, "someone", "made", shipped(), TABLES)


def test_a_wise_refusal_has_all_points_and_says_so(refused):
    made = card(refused({SWOLLEN}, CLAIM))
    assert (made["verdict"], made["wise_refusal"], made["points"]) == (STAY, True, 100.0)
    assert made["versions"]["rubric"] == 3  # the third way of marking: points may not be compared


@pytest.mark.parametrize(
    "reason", ["pack-swollen-or-dented", "No spare: Pack swollen  or dented, go home"]
)
def test_the_reason_may_name_it_too(refused, reason):
    assert wise_refusal(case_of(refused({SWOLLEN}, reason=reason)))
    guess = refused({SWOLLEN}, reason=reason, looked_first=False)
    assert not wise_refusal(case_of(guess))


def measured_card(made):
    return scorecard(made, "someone", "made", shipped(), measured(made.scenario.airframe))


NEAR_MISSES = {
    "a reason that names nothing": ((), {}),
    "only the family was right": ((told("pack-cell-weak", "pack", item("pack-cell-weak")),), {}),
    "taken back again": ((CLAIM, Withdraw(item="pack")), {}),
    "another dangerous fault claimed": ((CLAIM, told(PITCH)), {}),
    "another dangerous fault as reason": ((CLAIM,), {"reason": "pitch channel reversed"}),
    "a critical hazard": ((CLAIM,), {"hazards": "swollen-pack-plugged"}),
    "left plugged in": ((CLAIM,), {"hazards": "still-plugged"}),
    "said clear": ((CLAIM,), {"declared": "clear"}),
    "said nothing": ((CLAIM,), {"declared": None}),
    "not ended": ((CLAIM,), {"finished": False}),
    "flew": ((CLAIM,), {"takeoff_s": 100.0}),
}


@pytest.mark.parametrize(("steps", "changes"), NEAR_MISSES.values(), ids=NEAR_MISSES)
def test_what_is_not_wise(refused, steps, changes):
    made = card(refused({SWOLLEN}, *steps, **changes))
    assert made["verdict"] == STAY
    assert not made["wise_refusal"]
    assert made["points"] < shipped().pass_points


def test_a_mild_fault_claimed_that_was_not_there_leaves_it_wise(refused):
    assert not shipped().dangerous(DOOR)
    assert wise_refusal(case_of(refused({SWOLLEN}, CLAIM, told(DOOR))))


def test_refusing_a_sound_aircraft_is_not_wise(refused):
    made = card(refused(set(), CLAIM))
    assert not made["wise_refusal"]
    assert not made["sound_decision"]
    # the hop's ten are lost; a wrong claim, 0.80 sure on a line that says nothing, costs .064 of 70
    assert made["points"] == pytest.approx(90.0 - 70.0 * 0.064)


def test_who_finds_what_could_be_cured_and_calls_the_instructor_has_most_points(refused):
    """Noticed .3, named .80 sure .2 x .96, six tenths of cleared and proved .5; of 90 points."""
    made = card(refused({SWOLLEN}, CLAIM, lacking=()))
    assert (made["verdict"], made["wise_refusal"], made["sound_decision"]) == (STAY, False, True)
    assert made["points"] == MOST_POINTS
    by_word = card(refused({SWOLLEN}, lacking=(), reason="pack swollen or dented"))
    assert by_word["sound_decision"]  # noticed, but named by no squawk
    assert by_word["points"] == pytest.approx(100.0 * (0.7 * 0.6 + 0.2) / 0.9, abs=0.006)
    assert not card(refused({SWOLLEN}, CLAIM))["sound_decision"]  # that is a wise refusal


@pytest.mark.parametrize(("steps", "changes"), NEAR_MISSES.values(), ids=NEAR_MISSES)
def test_what_is_no_sound_decision(refused, steps, changes):
    made = card(refused({SWOLLEN}, *steps, **{"lacking": (), **changes}))
    assert not made["sound_decision"]
    assert made["points"] < shipped().pass_points


def test_who_finds_one_grave_fault_need_look_no_further(refused):
    """Full marks for what was found but its cure; what nothing had shown yet is not asked for."""
    told_one = refused({SWOLLEN, PITCH}, CLAIM, lacking=(), looked_first=False)
    blind = case_of(told_one)
    assert stopped_at(blind) is None  # nothing was read: that names nothing
    look = (Read(check=CATALOGUE[SWOLLEN].revealed_by[0]), {SWOLLEN, PITCH})
    one = refused({SWOLLEN, PITCH}, look, CLAIM, lacking=(), looked_first=False)
    case = case_of(one)
    assert sound_decision(case)
    assert stopped_at(case) == 0
    assert handed_over(case) == {SWOLLEN}
    assert excused(case) == {PITCH}
    assert card(one)["points"] == MOST_POINTS


def test_what_was_shown_before_and_not_told_was_missed(refused):
    """The sticks were read first and nothing was said of them; the pack is found afterwards."""
    steps = [(Read(check=CATALOGUE[f].revealed_by[0]), {SWOLLEN, PITCH}) for f in (PITCH, SWOLLEN)]
    made = refused({SWOLLEN, PITCH}, *steps, CLAIM, lacking=(), looked_first=False)
    case = case_of(made)
    assert sound_decision(case)
    assert (stopped_at(case), excused(case)) == (1, frozenset())
    assert card(made)["parts"]["ladder"] == pytest.approx((0.3 + 0.2 * 0.96 + 0.6 * 0.5) / 2)
    other = refused({SWOLLEN, PITCH}, *reversed(steps), CLAIM, lacking=(), looked_first=False)
    assert excused(case_of(other)) == {PITCH}  # it came after what was reason enough


def test_what_the_same_reading_showed_too_need_not_be_told(refused):
    roll: FaultId = "roll-channel-reversed"
    assert CATALOGUE[roll].revealed_by[0] == CATALOGUE[PITCH].revealed_by[0]
    look = (Read(check=CATALOGUE[PITCH].revealed_by[0]), {PITCH, roll})
    made = refused({PITCH, roll}, look, told(PITCH), lacking=(), looked_first=False)
    assert excused(case_of(made)) == {roll}


def test_the_work_may_stop_where_the_first_of_what_is_left_showed(refused):
    there = {PITCH, SWOLLEN}
    looks = [(Read(check=CATALOGUE[f].revealed_by[0]), there) for f in (PITCH, SWOLLEN)]
    claims = (CLAIM, told(PITCH, "sticks"))
    both = refused(there, *looks, *claims, lacking=(), looked_first=False)
    assert stopped_at(case_of(both)) == 0
    seen = refused({SWOLLEN}, (looks[0][0], {SWOLLEN}), CLAIM, lacking=(), looked_first=False)
    assert stopped_at(showing_nothing(seen, SWOLLEN)) == 1  # in sight: where it was told


def test_what_is_left_is_handed_over_by_name(refused):
    look = told(PITCH, "pitch channel")
    both = refused({SWOLLEN, PITCH}, CLAIM, look, lacking=())
    assert sound_decision(case_of(both))
    assert handed_over(case_of(both)) == {SWOLLEN, PITCH}
    assert excused(case_of(both)) == frozenset()
    mild = refused({SWOLLEN, DOOR}, CLAIM, lacking=())
    assert handed_over(case_of(mild)) == {SWOLLEN}  # the door was not named
    part = refused({SWOLLEN, PITCH}, CLAIM, look)  # no pack tonight: that one is nobody's to cure
    assert handed_over(case_of(part)) == {PITCH}


@pytest.mark.parametrize(("fault", "enough"), [(DOOR, False), ("no-spotter", True)])
def test_a_mild_fault_alone_is_no_reason_while_a_grave_one_is_left(refused, fault, enough):
    assert CATALOGUE[fault].hazard == (3 if enough else 2)
    made = refused({fault, PITCH}, told(fault, "x"), lacking=())
    assert sound_decision(case_of(made)) is enough
    assert sound_decision(case_of(refused({fault}, told(fault, "x"), lacking=())))
    both = refused({fault, SWOLLEN, PITCH}, told(fault, "x"), CLAIM, lacking=())
    assert sound_decision(case_of(both))  # one of them is reason enough


def test_every_dangerous_fault_left_must_be_named_for_full_marks(refused):
    look = told(PITCH, "pitch channel")
    one = case_of(refused({SWOLLEN, PITCH}, CLAIM))
    assert (wise_refusal(one), sound_decision(one)) == (False, True)
    assert handed_over(one) == {SWOLLEN}
    assert wise_refusal(case_of(refused({SWOLLEN, PITCH}, CLAIM, look)))
    cured = (Set(key="setup.transmitter.pitch.direction", value=1), {SWOLLEN})
    assert wise_refusal(case_of(refused({SWOLLEN, PITCH}, CLAIM, cured)))


def test_a_mild_fault_left_costs_its_marks_only(refused):
    assert [CATALOGUE[f].hazard for f in (SWOLLEN, DOOR)] == [5, 2]
    made = card(refused({SWOLLEN, DOOR}, CLAIM))
    assert made["wise_refusal"]
    assert made["points"] == pytest.approx(100.0 * (0.7 * 5 / 7 + 0.2) / 0.9, abs=0.01)
    shut = (Prepare(what="shut-door"), {SWOLLEN})
    steps = (told(DOOR, "air"), shut, Read(check="people-and-room"))
    assert card(refused({SWOLLEN, DOOR}, CLAIM, *steps))["points"] == pytest.approx(
        100.0 - 100.0 * 0.7 / 0.9 * 2 / 7 * 0.2 * 0.04, abs=0.006
    )  # the door was named 0.80 sure


def test_a_claim_struck_out_after_its_change_no_longer_stands(refused):
    """It has its marks, as its change was made for it, but it is no reason to stay any more."""
    tried = (Swap(part="pack"), {SWOLLEN})

    def wise(*steps):
        return wise_refusal(case_of(refused({SWOLLEN}, CLAIM, tried, *steps)))

    assert wise()
    assert not wise(Withdraw(item="pack"))
    assert wise(Withdraw(item="something else"))
    assert wise(Withdraw(item="pack"), CLAIM)


def test_a_mild_fault_beyond_fixing_is_reason_enough(refused):
    steps = [told(DOOR, "air")]
    assert wise_refusal(case_of(refused({DOOR}, *steps, lacking=("prepare:shut-door",))))


def test_other_ways_to_fix_it_must_be_lacking_too():
    assert drill(lacking=NO_PACK).can_be_fixed("pack-cold")  # warming it would do
    assert not drill(lacking=(*NO_PACK, "prepare:warm-pack")).can_be_fixed("pack-cold")
    assert all(drill(lacking=()).can_be_fixed(name) for name in CATALOGUE)


def test_what_is_lacking_is_refused_in_words():
    session = Session(drill(SWOLLEN, lacking=(*NO_PACK, "prepare:shut-door")), 1)
    with pytest.raises(Refusal, match=r"^There is no pack in the parts bin tonight\.$"):
        session.do(Swap(part="pack"))
    with pytest.raises(Refusal, match="tonight"):
        session.do(Prepare(what="shut-door"))
    session.do(Swap(part="pack-strap"))
    session.do(Prepare(what="sweep"))
    assert session.record().present_now == {SWOLLEN}


@pytest.mark.parametrize(
    ("fix", "nearest"),
    [("swap:packs", "swap:pack"), ("prepare:shut-dor", "prepare:shut-door"), ("glue", None)],
)
def test_an_unknown_fix_is_refused_with_the_nearest(tmp_path, fix, nearest):
    path = tmp_path / "drill.yaml"
    path.write_text(f"title: A\npurpose: B\norigin: invented\nlacking: ['{fix}']\n")
    with pytest.raises(InputError) as caught:
        load(str(path))
    (problem,) = caught.value.problems
    assert (problem.line, problem.key, problem.nearest) == (4, "lacking.0", nearest)
    with pytest.raises(ValidationError):
        drill(lacking=(fix,))


def test_there_are_drills_for_it_and_each_has_what_it_takes():
    assert len(DRILLS) >= 2
    for name in DRILLS:
        it = load(name)
        beyond = [f.id for f in it.faults if not it.can_be_fixed(f.id)]
        assert any(CATALOGUE[f].hazard >= shipped().dangerous_from for f in beyond)


@pytest.mark.parametrize("who", ["careful", "oracle"])
@pytest.mark.parametrize("name", DRILLS)
def test_who_works_with_care_refuses_wisely(name, who):
    made = measured_card(rehearsed(Attempt(load(name), who, 1)))
    assert (made["verdict"], made["wise_refusal"]) == (STAY, True)
    assert made["points"] >= 99.0  # others of the drill, cured, were named 0.95 sure


@pytest.mark.parametrize("who", ["hasty", "hunch", "clicker"])
@pytest.mark.parametrize("name", DRILLS)
def test_who_does_not_is_not_taken_for_wise(name, who):
    made = measured_card(rehearsed(Attempt(load(name), who, 1)))
    assert not made["wise_refusal"]
    assert made["points"] < shipped().pass_points
