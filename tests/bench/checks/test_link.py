"""Checks of sticks, switches and range: what they read with a fault and without."""

from functools import cache

import numpy as np
import pytest

from sim.aircraft.world import World
from sim.bench.checklist import CHECKS
from sim.bench.reading import Reading
from sim.bench.rig import HANDS_OFF, Rig
from sim.errors import Refusal
from sim.faults.catalogue import CATALOGUE
from sim.keys import CheckKey, FaultId
from tests.bench.checks.steady import steadied
from tests.worlds import sound_world, suspects

SEEDS = range(20)
LINK = ("stick-display", "switches", "failsafe", "range-walk")

REVEALS = (  # fault, check, value, least change that anybody would see
    ("pitch-channel-reversed", "stick-display", "pitch_high_share", 1.0),
    ("roll-channel-reversed", "stick-display", "roll_high_share", 1.0),
    ("yaw-channel-reversed", "stick-display", "yaw_high_share", 1.0),
    ("throttle-channel-reversed", "stick-display", "throttle_low_share", 0.9),
    ("channel-order-mixed", "stick-display", "roll_moves_others_share", 1.0),
    ("stick-ends-short", "stick-display", "roll_high_us", 50.0),
    ("stick-centre-off", "stick-display", "*_centre_us", 30.0),
    ("model-memory-wrong", "stick-display", "screen_names_this_aircraft", 0.9),
    ("transmitter-pack-low", "stick-display", "transmitter_pack_v", 0.5),
    ("transmitter-pack-low", "range-walk", "transmitter_pack_v", 0.5),
    ("failsafe-holds-last", "failsafe", "still_turning", 0.9),
    ("aerial-damaged", "range-walk", "right_lost_share", 0.4),
    ("arm-lock-absent", "switches", "armed_with_throttle_up", 0.9),
    ("arm-lock-absent", "switches", "armed_askew", 0.9),
    ("stop-switch-unset", "switches", "stop_switch_s", 2.0),
    ("mode-switch-swapped", "switches", "forward_gives_self_level", 0.9),
    ("stick-rates-wild", "settings-sheet", "rate_limit_deg_s now", 200.0),
)


@cache
def sound() -> World:
    return sound_world(pack_plugged=True, transmitter_on=True)


@pytest.fixture(autouse=True)
def _steady(monkeypatch):
    """What a reading shows and what is made of it; how often its errors mislead, studies measure."""
    steadied(monkeypatch)


def faulty(name: FaultId, severity: float = 0.5, seed: int = 2) -> World:
    return CATALOGUE[name].inject(sound(), severity, np.random.default_rng(seed))


def started(world: World, seed: int = 3) -> Rig:
    rig = Rig(world, seed)
    rig.run(HANDS_OFF, 2.5)
    return rig


def taken(world: World, check: CheckKey, seed: int = 3) -> Reading:
    assert CHECKS[check].missing(world.conduct) == []
    return CHECKS[check].take(started(world, seed))


def changed(a: Reading, b: Reading, value: str) -> float:
    keys = [k for k in a.values if k == value or (value[0] == "*" and k.endswith(value[1:]))]
    return max(abs(a.values[k] - b.values[k]) for k in keys)


@pytest.mark.parametrize(("fault", "check", "value", "least"), REVEALS)
def test_the_reading_shows_it(fault: FaultId, check: CheckKey, value: str, least: float) -> None:
    assert changed(taken(faulty(fault), check), taken(sound(), check), value) > least
    assert check in CATALOGUE[fault].revealed_by


@pytest.mark.parametrize("check", LINK)
def test_no_false_alarm(check: CheckKey) -> None:
    alarms = sum(bool(suspects(taken(sound(), check, seed))) for seed in SEEDS)
    assert alarms <= 1


@pytest.mark.parametrize(("fault", "check"), sorted({row[:2] for row in REVEALS}))
@pytest.mark.parametrize("severity", [0.3, 1.0])
def test_the_careful_name_it(fault: FaultId, check: CheckKey, severity: float) -> None:
    for seed in range(4):
        found = suspects(taken(faulty(fault, severity, seed), check, seed))
        assert {finding.squawk.cause for finding in found} == {fault}


def test_a_reversed_throttle_is_refused_at_arming() -> None:
    with pytest.raises(Refusal, match="throttle"):
        taken(faulty("throttle-channel-reversed"), "failsafe")


def test_the_switches_leave_the_aircraft_level_and_disarmed() -> None:
    rig = started(sound())
    CHECKS["switches"].take(rig)
    assert rig.value("armed") == 0.0
    seen = rig.run(HANDS_OFF, 0.5)
    assert abs(float(np.degrees(seen["roll_rad"].mean()))) < 3.0


def test_the_range_walk_leaves_the_link_as_it_was() -> None:
    rig = started(faulty("aerial-damaged", 1.0))
    before = rig.world
    reading = CHECKS["range-walk"].take(rig)
    assert rig.world is before
    assert any("freeze" in note for note in reading.notes)
    gaps = [v for k, v in reading.values.items() if k.endswith("gap_s")]
    assert max(gaps) > 2.0 * min(gaps)  # it has a weak side


def test_the_other_models_map_shows_many_things_wrong_at_once() -> None:
    values = taken(faulty("model-memory-wrong"), "stick-display").values
    assert values["pitch_high_share"] < 0.0
    assert values["roll_moves_others_share"] > 1.0
    assert values["throttle_low_share"] == pytest.approx(0.0, abs=0.01)
