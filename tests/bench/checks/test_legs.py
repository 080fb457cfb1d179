"""Light on the legs: what the careful make of it, and what it leaves alone."""

import numpy as np
import pytest

from sim.aircraft.changes import with_value
from sim.bench.checklist import CHECKS
from sim.faults.catalogue import CATALOGUE
from sim.trainees.judges.legs import leaning_corner
from tests.bench.checks.steady import steadied
from tests.worlds import suspects

LIGHT = CHECKS["light-on-legs"]
NAMED = (
    "cg-offset",
    "over-mass",
    "prop-wrong-hand",
    "prop-upside-down",
    "prop-nick-imbalance",
    "prop-size-mismatch",
    "motor-spin-reversed",
    "level-trim-off",
    "pack-high-resistance",
    "pack-cell-count-wrong",
    "hover-throttle-mismatch",
    "loop-sign-reversed",
    "yaw-mix-sign-wrong",
    "rate-gain-high",
    "sensor-mount-loose",
    "sensor-mount-stiff",
    "baro-uncovered",
)
WITHIN_TOLERANCE: dict[str, dict[str, object]] = {
    "a level trim of half a degree": {"setup.level_trim_roll_deg": 0.5},
    "3 mm out of balance": {"build.frame.cg_offset_m": (0.003, 0.0, 0.0)},
    "a foot 3.5 mm short": {"build.frame.leg_lift_m": (0.0035, 0.0, 0.0, 0.0)},
    "5 % too heavy": {"build.frame.mass_factor": 1.05},
    "a motor that leans": {"build.rotors.front_left.motor.axis_lean_deg": 0.7},
    "a propeller 1.2 % larger": {"build.rotors.rear_left.propeller.diameter_ratio": 1.012},
}  # sound by the catalogue


@pytest.fixture(autouse=True)
def _steady(monkeypatch):
    """What a reading shows and what is made of it; how often its errors mislead, studies measure."""
    steadied(monkeypatch)


def suspected(world, ready, seed):
    reading = LIGHT.take(ready(world, LIGHT, seed))
    return suspects(reading), reading.values


@pytest.mark.parametrize("fault", NAMED)
def test_names_what_it_shows(world, ready, fault):
    """On most builds: one that tips so far that the hand cuts is not always told why."""
    named = 0
    for seed in range(4):
        broken = CATALOGUE[fault].inject(world, 1.0, np.random.default_rng(seed))
        findings, _ = suspected(broken, ready, seed)
        named += fault in {finding.squawk.cause for finding in findings}
    assert named >= 2


@pytest.mark.parametrize("fault", ["prop-wrong-hand", "prop-upside-down", "motor-spin-reversed"])
def test_the_cure_is_at_the_corner_that_hangs(world, ready, fault):
    for seed in range(4):
        broken = CATALOGUE[fault].inject(world, 0.5, np.random.default_rng(seed))
        (finding,), values = suspected(broken, ready, seed)
        assert finding.fix.endswith(leaning_corner(values).replace("_", "-"))
        assert finding.fix in CATALOGUE[fault].fixes


def test_no_false_alarm_on_a_sound_aircraft(world, ready):
    alarms = sum(bool(suspected(world, ready, seed)[0]) for seed in range(20))
    assert alarms <= 1


@pytest.mark.parametrize("what", WITHIN_TOLERANCE)
def test_leaves_alone_what_is_within_tolerance(world, ready, what):
    for key, value in WITHIN_TOLERANCE[what].items():
        world = with_value(world, key, value)
    assert [suspected(world, ready, seed)[0] for seed in range(3)] == [[], [], []]
