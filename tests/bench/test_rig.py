"""Handling the aircraft: setting down, turning, swapping, copying."""

from copy import deepcopy

import numpy as np
import pytest

from sim.aircraft.changes import with_value, with_values
from sim.bench.rig import HANDS_OFF, POSITION, History, Rig, degrees
from sim.kernel.frames import from_angles


@pytest.mark.parametrize("heading_deg", [0.0, 45.0, 90.0, 180.0])
def test_set_down_at_any_heading_it_stands_still(world, heading_deg):
    rig = Rig(world, 3)
    rig.place(from_angles(0.0, 0.0, np.radians(heading_deg)))
    seen = rig.run(HANDS_OFF, 1.0, every=1)
    off = np.degrees(np.unwrap(seen["heading_rad"])) - heading_deg
    # deg, m; it is put down at rest with its weight on the legs, and unpowered motors stand
    assert np.abs((off + 180.0) % 360.0 - 180.0).max() < 0.05
    assert np.ptp(seen["height_m"]) < 1e-4


def test_turn_in_the_hands_reaches_the_pose(world, placed):
    rig = Rig(placed(hold="hands", place="open_floor"), 3)
    rig.run(HANDS_OFF, 2.5)
    way = rig.turn(30.0, -20.0, 120.0)
    end = way.last(0.2)
    for column, goal in (("roll_rad", 30.0), ("pitch_rad", -20.0), ("heading_rad", 120.0)):
        # deg; near enough is 2, then half a second more, tremor is a third
        assert np.degrees(end[column].mean()) == pytest.approx(goal, abs=2.0)
    assert np.all(np.diff(way["time_s"]) > 0.0)


def test_a_change_of_world_leaves_the_state(world):
    rig = Rig(world, 3)
    rig.run(HANDS_OFF, 0.5)
    before = rig.fingerprint()
    rig.change(with_value(world, "setup.controller.idle", 0.1))
    assert rig.fingerprint() == before
    assert rig.craft.controller.idle == 0.1


def test_swapped_pack_is_fresh(world):
    rig = Rig(world, 3)
    rig.run(HANDS_OFF, 5.0)
    other = with_values(world, {"build.pack.charge": 0.8, "build.pack.weak_charge_gap": 0.05})
    rig.change(other)
    assert rig.cells().charge < 0.97
    rig.swap_pack()
    assert rig.cells() == pytest.approx((0.8, 0.75, 0.0, 0.0, 0.0))


@pytest.mark.parametrize("copied", [Rig.copy, deepcopy])
def test_a_copy_goes_its_own_way_and_the_same(world, copied):
    rig = Rig(world, 3)
    rig.run(HANDS_OFF, 1.0)
    twin = copied(rig)
    assert twin.fingerprint() == rig.fingerprint()
    rig.run(HANDS_OFF, 1.0)
    assert twin.fingerprint() != rig.fingerprint()
    twin.run(HANDS_OFF, 1.0)
    assert twin.fingerprint() == rig.fingerprint()
    assert (twin.tick, twin.row()) == (rig.tick, rig.row())


def test_switched_off_transmitter_sends_nothing_whatever_the_sticks(placed):
    rig = Rig(placed(transmitter_on=False), 3)
    rig.run(HANDS_OFF, 1.0)
    assert rig.value("radio.linked") == 0.0


def test_row_value_and_put_name_the_same_numbers(world):
    rig = Rig(world, 3)
    rig.run(HANDS_OFF, 0.1)
    assert all(float(rig.row()[i]) == rig.value(path) for path, i in POSITION.items())
    rig.put("rotors.2.broken", 1.0)
    assert rig.value("rotors.2.broken") == 1.0
    assert rig.time_s == pytest.approx(0.1)


def test_listener_hears_everything(world):
    rig = Rig(world, 3)
    heard: list[History] = []
    rig.listener = heard.append
    rig.run(HANDS_OFF, 0.2)
    rig.run(HANDS_OFF, 0.3, every=1)
    assert [len(history) for history in heard] == [20, 300]
    assert len(heard[1].last(0.1)) == pytest.approx(100, abs=1)


def test_shown_level_is_after_trim(world):
    rig = Rig(with_value(world, "setup.level_trim_roll_deg", 3.0), 3)
    seen = rig.run(HANDS_OFF, 3.0).last(0.5)
    # deg; noise of the start-up's one sample is 0.25
    assert np.degrees(seen["shown_roll_rad"].mean()) == pytest.approx(-3.0, abs=0.5)


@pytest.mark.parametrize(
    ("rad", "deg"), [(0.0, 0.0), (np.pi / 2.0, 90.0), (3.5 * np.pi, -90.0), (-np.pi, -180.0)]
)
def test_degrees(rad, deg):
    assert degrees(rad) == pytest.approx(deg)


def test_how_often_one_looks_up_changes_nothing_but_that(placed):
    often, seldom = Rig(placed(), 3), Rig(placed(), 3)
    looks: list[int] = []
    often.watch_ticks, often.listener = 20, lambda _: looks.append(often.tick)
    seldom.watch_ticks, seldom.listener = 20, lambda _: looks.append(seldom.tick)
    often.run(HANDS_OFF, 0.1)
    assert looks == [20, 40, 60, 80, 100]
    looks.clear()
    seen = seldom.run(HANDS_OFF, 0.1, every=25, watch_ticks=50)
    assert looks == [50, 100]
    assert len(seen) == 4
    assert often.fingerprint() == seldom.fingerprint()
    looks.clear()
    assert len(seldom.wait(2.0)) == 20
    assert looks == [1100, 2100]
    often.run(HANDS_OFF, 2.0)
    assert often.fingerprint() == seldom.fingerprint()


def test_rows_at_whole_multiples(placed):
    seen = Rig(placed(), 3).run(HANDS_OFF, 0.1, every=4)
    assert seen.each(20)["time_s"] == pytest.approx([0.02, 0.04, 0.06, 0.08, 0.1])
    assert len(seen.each(3)) == 8  # of 4, 8 … 100 ms: 12, 24 … 96
