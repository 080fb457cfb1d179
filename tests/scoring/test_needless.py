"""Changes that nothing called for cost a little each; what a reading spoke for costs nothing."""

from dataclasses import replace

import pytest

from sim.bench.checklist import CHECKS
from sim.bench.reading import Reading
from sim.keys import FaultId
from sim.scoring.needless import needless, parts_used
from sim.session.actions import Answer, Calibrate, Prepare, Read, Set, Swap
from tests.scoring.tables import DOUBTFUL, case_of, share

PITCH: FaultId = "pitch-channel-reversed"
YAW: FaultId = "yaw-channel-reversed"
PACK: FaultId = "pack-high-resistance"
TURN = Set(key="setup.transmitter.pitch.direction", value=1)
TURN_YAW = Set(key="setup.transmitter.yaw.direction", value=1)
IDLE = Set(key="setup.controller.idle", value=0.07)
SWAP = Swap(part="pack")
STICKS = Read(check="stick-display")


def idle(made, noticed=frozenset()):
    return needless(case_of(made), frozenset(noticed))


@pytest.mark.parametrize(
    ("steps", "found"),
    [
        ([SWAP], ["swap:pack"]),
        ([SWAP, SWAP], ["swap:pack", "swap:pack"]),
        ([TURN], [TURN.key]),
        ([Calibrate(what="level")], []),  # the first of each kind is free
        ([Calibrate(what="level"), Calibrate(what="voltage")], []),
        ([Calibrate(what="level")] * 3, ["calibrate:level"] * 2),
        ([Calibrate(what="compass-start")] * 2, []),  # a beginning changes nothing
        ([Calibrate(what="compass-finish")] * 2, ["calibrate:compass"]),
        ([Prepare(what=w) for w in ("goggles", "spotter", "clear-ring", "brief-abort")], []),
        ([Prepare(what=w) for w in ("hands-rule", "sweep", "mark-nose", "shut-door")], []),
        ([Prepare(what="bigger-room")], ["prepare:bigger-room"]),
        ([Prepare(what="warm-pack")], ["prepare:warm-pack"]),
        (["takeoff", SWAP], []),
    ],
)
def test_on_a_sound_aircraft(record, steps, found):
    made = record(set(), *steps)
    assert idle(made) == found
    assert share(made) == pytest.approx(1.0 - 0.02 * len(found))


def test_a_setting_set_to_what_it_is_changes_nothing(record):
    made = record(set(), TURN)
    *before, event = made.events
    assert idle(replace(made, events=(*before, replace(event, changed=False)))) == []


def test_a_refused_change_is_none(record):
    assert idle(record(set(), (SWAP, set(), "Unplug the pack first."))) == []


def test_a_fix_of_what_is_there_is_not_needless_even_if_it_fails(record):
    assert idle(record({PITCH}, (TURN, set()), looked_first=False)) == []
    assert idle(record({PITCH}, TURN, looked_first=False)) == []
    assert idle(record({PITCH}, (TURN, set()), TURN, looked_first=False)) == [TURN.key]
    assert idle(record({PACK}, (IDLE, set()), looked_first=False)) == []  # it went all the same
    assert idle(record({PACK}, IDLE, looked_first=False)) == [IDLE.key]


def test_curing_a_deviation_that_is_no_fault_yet_costs_nothing(record):
    assert idle(record(set(), SWAP, hidden=frozenset({PACK}))) == []
    assert idle(record(set(), IDLE, hidden=frozenset({PACK}))) == [IDLE.key]
    again = record({PACK}, (SWAP, set()), SWAP, hidden=frozenset({PACK}), looked_first=False)
    assert idle(again) == ["swap:pack"]  # that one was a fault, and it is gone


@pytest.mark.parametrize(("high", "found"), [(10.0, []), (DOUBTFUL, [TURN_YAW.key])])
def test_a_reading_past_the_outer_edge_calls_for_a_change(record, high, found):
    """The pitch is reversed; the family's line, as plain, calls for turning yaw round too."""
    assert idle(record({PITCH}, TURN_YAW, high=high)) == found
    unread = record({PITCH}, TURN_YAW, STICKS, high=high, looked_first=False)
    assert idle(unread) == [TURN_YAW.key]  # it was read too late
    gone = record({PITCH}, (TURN, set()), *[Read(check=c) for c in CHECKS], TURN_YAW, high=high)
    assert idle(gone) == [TURN_YAW.key]  # the last reading counts


def test_what_a_calibration_tells_is_no_reading_of_a_check(record):
    made = record(set(), Calibrate(what="level"), SWAP)
    *before, level, swap = made.events
    fit = replace(level, reading=Reading("voltage-calibration", {"pack_high_resistance": 10.0}))
    assert idle(replace(made, events=(*before, fit, swap))) == ["swap:pack"]


def test_settings_made_at_once_are_one_act_if_they_cured_what_was_noticed(record):
    def found(*steps, noticed=frozenset({PITCH})):
        return idle(record({PITCH}, *steps, looked_first=False), noticed)

    look, say = Read(check="heading-marks"), Answer(card="link", item="complete", value="done")
    assert found(IDLE, (TURN, set())) == []
    assert found((TURN, set()), IDLE) == []
    assert found(IDLE, say, (TURN, set())) == []
    assert found(IDLE, (TURN, set()), noticed=frozenset()) == [IDLE.key]  # luck
    assert found(IDLE, look, (TURN, set())) == [IDLE.key]
    assert found(IDLE, (SWAP, set())) == [IDLE.key]
    assert found((TURN, set()), look, IDLE) == [IDLE.key]


def test_parts_are_counted_needed_or_not(record):
    assert parts_used(case_of(record({PACK}, (SWAP, set()), SWAP, TURN))) == 2
    assert parts_used(case_of(record(set(), "takeoff", SWAP))) == 0
