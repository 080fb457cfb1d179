"""Rotors on the body: momentum kept, torque and thrust where they act, the air at each hub."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from sim.bench.driven_outputs import driving_only
from sim.bench.rig import HANDS_OFF
from sim.kernel import linear
from sim.kernel.clock import TICK_S
from sim.kernel.frames import Quat, Vec3, to_world
from sim.kernel.pack import PackState

RESTED = PackState(0.9, 0.9, 0.0, 0.0, 0.0)
CLOCKWISE = ("front_right", "rear_left")
SPEED_RAD_S = 480.0  # about the hover


def driven(craft, outputs=("front_left", "front_right", "rear_right", "rear_left")):
    """Return a craft whose chosen motors get the throttle straight, without any control loop."""
    return driving_only(craft, outputs, 1.0)


@pytest.fixture(scope="module")
def adrift(quiet):
    """Weightless in a vacuum: nothing outside acts on body and rotors."""
    return quiet._replace(
        body=quiet.body._replace(gravity_m_s2=0.0),
        air=quiet.air._replace(density_kg_m3=0.0),
        lateral_drag_n_s2_m=0.0,
        frame_drag_n_s2_m2=0.0,
    )


@pytest.fixture(scope="module")
def started(flight):
    """Return a flight high up with its controller running: started(craft)."""

    def made(craft, rate=(0.0, 0.0, 0.0)):
        found = flight(craft)
        found.put("armed", 1.0)
        found.put("powered_ticks", 5000.0)
        found.put("body.position_m.z", -100.0)
        for axis, value in zip("xyz", rate, strict=True):
            found.put(f"body.rate_rad_s.{axis}", value)
        return found

    return made


@pytest.fixture(scope="module")
def coasting(quiet, started):
    """Return a flight whose rotors turn at one speed that nothing changes: coasting(craft, rate)."""

    def made(craft=quiet, rate=(0.0, 0.0, 0.0)):
        free = tuple(
            r._replace(torque_scale=0.0, motor=r.motor._replace(no_load_a=0.0))
            for r in craft.rotors
        )
        found = started(craft._replace(rotors=free, plugged=0.0), rate)
        for i in range(4):
            found.put(f"rotors.{i}.motor.speed_rad_s", SPEED_RAD_S)
        return found

    return made


def speeds(flight):
    return np.array([flight.value(f"rotors.{i}.motor.speed_rad_s") for i in range(4)])


def momentum(flight, craft):
    """Return the angular momentum of body and rotors, world axes, N m s."""
    inertia, rate = craft.body.inertia_kg_m2, flight.vector("body.rate_rad_s")
    spin = sum(
        p.spin * p.motor.inertia_kg_m2 * w
        for p, w in zip(craft.rotors, speeds(flight), strict=True)
    )
    own = np.array(inertia) * rate + (0.0, 0.0, spin)
    return np.array(to_world(Quat(*flight.vector("body.attitude", "wxyz")), Vec3(*own)))


# --- momentum ----------------------------------------------------------------------------------


def test_spinning_up_turns_the_body_the_other_way(adrift, started):
    """Two clockwise rotors spin up: the frame turns to the left by their momentum over its own."""
    flight = started(driven(adrift, CLOCKWISE))
    flight.run(1.0, HANDS_OFF._replace(throttle=0.6))
    turning = speeds(flight)
    assert (turning[[1, 3]] > 500.0).all()
    assert (turning[[0, 2]] == 0.0).all()
    inertia = adrift.rotors[1].motor.inertia_kg_m2
    expected = -inertia * turning.sum() / adrift.body.inertia_kg_m2.z
    assert expected < -1.0  # rad/s; so a lost factor shows
    # sums of 1000 changes: rounding
    assert_allclose(flight.vector("body.rate_rad_s"), (0.0, 0.0, expected), atol=1e-9)


def test_momentum_is_kept_while_it_tumbles_and_the_rotors_spin_up(adrift, started):
    flight = started(driven(adrift, CLOCKWISE), (0.5, -0.8, 1.2))
    before = momentum(flight, adrift)
    flight.run(1.0, HANDS_OFF._replace(throttle=0.6))
    # N m s; the rotors' momentum is held for each tick: 0.04 in all, turned aside by 1 rad/s for
    # half a tick, makes 2e-5
    assert_allclose(momentum(flight, adrift), before, atol=4e-5)
    assert np.abs(before).min() > 0.008


def test_air_torque_of_a_clockwise_propeller_turns_the_body_left(quiet, started):
    """Momentum of body and rotors changes by the air's torque alone, against the turning."""
    still = quiet._replace(lateral_drag_n_s2_m=0.0, frame_drag_n_s2_m2=0.0)
    flight = started(driven(still, CLOCKWISE))
    impulse = 0.0
    for _ in range(300):
        flight.run(TICK_S, HANDS_OFF._replace(throttle=0.4))
        impulse -= TICK_S * sum(flight.value(f"rotors.{i}.drag_n_m") for i in (1, 3))
    assert impulse < -0.01  # N m s
    assert momentum(flight, still)[2] == pytest.approx(impulse, rel=1e-9)  # sums in another order


