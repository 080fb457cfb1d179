"""Severity: a deviation at 0, a fault from 0.1, today's worst at 1, on the very aircraft."""

from dataclasses import replace

import numpy as np
import pytest

from sim.aircraft.build import Pack
from sim.aircraft.changes import differing, value_at, with_value
from sim.aircraft.fields import PLACES
from sim.aircraft.scatter import scattered
from sim.faults.catalogue import CATALOGUE
from sim.faults.power import LOADED_CELL_V, after_hop
from sim.faults.severity import between, limit_share, put_in, share_of_way, truth_of, way
from sim.faults.supply import CHARGED
from tests.worlds import sound_world

BUILDS = (0, 1, 2)
BY_DEGREES = 40  # faults; those made of numbers of build, site and calibrations
SETTINGS = {
    "rate-gain-high",
    "idle-too-low",
    "hover-throttle-mismatch",
}
SO_OR_NOT = {"prop-upside-down", "board-rotation-untold", "mag-mount-rotated", "baro-uncovered"}


@pytest.fixture(scope="module")
def builds():
    sound = sound_world(goggles_on=True, spotter_present=True)
    return [scattered(sound, np.random.default_rng(seed)) for seed in BUILDS]


def rng():
    return np.random.default_rng(50)


def by_degrees(fault, world):
    return way(fault, world, fault.inject(world, 1.0, rng()))


def test_which_faults_go_by_degrees(builds):
    graded = {name for name, fault in CATALOGUE.items() if by_degrees(fault, builds[0])}
    assert len(graded) == BY_DEGREES
    assert not graded & (SETTINGS | SO_OR_NOT)
    assert not {name for name in graded if CATALOGUE[name].family in ("control", "conduct")}


@pytest.mark.parametrize("fault", CATALOGUE.values(), ids=lambda f: f.id)
def test_absent_below_the_limit_and_there_from_it_on(builds, fault):
    for world in builds:
        graded = by_degrees(fault, world) is not None
        for severity in (0.0, 0.05, 0.099, 0.1, 0.3, 1.0):
            there = fault.present(truth_of(put_in(fault, world, severity, rng())))
            assert there == (severity >= 0.1 or not graded), severity


@pytest.mark.parametrize("fault", CATALOGUE.values(), ids=lambda f: f.id)
def test_the_worst_is_what_the_fault_says(builds, fault):
    worst = put_in(fault, builds[1], 1.0, rng())
    wanted = fault.inject(builds[1], 1.0, rng())
    for key, (there, other) in differing(worst, wanted).items():
        assert there == pytest.approx(other), key


@pytest.mark.parametrize(
    ("fault", "key", "sound", "limit"),
    [
        ("connector-high-resistance", "build.leads.connector_ohm", 0.0, 0.050 / 12.3),
        ("over-mass", "build.frame.mass_factor", 1.0, 1.06),
        ("voltage-scale-wrong", "build.sensors.volt_scale", 1.0, 1.02),
        ("sensor-mount-loose", "build.sensors.loose_mount_hz", 0.0, 40.0),
    ],
)
def test_severity_nought_is_four_fifths_of_the_limit(fault, key, sound, limit):
    world = sound_world()
    mild, at_limit = (value_at(put_in(CATALOGUE[fault], world, s, rng()), key) for s in (0.0, 0.1))
    assert at_limit == pytest.approx(limit, rel=0.02)  # 1; the sheet's hover current is rounded
    if key.endswith("_hz"):  # stiffness goes with frequency squared
        assert mild == pytest.approx(at_limit / 0.8**0.5)
    else:
        assert mild - sound == pytest.approx(0.8 * (at_limit - sound))


def test_the_limit_is_that_of_the_build_itself():
    """A heavy but sound aircraft reaches the limit of mass after a shorter way."""
    fault = CATALOGUE["over-mass"]
    for own in (1.0, 1.03):
        world = with_value(sound_world(), "build.frame.mass_factor", own)
        gone = by_degrees(fault, world)
        assert limit_share(fault, gone) == pytest.approx((1.06 - own) / (1.58 - own), abs=2e-4)
        assert gone.at(limit_share(fault, gone)).build.frame.mass_factor == pytest.approx(
            1.06, abs=1e-4
        )


