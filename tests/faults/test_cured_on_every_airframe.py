"""On every shipped airframe: who knows the fault cures it by its fixes, and nothing else comes up instead.

What is left is told by the takeoff, so no more than that is flown of the hop: half the time of a drill.
"""

import subprocess
from collections.abc import Iterator
from zlib import crc32

import pytest

from sim.aircraft import library
from sim.aircraft.design import world_of
from sim.faults.catalogue import CATALOGUE
from sim.keys import FaultId
from sim.session.scenario import HiddenFault, Scenario
from sim.trainees import hop
from sim.trainees.pilot import Goal
from sim.trainees.standins import Attempt, rehearsed

PAIRS: list[tuple[str, FaultId]] = [
    (name, fault)
    for name in library.names("airframes")
    for fault, entry in CATALOGUE.items()
    if not entry.cannot(world_of(library.airframe(name)))
]
PART = 130  # own: so many parts the pairs are cut into; a drill of the fast sample takes seconds
LOW_M, SHORT_S = 0.3, 2.0  # m, s; own: off the floor, and down again


def lifted(height_m: float, hover_s: float) -> Iterator[tuple[Goal, float]]:
    """Yield the goals of a hop that only lifts off."""
    yield Goal(0.0, 0.0, LOW_M, 0.0), SHORT_S


@pytest.fixture(autouse=True)
def short_hop(monkeypatch):
    monkeypatch.setattr(hop, "plan", lifted)


def sampled() -> list[tuple[str, FaultId]]:
    """Return a part of the pairs, another with each commit."""
    head = subprocess.run(["git", "rev-parse", "HEAD"], capture_output=True, text=True, check=False)
    return [pair for pair in PAIRS if crc32(f"{head.stdout} {pair}".encode()) % PART == 0]


def cured(name: str, fault: FaultId) -> None:
    """Assert that a fault is there at the start, and that no fault is left when the drill has been done."""
    drill = Scenario(
        title="Cured by who knows",
        purpose="Testing",
        origin="invented",
        airframe=name,
        faults=(HiddenFault(id=fault, severity=0.7),),
    )
    record = rehearsed(Attempt(drill, "oracle", 1))
    assert fault in record.present_at_start
    assert record.takeoff_s is not None
    assert not record.present_at_takeoff


@pytest.mark.parametrize(("name", "fault"), sampled())
def test_it_is_cured(name, fault):
    cured(name, fault)


@pytest.mark.slow
@pytest.mark.parametrize(("name", "fault"), PAIRS)
def test_it_is_cured_on_each(name, fault):
    cured(name, fault)