# --- where things act --------------------------------------------------------------------------


@pytest.mark.parametrize(("shift", "axis", "sign"), [((0.02, 0), 1, -1.0), ((0, 0.02), 0, 1.0)])
def test_a_pack_that_slips_forward_drops_the_nose_and_one_to_the_right_that_side(
    quiet, coasting, shift, axis, sign
):
    flight = coasting(quiet._replace(strap_shift_m=Vec3(float(shift[0]), float(shift[1]), 0.0)))
    flight.put("shifted", 1.0)
    flight.run(TICK_S)
    lift = sum(flight.value(f"rotors.{i}.thrust_n") for i in range(4))
    assert lift > 12.0
    expected = np.zeros(3)
    expected[axis] = sign * lift * 0.02 / quiet.body.inertia_kg_m2[axis] * TICK_S
    # within the tick other axes couple by 1e-7 of it
    assert_allclose(flight.vector("body.rate_rad_s"), expected, atol=1e-6 * abs(expected).max())


def test_a_pack_that_has_not_slipped_changes_nothing(quiet, coasting):
    flight = coasting(quiet._replace(strap_shift_m=Vec3(0.02, 0.02, 0.0)))
    flight.run(TICK_S)
    assert_allclose(flight.vector("body.rate_rad_s"), 0.0, atol=1e-12)


# --- the air at each hub -----------------------------------------------------------------------


def damping_by_hand(craft, tables):
    """Return torque per rate about the three axes at SPEED_RAD_S, N m s, from the table itself.

    dT/dV = rho n D^3 dC_T/dJ at J = 0 (definitions of C_T and J), acting at y about roll and at x
    about pitch; lateral drag k at the hub's height about both and at the arm about yaw.
    """
    turns, size = SPEED_RAD_S / (2.0 * np.pi), craft.diameter_m
    static = np.interp(SPEED_RAD_S, tables.rotor_speed_rad_s, tables.thrust_coefficient)
    share, ratio = tables.thrust_share, tables.advance_ratio
    slope = static * (share[1] - share[0]) / (ratio[1] - ratio[0])
    axial = -craft.air.density_kg_m3 * turns * size**3 * slope
    side = craft.lateral_drag_n_s2_m * SPEED_RAD_S
    x, y, z = np.abs(craft.rotors[0].hub_m)
    return np.array(
        (
            4.0 * (axial * y**2 + side * z**2),
            4.0 * (axial * x**2 + side * z**2),
            4.0 * side * (x**2 + y**2),
        )
    )


@pytest.mark.parametrize("axis", [0, 1, 2])
@pytest.mark.parametrize("rate", [0.7, -0.7])
def test_turning_is_damped_as_the_propeller_table_says(quiet, tables, coasting, axis, rate):
    turning = np.zeros(3)
    turning[axis] = rate
    flight = coasting(quiet, tuple(turning))
    flight.run(TICK_S)
    slowed = (flight.vector("body.rate_rad_s") - turning)[axis] / TICK_S
    expected = -damping_by_hand(quiet, tables)[axis] / quiet.body.inertia_kg_m2[axis] * rate
    # frame drag turns nothing, rotors' momenta cancel; the table is linear there
    assert slowed == pytest.approx(expected, rel=1e-6)


