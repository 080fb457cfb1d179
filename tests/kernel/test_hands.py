"""Being held: reaching the pose asked for, and the tremor of hands."""

from math import exp

import numpy as np
import pytest
from numpy.testing import assert_allclose

from sim.kernel import hands
from sim.kernel.body import BodyState
from sim.kernel.frames import UPRIGHT, ZERO, Quat, Vec3, attitude_error, from_angles, norm, to_world

WRIST = Vec3(0.4, -0.2, -1.2)
POSE = from_angles(0.5, -0.4, 2.0)


@pytest.fixture
def held(craft, flight):
    """Return a flight held by a kind of hold, turning to a pose."""

    def made(kind, target=POSE, seed=7):
        grip = Vec3(0.12, 0.0, -0.05) if kind == hands.HANDS else ZERO
        hold = craft.hold._replace(
            kind=kind,
            target=target,
            wrist_m=WRIST,
            grip_m=grip,
            stiffness_rad_s=22.0 if kind == hands.HANDS else 90.0,
        )
        return flight(craft._replace(hold=hold), seed=seed)

    return made


def attitude(flight, path="body.attitude"):
    return Quat(*flight.vector(path, "wxyz"))


def test_clamp_reaches_the_pose_and_keeps_it(held):
    flight = held(hands.CLAMP)
    flight.run(5.0)
    # rad, m; the last third of the way shrinks by e^-3 a second, the clamp is free of tremor
    assert norm(attitude_error(POSE, attitude(flight))) < 1e-3
    assert_allclose(flight.vector("body.position_m"), WRIST, atol=1e-3)
    assert np.abs(flight.vector("body.rate_rad_s")).max() < 0.01


def test_hands_reach_the_pose_within_their_tremor(held):
    flight = held(hands.HANDS)
    flight.run(5.0)
    away = []
    for _ in range(50):
        flight.run(0.1)
        away.append(attitude_error(POSE, attitude(flight)))
    # rad; 50 looks at a tremor of 6 mrad with a memory of 50 ms: mean to 1 mrad, twice that allowed
    assert np.abs(np.mean(away, axis=0)).max() < 0.002
    # the arms follow the tremor only in part: their own 3.5 Hz cuts its quick share
    assert 0.002 < np.std(away) < 0.006
    # the hands do not sag: weight is carried, so the grip is where the pose puts it
    expected = np.array(WRIST) + to_world(POSE, Vec3(0.12, 0.0, -0.05))
    assert_allclose(flight.vector("body.position_m"), expected, atol=0.005)


def test_turn_is_unhurried_and_smooth(held):
    seen = held(hands.CLAMP, from_angles(0.0, 0.0, 3.0)).run(4.0)
    rate = seen["yaw_rate_rad_s"]
    assert rate.max() < 1.7  # rad/s; limit 1.6 and a little swing of the hold
    assert rate.max() > 1.5
    assert np.abs(np.diff(rate)).max() < 0.05  # rad/s a tick; 0.15 s of smoothing gives 0.011


def test_tremor_has_its_stated_size_and_memory(craft):
    params = craft.hold._replace(kind=hands.HANDS)
    random, tremor, seen = np.uint64(3), ZERO, []
    for _ in range(5000):
        random, tremor = hands.shaken(np.uint64(random), tremor, params, params.tremor_s)
        seen.append(tremor)
    shakes = np.array(seen)
    # 15 000 numbers that share e^-1 with the last: spread known to 0.8 %
    assert shakes.std() == pytest.approx(params.tremor_rad, rel=0.03)
    alike = (shakes[1:] * shakes[:-1]).mean() / shakes.var()
    assert alike == pytest.approx(exp(-1.0), abs=0.03)  # three times 0.008


@pytest.mark.parametrize("dt_s", [0.001, 0.004])
@pytest.mark.parametrize(("away", "asked"), [(0.2, 0.6), (-0.2, -0.6), (1.0, 1.6), (-1.0, -1.6)])
def test_hands_ease_off_three_times_the_way_left_a_second(craft, away, asked, dt_s):
    """Rate asked for: 3/s of the way left, at most 1.6 rad/s; reached through 0.15 s of smoothing."""
    clamp = craft.hold._replace(kind=hands.CLAMP, target=from_angles(away, 0.0, 0.0))
    state = hands.HoldState(UPRIGHT, ZERO, ZERO)
    _, after = hands.guided(np.uint64(1), state, clamp, dt_s)
    expected = asked * (1.0 - exp(-dt_s / 0.15))
    assert after.rate_rad_s.x == pytest.approx(expected, rel=1e-9)
    turned = attitude_error(after.attitude, UPRIGHT)
    assert turned.x == pytest.approx(expected * dt_s, rel=1e-6)  # half angles, small


def test_free_aircraft_is_not_held(craft):
    body = BodyState(ZERO, UPRIGHT, ZERO, ZERO)
    state = hands.HoldState(POSE, ZERO, ZERO)
    free = craft.hold._replace(kind=hands.FREE)
    force, torque = hands.hold_wrench(
        body, state, free, craft.body.mass_kg, craft.body.inertia_kg_m2, 9.81
    )
    assert (force, torque) == (ZERO, ZERO)
    assert hands.guided(np.uint64(1), state, free, 0.001)[1] == state


