"""Motor and drive faults: put in, there, gone after their fix, felt in the air."""

from typing import cast

import numpy as np
import pytest

from sim.aircraft import library
from sim.aircraft.changes import with_value
from sim.aircraft.world import World
from sim.bench.checklist import CHECKS
from sim.bench.parts import swapped
from sim.bench.rig import HANDS_OFF, Rig
from sim.faults import drives as drive_faults
from sim.faults import propulsion
from sim.faults.catalogue import CATALOGUE, present_faults
from sim.faults.fault import Fault, Truth
from sim.keys import PartKey
from sim.session.calibrating import drives
from tests.worlds import ready_on_pad, suspects

AIRFRAME = library.airframe(library.TRAINER)
SEVERITIES = (0.3, 0.6, 1.0)
FAULTS = (*propulsion.FAULTS, *drive_faults.FAULTS)


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


@pytest.mark.parametrize("name", ["motor-order-swapped", "motor-spin-reversed"])
def test_flips_at_lift_off(name):
    bad = CATALOGUE[name].inject(ready_on_pad(), 0.6, np.random.default_rng(4))
    assert lean_deg(ready_on_pad(), 0.5, 1.5) < 2.0  # deg; sound, nobody correcting
    assert lean_deg(bad, 0.5, 1.5) > 30.0  # deg


def spoilt(severity: float) -> dict[str, World]:
    """Return one aircraft of each build of a spoilt motor, at the front left."""
    found = {}
    for seed in range(40):
        bad = CATALOGUE["motor-weak-or-shorted"].inject(
            ready_on_pad(), severity, np.random.default_rng(seed)
        )
        built = bad.build.rotors.front_left.motor
        if built.strength < 1.0:
            found["weak"] = bad
        if built.shorted_share > 0.0:
            found["shorted"] = bad
    return found


@pytest.mark.parametrize("severity", [0.0, 0.5, 1.0])
def test_weak_magnets_lift_more_and_shorted_turns_less_for_more_current(severity):
    """At one command: weaker magnets let it run faster; shorted turns brake it. Both draw more."""
    builds = spoilt(severity)
    assert set(builds) == {"weak", "shorted"}  # both are drawn

    def running(where: World) -> tuple[float, float, float]:
        rig = Rig(with_value(where, "conduct.hold", "clamp"), seed=3)
        rig.run(HANDS_OFF, 2.5)
        seen = rig.drive_only(("front_left",), 0.45, 1.5).last(0.2)
        current = float(seen["pack_a"].mean())
        return rig.value("rotors.0.thrust_n"), current, float(seen["speed_front_left_rad_s"][-1])

    lift, amps, _ = running(ready_on_pad())
    weak_lift, weak_amps, _ = running(builds["weak"])
    short_lift, short_amps, _ = running(builds["shorted"])
    assert weak_lift > 1.05 * lift
    assert weak_amps > 1.08 * amps
    assert short_lift < 0.99 * lift
    assert short_amps > 1.03 * amps


def test_shorted_turns_brake_as_the_loop_they_close_says():
    """With nothing to drive, the extra current is x Kt w/R: the short's own current times its turns."""
    bad = with_value(ready_on_pad(), "build.rotors.front_left.motor.shorted_share", 0.03)
    amps, speeds = [], []
    for where in (ready_on_pad(), bad):
        bare = with_value(with_value(where, "conduct.props_fitted", False), "conduct.hold", "clamp")
        rig = Rig(bare, seed=3)
        rig.run(HANDS_OFF, 2.5)
        rig.drive_only(("front_left",), 0.6, 2.0)
        amps.append(rig.value("rotors.0.motor.current_a"))
        speeds.append(rig.value("rotors.0.motor.speed_rad_s"))
    kt = 60.0 / (2.0 * np.pi * AIRFRAME.motor.kv_rpm_v)
    expected = 0.03 * kt * speeds[1] / AIRFRAME.motor.resistance_ohm
    # thirty time constants; the pack still sags by 1e-5 a tenth of a second
    assert amps[1] - amps[0] == pytest.approx(expected, rel=1e-3)
    assert amps[0] == pytest.approx(AIRFRAME.motor.no_load_a, rel=1e-3)
    assert speeds[1] < 0.985 * speeds[0]


@pytest.mark.parametrize("build", ["weak", "shorted"])
@pytest.mark.parametrize("severity", [0.3, 1.0])
def test_the_careful_judgement_names_both_builds(build, severity):
    bad = with_value(
        with_value(spoilt(severity)[build], "conduct.props_fitted", False), "conduct.hold", "clamp"
    )
    rig = Rig(bad, seed=3)
    rig.run(HANDS_OFF, 2.5)
    found = suspects(CHECKS["one-motor"].take(rig))
    assert {f.squawk.cause for f in found if f.plain} == {"motor-weak-or-shorted"}


def test_idle_too_high_carries_part_of_the_weight():
    bad = CATALOGUE["idle-too-high"].inject(ready_on_pad(), 0.6, np.random.default_rng(4))
    loads = []
    for where in (ready_on_pad(), bad):
        rig = Rig(where, seed=3)
        rig.run(HANDS_OFF, 2.5)
        rig.put("armed", 1.0)
        loads.append(rig.run(HANDS_OFF, 1.0).last(0.3)["load_n"].mean())
    assert loads[1] < 0.8 * loads[0]
