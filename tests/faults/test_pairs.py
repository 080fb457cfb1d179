"""Two faults on one corner: neither may hide the other, and the air follows the geometry."""

from itertools import permutations

import numpy as np
import pytest

from sim.aircraft.build import Propeller
from sim.aircraft.changes import with_value
from sim.aircraft.fields import PLACES
from sim.aircraft.powertrain import thrust_scales
from sim.faults.catalogue import CATALOGUE
from sim.keys import FaultId
from sim.session import scenario
from sim.session.scenario import HiddenFault
from sim.session.session import Session

TURN: FaultId = "motor-spin-reversed"
HAND: FaultId = "prop-wrong-hand"
OVER: FaultId = "prop-upside-down"


@pytest.mark.parametrize("pair", [*permutations((TURN, HAND, OVER), 2)], ids=" then ".join)
def test_neither_hides_the_other(pair):
    quiet = scenario.load("quiet-morning")
    hidden = tuple(HiddenFault(id=name) for name in pair)
    drill = quiet.model_copy(update={"faults": hidden})
    for seed in range(12):
        assert Session(drill, seed).record().present_at_start == set(pair)


def test_mirror_work_has_both_on_one_corner_too():
    drill = scenario.load("mirror-work")
    shared = 0
    for seed in range(12):
        rotors = drill.world(np.random.default_rng(seed)).build.rotors
        places = [getattr(rotors, place) for place in PLACES]
        shared += any(not p.motor.spin_right and not p.propeller.right_way_up for p in places)
        assert Session(drill, seed).record().present_at_start == {TURN, OVER}
    assert shared


def test_where_no_corner_is_as_planned_a_fault_still_goes_in():
    world = scenario.load("quiet-morning").world(np.random.default_rng(0))
    for place in PLACES:
        world = with_value(world, f"build.rotors.{place}.motor.spin_right", False)
    changed = CATALOGUE[HAND].inject(world, 0.5, np.random.default_rng(0))
    assert sum(not getattr(changed.build.rotors, p).propeller.right_hand for p in PLACES) == 1


@pytest.mark.parametrize(
    ("right_hand", "right_way_up", "spin_right", "lifts"),
    [
        (True, True, True, 1.0),
        (True, True, False, -0.6),
        (False, True, False, 1.0),
        (True, False, True, 0.6),
        (True, False, False, -1.0),  # the blade is right again, but facing down
    ],
)
def test_which_way_a_propeller_blows(right_hand, right_way_up, spin_right, lifts):
    prop = Propeller(right_hand=right_hand, right_way_up=right_way_up)
    assert thrust_scales(prop, spin_right)[0] == pytest.approx(lifts)
