"""How restless commands are, against the controller's own filters fed with noise."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.ndimage import uniform_filter1d

from sim.aircraft import library
from sim.aircraft.changes import value_at, with_value
from sim.diagnosis.recordings import drawn, made
from sim.kernel.controller import (
    GYRO_S,
    PERIOD_S,
    RateFilter,
    differentiated,
    low_pass_share,
    smoothed,
)
from sim.kernel.frames import Vec3
from sim.reproduce.recorded.features import Features
from sim.reproduce.recorded.flight import flight_of
from sim.reproduce.recorded.jitter import jitter, swaying
from sim.reproduce.recorded.loading import sound_world
from sim.reproduce.recorded.noise import LEFT
from sim.reproduce.recorded.passes import feet_of, passes, tables_of, vehicle_of

TRAINER = library.airframe(library.TRAINER)
ROWS, STEP_S = 10, 0.01
SECONDS = 40.0  # s; the standard deviation of some 4000 rows is known to 1.5 %


@pytest.fixture(scope="module")
def vehicle(sound):
    return vehicle_of(sound, aboard=False)


def commands(gyro, craft):
    """Return the roll command, row by row, that the controller's own filters make of readings."""
    gain = {part: float(craft[f"controller__roll__{part}"][0]) for part in "pd"}
    gyro_share = low_pass_share(float(craft["controller__gyro_cutoff_hz"][0]), GYRO_S)
    slope_share = low_pass_share(float(craft["controller__damping_cutoff_hz"][0]), PERIOD_S)
    zero = Vec3(0.0, 0.0, 0.0)
    rates = RateFilter(zero, zero, zero, zero)
    found = np.empty(len(gyro))
    for i, x in enumerate(gyro):
        rates = smoothed(rates, Vec3(x, 0.0, 0.0), gyro_share)
        if i % round(PERIOD_S / GYRO_S) == 0:
            rates = differentiated(rates, slope_share)
            command = -gain["p"] * rates.twice_rad_s.x - gain["d"] * rates.slope_rad_s2.x
        found[i] = command
    return found[:: round(STEP_S / GYRO_S)]


def rough(x):
    return float(np.std(x - uniform_filter1d(x, ROWS)))


def readings(sigma):
    return sigma * np.random.default_rng(4).standard_normal(round(SECONDS / GYRO_S))


def test_noise_comes_through_the_filters_as_the_controller_lets_it(vehicle):
    got = rough(commands(readings(vehicle.gyro_noise_rad_s), vehicle.craft))
    said = np.sqrt(jitter(vehicle, ROWS, STEP_S, logged=False).whole[0])
    assert said == pytest.approx(got, rel=0.05)  # three standard deviations of so many rows


def test_what_a_log_has_of_it_already_is_taken_off(vehicle):
    whole = readings(vehicle.gyro_noise_rad_s)
    at = np.arange(len(whole)) * GYRO_S
    rows = slice(None, None, round(STEP_S / GYRO_S))
    between = np.interp(at, at[rows], whole[rows])
    has = rough(commands(between, vehicle.craft)) ** 2
    power = jitter(vehicle, ROWS, STEP_S, logged=True)
    assert power.whole[0] - power.beyond[0] == pytest.approx(has, rel=0.1)


UNBALANCE_G_MM = 2.0
SPEED_RAD_S, OTHER_RAD_S = 700.0, 3.0  # one rotor turns, the others all but stand


@pytest.fixture(scope="module")
def heavy(sound):
    """Return a vehicle one of whose propellers is 2 g mm out of balance, and what its gyro reads, roll."""
    nicked = with_value(
        sound, "build.rotors.front_left.propeller.extra_unbalance_g_mm", UNBALANCE_G_MM
    )
    vehicle = vehicle_of(nicked, aboard=False)
    at = np.arange(round(SECONDS / GYRO_S)) * GYRO_S
    kg_m = float(vehicle.craft["rotors__0__unbalance_kg_m"][0])
    assert kg_m == pytest.approx(UNBALANCE_G_MM * 1e-6, rel=0.15)  # the bell has some of its own
    lever = abs(float(vehicle.craft["rotors__0__hub_m__z"][0]))
    inertia = float(vehicle.craft["body__inertia_kg_m2__x"][0])
    return vehicle, at, kg_m * SPEED_RAD_S * lever / inertia * np.sin(SPEED_RAD_S * at)


