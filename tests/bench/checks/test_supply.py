"""Checks of pack and supply: what they read with a fault and without, and what is made of it."""

from functools import cache

import numpy as np
import pytest

from sim.aircraft.build import Build
from sim.aircraft.changes import with_value
from sim.aircraft.conduct import Conduct
from sim.aircraft.world import World
from sim.bench.checklist import CHECKS
from sim.bench.checks.supply import rail_v
from sim.bench.reading import Reading
from sim.bench.rig import HANDS_OFF, Rig
from sim.faults.catalogue import CATALOGUE
from sim.keys import CheckKey, FaultId
from tests.worlds import powered_rig, sound_world, suspects

SEEDS = range(20)
UNPOWERED = ("pack-at-rest", "first-power")
SUPPLY = (*UNPOWERED, "rails", "voltage-and-alarm", "restrained-run-up")

REVEALS: tuple[
    tuple[FaultId, CheckKey, str, float], ...
] = (  # fault, check, value, least change that anybody would see
    ("pack-undercharged", "pack-at-rest", "lowest_cell_v", 0.2),
    ("pack-cell-weak", "pack-at-rest", "spread_v", 0.05),
    ("pack-cell-count-wrong", "pack-at-rest", "label_cells", 0.9),
    ("pack-swollen-or-dented", "pack-at-rest", "thicker_than_new_mm", 2.0),
    ("pack-high-resistance", "restrained-run-up", "drop_v_cell", 0.1),
    ("pack-high-resistance", "rails", "supply_lowest_v", 2.0),
    ("lead-polarity-reversed", "first-power", "meter_v", 20.0),
    ("connector-high-resistance", "first-power", "pull_apart_n", 3.0),
    ("connector-high-resistance", "restrained-run-up", "connector_drop_mv", 100.0),
    ("regulator-brownout", "rails", "restarts", 0.9),
    ("pack-undercharged", "voltage-and-alarm", "meter_pack_v", 0.5),
    ("pack-cell-count-wrong", "voltage-and-alarm", "meter_pack_v", 3.0),
    ("voltage-scale-wrong", "voltage-and-alarm", "shown_low_v", 0.4),
    ("low-volt-alarm-unset", "voltage-and-alarm", "alarm_heard_v_cell", 0.1),
)


@cache
def sound() -> World:
    return sound_world()


def faulty(name: FaultId, severity: float = 0.5, seed: int = 2) -> World:
    return CATALOGUE[name].inject(sound(), severity, np.random.default_rng(seed))


def taken(world: World, check: CheckKey, seed: int = 3) -> Reading:
    clamp = check == "restrained-run-up"
    conduct = Conduct(
        props_fitted=clamp,
        pack_plugged=check not in UNPOWERED,
        transmitter_on=True,
        hold="clamp" if clamp else "hands",
    )
    rig = Rig(world.model_copy(update={"conduct": conduct}), seed)
    rig.run(HANDS_OFF, 2.5)
    assert CHECKS[check].missing(conduct) == []
    return CHECKS[check].take(rig)


@pytest.mark.parametrize(("fault", "check", "value", "least"), REVEALS)
def test_the_reading_shows_it(fault: FaultId, check: CheckKey, value: str, least: float) -> None:
    without = taken(sound(), check).values[value]
    assert abs(taken(faulty(fault), check).values[value] - without) > least
    assert check in CATALOGUE[fault].revealed_by


@pytest.mark.parametrize("check", SUPPLY)
def test_no_false_alarm(check: CheckKey) -> None:
    alarms = sum(bool(suspects(taken(sound(), check, seed))) for seed in SEEDS)
    assert alarms <= 1


@pytest.mark.parametrize(("fault", "check"), sorted({row[:2] for row in REVEALS}))
@pytest.mark.parametrize("severity", [0.3, 1.0])
def test_the_careful_name_it(fault: FaultId, check: CheckKey, severity: float) -> None:
    for seed in range(4):
        found = suspects(taken(faulty(fault, severity, seed), check, seed))
        assert {finding.squawk.cause for finding in found} == {fault}


def test_the_meter_comes_before_any_power() -> None:
    reading = taken(faulty("lead-polarity-reversed"), "first-power")
    assert "idle_current_a" not in reading.values


def test_the_rail_holds_until_it_drops_out() -> None:
    leads, drawn = Build().leads, powered_rig().craft.pack
    least = drawn.sag_limit_v
    assert rail_v(2.0 * least, leads, drawn) == pytest.approx(rail_v(1.3 * least, leads, drawn))
    assert rail_v(least, leads, drawn) == pytest.approx(4.8)
    assert rail_v(least - 1.3, leads, drawn) == pytest.approx(3.5)


def test_the_fault_is_the_readings_only_cause() -> None:
    """With the fault taken out again the reading is the sound one, to the last bit."""
    for fault, check, _, _ in REVEALS:
        part = CATALOGUE[fault].fixes[0]
        if not part.startswith("swap:"):
            continue
        back = with_value(faulty(fault), "build", sound().build)
        assert taken(back, check) == taken(sound(), check)


def test_a_scale_that_is_wrong_is_not_taken_for_a_wrong_alarm() -> None:
    found = suspects(taken(faulty("voltage-scale-wrong", 1.0), "voltage-and-alarm"))
    assert [f.squawk.cause for f in found] == ["voltage-scale-wrong"]
