"""Checks of settings and stabiliser: what they read with and without the fault."""

import numpy as np
import pytest

from sim.aircraft.changes import with_value
from sim.aircraft.conduct import Conduct
from sim.aircraft.world import World
from sim.bench.checklist import CHECKS
from sim.bench.rig import HANDS_OFF, Rig
from sim.faults.control import FAULTS
from sim.keys import CheckKey, FaultId
from tests.worlds import sound_world, suspects

BY_ID = {fault.id: fault for fault in FAULTS}


def shipped() -> World:
    return sound_world(pack_plugged=True, transmitter_on=True)


def values_of(check: CheckKey, world: World, seed: int) -> tuple[dict[str, float], list[str]]:
    """Return what a check reads and what the careful make of it."""
    light = check == "light-on-legs"
    conduct = Conduct(
        props_fitted=light,
        pack_plugged=True,
        transmitter_on=True,
        place="pad" if light else "bench",
        hold="standing" if light else "hands",
    )
    rig = Rig(world.model_copy(update={"conduct": conduct}), seed)
    rig.place()
    rig.run(HANDS_OFF, 2.6)
    reading = CHECKS[check].take(rig)
    found = suspects(reading)
    return reading.values, [finding.squawk.cause for finding in found]


POWER = [
    *((fault.id, "settings-sheet") for fault in FAULTS),
    ("loop-sign-reversed", "tilt-while-armed"),
    ("mixer-geometry-wrong", "tilt-while-armed"),
    ("yaw-mix-sign-wrong", "tilt-while-armed"),
    ("rate-gain-high", "tilt-while-armed"),
    ("rate-gain-low", "tilt-while-armed"),
    ("axis-gains-unequal", "tilt-while-armed"),
    ("integral-windup-on-pad", "idle-creep"),
    ("rate-gain-high", "light-on-legs"),
    ("hover-throttle-mismatch", "light-on-legs"),
]


@pytest.mark.parametrize(("fault", "check"), POWER)
def test_the_reading_gives_it_away(fault: FaultId, check: CheckKey) -> None:
    for seed in range(4):
        world = BY_ID[fault].inject(shipped(), 0.5, np.random.default_rng(seed))
        assert fault in values_of(check, world, seed)[1]


@pytest.mark.parametrize("check", sorted({check for _, check in POWER}))
def test_no_false_alarm_on_a_sound_aircraft(check: CheckKey) -> None:
    assert sum(bool(values_of(check, shipped(), seed)[1]) for seed in range(20)) <= 1


def test_damping_makes_a_steady_motor_rough() -> None:
    world = BY_ID["damping-gain-high"].inject(shipped(), 0.5, np.random.default_rng(1))
    rough = [max(values_of("steady-throttle", w, 1)[0].values()) for w in (shipped(), world)]
    assert rough[1] > 1.8 * rough[0]


def test_the_low_side_speeds_up() -> None:
    """Measure: rpm gained by the low pair over that of the high pair."""
    sound, _ = values_of("tilt-while-armed", shipped(), 1)
    assert sound["right_down_front_right_rpm"] > sound["right_down_front_left_rpm"] + 1000.0
    assert sound["nose_down_front_left_rpm"] > sound["nose_down_rear_left_rpm"] + 1000.0
    assert sound["twist_right_clockwise_rpm"] > sound["twist_right_others_rpm"] + 1000.0
    wrong, _ = values_of(
        "tilt-while-armed", with_value(shipped(), "setup.controller.roll_sense", -1), 1
    )
    assert wrong["right_down_front_right_rpm"] < wrong["right_down_front_left_rpm"] - 1000.0


def test_the_sheet_lists_every_setting_in_use() -> None:
    values, _ = values_of("settings-sheet", shipped(), 1)
    for key in (
        "layout",
        "roll_sense",
        "yaw_sense",
        "throttle_gain",
        "failsafe",
        "roll.p",
        "pitch.d",
    ):
        assert f"{key} now" in values
        assert f"{key} sheet" in values


def test_a_board_told_as_it_is_fitted_is_no_finding() -> None:
    world = with_value(shipped(), "setup.controller.board_turn_deg", 90.0)
    assert values_of("settings-sheet", world, 1)[1] == []
