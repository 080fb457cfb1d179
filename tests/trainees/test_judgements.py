"""Readings several faults move: which one the careful name, and that every cure is a known one."""

import numpy as np
import pytest

from sim.bench.checklist import CHECKS
from sim.bench.reading import Reading
from sim.faults.catalogue import CATALOGUE
from tests.bench.checks.steady import steadied
from tests.worlds import suspects

SHARED = [
    ("mag-current-coupling", "restrained-run-up"),
    ("hover-throttle-mismatch", "restrained-run-up"),
    ("pack-undercharged", "restrained-run-up"),
    ("pack-high-resistance", "restrained-run-up"),
    ("connector-high-resistance", "restrained-run-up"),
    ("motor-order-swapped", "stick-to-motor"),
    ("loop-sign-reversed", "stick-to-motor"),
    ("yaw-mix-sign-wrong", "stick-to-motor"),
]


@pytest.fixture(autouse=True)
def _steady(monkeypatch):
    """Which cause a reading speaks for; how often its errors mislead, studies measure."""
    steadied(monkeypatch)


def found(world, ready, check, seed):
    return suspects(CHECKS[check].take(ready(world, CHECKS[check], seed)))


@pytest.mark.parametrize(("fault", "check"), SHARED)
def test_names_one_cause_alone(world, ready, fault, check):
    seen = []
    for seed in range(4):
        broken = CATALOGUE[fault].inject(world, 1.0, np.random.default_rng(seed))
        seen += [{finding.squawk.cause for finding in found(broken, ready, check, seed)}]
    assert all(causes <= {fault} for causes in seen)
    assert any(seen)


@pytest.mark.parametrize("check", ["restrained-run-up", "stick-to-motor"])
def test_no_false_alarm_on_a_sound_aircraft(world, ready, check):
    assert sum(bool(found(world, ready, check, seed)) for seed in range(20)) <= 1


def test_a_cold_pack_is_not_taken_for_a_worn_one(world, ready):
    """It sags a quarter more than the sheet says, and so does a sound pack of some age."""
    cold = CATALOGUE["pack-cold"].inject(world, 0.5, np.random.default_rng(1))
    assert found(cold, ready, "restrained-run-up", 1) == []


# how the aircraft stands is undone by getting ready for a check: see the tests of people
AS_IT_STANDS = "props-on-at-bench"


@pytest.mark.parametrize(
    "fault", [f for f in CATALOGUE.values() if f.id != AS_IT_STANDS], ids=lambda f: f.id
)
def test_a_judge_names_each_fault_by_a_check_that_shows_it(world, ready, fault):
    """A fault without its line in a judge is one the careful stand-in can't see."""
    broken = fault.inject(world, 1.0, np.random.default_rng(1))
    for check in (CHECKS[key] for key in dict.fromkeys((*fault.proved_by, *fault.revealed_by))):
        rig = ready(broken, check, 1)
        for run in check.follows[:1]:
            CHECKS[run].take(rig)
        reading = check.take(rig)
        findings = suspects(reading)
        for claim in (finding.squawk for finding in findings):
            assert claim.check == check.key
            assert claim.line in reading.values
        if fault.id in {finding.squawk.cause for finding in findings}:
            return
    pytest.fail(f"no judge names {fault.id}")


@pytest.mark.parametrize(("told_us", "named"), [(1070.0, False), (1072.0, True)])
def test_a_fast_idle_is_the_settings_fault_only_if_it_is_set_so(told_us, named):
    """The trainer idles at 1070 us; a loop that rings idles as fast with that, and is not cured by it."""
    values = {"idle_slowest_rpm": 2500.0, "idle_fastest_rpm": 2600.0, "idle_set_us": told_us}
    causes = {finding.squawk.cause for finding in suspects(Reading("ramp-and-snap", values))}
    assert causes == ({"idle-too-high"} if named else set())
