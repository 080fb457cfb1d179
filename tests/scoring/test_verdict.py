"""The verdict is all conditions together; the points are 70, 20 and 10 (design 6)."""

from dataclasses import replace

import pytest
from pydantic import ValidationError

from sim.faults.catalogue import CATALOGUE
from sim.keys import FaultId
from sim.procedure.hazards import HAZARDS
from sim.procedure.rubric import Rubric, Rungs, shipped
from sim.scoring.refusal import STAY
from sim.scoring.scorecard import CLEARED, conduct_share, scorecard, total
from sim.session.actions import Read, Set, Squawk, Swap
from sim.session.record import Logged
from tests.scoring.tables import TABLES, own

PITCH: FaultId = "pitch-channel-reversed"
PACK: FaultId = "pack-high-resistance"
TURN = Set(key="setup.transmitter.pitch.direction", value=1)
PROOF = Read(check="stick-display")
CLAIM = Squawk(
    item="pitch channel", cause=PITCH, confidence=4, check="stick-display", line=own(PITCH)
)
MISSING = 70.0 * 0.2 * 0.05**2  # what the highest step, a chance of 0.95, leaves of the naming
GOOD: tuple[object, ...] = (CLAIM, (TURN, set()), PROOF)

SHIPPED = shipped()


def about(points):
    return pytest.approx(points, abs=0.0051)  # a card has two decimals


@pytest.fixture
def card(record):
    def made(start, *steps, rubric=SHIPPED, **changes):
        return scorecard(record(start, *steps, **changes), "someone", "made", rubric, TABLES)

    return made


def test_a_good_run_is_cleared_with_all_points(card):
    good = card({PITCH}, *GOOD)
    assert good["verdict"] == CLEARED
    assert good["points"] == about(100.0 - MISSING)


@pytest.mark.parametrize("hazard", sorted(h for h in HAZARDS if HAZARDS[h].critical))
def test_one_critical_hazard_is_enough_whatever_the_points(card, hazard):
    bad = card({PITCH}, *GOOD, hazards=hazard)
    late = hazard == "no-abort-within-2s"  # also costs the hop's discipline, a tenth of ten
    whole = (89.0 if late else 90.0) - MISSING  # half of conduct's 20
    assert whole >= shipped().pass_points
    assert bad["points"] == about(0.4 * whole)
    assert bad["verdict"] == STAY
    lenient = shipped().model_copy(update={"stopped": 1.0})
    again = card({PITCH}, *GOOD, hazards=hazard, rubric=lenient)
    assert (again["points"], again["verdict"]) == (about(whole), STAY)


@pytest.mark.parametrize("hazard", sorted(h for h in HAZARDS if not HAZARDS[h].critical))
def test_a_hazard_that_is_not_critical_costs_points_only(card, hazard):
    worse = card({PITCH}, *GOOD, hazards=hazard)
    assert worse["points"] == about(98.0 - MISSING)  # a tenth of conduct's 20
    assert worse["verdict"] == CLEARED


def test_a_dangerous_fault_must_be_proved_cured(card):
    unproved = card({PITCH}, CLAIM, (TURN, set()))
    assert unproved["points"] == about(82.5 - MISSING)  # 70 x 0.75 + 20 + 10
    assert unproved["verdict"] == STAY


@pytest.mark.parametrize("fault", sorted(CATALOGUE))
def test_which_faults_are_dangerous(card, squawk, fault):
    claim = squawk(fault)
    story = card({fault}, claim, (TURN, set()))
    assert story["verdict"] == (STAY if CATALOGUE[fault].hazard >= 4 else CLEARED)


def test_a_dangerous_fault_of_ones_own_must_be_proved_cured_too(card):
    own = card(set(), (TURN, {PITCH}), Read(check="heading-marks"), (TURN, set()))
    assert own["points"] == about(100.0 - 1.4)  # a change that nothing called for: .02 of 70
    assert own["verdict"] == STAY
    assert [f["present_at_start"] for f in own["faults"]] == [False]


def test_no_fault_may_be_there_at_takeoff_however_mild(card):
    pack = card({PACK}, Squawk(item="pack", cause=PACK), PROOF)
    assert pack["verdict"] == STAY
    assert pack["faults"][0]["present_at_takeoff"]
    enough = card(set(), (Swap(part="pack"), {PACK}))  # made by the trainee, uncalled for
    assert (enough["points"], enough["verdict"]) == (about(98.6), STAY)


@pytest.mark.parametrize(("missed_hop", "verdict"), [(False, CLEARED), (True, STAY)])
def test_points_must_reach_the_mark(card, squawk, missed_hop, verdict):
    """A pack cured without a proof costs 17.5; a crash the hop's 10 as well."""
    steps = [squawk(PACK, confidence=4), (Swap(part="pack"), set())]
    less = card({PACK}, *steps, crash=("It fell over.",) if missed_hop else ())
    assert less["points"] == about((72.5 if missed_hop else 82.5) - MISSING)
    assert less["verdict"] == verdict


