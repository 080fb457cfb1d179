"""Limits and errors of the bench, each just below and just above its value."""

import numpy as np
import pytest

from sim.bench.check import sticks
from sim.bench.checklist import CHECKS
from sim.bench.compass import covered
from sim.bench.interlocks import reasons_not_to_arm
from sim.bench.person import read_off
from sim.bench.rig import HANDS_OFF, History, Rig
from sim.kernel.frames import from_angles


class Sure:
    """Chance that always errs by one sigma."""

    def standard_normal(self) -> float:
        return 1.0


def test_a_reading_errs_upwards_with_its_chance():
    assert read_off(Sure(), 5.0, 0.4, 0.1) == pytest.approx(5.4)  # type: ignore[arg-type]


@pytest.fixture
def standing(world, placed):
    rig = Rig(placed(place="pad", hold="standing"), 3)
    rig.run(HANDS_OFF, 2.5)
    assert not reasons_not_to_arm(rig)
    return rig


@pytest.mark.parametrize(("lean_deg", "level"), [(19.5, True), (20.5, False)])
@pytest.mark.parametrize("axis", [0, 1])
def test_it_arms_up_to_twenty_degrees_of_lean(standing, axis, lean_deg, level):
    angles = [0.0, 0.0, 0.7]
    angles[axis] = np.radians(lean_deg)
    for name, value in zip("wxyz", from_angles(*angles), strict=True):
        standing.put(f"estimator.attitude.{name}", value)
    assert (not reasons_not_to_arm(standing)) is level


@pytest.mark.parametrize(("pulse_us", "down"), [(1049.0, True), (1051.0, False)])
def test_the_throttle_may_be_up_by_a_twentieth(standing, pulse_us, down):
    standing.put("radio.pulse_us.2", pulse_us)
    assert (not reasons_not_to_arm(standing)) is down


def test_a_reading_covers_what_lies_within_thirty_degrees_of_it():
    """A cap of 30 degrees is (1 - cos 30)/2 = 6.7 % of the sphere; 4000 of them, one at a time."""
    rng = np.random.default_rng(2)
    each = [covered(rng.standard_normal((1, 3)), np.zeros(3)) for _ in range(4000)]
    assert np.mean(each) == pytest.approx((1.0 - np.cos(np.radians(30.0))) / 2.0, rel=0.02)


def test_a_turn_ends_when_it_is_there(world, placed):
    """Ten degrees take a quarter of a second or two, and half a second to hold; six is giving up."""
    rig = Rig(placed(hold="hands", place="open_floor"), 3)
    rig.run(HANDS_OFF, 2.5)
    before = rig.time_s
    rig.turn(0.0, 0.0, 10.0)
    assert 0.7 < rig.time_s - before < 2.0


def test_a_twin_has_nobody_watching(world):
    rig = Rig(world, 3)
    rig.watch_ticks, rig.listener = 17, lambda history: None
    twin = rig.copy()
    assert twin.watch_ticks == 0
    assert twin.listener is None


def test_watched_it_looks_up_as_often_as_asked(world):
    heard: list[History] = []
    rig = Rig(world, 3)
    rig.watch_ticks, rig.listener = 20, heard.append
    rig.run(sticks(), 0.05, every=1)
    assert [len(history) for history in heard] == [20, 20, 10]


def test_eye_and_hand_at_the_connector(world, ready):
    """1 mV a volt, 5 % of the ohms, 0.7 N, 0.03 of darkness, 20 mA: sigma of 4000 to 3.3 %."""
    rig = ready(world, CHECKS["first-power"])
    found = []
    for tick in range(4000):
        rig.put("tick", 10_000 + tick)
        found.append(CHECKS["first-power"].take(rig).values)
    for key, sigma in (
        ("meter_v", 0.01249),
        ("across_supply_ohm", 120.0),
        ("pull_apart_n", 0.7),
        ("idle_current_a", 0.0202),  # with its step of 10 mA
    ):
        assert np.std([f[key] for f in found]) == pytest.approx(sigma, rel=0.034), key
    dark = [f["contact_darkness"] for f in found]
    assert np.std(dark) == pytest.approx(0.0285, rel=0.05)  # 0.03, cut off at none
