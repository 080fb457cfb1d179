"""The stick display by hand: what the automatic check reads, and no more than was moved."""

import numpy as np
import pytest

from sim.bench.checklist import CHECKS
from sim.bench.inputs import Inputs
from sim.bench.rig import HANDS_OFF, Rig
from sim.errors import Refusal
from sim.faults.catalogue import CATALOGUE
from sim.keys import CheckKey
from tests.bench.byhand.exercises import all_sticks, read, stick
from tests.bench.checks.steady import steadied
from tests.worlds import powered_rig

FAULTS = (
    None,
    "pitch-channel-reversed",
    "throttle-channel-reversed",
    "channel-order-mixed",
    "stick-ends-short",
    "stick-centre-off",
    "model-memory-wrong",
    "transmitter-pack-low",
)
JITTER_US = 8.0  # us; four times the jitter of a frame, twice over
CHECK: CheckKey = "stick-display"


@pytest.fixture(autouse=True)
def _steady(monkeypatch):
    steadied(monkeypatch)


def near(line):
    return {"us": JITTER_US, "share": JITTER_US / 500.0, "v": 0.1}.get(line.split("_")[-1], 0.0)


@pytest.mark.parametrize("fault", FAULTS)
def test_by_hand_reads_what_the_check_reads(fault):
    rig = powered_rig(fault)
    automatic = CHECKS[CHECK].take(rig.copy())
    by_hand = read(CHECK, rig, all_sticks())
    assert by_hand.missing == ()
    assert list(by_hand.values) == list(automatic.values)
    for line, value in automatic.values.items():
        assert by_hand.values[line] == pytest.approx(value, abs=near(line)), line
    assert by_hand.notes == automatic.notes


def test_only_the_stick_moved_is_read():
    reading = read(CHECK, powered_rig(), [*stick("pitch", -1.0), *stick("pitch", 1.0)])
    lines = {"low_us", "low_share", "centre_us", "centre_share", "high_us", "high_share"}
    lines |= {"moves_others_share", "moves_bar", "trim_us"}
    own = {f"pitch_{line}" for line in lines}
    assert set(reading.values) == own | {"screen_names_this_aircraft", "transmitter_pack_v"}
    assert "roll_low_us" in reading.missing
    assert not own & set(reading.missing)


def test_half_the_way_reads_half_and_one_end_reads_one():
    reading = read(CHECK, powered_rig(), [*stick("roll", 0.6), *stick("yaw", 0.3)])
    assert reading.values["roll_high_us"] == pytest.approx(1800.0, abs=JITTER_US)
    assert reading.values["roll_centre_us"] == pytest.approx(1500.0, abs=JITTER_US)
    assert "roll_low_us" not in reading.values  # never moved there
    assert "roll_moves_bar" not in reading.values
    assert not any(line.startswith("yaw") for line in reading.values)  # too little to be an end


def test_a_flick_is_too_short_to_read():
    moves = [*stick("roll", -1.0, 0.3), *stick("roll", 1.0, 0.05)]
    reading = read(CHECK, powered_rig(), [*moves, (Inputs(HANDS_OFF), 0.3)])
    assert "roll_low_us" in reading.values
    assert "roll_high_us" in reading.missing


def test_two_sticks_at_once_tell_nothing():
    both = Inputs(HANDS_OFF._replace(roll=1.0, pitch=1.0))
    with pytest.raises(Refusal, match="No stick has moved"):
        read(CHECK, powered_rig(), [(both, 0.5), (Inputs(HANDS_OFF), 0.5)])


def test_a_thumb_a_little_off_the_middle_is_allowed_for():
    held = [(Inputs(HANDS_OFF._replace(throttle=t)), 0.3) for t in (0.0, 0.51, 1.0, 0.0)]
    reading = read(CHECK, powered_rig(), held)
    assert reading.values["throttle_centre_us"] == pytest.approx(1500.0, abs=JITTER_US)


def test_the_eye_errs_as_it_does_in_the_check(monkeypatch):
    monkeypatch.undo()
    world = CATALOGUE["transmitter-pack-low"].inject(
        powered_rig().world, 0.5, np.random.default_rng(1)
    )
    seen = set()
    for seed in range(12):
        rig = Rig(world, seed)
        rig.run(HANDS_OFF, 2.5)
        seen.add(read(CHECK, rig, stick("roll", 1.0)).values["transmitter_pack_v"])
    assert len(seen) > 1  # the meter is read with an error of its own