def test_exactly_eighty_points_pass(card):
    """A wrong claim about an aircraft that is sound, whose price is chosen to leave 80, or less."""
    wrong = Squawk(item="x", cause=PACK, confidence=4)
    for price, verdict in ((20.0 / 70.0 / 0.95**2, CLEARED), (20.1 / 70.0 / 0.95**2, STAY)):
        dear = shipped().wrong.model_copy(update={"sound": price})
        rubric = shipped().model_copy(update={"wrong": dear})
        made = card(set(), wrong, rubric=rubric)
        assert made["points"] == about(80.0 if verdict == CLEARED else 79.9)
        assert made["verdict"] == verdict


def test_who_saw_nothing_has_no_points_for_manners_or_hop(card, squawk):
    """All is changed in silence: nothing was noticed, so nothing counts."""
    silent = card({PITCH}, (TURN, set()), PROOF)
    assert (silent["points"], silent["verdict"]) == (0.0, STAY)
    assert silent["parts"] == {"ladder": 0.0, "conduct": 1.0, "hop": 1.0, "seen": 0.0}
    half = card({PITCH, "loop-sign-reversed"}, squawk(PITCH, confidence=4))
    assert half["parts"]["seen"] == 1.0  # half of what was there, by hazard
    assert half["points"] == about(70.0 * 0.5 * (0.3 + 0.2 * 0.9975) + 30.0)


def test_on_a_sound_aircraft_only_answers_tell_who_read(card):
    assert card(set())["points"] == 100.0
    mute = card(set(), answered=False)
    assert (mute["points"], mute["verdict"]) == (0.0, STAY)


def test_hazards_and_minutes_are_told_to_the_millisecond_and_the_hundredth(card, record):
    late = (Logged("no-goggles", 1.23456, critical=False, minutes=30.126),)
    assert card(set(), minutes=30.126)["minutes"] == 30.13
    told = scorecard(replace(record(set()), hazards=late), "a", "b", SHIPPED, TABLES)
    assert told["hazards"] == [
        {"id": "no-goggles", "time_s": 1.235, "minutes": 30.13, "critical": False}
    ]


def test_the_card_tells_of_minutes_parts_and_changes(card):
    swap = Swap(part="pack")
    made = card(set(), swap, swap, minutes=140.0, locked_up=True, takeoff_s=None)
    assert (made["minutes"], made["careful_min"], made["locked_up"]) == (140.0, 75.0, True)
    assert (made["parts_used"], made["needless"]) == (2, ["swap:pack", "swap:pack"])


@pytest.mark.parametrize("changes", [{"takeoff_s": None}, {"finished": False}])
def test_who_did_not_hop_or_finish_is_not_cleared(card, changes):
    assert card(set(), **changes)["verdict"] == STAY


def test_scorecard_has_the_keys_of_the_design(card):
    made = card({PITCH}, *GOOD, hazards="no-goggles")
    keys = (
        "scenario seed trainee verdict points faults false_squawks hazards takeoff_s hop versions"
    )
    assert set(keys.split()) <= set(made)
    fault = "id family hazard present_at_start noticed named cleared proved present_at_takeoff"
    fault += " sure made_by_trainee by_precaution lucky"
    assert set(made["faults"][0]) == set(fault.split())
    assert set(made["hazards"][0]) == {"id", "time_s", "minutes", "critical"}


def test_the_shipped_rubric_is_the_design(record):
    r = shipped()
    assert r.rungs == Rungs(noticed=0.30, named=0.20, cleared=0.25, proved=0.25)
    assert (r.right_family, r.needless, r.pass_points, r.dangerous_from) == (0.5, 0.02, 80, 4)
    assert (r.evening, r.seen.found, r.seen.answered) == (1.8, 0.5, 0.9)
    assert (r.shares.ladder, r.shares.conduct, r.shares.hop) == (0.70, 0.20, 0.10)


@pytest.mark.parametrize("block", ["rungs", "shares"])
def test_a_rubric_whose_shares_do_not_add_up_is_no_rubric(block):
    data = shipped().model_dump()
    first = next(iter(data[block]))
    data[block][first] += 0.01
    with pytest.raises(ValidationError, match="add up to 1"):
        Rubric.model_validate(data)


@pytest.mark.parametrize(
    ("hop", "points"),
    [(None, 48.15), (1.0, 53.33), (0.0, 43.33)],  # of 90 without a hop, of 100 with one
)
def test_points_are_told_to_the_hundredth(hop, points):
    assert total(1.0 / 3.0, 1.0, hop, 1.0, shipped()) == points
    assert total(1.0 / 3.0, 1.0, hop, 0.0, shipped()) == 0.0


@pytest.mark.parametrize(("hazards", "share"), [(1, 0.5), (2, 0.0), (3, 0.0)])
def test_conduct_has_a_floor(record, hazards, share):
    critical = [h for h in sorted(HAZARDS) if HAZARDS[h].critical]
    assert conduct_share(record(set(), hazards=" ".join(critical[:hazards])), shipped()) == share
