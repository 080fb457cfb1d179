"""Feet, hubs, walls and what counts as a crash; the aircraft unpowered, or as stated."""

from itertools import pairwise

import numpy as np
import pytest

from sim.kernel import ground
from sim.kernel.body import BodyState
from sim.kernel.frames import UPRIGHT, ZERO, Vec3, from_angles
from sim.kernel.surroundings import BUMPED, HARD_LANDING, STRUCK, TAKEOFF_TICKS, TIPPED

WEIGHT_N = 1.5 * 9.80665


@pytest.fixture
def dropped(craft, flight):
    """Return a flight of the unpowered aircraft from a state: dropped(z=.., roll=.., ...)."""

    def made(height=0.12, roll=0.0, velocity=ZERO, north=0.0, turning=0.0, wind=0.0):
        air = craft.air._replace(wind_m_s=Vec3(wind, 0.0, 0.0), gust_m_s=0.0)
        thrown = flight(craft._replace(plugged=0.0, air=air))
        attitude = from_angles(roll, 0.0, 0.0)
        start = BodyState(Vec3(north, 0.0, -height), attitude, velocity, ZERO)
        for part, value in zip(("position_m", "velocity_m_s"), (start[0], start[2]), strict=True):
            for axis, number in zip("xyz", value, strict=True):
                thrown.put(f"body.{part}.{axis}", number)
        for axis, number in zip("wxyz", attitude, strict=True):
            thrown.put(f"body.attitude.{axis}", number)
        for i in range(4):
            thrown.put(f"rotors.{i}.motor.speed_rad_s", turning)
        return thrown

    return made


def crash(flight):
    return int(flight.value("crash"))


def test_it_settles_on_its_feet(craft, dropped):
    thrown = dropped(height=0.2)
    seen = thrown.run(4.0)
    loads = [thrown.value(f"feet.{i}.load_n") for i in range(4)]
    # four seconds are over ten decay times of the legs (0.25 s)
    assert sum(loads) == pytest.approx(WEIGHT_N, rel=1e-3)
    assert loads == pytest.approx([WEIGHT_N / 4.0] * 4, rel=1e-2)
    compression_mm = 1000.0 * (craft.feet_m[0].z - seen["height_m"][-1])
    assert compression_mm == pytest.approx(5.25, abs=0.02)  # mm; 14.71 N on four times 700 N/m
    assert np.abs(thrown.vector("body.velocity_m_s")).max() < 1e-3  # m/s; at rest
    assert abs(seen["north_m"][-1]) < 1e-3  # m; it does not walk
    assert crash(thrown) == 0


def test_a_bounce_gives_no_energy_back(dropped):
    seen = dropped(height=0.5).run(4.0)
    height, load = seen["height_m"], seen["load_n"]
    first = int(np.argmax(load > 0.0))
    assert height[first:].max() < 0.5
    assert load.min() >= 0.0
    peaks = [
        height[k] for k in range(1, len(height) - 1) if height[k - 1] < height[k] >= height[k + 1]
    ]
    assert all(b <= a + 1e-6 for a, b in pairwise(peaks))  # m; settled ripple


def test_it_stands_against_a_push_below_friction_and_slides_beyond(dropped):
    """Frame drag is 0.02 N s2/m2 and friction 0.6 of 14.7 N, so 21 m/s of wind is the limit."""
    held = dropped(height=0.1147, wind=19.0)
    held.run(1.0)
    before = held.value("body.position_m.x")
    held.run(2.0)
    assert held.value("body.position_m.x") - before == pytest.approx(0.0, abs=2e-4)  # m
    # 7.2 N on four grips of 700 N/m: 2.6 mm; the gust's sudden start makes it slip a little first
    assert 0.0026 < before < 0.03
    pushed = dropped(height=0.1147, wind=23.0)
    pushed.run(1.0)
    before, speed = pushed.value("body.position_m.x"), pushed.value("body.velocity_m_s.x")
    pushed.run(0.5)
    assert pushed.value("body.position_m.x") - before > 0.1  # m
    assert pushed.value("body.velocity_m_s.x") > speed  # it gathers speed
    assert crash(pushed) == 0


