"""Motor and drive faults: put in, there, gone after their fix, felt in the air."""

from typing import cast

import numpy as np
import pytest

from sim.aircraft import library
from sim.aircraft.build import Build
from sim.aircraft.changes import with_value
from sim.aircraft.conduct import Conduct
from sim.aircraft.setup import Setup
from sim.aircraft.world import World
from sim.bench.parts import swapped
from sim.bench.rig import HANDS_OFF, Rig
from sim.faults import drives as drive_faults
from sim.faults import propulsion
from sim.faults.catalogue import CATALOGUE, present_faults
from sim.faults.fault import Fault, Truth
from sim.keys import PartKey
from sim.session.calibrating import drives

AIRFRAME = library.airframe("club-trainer-450")
SEVERITIES = (0.3, 0.6, 1.0)
FAULTS = (*propulsion.FAULTS, *drive_faults.FAULTS)


def world() -> World:
    return World(
        airframe=AIRFRAME,
        pack_spec=library.pack(AIRFRAME.pack),
        build=Build(),
        setup=Setup(controller=AIRFRAME.sheet.setup),
        site=library.site("lockup-garage"),
        conduct=Conduct(
            props_fitted=True,
            pack_plugged=True,
            transmitter_on=True,
            place="pad",
            hold="standing",
        ),
    )


def truth_of(where: World) -> Truth:
    rig = Rig(where, seed=1)
    return Truth(where, rig.craft, rig.tables, rig.cells(), 75.0)


def fixed(where: World, fault: Fault) -> World:
    for key in fault.fixes:
        kind, _, what = key.partition(":")
        if kind == "swap":
            where = swapped(where, cast(PartKey, what), 0.97)
        elif key == "calibrate:drives":
            where = drives(Rig(with_value(where, "conduct.props_fitted", False), 1))[0]
            where = with_value(where, "conduct.props_fitted", True)
        else:
            design = world()
            for name in key.split("."):
                design = getattr(design, name)
            where = with_value(where, key, design)
    return where


@pytest.mark.parametrize("severity", SEVERITIES)
@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: fault.id)
def test_present_after_injection_alone_and_gone_after_its_fix(fault, severity):
    for seed in (1, 2):
        bad = fault.inject(world(), severity, np.random.default_rng(seed))
        found = present_faults(truth_of(bad))
        assert fault.id in found
        assert found - {fault.id} <= set(fault.also)
        assert not present_faults(truth_of(fixed(bad, fault)))


def test_a_sound_aircraft_has_none_of_them():
    assert not {fault.id for fault in FAULTS} & present_faults(truth_of(world()))


def lean_deg(where: World, throttle: float, seconds: float) -> float:
    """Return the largest lean when the throttle is opened with nobody correcting."""
    rig = Rig(where, seed=3)
    rig.run(HANDS_OFF, 2.5)
    rig.put("armed", 1.0)
    seen = rig.run(HANDS_OFF._replace(throttle=throttle), seconds)
    return float(np.degrees(np.hypot(seen["roll_rad"], seen["pitch_rad"]).max()))


@pytest.mark.parametrize("name", ["motor-order-swapped", "motor-spin-reversed"])
def test_flips_at_lift_off(name):
    bad = CATALOGUE[name].inject(world(), 0.6, np.random.default_rng(4))
    assert lean_deg(world(), 0.5, 1.5) < 2.0  # deg; sound, nobody correcting
    assert lean_deg(bad, 0.5, 1.5) > 30.0  # deg


def test_idle_too_high_carries_part_of_the_weight():
    bad = CATALOGUE["idle-too-high"].inject(world(), 0.6, np.random.default_rng(4))
    loads = []
    for where in (world(), bad):
        rig = Rig(where, seed=3)
        rig.run(HANDS_OFF, 2.5)
        rig.put("armed", 1.0)
        loads.append(rig.run(HANDS_OFF, 1.0).last(0.3)["load_n"].mean())
    assert loads[1] < 0.8 * loads[0]
