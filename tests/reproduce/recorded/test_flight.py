"""A recording as what forces the model, and the hypotheses it is compared with."""

from dataclasses import replace

import numpy as np
import pytest

from sim.aircraft import library
from sim.aircraft.changes import value_at
from sim.diagnosis.recordings import Plan, made
from sim.faults.catalogue import CATALOGUE
from sim.kernel.clock import ticks
from sim.reproduce.causes import groups
from sim.reproduce.channels import COLUMNS
from sim.reproduce.recorded.features import Features, unmixer
from sim.reproduce.recorded.finding import _mass
from sim.reproduce.recorded.flight import BEYOND_S, FORCED_AT, SETTLE_S, Lateness, calmed, flight_of
from sim.reproduce.recorded.hypotheses import TRAVEL, UNSEEN, hypotheses, seen_faults
from sim.reproduce.recorded.loading import sound_world
from sim.reproduce.recorded.nuisance import BLURRED_S, NUISANCES, changes, open_sigmas
from sim.reproduce.recorded.passes import charge_at, feet_of, passes, tables_of, vehicle_of
from sim.reproduce.recorded.places import place_of
from sim.reproduce.recorded.summing import causes

TRAINER = library.airframe(library.TRAINER)
FEET = 0.1 * np.array(
    [[1.0, -1.0, 1.0], [1.0, 1.0, 1.0], [-1.0, 1.0, 1.0], [-1.0, -1.0, 1.0]]
)  # m; own


@pytest.fixture(scope="module")
def short():
    return made(Plan(seed=5, manoeuvre="takeoff", rate_hz=100, noise=0.0))


@pytest.fixture(scope="module")
def flight(short):
    sound = vehicle_of(sound_world(TRAINER), aboard=False)
    return flight_of(
        short.recording, -float(sound.state["body__position_m__z"][0]), 0.0, feet_of(sound)
    )


def test_rows_fall_on_the_ticks_that_they_were_logged_at(short, flight):
    t = short.recording["time_s"]
    assert flight.ends[0] == ticks(SETTLE_S) + 1
    for row in (0, 50, len(t) - 1):
        now = flight.forcing[flight.ends[row] - 1]
        assert now[FORCED_AT["rate_y_rad_s"]] == pytest.approx(
            short.recording["pitch_rate_rad_s"][row], abs=1e-6
        )
        assert now[FORCED_AT["stick_throttle"]] == pytest.approx(
            short.recording["stick_throttle"][row], abs=1e-6
        )


def test_it_flies_when_it_is_off_the_floor(short, flight):
    height = short.recording["height_m"]
    floor = height[0]
    assert flight.air[height > floor + 0.1].mean() > 0.9
    assert not flight.air[height < floor + 0.01].any()
    assert not (flight.rest & flight.armed).any()
    assert flight.rest.sum() > 50


@pytest.mark.parametrize(
    ("by", "column", "stays"),
    [
        (Lateness(drives=0.05), "output_0", "stick_roll"),
        (Lateness(sticks=0.05), "stick_throttle", "output_0"),
    ],
)
def test_later_commands_come_later(flight, by, column, stays):
    late = flight.late(by)
    i, k = FORCED_AT[column], FORCED_AT[stays]
    assert late.forcing[3000:, i] == pytest.approx(flight.forcing[2950:-50, i])
    assert np.array_equal(late.forcing[:, k], flight.forcing[:, k])


def test_a_turned_board_logs_along_its_own_axes(short):
    aboard = made(Plan(seed=5, manoeuvre="takeoff", attitude="aboard")).recording
    seen = flight_of(aboard, 0.1, 0.0, FEET)
    quarter = np.array([[0.0, 1.0, 0.0], [-1.0, 0.0, 0.0], [0.0, 0.0, 1.0]])  # board from body axes
    body = seen.turned(quarter)
    x, y = (FORCED_AT[f"rate_{axis}_rad_s"] for axis in "xy")
    assert body.forcing[:, x] == pytest.approx(-seen.forcing[:, y])
    assert body.forcing[:, y] == pytest.approx(seen.forcing[:, x])


