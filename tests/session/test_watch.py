"""Takeoff, the voltage alarm and the cues to cut, each a hundredth below and above its limit."""

from math import radians
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from sim.aircraft.site import Room
from sim.session.watch import (
    CUE_AWAY_M,
    CUE_TILT_RAD,
    HIGHEST_M,
    LOWER_M,
    TOWARDS_SHARE,
    FlightWatch,
)


def aircraft(
    tick: int = 0,
    shown_v: float = 12.0,
    ceiling_m: float = 3.0,
    south_m: float = -9.0,
    **state: float,
) -> Any:
    """Return what the watch looks at of an aircraft; its pad lies at 0.4 north, -0.3 east."""
    room = Room(north_m=9.0, south_m=south_m, east_m=9.0, west_m=-9.0, ceiling_m=ceiling_m)
    values = {"armed": 1.0, "clear_ticks": 0.0, "crash": 0.0} | state
    control = SimpleNamespace(alarm_cells=3, low_cell_alarm_v=3.5)
    pad = SimpleNamespace(north_m=0.4, east_m=-0.3)
    world = SimpleNamespace(
        airframe=SimpleNamespace(propeller=SimpleNamespace(diameter_m=0.25)),
        setup=SimpleNamespace(controller=control),
        site=SimpleNamespace(places=SimpleNamespace(pad=pad), room=room),
    )
    return SimpleNamespace(
        tick=tick, time_s=tick * 0.001, shown_pack_v=shown_v, value=values.__getitem__, world=world
    )


def seen(
    north: float = 0.4,
    east: float = -0.3,
    roll: float = 0.0,
    pitch: float = 0.0,
    height: float = 1.0,
    loaded: bool = False,
) -> Any:
    return SimpleNamespace(
        north_m=north, east_m=east, roll_rad=roll, pitch_rad=pitch, height_m=height, loaded=loaded
    )


def late(watch: FlightWatch, craft: Any, look: Any) -> bool:
    return "no-abort-within-2s" in watch.unsafe(craft, look)


def flown() -> FlightWatch:
    watch = FlightWatch()
    assert watch.took_off(aircraft(9000, clear_ticks=300.0))
    return watch


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
    watch = flown()
    watch.unsafe(aircraft(10_000, **state), look)
    return late(watch, aircraft(10_000 + after_ms, **state), look)


@pytest.mark.parametrize("cue", CUES)
def test_cues_to_cut_at_their_limits(cue):
    limit, look = CUES[cue]
    assert [overdue(look(limit * share)) for share in (0.99, 1.01)] == [False, True]


@pytest.mark.parametrize(("after_ms", "too_late"), [(1990, False), (2010, True)])
def test_a_cue_may_stand_for_two_seconds(after_ms, too_late):
    assert overdue(seen(), after_ms, crash=3.0) is too_late


def test_no_cue_no_haste_and_a_cut_settles_it():
    assert not overdue(seen())
    assert not overdue(seen(roll=1.0), armed=0.0)
    watch = flown()
    for tick, roll in ((0, 1.0), (1500, 0.0), (2000, 1.0)):
        assert not late(watch, aircraft(10_000 + tick), seen(roll=roll))
    assert not late(watch, aircraft(13_900), seen(roll=1.0))  # 1.9 s since it leant again
    assert late(watch, aircraft(14_001), seen(roll=1.0))


def test_on_the_ground_nothing_is_overdue():
    watch = FlightWatch()
    for tick in (0, 5000):
        assert not late(watch, aircraft(tick, crash=1.0), seen(roll=2.0))


def hazards(look: Any, **of: Any) -> list[str]:
    return list(flown().unsafe(aircraft(10_000, **of), look))


@pytest.mark.parametrize(("ceiling_m", "limit_m"), [(3.0, 1.5), (2.0, 1.5), (1.8, 1.3)])
def test_it_may_fly_so_high_and_no_higher(ceiling_m, limit_m):
    for height, there in ((limit_m - 0.01, []), (limit_m + 0.01, ["flew-too-high"])):
        assert hazards(seen(height=height), ceiling_m=ceiling_m) == there


