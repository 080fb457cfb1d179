"""The pilot model: a crossover law per axis with the delay of eye and hand.

McRuer and Krendel, AGARDograph 188 (1974): near crossover the whole loop is w_c exp(-tau s)/s. It
is stable only while w_c tau < pi/2; each tenth of a second of delay costs 5.7 deg per rad/s.
"""

from math import pi
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from sim.kernel.air import STANDARD_GRAVITY_M_S2
from sim.session.view import Seen
from sim.trainees.pilot import DELAY_S, LEAN_PER_M_S, PERIOD_S, Goal, Pilot

TILT_RAD = 20.0 * pi / 180.0  # rad; the trainer's self-level limit
STILL = Seen(0.3, 0.0, 1.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, False, 0.0, True)


def view_of(**changes: float) -> Any:
    """Return a view that holds nothing but the aircraft as the pilot sees it."""
    return SimpleNamespace(aircraft=SimpleNamespace(**(vars(STILL) | changes)))


def flown(delay_s: float, seconds: float = 40.0) -> np.ndarray:
    """Return the distance from the goal when a craft leans at once as the stick says."""
    pilot = Pilot(TILT_RAD, 1.5, 0.5, delay_s)
    north, speed, path = 0.3, 0.0, []
    for _ in range(round(seconds / PERIOD_S)):
        view = view_of(north_m=north, north_m_s=speed)
        sticks = pilot.sticks(view, Goal(0.0, 0.0, 1.0, 0.0))
        speed -= STANDARD_GRAVITY_M_S2 * sticks.pitch * TILT_RAD * PERIOD_S
        north += speed * PERIOD_S
        path.append(north)
    return np.array(path)


@pytest.mark.parametrize("extra_s", [0.0, 0.1])
def test_hovers_with_its_own_delay_and_a_tenth_more(extra_s):
    path = flown(DELAY_S + extra_s)
    assert np.abs(path[-500:]).max() < 0.01  # m; ten seconds at the end, thirty to settle


def test_swings_up_once_delay_times_crossover_passes_a_quarter_turn():
    path = flown(1.1 * pi / 2.0 / LEAN_PER_M_S)  # a tenth beyond w_c tau = pi/2
    assert np.abs(path[-500:]).max() > 3.0 * STILL.north_m  # the lean limit caps it near 2 m


def test_own_delay_leaves_a_flyable_phase_margin():
    margin_deg = 90.0 - np.degrees(LEAN_PER_M_S * DELAY_S)
    assert margin_deg > 45.0  # deg; what flight-control practice asks of a loop


def test_pushes_back_against_drift_on_both_axes():
    pilot = Pilot(TILT_RAD, 1.5, 0.5)
    sticks = pilot.sticks(view_of(east_m=0.5), Goal(0.0, 0.0, 1.0, 0.0))
    assert sticks.pitch > 0.0  # it is north of the goal: nose up brings it back
    assert sticks.roll < 0.0  # it is east of the goal: lean left
