"""Faults of the place: there when put in, gone when put right, alone, and felt in the air."""

from functools import cache
from math import degrees, hypot
from typing import cast

import numpy as np
import pytest

from sim.aircraft.changes import with_value
from sim.aircraft.conduct import Conduct
from sim.aircraft.world import World
from sim.bench.check import sticks
from sim.bench.parts import swapped
from sim.bench.rig import HANDS_OFF, Rig
from sim.faults import site
from sim.faults.catalogue import present_faults
from sim.faults.fault import Fault
from sim.keys import FaultId, PartKey
from sim.procedure.preparations import prepared
from sim.session import actions as act
from tests.faults.truths import truth
from tests.worlds import sound_world

SEVERITIES = (0.3, 0.6, 1.0)
SEEDS = (0, 1, 2)
FAULTS = {fault.id: fault for fault in site.FAULTS}


@cache
def sound() -> World:
    return sound_world()


def injected(name: FaultId, severity: float, seed: int = 0) -> World:
    return FAULTS[name].inject(sound(), severity, np.random.default_rng(seed))


def fixed(world: World, fix: str) -> World:
    kind, _, what = fix.partition(":")
    if kind == "prepare":
        return prepared(
            world, act.Prepare.model_validate({"what": what}).what, np.random.default_rng(8)
        )
    if kind == "swap":
        return swapped(world, cast(PartKey, what), 0.97, np.random.default_rng(8))
    value = sound()
    for name in fix.split("."):
        value = getattr(value, name)
    return with_value(world, fix, value)


def test_the_shipped_aircraft_has_none():
    assert not present_faults(truth(sound()))


@pytest.mark.parametrize("severity", SEVERITIES)
@pytest.mark.parametrize("fault", site.FAULTS, ids=lambda fault: fault.id)
def test_there_when_put_in_and_gone_after_each_fix(fault: Fault, severity: float):
    for seed in SEEDS:
        world = injected(fault.id, severity, seed)
        found = present_faults(truth(world))
        assert fault.id in found
        assert found - {fault.id} <= set(fault.also)
        for fix in fault.fixes:
            assert not present_faults(truth(fixed(world, fix))), fix


def test_another_way_to_put_it_right_counts():
    warm = with_value(injected("pack-cold", 1.0), "build.pack.temperature_degc", 18.0)
    assert "pack-cold" not in present_faults(truth(warm))
    still = with_value(injected("draught-from-door", 1.0), "site.wind_north_m_s", 0.0)
    still = with_value(still, "site.wind_east_m_s", 0.0)
    assert "draught-from-door" in present_faults(truth(still))  # it still comes in puffs
    calm = with_value(still, "site.gust_m_s", 0.05)
    assert "draught-from-door" not in present_faults(truth(calm))


def test_made_by_oneself_counts():
    near_wall = with_value(sound(), "site.places.pad.east_m", 1.5)
    assert "ceiling-or-wall-close" in present_faults(truth(near_wall))
    plate = with_value(sound(), "site.pad_steel", 0.05)
    assert "floor-steel" not in present_faults(truth(plate))  # a washer is no plate


def test_the_plate_bends_the_field_near_the_floor_only():
    for severity in SEVERITIES:
        held = truth(injected("floor-steel", severity))
        earth = truth(sound()).craft.field.earth_ut
        level = hypot(earth.x, earth.y)
        shift = degrees(site.survey_shift_rad(held))
        assert 10.0 < shift < 45.0  # 4 to 13 uT across 19.6 uT
        far = site.field_heading_rad(held.world.site, held.craft, 1.0)
        clean = site.field_heading_rad(sound().site, truth(sound()).craft, 1.0)
        assert abs(degrees(far - clean)) < 3.0
        assert level == pytest.approx(19.55, abs=0.1)


def hovered(world: World) -> tuple[float, float]:
    """Fly three seconds at the hover's throttle; return (way north, highest point), m."""
    conduct = Conduct(
        props_fitted=True, pack_plugged=True, transmitter_on=True, place="pad", hold="standing"
    )
    rig = Rig(world.model_copy(update={"conduct": conduct}), 5)
    rig.place()
    rig.run(HANDS_OFF, 3.0)
    rig.put("armed", 1.0)
    rig.run(sticks(0.05), 0.5)
    seen = rig.run(sticks(world.airframe.sheet.hover_throttle * 1.06), 3.0)
    return float(seen["north_m"][-1]), float(seen["height_m"].max())


def test_a_draught_carries_it_away():
    north, _ = hovered(injected("draught-from-door", 1.0))
    still, _ = hovered(sound())
    assert north < still - 0.3


def test_a_cold_pack_sags_more():
    amps = sound().airframe.sheet.hover_current_a
    warm, cold = (
        truth(world).craft.pack.r0_ohm * amps for world in (sound(), injected("pack-cold", 1.0))
    )
    assert cold > 1.4 * warm