def test_the_hop_planned_counts():
    """A pack that bears half a minute is too weak for a long hop sooner than for a short one."""
    world = sound_world()
    fault = replace(
        CATALOGUE["pack-high-resistance"],
        present=lambda truth: after_hop(truth, CHARGED)[0] < LOADED_CELL_V,
    )
    gone = by_degrees(fault, world)
    assert limit_share(fault, gone, 120.0) < limit_share(fault, gone, 30.0) - 0.01
    long, short = (put_in(fault, world, 0.1, rng(), hop).build.pack for hop in (120.0, 30.0))
    assert long.resistance_factor < short.resistance_factor


def test_severity_and_the_way():
    assert share_of_way(0.0, 0.5) == pytest.approx(0.4)
    assert share_of_way(0.05, 0.5) == pytest.approx(0.45)
    assert share_of_way(0.1, 0.5) == 0.5
    assert share_of_way(0.55, 0.5) == pytest.approx(0.75)
    assert share_of_way(1.0, 0.5) == 1.0


def test_numbers_between_sound_and_worst():
    assert between("a.mass", 1.0, 2.0, 0.25) == 1.25
    assert between("a.cg", (0.0, 1.0, 4.0), (1.0, 0.0, 4.0), 0.25) == (0.25, 0.75, 4.0)
    assert between("a.low_us", 1001.0, 1100.0, 0.5) == 1050.0  # 1050.5: even, and whole
    assert between("a.loose_arm_hz", 0.0, 15.0, 0.0) == 0.0
    assert between("a.loose_arm_hz", 0.0, 15.0, 0.25) == pytest.approx(30.0)
    assert between("a.slip_n_m", None, 0.05, 0.0) is None
    assert between("a.slip_n_m", None, 0.05, 0.25) == pytest.approx(0.2)
    assert between("a.loose_arm_hz", 40.0, 20.0, 0.5) == 30.0  # loose already: in a straight line


def test_a_nick_shows_from_middling_severity_on():
    fault, world = CATALOGUE["prop-nick-imbalance"], sound_world()
    for severity, nicked in ((0.1, False), (0.29, False), (0.3, True), (1.0, True)):
        rotors = put_in(fault, world, severity, rng()).build.rotors
        props = [getattr(rotors, place).propeller for place in type(rotors).model_fields]
        assert [p.nicked for p in props].count(True) == nicked


def test_what_people_did_is_there_from_the_start():
    """A gyro was moved while it started: power is on, however little it was moved."""
    for severity in (0.0, 0.5):
        world = put_in(CATALOGUE["gyro-bias-moved"], sound_world(), severity, rng())
        assert world.conduct.pack_plugged


def test_a_mild_joint_opens_seldom_but_as_long_as_the_worst():
    mild, worst = (
        put_in(CATALOGUE["phase-joint-bad"], sound_world(), s, rng()) for s in (0.0, 1.0)
    )
    pairs = [
        [getattr(world.build.rotors, place).motor for world in (mild, worst)] for place in PLACES
    ]
    ((gap, most),) = [pair for pair in pairs if pair[0].gap_s]
    assert (gap.gap_s, most.gap_s) == (0.30, 0.30)
    assert (gap.gap_rate_per_s, most.gap_rate_per_s) == pytest.approx((0.016, 1.0), rel=0.01)


def test_a_fault_there_before_is_made_no_milder():
    heavy = with_value(sound_world(), "build.frame.mass_factor", 1.3)
    fault = CATALOGUE["over-mass"]
    assert limit_share(fault, by_degrees(fault, heavy)) == 0.0
    assert put_in(fault, heavy, 0.1, rng()).build.frame.mass_factor == pytest.approx(1.3)


def test_so_or_not_uses_chance_as_before(builds):
    fault = CATALOGUE["low-volt-alarm-unset"]
    for severity in (0.1, 0.5, 0.9):
        assert put_in(fault, builds[0], severity, rng()) == fault.inject(builds[0], severity, rng())


def test_a_truth_for_predicates(builds):
    weak = with_value(builds[0], "build.pack", Pack(charge=0.9, weak_charge_gap=0.2))
    truth = truth_of(weak, 40.0)
    assert truth.cells == pytest.approx((0.9, 0.7, 0.0, 0.0, 0.0))
    assert truth.hop_s == 40.0
    assert truth.craft.rotors[0].fitted == 1.0
