"""On every shipped airframe: each fault that can be there is absent, put in, there and alone."""

import subprocess
from zlib import crc32

import numpy as np
import pytest

from sim.aircraft import library
from sim.aircraft.design import world_of
from sim.aircraft.scatter import scattered
from sim.aircraft.world import World
from sim.bench.bands import Bands, bands
from sim.diagnosis.detection import stands_out
from sim.diagnosis.readings import Batch, trials
from sim.faults.catalogue import CATALOGUE, present_faults
from sim.faults.severity import put_in, truth_of
from sim.keys import FaultId

NAMES = library.names("airframes")
SEVERITIES = (0.25, 0.5, 1.0)
PART = 9  # own: so many parts the pairs of the fast sample are cut into
CANNOT: dict[str, set[FaultId]] = {
    # a hover heats its drives by six degrees, and its pack is a single cell
    "indoor-57mm": {"drive-thermal-limit", "pack-cell-weak"},
    "small-127mm": {"drive-thermal-limit"},  # by seven
}
PAIRS = [(name, fault) for name in NAMES for fault in CATALOGUE]


def sampled(pairs: list[tuple[str, FaultId]]) -> list[tuple[str, FaultId]]:
    """Return a part of the pairs, another with each commit."""
    head = subprocess.run(["git", "rev-parse", "HEAD"], capture_output=True, text=True, check=False)
    return [p for p in pairs if crc32(f"{head.stdout} {p}".encode()) % PART == 0]


def designed(name: str) -> World:
    return world_of(library.airframe(name), goggles_on=True, spotter_present=True)


@pytest.mark.parametrize("name", NAMES)
def test_none_is_there_before(name):
    world = designed(name)
    assert present_faults(truth_of(world)) == frozenset()
    for seed in range(3):
        assert not present_faults(truth_of(scattered(world, np.random.default_rng(seed))))


@pytest.mark.parametrize("name", NAMES)
def test_what_cannot_be_there_is_said_by_its_entry(name):
    world = designed(name)
    reasons = {fault: entry.cannot(world) for fault, entry in CATALOGUE.items()}
    assert {fault for fault, why in reasons.items() if why} == CANNOT.get(name, set())
    assert all(why.endswith(".") for why in reasons.values() if why)


def test_in_the_open_no_door_lets_air_in():
    world = designed(NAMES[0]).model_copy(update={"site": library.site("sheltered-yard")})
    assert CATALOGUE["draught-from-door"].cannot(world)
    assert not CATALOGUE["draught-from-door"].present(truth_of(world))
    assert not CATALOGUE["draught-from-door"].cannot(designed(NAMES[0]))


def there_and_alone(name: str, fault: FaultId) -> None:
    """Assert that a fault put in is there and trips nothing but what its entry says."""
    world, entry = designed(name), CATALOGUE[fault]
    if entry.cannot(world):
        return
    for severity in SEVERITIES:
        for seed in (1, 2, 3):
            for bad in (
                entry.inject(world, severity, np.random.default_rng(seed)),
                put_in(entry, world, severity, np.random.default_rng(seed)),
            ):
                found = present_faults(truth_of(bad))
                assert fault in found, (severity, seed)
                assert found - {fault} <= set(entry.also), (severity, seed)


@pytest.mark.parametrize(("name", "fault"), sampled(PAIRS))
def test_put_in_it_is_there_and_alone(name, fault):
    there_and_alone(name, fault)


@pytest.mark.slow
@pytest.mark.parametrize(("name", "fault"), PAIRS)
def test_put_in_it_is_there_and_alone_on_each(name, fault):
    there_and_alone(name, fault)


def seen(name: str, fault: FaultId) -> bool:
    """Tell whether one of the checks that reveal a fault stands out, of the worst on three builds."""
    entry = CATALOGUE[fault]
    checks = tuple(dict.fromkeys((*entry.revealed_by, *entry.proved_by)))
    found = [trials(Batch(fault, 1.0, seed, checks, name)).trials for seed in (1, 2, 3)]
    known: Bands = bands(name)
    return any(
        stands_out(
            {measure: band for (key, measure), band in known.items() if key == check},
            [one[check] for one in found if check in one],
        )
        for check in checks
    )


SEEN = [
    (name, fault)
    for name, fault in PAIRS
    if not CATALOGUE[fault].only_in_the_air
    and fault not in CANNOT.get(name, set())
    and fault != "props-on-at-bench"  # whoever gets ready for a check takes them off
]


@pytest.mark.slow
@pytest.mark.parametrize(("name", "fault"), SEEN)
def test_its_checks_show_it_on_each(name, fault):
    assert seen(name, fault)
