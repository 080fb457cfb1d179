"""Faults of gains and control set-up: there when put in, gone when set back, none undeclared."""

import numpy as np
import pytest

from sim.aircraft.changes import with_value
from sim.aircraft.conduct import Conduct
from sim.aircraft.world import World
from sim.bench.checklist import CHECKS
from sim.bench.rig import Rig
from sim.faults.catalogue import present_faults
from sim.faults.control import FAULTS
from sim.faults.fault import Truth
from sim.kernel.radio import Sticks
from sim.keys import FaultId
from tests.worlds import sound_world

BY_ID = {fault.id: fault for fault in FAULTS}


def shipped() -> World:
    return sound_world(pack_plugged=True, transmitter_on=True)


def truth(world: World) -> Truth:
    rig = Rig(with_value(world, "conduct.props_fitted", True), 1)
    return Truth(world, rig.craft, rig.tables, rig.cells(), 75.0)


@pytest.mark.parametrize("severity", [0.3, 0.6, 1.0])
@pytest.mark.parametrize("fault", BY_ID)
def test_injected_it_is_there_and_set_to_the_sheet_it_is_gone(
    fault: FaultId, severity: float
) -> None:
    entry = BY_ID[fault]
    for seed in (1, 2, 3):
        world = entry.inject(shipped(), severity, np.random.default_rng(seed))
        found = present_faults(truth(world))
        assert fault in found
        assert found <= {fault, *entry.also}
        for fix in entry.fixes:
            value: object = world.airframe.sheet.setup
            for name in fix.split(".")[2:]:
                value = getattr(value, name)
            world = with_value(world, fix, value)
        assert fault not in present_faults(truth(world))


@pytest.mark.parametrize("fault", BY_ID)
def test_names_of_its_checks_exist(fault: FaultId) -> None:
    entry = BY_ID[fault]
    assert {*entry.revealed_by, *entry.proved_by} <= CHECKS.keys()


def test_faults_made_by_hand_count_as_well() -> None:
    world = with_value(shipped(), "setup.controller.pitch.p", 0.14)
    assert "axis-gains-unequal" in present_faults(truth(world))
    world = with_value(shipped(), "setup.controller.tilt_limit_deg", 25.0)
    assert not present_faults(truth(world))


def lifted_tilt_deg(world: World) -> float:
    """Lift off crisply and return the largest lean within a second and a half."""
    conduct = Conduct(
        props_fitted=True, pack_plugged=True, transmitter_on=True, place="pad", hold="standing"
    )
    rig = Rig(world.model_copy(update={"conduct": conduct}), 3)
    rig.place()
    rig.run(Sticks(0.0, 0.0, 0.0, 0.0, 1.0, 1.0, 0.0), 2.6)
    rig.put("armed", 1.0)
    rig.run(Sticks(0.0, 0.0, 0.2, 0.0, 1.0, 1.0, 0.0), 0.5)
    seen = rig.run(Sticks(0.0, 0.0, 0.55, 0.0, 1.0, 1.0, 0.0), 1.5)
    return float(np.degrees(np.hypot(seen["roll_rad"], seen["pitch_rad"]).max()))


def test_a_reversed_loop_flips_at_lift_off_and_a_sound_one_does_not() -> None:
    assert lifted_tilt_deg(shipped()) < 5.0
    flipped = BY_ID["loop-sign-reversed"].inject(shipped(), 0.5, np.random.default_rng(1))
    assert lifted_tilt_deg(flipped) > 40.0