def test_size_of_the_damping(quiet, tables):
    """Per second: an independent model (own controller, own table) of an aircraft with these rotors
    has 1.17 about roll and 0.71 about yaw with arms of 0.159 m both ways and 0.032 kg m2 about yaw;
    its axial slope is a mean over a wider range of J."""
    roll, pitch, yaw = damping_by_hand(quiet, tables) / quiet.body.inertia_kg_m2
    assert 0.8 < roll < 1.2
    hub, inertia = quiet.rotors[0].hub_m, quiet.body.inertia_kg_m2
    arms = (hub.x / hub.y) ** 2
    slide = 4.0 * quiet.lateral_drag_n_s2_m * SPEED_RAD_S  # N s/m
    turned = (roll * inertia.x - slide * hub.z**2) * arms + slide * hub.z**2
    assert pitch == pytest.approx(turned / inertia.y, rel=1e-9)
    arms = (hub.x**2 + hub.y**2) / (2.0 * 0.159**2)
    assert yaw == pytest.approx(0.71 * arms * 0.032 / inertia.z, rel=0.02)


def test_linear_damping_is_that_of_the_tick(quiet, tables):
    trim = linear.hover_trim(quiet, tables, RESTED)._replace(speed_rad_s=SPEED_RAD_S)
    found = linear.turn_damping(quiet, tables, trim)
    assert_allclose(found, damping_by_hand(quiet, tables), rtol=1e-9)


def test_a_flown_roll_dies_away_at_that_rate(quiet, tables, hovering):
    """Loops open, motors driven: e^-ct to the closed form, not for the rate of one tick alone."""
    flight, sticks = hovering(driven(quiet))
    flight.put("body.rate_rad_s.x", 0.3)
    seen = flight.run(0.2, sticks)["roll_rate_rad_s"]
    rate = np.log(seen[0] / seen[-1]) / (TICK_S * (len(seen) - 1))
    by_hand = damping_by_hand(quiet, tables)[0] / quiet.body.inertia_kg_m2.x
    # motors at constant voltage speed up where the air takes less torque, and 0.06 rad of lean
    # begins to slide: a few per cent
    assert rate == pytest.approx(by_hand, rel=0.08)


def test_a_hub_turned_into_the_air_lifts_less(quiet, coasting):
    """Rolled to the right, the left hubs rise and lift less, the right ones sink and lift more."""
    flight = coasting(quiet, (1.0, 0.0, 0.0))
    flight.run(TICK_S)
    lift = [flight.value(f"rotors.{i}.thrust_n") for i in range(4)]
    still = coasting(quiet)
    still.run(TICK_S)
    middle = still.value("rotors.0.thrust_n")
    assert lift[0] == pytest.approx(lift[3])
    assert lift[1] == pytest.approx(lift[2])
    assert lift[1] - middle == pytest.approx(middle - lift[0], rel=1e-3)
    assert lift[0] < 0.995 * middle


# --- braking into the supply -------------------------------------------------------------------


@pytest.mark.parametrize("props", [1.0, 0.0])
def test_braking_rotors_send_current_back_but_no_charge(quiet, started, props):
    """Chopped from full to 0.3 they brake: the current turns round for a moment. The charge only
    falls, and what could have come back is below what the rotors held as energy of motion."""
    craft = driven(quiet._replace(rotors=tuple(r._replace(fitted=props) for r in quiet.rotors)))
    flight = started(craft)
    flight.run(1.5, HANDS_OFF._replace(throttle=1.0))
    held_j = 0.5 * craft.rotors[0].motor.inertia_kg_m2 * float((speeds(flight) ** 2).sum())
    charges, amps, back_j = [flight.value("pack.charge")], [], 0.0
    for _ in range(300):
        flight.run(TICK_S, HANDS_OFF._replace(throttle=0.3))
        charges.append(flight.value("pack.charge"))
        amps.append(flight.value("pack.current_a"))
        back_j -= TICK_S * min(0.0, amps[-1]) * flight.value("supply_v")
    drawn = np.maximum(amps, 0.0) * TICK_S / craft.pack.capacity_c
    assert (np.array(amps) < 0.0).sum() > 10
    # charge near 1 is kept to 1e-16
    assert_allclose(-np.diff(charges), drawn, atol=1e-15)
    assert 0.1 * held_j < back_j < held_j
    pack_j = craft.pack.capacity_c * 11.1  # J; nominal three cells
    assert back_j < 0.001 * pack_j
