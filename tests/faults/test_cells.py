"""A weak cell is weaker than its siblings: what has none has no weak one."""

import numpy as np
import pytest

from sim.aircraft import library
from sim.aircraft.changes import with_value
from sim.aircraft.design import world_of
from sim.faults.catalogue import CATALOGUE
from sim.faults.severity import truth_of

WEAK = CATALOGUE["pack-cell-weak"]


@pytest.mark.parametrize(("cells", "uneven"), [(1, False), (2, True), (3, True)])
def test_a_single_cell_has_no_siblings_to_be_weaker_than(cells, uneven):
    trainer = world_of(library.airframe(library.TRAINER), library.roomy_site(library.TRAINER))
    world = with_value(trainer, "build.pack.cells", cells)
    assert WEAK.present(truth_of(WEAK.inject(world, 1.0, np.random.default_rng(1)))) is uneven


def test_it_can_not_be_put_into_an_aircraft_of_one_cell():
    worlds = [
        world_of(library.airframe(name), library.roomy_site(name))
        for name in ("indoor-57mm", "small-127mm")
    ]
    assert [bool(WEAK.cannot(world)) for world in worlds] == [True, False]