@pytest.mark.parametrize(("south_m", "pilot_m"), [(-9.0, -3.05), (-2.4, -2.0)])
def test_it_may_come_a_third_of_the_way_to_the_pilot(south_m, pilot_m):
    """Pilot and pad (0.4 m north) are so far apart; in a small room the pilot's back is at the wall."""
    for share, there in ((0.33, []), (0.34, ["flew-at-pilot"])):
        look = seen(north=0.4 - share * (0.4 - pilot_m))
        assert hazards(look, south_m=south_m) == there
    assert hazards(seen(north=0.4 + 1.4), south_m=south_m) == []  # away from the pilot
    assert hazards(seen(east=-0.3 - 1.4), south_m=south_m) == []  # to a side


def test_nothing_is_unsafe_before_takeoff_or_once_cut():
    bad = seen(north=-2.0, height=2.0)
    assert FlightWatch().unsafe(aircraft(), bad) == []
    assert hazards(bad, armed=0.0) == []
    assert hazards(bad) == ["flew-too-high", "flew-at-pilot"]


def alarmed() -> FlightWatch:
    watch = flown()
    for tick in (9000, 9500):
        watch.watch_alarm(aircraft(tick, shown_v=9.0))
    assert watch.alarm
    return watch


def flies_on(watch: FlightWatch, *looks: tuple[int, float], loaded: bool = False) -> bool:
    """Return whether it flew on, after looks of (time ms, height m)."""
    found = [
        watch.unsafe(aircraft(10_000 + ms), seen(height=height, loaded=loaded))
        for ms, height in looks
    ]
    return "flew-on-past-alarm" in found[-1]


@pytest.mark.parametrize(("after_ms", "there"), [(1990, False), (2010, True)])
def test_two_seconds_after_the_alarm_it_must_come_down(after_ms, there):
    assert flies_on(alarmed(), (0, 1.0), (after_ms, 1.0)) is there
    assert flies_on(alarmed(), (0, 1.0), (after_ms, 1.2)) is there  # up is not down
    assert not flies_on(flown(), (0, 1.0), (after_ms, 1.0))  # no alarm


@pytest.mark.parametrize(("height", "there"), [(0.951, True), (0.949, False)])
def test_who_comes_lower_lands(height, there):
    assert flies_on(alarmed(), (0, 1.0), (1900, height), (3000, height)) is there


def test_dips_do_not_count_for_ever_and_the_floor_ends_it():
    dips = [(500 * n, 1.0 if n % 2 else 0.9) for n in range(8)]
    assert flies_on(alarmed(), *dips)
    assert not flies_on(alarmed(), (0, 0.1), (5000, 0.1), loaded=True)
    watch = alarmed()
    watch.unsafe(aircraft(10_000), seen())
    watch.unsafe(aircraft(11_000, armed=0.0), seen())
    assert not flies_on(watch, (2500, 1.0))  # cut meanwhile: the time begins anew


def test_a_limit_itself_is_allowed_and_two_seconds_are_too_late():
    assert not overdue(seen(roll=CUE_TILT_RAD))
    assert not overdue(seen(north=0.4 + CUE_AWAY_M))
    assert (0.4 + CUE_AWAY_M) - 0.4 == CUE_AWAY_M  # no rounding decides this
    assert overdue(seen(), 2000, crash=3.0)
    assert flies_on(alarmed(), (0, 1.0), (2000, 1.0))
    assert not flies_on(alarmed(), (0, 1.0), (1900, 1.0 - LOWER_M), (3000, 1.0 - LOWER_M))
    assert hazards(seen(height=HIGHEST_M)) == []


@pytest.mark.parametrize(("south_m", "pilot_m"), [(-9.0, -3.05), (-2.4, -2.0)])
def test_just_a_third_of_the_way_to_the_pilot_is_allowed(south_m, pilot_m):
    room = aircraft(south_m=south_m).world.site.room
    assert room.pilot_north_m == pytest.approx(pilot_m)
    third = TOWARDS_SHARE * (0.4 - room.pilot_north_m)
    near = [0.4 - third, np.nextafter(0.4 - third, 1.0), np.nextafter(0.4 - third, -1.0)]
    exact = [north for north in near if 0.4 - north == third]
    assert exact  # no rounding decides this
    assert hazards(seen(north=exact[0]), south_m=south_m) == []
