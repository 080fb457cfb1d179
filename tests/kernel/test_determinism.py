"""The same seed gives the same bits; so do threads, and however a flight is cut up."""

from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest

from sim.bench.rig import HANDS_OFF
from sim.kernel.history import HISTORY
from sim.kernel.run import NO_HISTORY, run

MIXED = (  # seconds, sticks: up, about, down hard
    (1.0, HANDS_OFF._replace(throttle=0.52)),
    (1.0, HANDS_OFF._replace(throttle=0.48, roll=0.3, yaw=-0.4)),
    (1.0, HANDS_OFF._replace(throttle=0.46, pitch=-0.5, self_level=0.0)),
    (1.0, HANDS_OFF._replace(throttle=0.5, roll=-0.2, yaw=0.6)),
    (1.0, HANDS_OFF._replace(throttle=0.2)),
)


def flown(flight, craft, seed, pieces=1):
    started = flight(craft, seed=seed)
    started.run(2.2)
    started.put("armed", 1.0)
    histories = []
    for seconds, sticks in MIXED:
        for _ in range(pieces):
            histories.append(started.run(seconds / pieces, sticks).rows)
    return started, np.vstack(histories)


def test_same_seed_same_bits(craft, flight):
    first, seen = flown(flight, craft, 7)
    second, again = flown(flight, craft, 7)
    assert first.states.tobytes() == second.states.tobytes()
    assert seen.tobytes() == again.tobytes()
    assert seen[:, HISTORY.index("height_m")].max() > 0.5  # m; it did fly
    assert np.isfinite(seen).all()


def test_other_seed_other_bits(craft, flight):
    first, seen = flown(flight, craft, 7)
    second, again = flown(flight, craft, 8)
    assert first.states.tobytes() != second.states.tobytes()
    gyro = HISTORY.index("gyro_x_rad_s")
    assert not np.any(seen[:, gyro] == again[:, gyro])


def test_a_flight_may_be_cut_anywhere(craft, flight):
    first, seen = flown(flight, craft, 7)
    second, again = flown(flight, craft, 7, pieces=8)
    assert first.states.tobytes() == second.states.tobytes()
    assert seen.tobytes() == again.tobytes()


def test_recording_does_not_touch_the_flight(craft, flight):
    first, second = flight(craft), flight(craft)
    first.run(0.5, every=1)
    seen = second.run(0.5, every=50)
    assert first.states.tobytes() == second.states.tobytes()
    assert seen["time_s"] == pytest.approx(np.arange(50, 501, 50) * 0.001)


def test_threads_side_by_side_fly_what_each_flies_alone(craft, quiet, flight):
    singles = [flight(c, seed=s) for c in (craft, quiet) for s in (1, 2, 3)]
    for each in singles:
        each.put("armed", 1.0)
        each.put("body.position_m.z", -1.0)
    states = np.concatenate([each.states for each in singles])
    crafts = np.concatenate([each.crafts for each in singles])
    sticks, tables = HANDS_OFF._replace(throttle=0.4), singles[0].tables

    def fly(i: int) -> None:
        run(states[i : i + 1], crafts[i : i + 1], tables, sticks, 1500, NO_HISTORY, 1)

    with ThreadPoolExecutor(4) as threads:
        list(threads.map(fly, range(len(singles))))
    for each in singles:
        each.run(1.5, sticks)
    assert states.tobytes() == np.concatenate([each.states for each in singles]).tobytes()


def test_every_number_of_the_state_stays_finite_when_mistreated(craft, flight):
    """Full sticks into walls, floor and ceiling."""
    thrown = flight(craft)
    thrown.run(2.2)
    thrown.put("armed", 1.0)
    for sticks in (
        HANDS_OFF._replace(throttle=1.0),
        HANDS_OFF._replace(throttle=0.7, roll=1.0, self_level=0.0),
        HANDS_OFF._replace(throttle=1.0, pitch=-1.0, yaw=1.0),
        HANDS_OFF._replace(throttle=0.0, transmitter_on=0.0),
    ):
        thrown.run(1.5, sticks)
    assert np.isfinite([float(x) for x in thrown.states[0].item()]).all()
