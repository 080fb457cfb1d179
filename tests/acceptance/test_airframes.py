"""On every shipped airframe the careful stand-in clears 95 of 100 drills, here 19 of 20.

`python -m pytest -q -s -m slow tests/acceptance/test_airframes.py` prints the shares.
"""

import multiprocessing
from concurrent.futures import ProcessPoolExecutor

import pytest

from sim.aircraft import library
from sim.aircraft.design import world_of
from sim.faults.catalogue import CATALOGUE
from sim.keys import FaultId
from sim.runs import rehearse
from sim.scoring.scorecard import CLEARED
from sim.session.scenario import HiddenFault, Scenario
from sim.trainees.standins import Attempt

NAMES = library.names("airframes")
SITES = library.names("sites")
DRILLS = 20  # drills a sample, one of them with nothing hidden
ENOUGH = 0.95  # 1; share of a sample that is to be cleared


def drill(airframe: str, fault: FaultId | None, site: str = "") -> Scenario:
    return Scenario(
        title="Made for a sample",
        purpose="Testing",
        origin="invented",
        airframe=airframe,
        site=site,
        faults=() if fault is None else (HiddenFault(id=fault),),
    )


def sample(airframe: str) -> list[FaultId | None]:
    """Return every fifth fault or so, on each airframe others, and one drill without any."""
    world, faults, at = (
        world_of(library.airframe(airframe)),
        sorted(CATALOGUE),
        NAMES.index(airframe),
    )
    in_turn = sorted(faults, key=lambda fault: (faults.index(fault) - at) % len(NAMES))
    there = [fault for fault in in_turn if not CATALOGUE[fault].cannot(world)]
    return [None, *there[: DRILLS - 1]]


def test_samples_cover_the_catalogue():
    samples = [sample(name) for name in NAMES]
    assert all(len(set(one)) == DRILLS for one in samples)
    assert {fault for one in samples for fault in one if fault} >= set(CATALOGUE)


@pytest.mark.slow
@pytest.mark.parametrize("airframe", NAMES)
def test_careful_clears_a_sample_on_each(airframe):
    context = multiprocessing.get_context("spawn")  # fork and threads do not go together
    with ProcessPoolExecutor(max_workers=2, mp_context=context) as pool:
        tries = {
            fault: pool.submit(
                rehearse, Attempt(drill(airframe, fault), "careful", seed), "drill", None
            )
            for seed, fault in enumerate(sample(airframe))
        }
        cards = {fault or "nothing": one.result() for fault, one in tries.items()}
    cleared = [fault for fault, card in cards.items() if card["verdict"] == CLEARED]
    left = {
        fault: (card["verdict"], card["points"], card["faults"], card["hazards"])
        for fault, card in cards.items()
        if fault not in cleared
    }
    print(f"\n{airframe}: careful cleared {len(cleared)} of {DRILLS}; not: {left or 'none'}")
    assert len(cleared) >= ENOUGH * DRILLS


@pytest.mark.slow
@pytest.mark.parametrize("site", SITES)
def test_careful_clears_drills_at_each_site(site):
    """Without a false call: neither field, walls nor air of the place are taken for a fault."""
    hidden: tuple[FaultId | None, ...] = (None, "pitch-channel-reversed", "mag-hard-iron-offset")
    for seed, fault in enumerate(hidden):
        scenario = drill(library.TRAINER, fault, site)
        card = rehearse(Attempt(scenario, "careful", seed), "drill", None)
        assert card["verdict"] == CLEARED
        assert not card["false_squawks"]
