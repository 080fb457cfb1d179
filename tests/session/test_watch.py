"""Takeoff, the voltage alarm and the cues to cut, each a hundredth below and above its limit."""

from math import radians
from types import SimpleNamespace
from typing import Any

import pytest

from sim.session.watch import FlightWatch


def aircraft(tick: int = 0, shown_v: float = 12.0, **state: float) -> Any:
    """Return what the watch looks at of an aircraft; its pad lies at 0.4 north, -0.3 east."""
    values = {"armed": 1.0, "clear_ticks": 0.0, "crash": 0.0} | state
    control = SimpleNamespace(alarm_cells=3, low_cell_alarm_v=3.5)
    pad = SimpleNamespace(north_m=0.4, east_m=-0.3)
    world = SimpleNamespace(
        setup=SimpleNamespace(controller=control),
        site=SimpleNamespace(places=SimpleNamespace(pad=pad)),
    )
    return SimpleNamespace(
        tick=tick, time_s=tick * 0.001, shown_pack_v=shown_v, value=values.__getitem__, world=world
    )


def seen(north: float = 0.4, east: float = -0.3, roll: float = 0.0, pitch: float = 0.0) -> Any:
    return SimpleNamespace(north_m=north, east_m=east, roll_rad=roll, pitch_rad=pitch)


def test_it_has_left_the_floor_after_three_tenths_of_a_second_clear():
    watch = FlightWatch()
    assert not watch.took_off(aircraft(5000, clear_ticks=299.0))
    assert watch.takeoff_s is None
    assert watch.took_off(aircraft(5001, clear_ticks=300.0))
    assert watch.takeoff_tick == 4701  # when the last foot came off
    assert watch.takeoff_s == pytest.approx(4.701)
    assert not watch.took_off(aircraft(6000, clear_ticks=1299.0))  # told once
    assert watch.takeoff_tick == 4701


@pytest.mark.parametrize(("cell_v", "sounds"), [(3.505, False), (3.5, False), (3.495, True)])
def test_the_alarm_sounds_below_its_threshold(cell_v, sounds):
    watch = FlightWatch()
    for tick in (0, 1000):
        watch.watch_alarm(aircraft(tick, shown_v=3.0 * cell_v))
    assert watch.alarm is sounds


@pytest.mark.parametrize(("after_ms", "sounds"), [(495, False), (505, True)])
def test_the_alarm_waits_out_half_a_second(after_ms, sounds):
    watch = FlightWatch()
    watch.watch_alarm(aircraft(2000, shown_v=10.0))
    watch.watch_alarm(aircraft(2000 + after_ms, shown_v=10.0))
    assert watch.alarm is sounds


def test_a_dip_that_ends_starts_the_half_second_anew():
    watch = FlightWatch()
    for tick, volts in ((0, 10.0), (400, 12.0), (600, 10.0), (1050, 10.0)):
        watch.watch_alarm(aircraft(tick, shown_v=volts))
        assert not watch.alarm
    watch.watch_alarm(aircraft(1101, shown_v=10.0))
    assert watch.alarm


def test_a_disarmed_aircraft_does_not_sound_and_another_pack_silences():
    watch = FlightWatch()
    for tick in (0, 1000):
        watch.watch_alarm(aircraft(tick, shown_v=9.0, armed=0.0))
    assert not watch.alarm
    for tick in (2000, 3000):
        watch.watch_alarm(aircraft(tick, shown_v=9.0))
    assert watch.alarm
    watch.silence()
    watch.watch_alarm(aircraft(3100, shown_v=9.0))
    assert not watch.alarm  # the half second begins again
    watch.watch_alarm(aircraft(3601, shown_v=9.0))
    assert watch.alarm


CUES = {
    "roll": (25.0, lambda x: seen(roll=radians(-x))),  # deg
    "pitch": (25.0, lambda x: seen(pitch=radians(x))),
    "away": (1.5, lambda x: seen(north=0.4 - 0.6 * x, east=-0.3 + 0.8 * x)),  # m from the pad
}


def overdue(look: Any, after_ms: int = 2500, **state: float) -> bool:
    watch = FlightWatch()
    assert watch.took_off(aircraft(9000, clear_ticks=300.0))
    watch.overdue(aircraft(10_000, **state), look)
    return watch.overdue(aircraft(10_000 + after_ms, **state), look)


@pytest.mark.parametrize("cue", CUES)
def test_cues_to_cut_at_their_limits(cue):
    limit, look = CUES[cue]
    assert [overdue(look(limit * share)) for share in (0.99, 1.01)] == [False, True]


@pytest.mark.parametrize(("after_ms", "late"), [(1990, False), (2010, True)])
def test_a_cue_may_stand_for_two_seconds(after_ms, late):
    assert overdue(seen(), after_ms, crash=3.0) is late


def test_no_cue_no_haste_and_a_cut_settles_it():
    assert not overdue(seen())
    assert not overdue(seen(roll=1.0), armed=0.0)
    watch = FlightWatch()
    watch.took_off(aircraft(9000, clear_ticks=300.0))
    for tick, roll in ((0, 1.0), (1500, 0.0), (2000, 1.0)):
        assert not watch.overdue(aircraft(10_000 + tick), seen(roll=roll))
    assert not watch.overdue(aircraft(13_900), seen(roll=1.0))  # 1.9 s since it leant again
    assert watch.overdue(aircraft(14_001), seen(roll=1.0))


def test_on_the_ground_nothing_is_overdue():
    watch = FlightWatch()
    for tick in (0, 5000):
        assert not watch.overdue(aircraft(tick, crash=1.0), seen(roll=2.0))
