"""Every fault: absent before, present after it was put in, alone, and gone when undone."""

import numpy as np
import pytest

from sim.aircraft.changes import with_value
from sim.bench.checklist import CHECKS
from sim.faults.catalogue import CATALOGUE, present_faults
from sim.faults.fault import Fault
from sim.keys import FaultId

SEVERITIES = (0.3, 0.6, 1.0)
SEEDS = (1, 2, 3)


def test_a_sound_aircraft_has_none(world, truth):
    assert present_faults(truth(world)) == frozenset()


@pytest.mark.parametrize("severity", SEVERITIES)
@pytest.mark.parametrize("fault", CATALOGUE)
def test_put_in_it_is_there_and_alone(world, truth, fault, severity):
    for seed in SEEDS:
        changed = CATALOGUE[fault].inject(world, severity, np.random.default_rng(seed))
        there = present_faults(truth(changed))
        assert fault in there
        assert there - {fault} <= set(CATALOGUE[fault].also)


def test_the_core_ones_together(world, truth):
    rng, changed = np.random.default_rng(1), world
    core: set[FaultId] = {
        "pitch-channel-reversed",
        "mag-hard-iron-offset",
        "rate-gain-high",
        "pack-high-resistance",
    }
    for name in core:
        changed = CATALOGUE[name].inject(changed, 0.6, rng)
    assert present_faults(truth(changed)) == core


@pytest.mark.parametrize("fault", CATALOGUE)
def test_same_generator_same_fault(world, fault):
    first, second = (
        CATALOGUE[fault].inject(world, 0.5, np.random.default_rng(9)) for _ in range(2)
    )
    assert first == second
    assert first != world


@pytest.mark.parametrize("fault", CATALOGUE)
def test_only_build_and_setup_are_touched(world, fault):
    changed = CATALOGUE[fault].inject(world, 0.5, np.random.default_rng(9))
    assert changed.airframe == world.airframe
    if CATALOGUE[fault].family not in ("site", "conduct"):
        assert (changed.site, changed.conduct) == (world.site, world.conduct)


@pytest.mark.parametrize("fault", CATALOGUE.values(), ids=lambda f: f.id)
def test_an_entry_is_complete(world, fault):
    assert CATALOGUE[fault.id] is fault
    assert set(fault.revealed_by) <= set(CHECKS)
    assert set(fault.proved_by) <= set(CHECKS)
    assert fault.in_the_air
    assert fault.explanation
    for key in fault.fixes:
        if key.startswith("setup."):  # it must exist
            part = world
            for name in key.split("."):
                part = getattr(part, name)


@pytest.mark.parametrize(
    "changes", [{"hazard": 0}, {"hazard": 6}, {"revealed_by": ()}, {"proved_by": ()}]
)
def test_an_entry_no_one_could_score_is_refused(changes):
    sound = vars(CATALOGUE["failsafe-holds-last"])
    with pytest.raises(ValueError, match="failsafe-holds-last"):
        Fault(**(sound | changes))


@pytest.mark.parametrize("channel", ["pitch", "roll", "yaw"])
def test_two_reversals_cancel(world, truth, channel):
    fault = f"{channel}-channel-reversed"
    sent, read = f"setup.transmitter.{channel}.direction", f"setup.inputs.{channel}"
    once = with_value(world, sent, -1)
    assert present_faults(truth(once)) == {fault}
    assert present_faults(truth(with_value(world, read, -1))) == {fault}
    assert present_faults(truth(with_value(once, read, -1))) == frozenset()


@pytest.mark.parametrize("channel", ["pitch", "roll", "yaw"])
def test_a_reversal_is_found_at_either_end(world, channel):
    """Both places are used, so looking at the transmitter alone is not enough."""
    (reversal,) = (f for f in CATALOGUE.values() if f.id == f"{channel}-channel-reversed")
    places = set()
    for seed in range(30):
        changed = reversal.inject(world, 0.5, np.random.default_rng(seed))
        places.add(
            "sent" if getattr(changed.setup.transmitter, channel).direction == -1 else "read"
        )
    assert places == {"sent", "read"}
