"""The parts bin: a new part is sound, and no more perfect than any other."""

from typing import Any, get_args

import numpy as np
import pytest

from sim.aircraft.build import Build
from sim.aircraft.changes import differing, value_at, with_value, with_values
from sim.aircraft.scatter import spreads
from sim.bench.parts import PARTS, swapped
from sim.faults.catalogue import CATALOGUE, present_faults
from sim.faults.severity import truth_of
from sim.keys import PartKey
from tests.worlds import sound_world

SOUND = sound_world(goggles_on=True, spotter_present=True)
PUT_IN: dict[str, Any] = {
    "build.leads.connector_ohm": 0.02,
    "build.pack.resistance_factor": 6.0,
    "build.frame.cg_offset_m": (0.02, 0.0, 0.0),
    "build.rotors.rear_left.motor.axis_lean_deg": 3.0,
}


def new(part: PartKey, seed: int):
    return swapped(SOUND, part, 0.9, np.random.default_rng(seed))


def test_every_part_is_in_the_bin():
    assert set(PARTS) == set(get_args(PartKey))


@pytest.mark.parametrize("part", PARTS)
def test_a_spare_part_scatters_as_the_build_does(part):
    keys = tuple(f"build.{key}" for key in PARTS[part])
    moved = [s.key for s in spreads() if f"{s.key}.".startswith(tuple(f"{k}." for k in keys))]
    one, two = new(part, 1), new(part, 2)
    assert one == new(part, 1)
    assert set(differing(SOUND, one)) - {"build.pack.charge"} == set(moved) - {"build.pack.charge"}
    assert (one != two) == bool(moved)


def test_parts_that_scatter_are_most_of_them():
    """Not those that are so or not: a lead's polarity, a tie, screws, a cover."""
    same = {part.removesuffix("-rear-left") for part in PARTS if new(part, 1) == SOUND}
    plain = {part for part in same if not part.endswith(("-left", "-right"))}
    assert plain == {
        "lead-polarity", "frame-screws", "barometer-cover", "wire-tie", "phase-leads",
    }  # fmt: skip


def test_no_spare_part_brings_a_fault():
    for seed in range(20):
        world = SOUND
        rng = np.random.default_rng(seed)
        for part in PARTS:
            world = swapped(world, part, 0.97, rng)
        assert present_faults(truth_of(world)) == frozenset()


def test_what_was_wrong_is_put_right():
    wrong = with_values(SOUND, PUT_IN)
    for part in ("connector", "pack", "pack-place", "motor-rear-left"):
        wrong = swapped(wrong, part, 0.9, np.random.default_rng(5))
    for key, was in PUT_IN.items():
        now, design = value_at(wrong, key), value_at(Build(), key.removeprefix("build."))
        off, fault = (
            np.linalg.norm(np.subtract(now, design)),
            np.linalg.norm(np.subtract(was, design)),
        )
        assert 0.0 < off < 0.2 * fault, key
    assert wrong.build.pack.charge == pytest.approx(0.9, abs=0.03)  # 1; nearly four of its spreads


def test_a_part_elsewhere_stays():
    lean = with_value(SOUND, "build.rotors.rear_left.motor.axis_lean_deg", 3.0)
    other = swapped(lean, "motor-front-left", 0.9, np.random.default_rng(5))
    assert CATALOGUE["motor-mount-tilted"].present(truth_of(other))