def swayed(vehicle, logged):
    speeds = np.array([[SPEED_RAD_S, OTHER_RAD_S, OTHER_RAD_S, OTHER_RAD_S]])
    return swaying(vehicle, speeds, ROWS, STEP_S, logged)[0]


def test_sway_comes_through_the_filters_as_the_controller_lets_it(heavy):
    """m r w times the arm over the moment of inertia, as `tests/kernel/test_avionics.py` checks it."""
    vehicle, _, gyro = heavy
    got = rough(commands(gyro, vehicle.craft)) ** 2
    assert swayed(vehicle, logged=False)[0] == pytest.approx(got, rel=0.1)  # own: 64 frequencies


def test_of_sway_too_what_a_log_has_is_taken_off(heavy):
    vehicle, at, gyro = heavy
    rows = slice(None, None, round(STEP_S / GYRO_S))
    between = np.interp(at, at[rows], gyro[rows])
    has = rough(commands(between, vehicle.craft)) ** 2
    assert has > 0.0
    less = swayed(vehicle, logged=False)[0] - swayed(vehicle, logged=True)[0]
    assert less == pytest.approx(has, rel=0.1)  # own: the same


def test_a_loose_mount_keeps_sway_from_the_gyro(heavy):
    """Transmissibility of spring and damper, as `tests/kernel/test_avionics.py` checks it."""
    vehicle, *_ = heavy
    passed = abs((1.0 + 6j) / (1.0 - 100.0 + 6j)) ** 2
    loose = swayed(vehicle._replace(mount=(0.1 * SPEED_RAD_S, 0.3)), logged=False)
    assert loose == pytest.approx(
        passed * swayed(vehicle, logged=False), rel=0.01
    )  # the other rotors


def test_where_rotors_are_in_their_turn_moves_no_predicted_command(sound):
    """A log does not tell it, so a nick must not steer: only how restless it makes commands counts."""
    plan = replace(drawn(7, 0), rate_hz=40, attitude="outside", manoeuvre="hover", hover_s=3.0)
    one = made(plan).recording
    nicked = with_value(sound, "build.rotors.front_left.propeller.extra_unbalance_g_mm", 3.0)
    both = [vehicle_of(world, aboard=False) for world in (sound, nicked)]
    stands = -float(both[0].state["body__position_m__z"][0])
    flight = flight_of(one, stands, 0.006, feet_of(both[0]))
    features = Features(flight, TRAINER)
    calm, heavy = passes(flight, both, tables_of(sound), features.predicted)
    asked = [k for k, f in enumerate(features.list) if f.name in ("command", "push", "turning")]
    ours = np.isin(features.which, asked)
    assert ours.sum() > 100
    least = LEFT["command", 0].scale  # what sound recordings leave; the estimate feels a little
    np.testing.assert_allclose(heavy[ours], calm[ours], rtol=0.0, atol=0.2 * least)


def test_twice_the_gains_make_it_twice_as_restless(sound):
    calm = jitter(vehicle_of(sound, aboard=False), ROWS, STEP_S, logged=False)
    livelier = sound
    for part in "pd":
        key = f"setup.controller.roll.{part}"
        livelier = with_value(livelier, key, 2.0 * value_at(sound, key))
    found = jitter(vehicle_of(livelier, aboard=False), ROWS, STEP_S, logged=False)
    assert found.whole / calm.whole == pytest.approx([4.0, 1.0, 1.0])


@pytest.mark.parametrize(
    ("fault", "sign", "least"), [("rate-gain-high", 1.0, 0.5), ("rate-gain-low", -1.0, 0.4)]
)
def test_a_calm_hover_tells_gains_that_are_off(fault, sign, least):
    plan = replace(drawn(7, 1, (fault,)), rate_hz=100, attitude="outside", manoeuvre="hover", hover_s=6.0)  # fmt: skip
    one = made(replace(plan, faults=((fault, 0.5),))).recording
    world = sound_world(TRAINER)
    vehicle = vehicle_of(world, aboard=False)
    flight = flight_of(one, -float(vehicle.state["body__position_m__z"][0]), 0.006, feet_of(vehicle))  # fmt: skip
    features = Features(flight, TRAINER)
    answer = passes(flight, [vehicle], tables_of(world), features.predicted)[0]
    roll = features.which == [(f.name, f.axis) for f in features.list].index(("busy", 0))
    away = float(np.mean((features.recorded - answer)[roll]))
    assert sign * away > least  # own: sound ones lie within 0.2 of what is expected
