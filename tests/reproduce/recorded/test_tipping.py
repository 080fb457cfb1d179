"""What an aircraft does that tips over on its feet, against a rigid body about a fixed axis."""

from dataclasses import replace

import numpy as np
import pytest

from sim.aircraft import library
from sim.diagnosis.recordings import drawn, made
from sim.kernel.air import STANDARD_GRAVITY_M_S2 as G
from sim.reproduce.recorded.features import Features
from sim.reproduce.recorded.flight import downwards, flight_of
from sim.reproduce.recorded.hypotheses import hypotheses
from sim.reproduce.recorded.loading import Loader, sound_world
from sim.reproduce.recorded.passes import feet_of, passes, tables_of, vehicle_of
from sim.reproduce.recorded.tipping import turning

TRAINER = library.airframe(library.TRAINER)
CALM = np.zeros((1, 3))


@pytest.fixture(scope="module")
def vehicle(sound):
    return vehicle_of(sound, aboard=False)


def leaning(roll_deg: float, pitch_deg: float) -> np.ndarray:
    return downwards(np.radians([[roll_deg, pitch_deg]]))


def about_the_right_feet(vehicle, roll_rad: float) -> tuple[float, float]:
    """Return (lever of gravity in m, inertia in kg m2) about the line through both right feet.

    A rigid body about a fixed axis: the parallel axis theorem (mechanics textbooks; from memory).
    """
    mass = float(vehicle.craft["body__mass_kg"][0])
    across, deep = feet_of(vehicle)[1, 1:]
    inertia = float(vehicle.craft["body__inertia_kg_m2__x"][0]) + mass * (across**2 + deep**2)
    return across * np.cos(roll_rad) - deep * np.sin(roll_rad), inertia


@pytest.mark.parametrize("roll_deg", [5.0, 20.0, 40.0])
def test_without_thrust_it_falls_back_as_a_body_hinged_at_two_feet(vehicle, roll_deg):
    lever, inertia = about_the_right_feet(vehicle, np.radians(roll_deg))
    mass = float(vehicle.craft["body__mass_kg"][0])
    found = turning(CALM, CALM, leaning(roll_deg, 0.0), CALM, vehicle)[0]
    assert found == pytest.approx([-mass * G * lever / inertia, 0.0, 0.0], abs=1e-9)


def test_beyond_the_line_over_its_feet_it_falls_over(vehicle):
    over, _ = about_the_right_feet(vehicle, np.radians(60.0))
    assert over < 0.0
    assert turning(CALM, CALM, leaning(60.0, 0.0), CALM, vehicle)[0, 0] > 1.0


def test_a_floor_pushes_and_never_pulls(vehicle):
    lifted = np.array([[0.0, 0.0, -1.2 * G]])
    free = np.array([[3.0, -2.0, 0.5]])
    assert turning(free, lifted, leaning(10.0, 0.0), CALM, vehicle) == pytest.approx(free)
    turned_up = np.array([[-30.0, 0.0, 0.0]])  # its low corner goes up faster than a floor follows
    up = turning(turned_up, 0.8 * lifted, leaning(10.0, 0.0), CALM, vehicle)
    assert up == pytest.approx(turned_up)


def test_thrust_at_the_far_side_tips_it_about_the_near_feet(vehicle):
    roll = np.radians(10.0)
    lever, inertia = about_the_right_feet(vehicle, roll)
    mass = float(vehicle.craft["body__mass_kg"][0])
    across = float(feet_of(vehicle)[1, 1])
    thrust = 0.7 * mass * G  # N, along the body's up, as far left as the right feet lie right
    free = np.array(
        [[thrust * across / float(vehicle.craft["body__inertia_kg_m2__x"][0]), 0.0, 0.0]]
    )
    felt = np.array([[0.0, 0.0, -thrust / mass]])
    expected = (thrust * 2.0 * across - mass * G * lever) / inertia
    found = turning(free, felt, leaning(10.0, 0.0), CALM, vehicle)[0]
    assert expected > 0.0
    assert found == pytest.approx([expected, 0.0, 0.0], abs=1e-9)


def test_one_foot_holds_where_both_other_sides_lean(vehicle):
    """Weight behind and left of the lowest foot, the front right one, turns it back about both."""
    found = turning(CALM, CALM, leaning(15.0, -15.0), CALM, vehicle)[0]
    assert found[0] < -5.0
    assert found[1] > 5.0


@pytest.fixture(scope="module")
def flipped():
    plan = replace(drawn(3, 1, ("motor-spin-reversed",)), rate_hz=50, manoeuvre="hover", noise=0.0)
    return made(replace(plan, attitude="outside", kept=("accelerometer",)))


def test_what_turned_over_on_its_feet_shows_which_corner_failed(flipped):
    world = sound_world(TRAINER)
    sound = vehicle_of(world, aboard=False)
    flight = flight_of(flipped.recording, -float(sound.state["body__position_m__z"][0]), 0.006, feet_of(sound))  # fmt: skip
    assert flight.tip.sum() * flight.step_s > 0.2
    assert not (flight.tip & flight.air).any()
    features = Features(flight, TRAINER)
    load = Loader(flight, world, 0.9, 1.0)
    ways = [h for h in hypotheses(world) if h.fault == "motor-spin-reversed"]
    worlds = [load.sound(), *(load.of(way) for way in ways)]
    answers = passes(flight, worlds, tables_of(world), features.predicted)
    roll = features.which == [(f.name, f.axis) for f in features.list].index(("tipping", 0))
    left = np.sqrt(np.mean((answers - features.recorded)[:, roll] ** 2, axis=1))
    best = ways[int(np.argmin(left[1:]))]
    assert best.place == flipped.truth.places[0].replace("_", " ")
    assert left[1:].min() < 0.1 * left[0]  # own: a tenth of what a sound aircraft leaves