def test_clear_ticks_count_feet_off_the_floor(dropped):
    thrown = dropped(height=0.12 + 0.5 * 9.81 * 0.1**2)
    thrown.run(0.09)
    assert thrown.value("clear_ticks") == 90.0
    thrown.run(0.05)
    assert thrown.value("clear_ticks") == 0.0


@pytest.mark.parametrize(("sink", "hard"), [(1.3, False), (1.48, False), (1.52, True)])
def test_hard_landing(dropped, sink, hard):
    thrown = dropped(height=0.1201, velocity=Vec3(0.0, 0.0, sink))
    thrown.put("clear_ticks", TAKEOFF_TICKS)
    thrown.run(0.05)
    # m/s; a tick of gravity, 0.01
    assert thrown.value("touchdown_m_s") == pytest.approx(sink, abs=0.011)
    assert crash(thrown) == (HARD_LANDING if hard else 0)


def test_the_hardest_touchdown_of_a_hop_is_kept(dropped):
    """A landing at 1 m/s bounces many times; what counts is the landing, not the last bounce."""
    thrown = dropped(height=0.1201, velocity=Vec3(0.0, 0.0, 1.0))
    thrown.put("clear_ticks", TAKEOFF_TICKS)
    seen = thrown.run(3.0)
    bounces = np.flatnonzero((seen["load_n"][1:] > 0.0) & (seen["load_n"][:-1] == 0.0))
    assert len(bounces) >= 2
    assert thrown.value("touchdown_m_s") == pytest.approx(1.0, abs=0.011)
    thrown.put("body.position_m.z", -0.16)  # a later fall of 4 cm, 0.9 m/s, does not undo it
    thrown.run(1.0)
    assert thrown.value("touchdown_m_s") == pytest.approx(1.0, abs=0.011)
    thrown.put("body.position_m.z", -0.22)  # one of 10 cm does: the root of 2 g h is 1.40 m/s
    thrown.run(1.0)
    assert thrown.value("touchdown_m_s") == pytest.approx(1.40, abs=0.03)


@pytest.mark.parametrize(("clear", "counts"), [(-2, False), (1, True)])
def test_only_touchdowns_after_takeoff_count(dropped, clear, counts):
    """Light on the legs feet leave the floor for a moment; that is no landing."""
    thrown = dropped(height=0.1201, velocity=Vec3(0.0, 0.0, 0.5))
    thrown.put("clear_ticks", TAKEOFF_TICKS + clear)
    thrown.run(0.05)
    assert thrown.value("touchdown_m_s") == pytest.approx(0.5 if counts else 0.0, abs=0.011)


@pytest.mark.parametrize("way", [1.0, -1.0])
def test_a_wall_pushes_inwards_and_drags_against_the_slide(craft, way):
    """Closed form: stiffness and damping along the normal; along the wall the smaller of a damper
    and Coulomb friction, against the motion."""
    p, room = craft.contact, craft.room
    depth, closing = 0.004, 0.2

    def push(slide):
        at = ground.Touch(
            Vec3(room.north_m + depth, 0.0, -1.0), Vec3(closing, way * slide, 0.0), ZERO
        )
        return ground.bump_force(at, room, p)

    load = p.bump_stiffness_n_m * depth + p.bump_damping_n_s_m * closing
    slow, fast = push(0.05), push(3.0)
    assert slow.x == pytest.approx(-load, rel=1e-12)
    assert slow.y == pytest.approx(-way * p.bump_damping_n_s_m * 0.05, rel=1e-12)
    assert fast.y == pytest.approx(-way * p.friction * load, rel=1e-12)
    assert (slow.z, fast.z) == (0.0, 0.0)