def test_commands_are_what_the_mixer_makes_drives_of():
    throttle, roll, pitch, yaw = unmixer(TRAINER) @ np.array([0.6, 0.4, 0.4, 0.6])
    assert (throttle, roll) == pytest.approx((0.5, 0.1))
    assert (pitch, yaw) == pytest.approx((0.0, 0.0), abs=1e-12)


def test_a_sound_model_answers_what_was_recorded(short, flight):
    features = Features(flight, TRAINER)
    sound = vehicle_of(sound_world(TRAINER), aboard=False)
    world = sound_world(TRAINER)
    answer = passes(flight, [sound], tables_of(world), features.predicted)[0]
    left = features.recorded - answer
    for k, feature in enumerate(features.list):
        here = features.which == k
        size = features.recorded[here].std()
        if feature.name in ("throttle", "amp") or (feature.name == "command" and feature.axis < 2):
            assert left[here].std() < 0.3 * size, feature.name
    assert len(answer) == len(features.recorded) == len(features.times_s)


def test_the_voltage_at_rest_tells_the_charge():
    world = sound_world(TRAINER)
    full, half = (charge_at(world, tables_of(world), v) for v in (12.5, 11.5))
    assert 0.55 < half < full <= 1.0


def test_every_fault_is_weighed_or_said_to_leave_nothing():
    world = sound_world(TRAINER)
    weighed = {h.fault for h in hypotheses(world)}
    assert weighed == set(seen_faults(world))
    rest = {name for name, fault in CATALOGUE.items() if fault.family != "conduct"}
    assert weighed | set(UNSEEN) == rest
    assert not weighed & set(UNSEEN)


def test_ways_without_degrees_are_kept_by_value():
    world = sound_world(TRAINER)
    turns = {
        value_at(h.world, "build.sensors.compass_turn_deg")
        for h in hypotheses(world)
        if h.fault == "mag-mount-rotated" and h.world is not None
    }
    assert turns == {-90.0, 90.0, 180.0}


def test_every_order_of_three_sticks_is_looked_at_once():
    world = sound_world(TRAINER)
    every = [h for h in hypotheses(world) if h.fault == "channel-order-mixed"]
    orders = [value_at(h.world, "setup.transmitter.order") for h in every if h.world is not None]
    kinds = set(orders)
    assert len(kinds) == 5  # six orders of roll, pitch and yaw, less the right one
    assert all(order[2] == "throttle" for order in kinds)
    assert not any(h.degrees for h in every)
    assert len({h.chain for h in every}) == len(every)


def test_short_ends_are_looked_at_with_the_throttle_set_right_too_and_shorter_than_a_drill_has_them():
    world = sound_world(TRAINER)
    low = "setup.transmitter.{}.low_us".format
    alone = [
        (h.severity, [value_at(h.world, low(stick)) for stick in ("roll", "pitch", "yaw")])
        for h in hypotheses(world)
        if h.fault == "stick-ends-short"
        and h.world is not None
        and value_at(h.world, "setup.transmitter.throttle")
        == value_at(world, "setup.transmitter.throttle")
    ]
    assert [severity for severity, _ in alone] == sorted(TRAVEL)
    assert alone[0][1] == [1045.0] * 3  # 9 % of the way from the middle to the end
    assert alone[-1][1] == [1275.0] * 3  # 55 %


def test_gains_are_unequal_by_either_axis():
    world = sound_world(TRAINER)
    sound = {axis: value_at(world, f"setup.controller.{axis}.p") for axis in ("roll", "pitch")}
    moved: dict[str, list[float]] = {"roll": [], "pitch": []}
    for h in hypotheses(world):
        if h.fault == "axis-gains-unequal" and h.world is not None:
            times = {a: value_at(h.world, f"setup.controller.{a}.p") / sound[a] for a in sound}
            (axis,) = [a for a in sound if times[a] != 1.0]
            moved[axis].append(times[axis])
    assert sorted(moved["roll"]) == pytest.approx([0.5, 2.0])
    assert min(moved["pitch"]) < 0.6
    assert max(moved["pitch"]) > 1.6