def test_hold_pulls_towards_its_pose_and_carries_the_weight(craft):
    clamp = craft.hold._replace(kind=hands.CLAMP, wrist_m=WRIST, grip_m=ZERO)
    state = hands.HoldState(UPRIGHT, ZERO, ZERO)

    def pull(body):
        return hands.hold_wrench(
            body, state, clamp, craft.body.mass_kg, craft.body.inertia_kg_m2, 9.81
        )

    force, torque = pull(BodyState(WRIST, UPRIGHT, ZERO, ZERO))
    assert_allclose(force, (0.0, 0.0, -1.5 * 9.81), atol=1e-12)
    assert torque == ZERO
    force, _ = pull(BodyState(Vec3(0.5, -0.2, -1.2), UPRIGHT, ZERO, ZERO))
    assert force.x < 0.0
    _, torque = pull(BodyState(WRIST, from_angles(0.1, 0.0, 0.0), ZERO, ZERO))
    assert torque.x < 0.0


def led_to(held, rate, seconds, **changes):
    """Return a flight of an aircraft in the hands, led at a rate for a time."""
    flight = held(hands.HANDS, UPRIGHT)
    row = flight.crafts
    row["hold__led"][0] = 1.0
    for axis, value in zip("xyz", rate, strict=True):
        row[f"hold__lead_rad_s__{axis}"][0] = value
    for name, value in changes.items():
        row[f"hold__{name}"][0] = value
    return flight, flight.run(seconds)


@pytest.mark.parametrize(("axis", "column"), [("x", "roll"), ("y", "pitch"), ("z", "heading")])
def test_hands_led_at_a_rate_turn_it_so_about_that_axis_of_the_body(held, axis, column):
    rate = ZERO._replace(**{axis: 0.8})
    _, seen = led_to(held, rate, 1.15)  # s; 0.15 of which is its lag
    for other in ("roll", "pitch", "heading"):
        expected = 0.8 if other == column else 0.0
        assert seen[f"{other}_rad"][-1] == pytest.approx(expected, abs=0.03)  # rad; five of tremor


def test_led_no_further_they_come_to_rest_where_the_way_ends(held):
    flight, _ = led_to(held, ZERO._replace(y=-1.6), 0.2)
    flight.crafts["hold__lead_rad_s__y"][0] = 0.0
    seen = flight.run(1.5)
    # all of the way asked for, 1.6 rad/s for 0.2 s, is gone through the lag: and nothing beyond it
    assert seen["pitch_rad"][-500:].mean() == pytest.approx(-0.32, abs=0.01)
    assert seen["pitch_rad"].min() > -0.36


def drawn(turn, **cable):
    """Return the torque of the cable at a turn to the right."""
    return hands.cable_n_m(from_angles(0.0, 0.0, turn), **cable)


def test_the_cable_is_loose_then_pulls_back_the_more_the_further():
    assert drawn(0.99) == ZERO
    assert drawn(-0.99) == ZERO
    near, far = drawn(1.1).z, drawn(1.5).z
    assert near == pytest.approx(-0.03, rel=1e-6)  # N m; 0.3 a radian beyond one radian
    assert far == pytest.approx(-0.15, rel=1e-6)
    assert drawn(-1.5).z == pytest.approx(0.15, rel=1e-6)
    assert hands.cable_n_m(from_angles(1.5, 0.0, 0.0)).x == pytest.approx(-0.15, rel=1e-6)


def test_a_taut_cable_ends_the_turn_and_lets_it_back(held):
    flight, seen = led_to(held, ZERO._replace(z=1.6), 3.0, cable=1.0)
    reached = hands.CABLE_REACH_RAD
    held_at = norm(attitude_error(attitude(flight, "hold.attitude"), UPRIGHT))
    assert held_at == pytest.approx(reached, abs=0.01)  # rad; a tick's turn at most beyond it
    # it lags behind the hands by what the cable pulls: 0.3 N m of 22² x the inertia, 0.04 rad or so
    lag = hands.CABLE_PULL_N_M_RAD * (reached - 1.0) / (22.0**2 * held_inertia(flight))
    assert seen["heading_rad"][-300:].mean() == pytest.approx(held_at - lag, abs=0.01)
    flight.crafts["hold__lead_rad_s__z"][0] = -1.6
    back = flight.run(1.0)["heading_rad"][-1]
    assert back == pytest.approx(held_at - 1.6 * 0.85, abs=0.05)


def held_inertia(flight):
    return float(flight.crafts["body__inertia_kg_m2__z"][0])


def test_without_the_cable_nothing_is_in_the_way(held):
    _, seen = led_to(held, ZERO._replace(z=1.6), 3.0)
    assert np.unwrap(seen["heading_rad"])[-1] == pytest.approx(1.6 * 2.85, abs=0.05)
