"""How a stand-in gets ready for a check: what a cut at the throttle leaves is put straight first."""

from math import radians

import pytest

from sim.bench.checks.attitude import set_down
from sim.bench.rig import HANDS_OFF
from sim.session import actions as act
from sim.session.scenario import load
from sim.session.session import Session
from sim.trainees.craftwork import props, ready
from sim.trainees.driver import Hands


@pytest.mark.parametrize(("slewed_deg", "set_back"), [(4.0, False), (6.0, True), (-12.0, True)])
def test_a_slewed_aircraft_is_set_back_on_its_mark(slewed_deg, set_back):
    session = Session(load("quiet-morning"), 1)
    hands = Hands(session, session)
    ready(hands, "pad-look")
    set_down(session.rig, radians(slewed_deg))
    hands.fly(HANDS_OFF, 0.1)
    ready(hands, "pad-look")
    left = 0.0 if set_back else slewed_deg
    assert hands.see().aircraft.heading_rad == pytest.approx(radians(left), abs=radians(0.1))
    assert hands.see().conduct.pack_plugged
    hands.do(act.Read(check="pad-look"))


def test_who_fits_propellers_waits_for_large_bells_to_run_down():
    """Snapped propellers off, the largest of the fleet turn on after the check has ended."""
    drill = load("quiet-morning").model_copy(
        update={"airframe": "heavy-381mm", "site": "club-hall"}
    )
    session = Session(drill, 1)
    hands = Hands(session, session)
    ready(hands, "ramp-and-snap")
    hands.do(act.Read(check="ramp-and-snap"))
    assert hands.see().aircraft.rotors_turning
    props(hands, on=True)
    assert hands.see().conduct.props_fitted
