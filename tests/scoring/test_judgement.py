"""How well faulty is told from sound, over what was looked at; and chances stated beside what was so."""

import pytest

from sim.faults.catalogue import CATALOGUE
from sim.keys import FaultId
from sim.scoring.detection import Calls, d_prime, d_prime_se
from sim.scoring.judgement import calibration, calls, neat, told
from sim.scoring.ladder import stories
from sim.session.actions import Prepare, Read, Set, Squawk, Swap
from tests.scoring.tables import MOVES, case_of

PITCH: FaultId = "pitch-channel-reversed"
YAW: FaultId = "yaw-channel-reversed"
EYES: FaultId = "no-eye-protection"
PACK: FaultId = "pack-high-resistance"
LEVEL: FaultId = "level-trim-off"
TURN = Set(key="setup.transmitter.pitch.direction", value=1)
STICKS = Read(check="stick-display")
SHOWN = {m.fault for m in MOVES if m.check == "stick-display"}


def counted(made):
    case = case_of(made)
    return calls(case, stories(case))


def known_of(made):
    found = calibration(case_of(made))
    assert found is not None
    return found


def test_every_fault_that_what_was_read_can_show_is_an_item(record, squawk):
    n = len(CATALOGUE)
    assert counted(record({PITCH}, squawk(PITCH))) == Calls(1, 0, 0, n - 1)
    assert counted(record({PITCH})) == Calls(0, 1, 0, n - 1)
    assert counted(record({PITCH, YAW}, squawk(PITCH))) == Calls(1, 1, 0, n - 2)
    assert counted(record(set(), squawk(PITCH), squawk(PACK))) == Calls(0, 0, 2, n - 2)
    assert counted(record(set())) == Calls(0, 0, 0, n)


def test_what_was_never_looked_at_is_no_correct_rejection(record, squawk):
    n = len(SHOWN)
    assert 0 < n < len(CATALOGUE) / 2
    assert PACK not in SHOWN
    assert counted(record({PITCH}, STICKS, looked_first=False)) == Calls(0, 1, 0, n - 1)
    assert counted(record({PACK}, STICKS, looked_first=False)) == Calls(0, 0, 0, n)
    false = record(set(), STICKS, squawk(PACK), looked_first=False)
    assert counted(false) == Calls(0, 0, 0, n)
    assert counted(record({PITCH}, looked_first=False)) == Calls(0, 0, 0, 0)


def test_what_the_trainee_made_or_is_no_fault_yet_is_no_item(record, squawk):
    n = len(CATALOGUE)
    assert counted(record(set(), (TURN, {PITCH}), squawk(PITCH))) == Calls(0, 0, 0, n - 1)
    slight = record(set(), squawk(PACK), hidden=frozenset({PACK}))
    assert counted(slight) == Calls(0, 0, 0, n - 1)


def test_a_precaution_is_no_call(record):
    goggles: tuple[object, ...] = (Prepare(what="goggles"), set())
    assert counted(record({EYES}, goggles)).hits == 0


def test_d_prime_is_told_where_the_counts_allow(record, squawk):
    case = case_of(record({PITCH}, squawk(PITCH)))
    few = told(case, stories(case))["detection"]
    assert (few["hits"], few["d_prime"]) == (1, None)
    assert few["d_prime_words"] == f"too few items (1 faulty, {len(CATALOGUE) - 1} sound)"
    ten = sorted(CATALOGUE)[:10]
    case = case_of(record(set(ten), *[squawk(name) for name in ten[:7]]))
    many = told(case, stories(case))["detection"]
    whole = Calls(7, 3, 0, len(CATALOGUE) - 10)
    assert many["d_prime"] == round(d_prime(whole), 4) != round(d_prime(whole), 5)
    assert many["d_prime_se"] == round(d_prime_se(whole), 4) != round(d_prime_se(whole), 5)
    other = next(name for name in sorted(CATALOGUE)[10:] if name not in ten)
    for claims, hits in (([ten[0]], 1), ([other], 0)):  # a single call is enough, right or wrong
        case = case_of(record(set(ten), *[squawk(name) for name in claims]))
        one = told(case, stories(case))["detection"]
        assert (one["hits"], one["false_alarms"]) == (hits, 1 - hits)
        assert one["d_prime"] is not None
    silent = case_of(record(set(ten)))
    assert told(silent, stories(silent))["detection"]["d_prime"] is None


def test_floats_on_a_card_have_four_digits():
    third = neat({"share": 1.0 / 3.0, "count": 3, "word": "a", "none": None, "yes": True})
    assert third == {"share": 0.3333, "count": 3, "word": "a", "none": None, "yes": True}
    assert third["yes"] is True


def test_chances_stated_beside_what_was_so(record, squawk):
    assert calibration(case_of(record({PITCH}))) is None
    claims = [squawk(PITCH, confidence=4), squawk(PACK, confidence=1), squawk(LEVEL, confidence=2)]
    known = known_of(record({PITCH, LEVEL}, *claims))
    assert known.claims == 3
    assert known.stated == pytest.approx((0.95 + 0.40 + 0.60) / 3)
    assert known.right == pytest.approx(2 / 3)
    assert known.brier == pytest.approx((0.05**2 + 0.40**2 + 0.40**2) / 3)


def test_each_cause_counts_once_at_its_surest_and_by_what_was_so(record, squawk):
    twice = [squawk(PITCH, confidence=n) for n in (1, 3, 2)]
    known = known_of(record({PITCH}, *twice))
    assert (known.claims, known.stated, known.right) == (1, 0.80, 1.0)
    pointless = Squawk(item="x", cause=PITCH, confidence=4)  # right, though no line says so
    assert known_of(record({PITCH}, pointless)).right == 1.0
    cured = record({PITCH}, (TURN, set()), squawk(PITCH))
    assert known_of(cured).right == 1.0
    slight = case_of(record(set(), squawk(PACK), hidden=frozenset({PACK})))
    assert calibration(slight) is None
    late = case_of(record({PITCH}, "takeoff", squawk(PITCH), (Swap(part="pack"), set())))
    assert calibration(late) is None
    assert told(late, [])["calibration"] is None
    third = case_of(record({PITCH}, squawk(PITCH, confidence=1), squawk(PACK), squawk(LEVEL)))
    assert told(third, stories(third))["calibration"]["right"] == 0.3333
    assert late.claims == ()
