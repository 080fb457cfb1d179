"""Looking round, counting and the survey of the pad: what each fault changes in a reading."""

from functools import cache

import numpy as np
import pytest

from sim.aircraft.changes import with_value
from sim.aircraft.world import World
from sim.bench.checklist import CHECKS
from sim.bench.reading import Reading
from sim.bench.rig import HANDS_OFF, Rig
from sim.faults import conduct, site
from sim.keys import CheckKey, FaultId
from tests.bench.checks.steady import steadied
from tests.worlds import sound_world, suspects

FAULTS = {fault.id: fault for fault in (*site.FAULTS, *conduct.FAULTS)}
BY_LOOK = [name for name, fault in FAULTS.items() if "people-and-room" in fault.revealed_by]
SEVERITIES = (0.3, 0.5, 1.0)


@cache
def sound() -> World:
    return sound_world()


@pytest.fixture(autouse=True)
def _steady(monkeypatch):
    """What a reading shows and what is made of it; how often its errors mislead, studies measure."""
    steadied(monkeypatch)


def taken(world: World, check: CheckKey, seed: int = 1) -> Reading:
    rig = Rig(world, seed)
    rig.place()
    rig.run(HANDS_OFF, 0.1 + 0.01 * seed)
    return CHECKS[check].take(rig)


def suspected(world: World, check: CheckKey, seed: int = 1) -> set[str]:
    found = suspects(taken(world, check, seed))
    return {finding.squawk.cause for finding in found}


def injected(name: FaultId, severity: float, seed: int = 0) -> World:
    return FAULTS[name].inject(sound(), severity, np.random.default_rng(seed))


def held_over_pad(world: World) -> World:
    for key, value in {
        "pack_plugged": True,
        "transmitter_on": True,
        "place": "pad",
        "hold": "hands",
    }.items():
        world = with_value(world, f"conduct.{key}", value)
    return world


def test_no_false_alarm_over_seeds():
    assert not any(suspected(sound(), "people-and-room", seed) for seed in range(40))
    assert not suspected(sound(), "propellers")


@pytest.mark.parametrize("severity", SEVERITIES)
@pytest.mark.parametrize("name", BY_LOOK)
def test_a_look_round_shows_it(name, severity):
    for seed in range(6):
        assert suspected(injected(name, severity, seed), "people-and-room", seed) == {name}


@pytest.mark.parametrize("name", BY_LOOK)
def test_only_what_belongs_to_the_fault_changes(name):
    before = taken(sound(), "people-and-room").values
    after = taken(injected(name, 0.6), "people-and-room").values
    assert set(before) == set(after)
    changed = {key for key in before if abs(before[key] - after[key]) > 0.35}
    assert 1 <= len(changed) <= 6


def test_the_count_shows_propellers_with_power():
    assert suspected(injected("props-on-at-bench", 0.5), "propellers") == {"props-on-at-bench"}
    on_purpose = with_value(sound(), "conduct.props_fitted", True)
    assert taken(on_purpose, "propellers").values["fitted"] == 4.0
    assert not suspected(on_purpose, "propellers")


def test_the_ribbon_leans_with_the_wind():
    leans = [
        taken(injected("draught-from-door", s), "people-and-room").values["ribbon_deg"]
        for s in (0.0, 0.5, 1.0)
    ]
    assert leans == sorted(leans)
    assert leans[0] > 15.0
    assert taken(sound(), "people-and-room").values["ribbon_deg"] <= 3.0


def test_the_tape_is_right_to_a_few_centimetres():
    values = taken(injected("ceiling-or-wall-close", 0.5, 0), "people-and-room").values
    room = injected("ceiling-or-wall-close", 0.5, 0).site.room
    assert values["ceiling_m"] == pytest.approx(room.ceiling_m, abs=0.05)
    assert values["nearest_wall_m"] == pytest.approx(min(-room.west_m, room.east_m), abs=0.05)


def test_an_agreed_word_is_quicker_by_more_than_a_second():
    untried = [
        taken(injected("no-abort-plan", 0.5), "people-and-room", s).values["abort_try_s"]
        for s in range(5)
    ]
    tried = [taken(sound(), "people-and-room", s).values["abort_try_s"] for s in range(5)]
    assert min(untried) - max(tried) > 1.0


def test_the_survey_is_quiet_on_a_good_pad():
    for seed in range(4):
        reading = taken(held_over_pad(sound()), "pad-survey", seed)
        assert abs(reading.values["shift_deg"]) < 2.5
        assert not suspects(reading)


@pytest.mark.parametrize("severity", SEVERITIES)
def test_the_survey_shows_steel_under_the_pad(severity):
    world = held_over_pad(injected("floor-steel", severity))
    reading = taken(world, "pad-survey")
    assert abs(reading.values["shift_deg"]) > 7.0
    assert {f.squawk.cause for f in suspects(reading)} == {"floor-steel"}


def test_the_survey_needs_the_pad_and_puts_everything_back():
    away = with_value(held_over_pad(injected("floor-steel", 1.0)), "conduct.place", "open_floor")
    rig = Rig(away, 1)
    rig.place()
    reading = CHECKS["pad-survey"].take(rig)
    assert abs(reading.values["shift_deg"]) < 3.0  # the plate is elsewhere
    assert "open floor" in reading.notes[0]
    assert rig.world is away


def test_a_cold_pack_is_felt():
    assert suspected(injected("pack-cold", 0.5), "pack-at-rest") == {"pack-cold"}