def test_steps_of_severity_stand_in_a_row_and_go_up():
    world = sound_world(TRAINER)
    chains: dict[int, list[float]] = {}
    for h in hypotheses(world):
        if h.degrees:
            chains.setdefault(h.chain, []).append(h.severity)
    assert min(len(steps) for steps in chains.values()) == 3
    assert all(steps == sorted(set(steps)) for steps in chains.values())


def test_a_controller_that_holds_no_heading_is_among_what_is_not_known(sound):
    hold = next(n for n in NUISANCES if n.name == "heading hold")
    assert sound.setup.controller.heading_hold
    assert changes(sound, hold, 1.0) == {"setup.controller.heading_hold": False}


def test_rows_after_a_landing_are_not_gone_through(flight):
    last = flight.times_s[flight.armed][-1]
    assert last < flight.times_s[flight.ends == flight.told[-1]][0] <= last + BEYOND_S
    assert len(flight.told) < len(flight.ends)


def test_its_own_hover_tells_its_mass():
    world = sound_world(TRAINER)
    one = made(Plan(seed=7, manoeuvre="hover", hover_s=5.0, rate_hz=50)).recording
    sound = vehicle_of(world, aboard=False)
    seen = flight_of(one, -float(sound.state["body__position_m__z"][0]), 0.006, feet_of(sound))
    felt = passes(seen, [sound], tables_of(world), lambda answers, _: answers)[0]
    assert _mass(seen, felt) == pytest.approx(1.0, abs=0.06)
    assert _mass(seen, 0.95 * felt) == pytest.approx(0.95 * _mass(seen, felt))
    assert _mass(seen, 2.0 * felt) == 1.15
    assert _mass(replace(seen, air=np.zeros_like(seen.air)), 1.1 * felt) == 1.0


def left_open(flight, hovers):
    return dict(zip((n.name for n in NUISANCES), open_sigmas(flight, hovers), strict=True))


def test_slow_rows_leave_more_open_of_what_shows_between_them(flight):
    quick, slow = (left_open(replace(flight, step_s=x), False) for x in (0.0, BLURRED_S))
    assert slow["roll gain"] == pytest.approx(2.0 * quick["roll gain"])
    assert slow["mass"] == quick["mass"] == 1.0


def test_a_hover_leaves_little_open_of_mass_and_thrust_alone(flight):
    hovered, short_hop = left_open(flight, True), left_open(flight, False)
    assert {name for name in hovered if hovered[name] < short_hop[name]} == {"mass", "thrust"}


def test_the_heading_of_a_turned_compass_is_turned_back(short):
    outside = flight_of(short.recording, 0.1, 0.0, FEET)
    assert outside.headed(0.5) is outside
    aboard = flight_of(replace(short.recording, attitude="aboard"), 0.1, 0.0, FEET)
    parts = [FORCED_AT[f"attitude_{part}"] for part in "wxyz"]
    before, after = (f.forcing[-1, parts] for f in (aboard, aboard.headed(0.5)))
    change = 2.0 * (np.arctan2(after[3], after[0]) - np.arctan2(before[3], before[0]))
    assert np.angle(np.exp(1j * change)) == pytest.approx(-0.5, abs=0.01)


