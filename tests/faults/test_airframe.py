"""Airframe and propeller faults: put in, there, gone after their fix, felt in the air."""

from typing import cast

import numpy as np
import pytest

from sim.aircraft import library
from sim.aircraft.changes import with_value
from sim.aircraft.fields import PLACES
from sim.aircraft.world import World
from sim.bench.parts import swapped
from sim.bench.rig import HANDS_OFF, Rig
from sim.faults import airframe, propellers
from sim.faults.catalogue import CATALOGUE, present_faults
from sim.faults.fault import Fault, Truth
from sim.keys import PartKey
from sim.session.calibrating import drives
from tests.worlds import ready_on_pad

AIRFRAME = library.airframe(library.TRAINER)
SEVERITIES = (0.3, 0.6, 1.0)
FAULTS = (*airframe.FAULTS, *propellers.FAULTS)


def truth_of(where: World) -> Truth:
    rig = Rig(where, seed=1)
    return Truth(where, rig.craft, rig.tables, rig.cells(), 75.0)


def fixed(where: World, fault: Fault) -> World:
    for key in fault.fixes:
        kind, _, what = key.partition(":")
        if kind == "swap":
            where = swapped(where, cast(PartKey, what), 0.97, np.random.default_rng(8))
        elif key == "calibrate:drives":
            where = drives(Rig(with_value(where, "conduct.props_fitted", False), 1))[0]
            where = with_value(where, "conduct.props_fitted", True)
        else:
            design = ready_on_pad()
            for name in key.split("."):
                design = getattr(design, name)
            where = with_value(where, key, design)
    return where


@pytest.mark.parametrize("severity", SEVERITIES)
@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: fault.id)
def test_present_after_injection_alone_and_gone_after_its_fix(fault, severity):
    for seed in (1, 2):
        bad = fault.inject(ready_on_pad(), severity, np.random.default_rng(seed))
        found = present_faults(truth_of(bad))
        assert fault.id in found
        assert found - {fault.id} <= set(fault.also)
        assert not present_faults(truth_of(fixed(bad, fault)))


def test_a_sound_aircraft_has_none_of_them():
    assert not {fault.id for fault in FAULTS} & present_faults(truth_of(ready_on_pad()))


def lean_deg(where: World, throttle: float, seconds: float) -> float:
    """Return the largest lean when the throttle is opened with nobody correcting."""
    rig = Rig(where, seed=3)
    rig.run(HANDS_OFF, 2.5)
    rig.put("armed", 1.0)
    seen = rig.run(HANDS_OFF._replace(throttle=throttle), seconds)
    return float(np.degrees(np.hypot(seen["roll_rad"], seen["pitch_rad"]).max()))


@pytest.mark.parametrize(("name", "least_deg"), [("prop-wrong-hand", 30.0), ("cg-offset", 2.0)])
def test_consequence_at_lift_off(name, least_deg):
    # deg; a sound aircraft stays within 2 degrees on the same throttle for a second and a half
    bad = CATALOGUE[name].inject(ready_on_pad(), 0.6, np.random.default_rng(4))
    assert lean_deg(ready_on_pad(), 0.5, 1.5) < 2.0
    assert lean_deg(bad, 0.5, 1.5) > least_deg


def test_a_heavy_aircraft_stays_down_at_the_throttle_of_a_hover():
    def climbs(where):
        rig = Rig(where, seed=3)
        rig.run(HANDS_OFF, 2.5)
        rig.put("armed", 1.0)
        height = rig.run(HANDS_OFF._replace(throttle=0.5), 1.5)["height_m"]
        return height[-1] - height[0]

    bad = CATALOGUE["over-mass"].inject(ready_on_pad(), 0.6, np.random.default_rng(4))
    assert climbs(ready_on_pad()) > 0.1
    assert climbs(bad) < 0.01


def test_two_equal_wrongs_make_a_right():
    # a propeller of the other hand on a motor that turns the other way lifts as it should
    bad = with_value(ready_on_pad(), "build.rotors.front_left.propeller.right_hand", False)
    bad = with_value(bad, "build.rotors.front_left.motor.spin_right", False)
    assert present_faults(truth_of(bad)) == {"motor-spin-reversed"}


def test_four_propellers_of_another_size_match_each_other():
    bad = ready_on_pad()
    for place in PLACES:
        bad = with_value(bad, f"build.rotors.{place}.propeller.diameter_ratio", 0.95)
    assert "prop-size-mismatch" not in present_faults(truth_of(bad))