def test_a_foot_drags_against_the_slide(craft):
    p = craft.contact
    anchor = ground.Anchor(0.0, 0.0, 1.0)
    depth = 0.005
    load = p.stiffness_n_m * depth

    def push(away, speed):
        at = ground.Touch(Vec3(away, 0.0, depth), Vec3(speed, 0.0, 0.0), ZERO)
        return ground.foot_force(at, anchor, p)

    held = push(0.001, 0.01)
    by_hand = -(p.grip_stiffness_n_m * 0.001 + p.grip_damping_n_s_m * 0.01)
    assert held == pytest.approx((by_hand, 0.0, -load), rel=1e-12)
    assert push(0.01, 0.0) == pytest.approx((-p.friction * load, 0.0, -load), rel=1e-12)


@pytest.mark.parametrize(("roll_deg", "falls"), [(10.0, False), (35.0, False), (75.0, True)])
def test_tip_over(dropped, roll_deg, falls):
    thrown = dropped(height=0.17, roll=np.radians(roll_deg))
    thrown.run(2.0)
    assert bool(crash(thrown) & TIPPED) is falls
    assert not crash(thrown) & STRUCK  # propellers at rest nudge, they do not break


def test_leaning_in_the_air_is_no_tip_over(dropped):
    thrown = dropped(height=1.5, roll=np.radians(80.0))
    thrown.run(0.2)
    assert crash(thrown) == 0


def test_a_turning_propeller_breaks_on_the_floor_and_lifts_no_more(dropped):
    thrown = dropped(height=0.17, roll=np.radians(75.0), turning=400.0)
    thrown.run(0.5)
    assert crash(thrown) & STRUCK
    broken = [i for i in range(4) if thrown.value(f"rotors.{i}.broken") > 0.0]
    assert broken
    assert all(thrown.value(f"rotors.{i}.thrust_n") == 0.0 for i in broken)


WALLS = [
    *[(wall, 3.0) for wall in ("north", "south", "east", "west")],
    ("north", 1.0),
    ("north", 2.0),
]


@pytest.mark.parametrize(("wall", "speed"), WALLS)
def test_walls_bump_and_hold(craft, dropped, wall, speed):
    sign = 1.0 if wall in ("north", "east") else -1.0
    along = "x" if wall in ("north", "south") else "y"
    gap = abs(getattr(craft.room, f"{wall}_m"))
    thrown = dropped(height=1.8)
    thrown.put(f"body.position_m.{along}", sign * (gap - 0.3))
    thrown.put(f"body.velocity_m_s.{along}", sign * speed)
    seen = thrown.run(0.4)
    place = np.abs(seen["north_m" if along == "x" else "east_m"])
    arm_m = abs(craft.rotors[0].hub_m.x)
    assert gap - place.max() < arm_m  # m; the arm ends did touch
    assert place.max() < gap  # and the body stays in the room
    assert sign * thrown.value(f"body.velocity_m_s.{along}") < 0.5 * speed
    assert crash(thrown) & BUMPED


def test_ceiling_bumps(craft, dropped):
    thrown = dropped(height=craft.room.ceiling_m - 0.4, velocity=Vec3(0.0, 0.0, -4.0))
    seen = thrown.run(0.5)
    assert crash(thrown) & BUMPED
    assert seen["height_m"].max() < craft.room.ceiling_m


@pytest.mark.parametrize("gap", [0.10, 0.13])
def test_close_to_the_ceiling_is_not_touching_it(craft, dropped, gap):
    """The hubs are 0.03 m above the middle, so 0.07 m of air are left at the nearest."""
    thrown = dropped(height=craft.room.ceiling_m - gap)
    thrown.run(0.01)
    assert crash(thrown) == 0


def test_held_aircraft_feels_no_floor(craft, flight):
    held = flight(craft._replace(hold=craft.hold._replace(kind=2.0, wrist_m=Vec3(0.0, 0.0, -0.05))))
    held.run(0.5)
    assert held.value("clear_ticks") == 0.0
    assert all(held.value(f"feet.{i}.load_n") == 0.0 for i in range(4))
    assert held.vector("body.attitude", "wxyz") == pytest.approx(np.array(UPRIGHT), abs=1e-6)