def test_what_noise_makes_of_commands_is_calmed_and_what_hands_make_is_not():
    step_s, rng = 0.01, np.random.default_rng(2)
    t = np.arange(0.0, 10.0, step_s)
    noise = 0.002 * rng.standard_normal((len(t), 4))
    hands = np.where((t > 5.0) & (t < 5.25), 0.05, 0.0)[:, None] * np.array([1.0, -1.0, 1.0, -1.0])
    slow = 0.01 * np.sin(2.0 * np.pi * 0.5 * t)[:, None] * np.ones(4)
    on = np.ones(len(t), dtype=bool)
    found = calmed(0.4 + slow + hands + noise, on, step_s)
    still = (t > 1.0) & (t < 4.5)
    left = found - (0.4 + slow + hands)
    assert left[still].std() < 0.4 * noise[still].std()  # a fourth of the band is slow, and stays
    edge = (t > 4.98) & (t < 5.05)
    assert np.abs(left[edge]).max() < 0.2 * 0.05
    assert calmed(noise, ~on, step_s) is noise


def test_who_kept_no_positions_can_not_tell_wind_from_drift(short, flight):
    rows = short.recording.rows.copy()
    rows[:, [COLUMNS.index("north_m"), COLUMNS.index("east_m")]] = np.nan
    lost = replace(flight, recording=replace(short.recording, rows=rows))
    here, there = left_open(flight, False), left_open(lost, False)
    assert {name for name in here if there[name] > here[name]} == {"wind north", "wind east"}
    assert there["wind north"] == pytest.approx(6.0)  # 0.3 m/s of drift in sigmas of 0.05 m/s


def test_splines_and_straight_lines_meet_at_the_rows(short, flight):
    bent = flight_of(short.recording, 0.1, 0.0, FEET, curved=True)
    rate = FORCED_AT["rate_x_rad_s"]
    at = flight.ends - 1
    assert bent.forcing[at, rate] == pytest.approx(flight.forcing[at, rate], abs=1e-9)
    assert np.abs(bent.forcing[:, rate] - flight.forcing[:, rate]).max() > 1e-4


def test_a_turned_board_keeps_the_heading_of_its_compass(short):
    aboard = made(Plan(seed=5, manoeuvre="takeoff", attitude="aboard")).recording
    seen = flight_of(aboard, 0.1, 0.0, FEET)
    quarter = np.array([[0.0, 1.0, 0.0], [-1.0, 0.0, 0.0], [0.0, 0.0, 1.0]])
    parts = [FORCED_AT[f"attitude_{part}"] for part in "wxyz"]
    logged, body = (f.forcing[-1, parts] for f in (seen, seen.turned(quarter)))
    heading = [2.0 * np.arctan2(q[3], q[0]) for q in (logged, body)]
    away = np.angle(np.exp(1j * (heading[1] - heading[0])))
    assert away == pytest.approx(0.0, abs=0.02)  # rad; it stands a little askew


def test_places_are_said_in_words():
    assert place_of({"build.rotors.rear_left.motor.gain": (1.0, 1.1)}) == "rear left"
    assert place_of({"build.frame.cg_offset_m": ((0.0, 0.0, 0.0), (0.01, 0.0, 0.0))}) == "nose"
    assert place_of({"build.frame.cg_offset_m": ((0.0, 0.0, 0.0), (0.0, -0.01, 0.0))}) == "left"
    assert place_of({"setup.level_trim_pitch_deg": (0.0, -3.0)}) == "nose down"
    assert place_of({"setup.controller.idle": (0.1, 0.2)}) is None


@pytest.mark.slow
@pytest.mark.parametrize(
    ("fault", "severity", "seed"),
    [("motor-spin-reversed", 0.5, 11), ("tilt-limit-wild", 0.4, 11), ("over-mass", 1.0, 12)],
)
def test_what_was_put_in_is_found(fault, severity, seed):
    plan = Plan(seed=seed, faults=((fault, severity),), manoeuvre="nudges")
    one = made(plan)
    found = causes(one.recording, TRAINER)
    assert (fault,) in groups(found)[0]
    cause = found.of((fault,))
    assert cause is not None
    if one.truth.places:
        assert cause.place == one.truth.places[0].replace("_", " ")
