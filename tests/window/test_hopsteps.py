"""The hop's card ticks what the pilot can see to be done."""

from dataclasses import replace
from math import radians

import pytest

from sim.session.scenario import HopPlan, load
from sim.session.session import Session
from sim.window.hopsteps import HopSteps

PLAN = HopPlan(height_m=1.0, hover_s=5.0)
REST_M = 0.15


@pytest.fixture(scope="module")
def view():
    return Session(load("first-evening"), 7).view()


@pytest.fixture
def flown(view):
    """Return a function that lets the aircraft be seen somewhere for some seconds."""
    steps = HopSteps(PLAN)

    def seen(seconds, height_m, north_m=0.5, east_m=-0.3, heading_deg=0.0, **more):
        loaded = more.pop("loaded", height_m <= REST_M)
        aircraft = replace(
            view.aircraft,
            north_m=north_m,
            east_m=east_m,
            height_m=height_m,
            heading_rad=radians(heading_deg),
            loaded=loaded,
        )
        for _ in range(round(seconds / 0.1)):
            steps.see(replace(view, aircraft=aircraft, **more), 0.1)
        return steps

    seen(0.1, REST_M)
    return seen


def test_nothing_is_done_on_the_ground(flown):
    steps = flown(3.0, REST_M)
    assert steps.done == (False,) * 4
    assert (steps.air_s, steps.still_s) == (0.0, 0.0)
    assert flown(1.0, REST_M + 0.04, loaded=False).air_s == 0.0  # a skip


@pytest.mark.parametrize(("height_m", "lifted"), [(0.59, False), (0.61, True)])
def test_lifted_at_the_foot_of_the_band(flown, height_m, lifted):
    assert flown(1.0, height_m).lifted is lifted


def test_each_axis_is_nudged_from_where_it_stood(flown):
    flown(0.1, 1.0, north_m=0.69, east_m=-0.11, heading_deg=9.9)
    assert flown(0.1, 1.0).nudged == set()
    flown(0.1, 1.0, north_m=0.29)  # back counts as forward does
    flown(0.1, 1.0, east_m=-0.09)
    assert not flown(0.1, 1.0).done[1]
    assert flown(0.1, 1.0, heading_deg=-10.1).done[1]


@pytest.mark.parametrize(
    "out", [{"north_m": 1.11}, {"east_m": -0.91}, {"heading_deg": 10.5}, {"height_m": 1.41}]
)
def test_the_count_of_keeping_still_begins_anew_outside_the_band(flown, out):
    assert flown(3.0, 1.0).still_s == pytest.approx(3.0)
    steps = flown(0.1, **{"height_m": 1.0, **out})
    assert steps.still_s == 0.0
    assert flown(4.8, 1.0, north_m=1.09).done[2] is False
    assert flown(0.3, 1.0).done[2]
    assert flown(1.0, 0.3).done[2]  # done stays done
    assert steps.air_s == pytest.approx(3.0 + 0.1 + 4.8 + 0.3 + 1.0)


def test_down_is_down_after_a_lift_and_disarmed(flown):
    assert not flown(1.0, REST_M, armed=False).down
    flown(1.0, 1.0, armed=True)
    assert not flown(1.0, REST_M, armed=True).down
    assert flown(1.0, REST_M, armed=False).down


def test_a_crash_is_no_flight(flown):
    assert flown(1.0, 1.0, crash=("It fell over.",)).air_s == 0.0
