"""From data models to the flight model's parameters."""

from math import inf, radians

import numpy as np
import pytest
from numpy.testing import assert_allclose
from pydantic import ValidationError

from sim.aircraft.assemble import assemble
from sim.aircraft.changes import with_value
from sim.kernel import hands
from sim.kernel.air import STANDARD_GRAVITY_M_S2
from sim.kernel.frames import UPRIGHT, ZERO, Vec3, from_angles


@pytest.fixture
def built(world):
    """Return the craft of a world with values changed."""

    def made(base=world, **changes):
        for key, value in changes.items():
            base = with_value(base, key.replace("__", "."), value)
        return assemble(base, UPRIGHT)

    return made


def test_places_are_front_left_front_right_rear_right_rear_left(craft):
    signs = [(np.sign(r.hub_m.x), np.sign(r.hub_m.y)) for r in craft.rotors]
    assert signs == [(1, -1), (1, 1), (-1, 1), (-1, -1)]
    assert [(np.sign(f.x), np.sign(f.y)) for f in craft.feet_m] == signs
    assert all(f.z > 0.0 for f in craft.feet_m)  # feet below the middle
    assert all(r.hub_m.z < 0.0 for r in craft.rotors)  # rotors above
    assert [r.output for r in craft.rotors] == [0.0, 1.0, 2.0, 3.0]


def test_spins_come_from_the_build_sheet(craft, built):
    assert [r.spin for r in craft.rotors] == [-1.0, 1.0, -1.0, 1.0]
    other = built(airframe__clockwise=("front_left", "rear_right"))
    assert [r.spin for r in other.rotors] == [1.0, -1.0, 1.0, -1.0]


def test_a_shifted_centre_of_gravity_moves_everything_against_it(craft, built):
    shift = np.array((0.01, -0.02, 0.005))
    moved = built(build__frame__cg_offset_m=tuple(shift))
    for a, b in zip(craft.rotors, moved.rotors, strict=True):
        assert_allclose(np.array(a.hub_m) - b.hub_m, shift, atol=1e-15)
    for a, b in zip(craft.feet_m, moved.feet_m, strict=True):
        assert_allclose(np.array(a) - b, shift, atol=1e-15)
    assert_allclose(np.array(craft.mag_place_m) - moved.mag_place_m, shift, atol=1e-15)


def test_units(built, world):
    craft = built(
        setup__level_trim_roll_deg=2.0,
        build__sensors__gyro_bias_deg_s=(1.0, -2.0, 3.0),
        site__wind_east_m_s=1.5,
    )
    assert craft.controller.level_trim_roll_rad == pytest.approx(radians(2.0))
    assert craft.controller.tilt_limit_rad == pytest.approx(radians(20.0))
    assert_allclose(craft.sensors.gyro_bias_rad_s, np.radians((1.0, -2.0, 3.0)))
    assert craft.air.wind_m_s == Vec3(0.0, 1.5, 0.0)
    assert craft.pack.capacity_c == pytest.approx(2.2 * 3600.0)
    kv = world.airframe.motor.kv_rpm_v * 2.0 * np.pi / 60.0
    assert craft.rotors[0].motor.kv_rad_s_v == pytest.approx(kv)
    assert craft.rotors[0].unbalance_kg_m == pytest.approx(0.25e-6)  # 0.25 g mm
    assert craft.controller.delay_periods == 3.0  # 6 ms of 2 ms
    assert craft.radio.timeout_ticks == 500.0
    assert craft.body.gravity_m_s2 == STANDARD_GRAVITY_M_S2


def test_propellers_off_leave_bare_bells(placed, built, craft):
    bare = built(placed(props_fitted=False))
    for on, off in zip(craft.rotors, bare.rotors, strict=True):
        assert (off.fitted, off.unbalance_kg_m) == (0.0, 0.0)
        assert on.motor.inertia_kg_m2 - off.motor.inertia_kg_m2 == pytest.approx(3.4e-5)
        assert on.slip_n_m == inf


def test_pack_wear_and_cold(built, craft):
    worn = built(build__pack__resistance_factor=3.0, build__pack__capacity_factor=0.8)
    for name in ("r0_ohm", "r1_ohm", "r2_ohm"):
        assert getattr(worn.pack, name) == pytest.approx(3.0 * getattr(craft.pack, name))
    assert worn.pack.lead_ohm == craft.pack.lead_ohm
    assert worn.pack.capacity_c == pytest.approx(0.8 * craft.pack.capacity_c)
    cold = built(build__pack__temperature_degc=0.0)
    assert cold.pack.r0_ohm > 1.5 * craft.pack.r0_ohm


def test_directions_reach_both_ends_of_the_radio(built):
    craft = built(setup__transmitter__pitch__direction=-1, setup__inputs__yaw=-1)
    assert [c.direction for c in craft.radio.channels] == [1.0, -1.0, 1.0, 1.0]
    assert [i.direction for i in craft.radio.inputs] == [1.0, 1.0, 1.0, -1.0]


@pytest.mark.parametrize(
    ("hold", "kind"), [("standing", hands.FREE), ("hands", hands.HANDS), ("clamp", hands.CLAMP)]
)
def test_holds(placed, hold, kind):
    target = from_angles(0.1, 0.2, 0.3)
    craft = assemble(placed(hold=hold, place="bench"), target)
    assert craft.hold.kind == kind
    assert craft.hold.target == target
    assert craft.hold.wrist_m == Vec3(-2.4, -1.0, -1.1)  # the garage's bench
    assert (craft.hold.grip_m == ZERO) is (hold != "hands")


def test_air_is_thinner_higher_and_warmer(built, craft):
    assert 1.15 < craft.air.density_kg_m3 < 1.25  # kg/m3; 18 degC near sea level
    assert built(site__height_above_sea_m=1500.0).air.density_kg_m3 < craft.air.density_kg_m3
    assert built(site__temperature_degc=35.0).air.density_kg_m3 < craft.air.density_kg_m3


def test_a_site_may_have_no_steel(built):
    for s in built(site__steel=()).field.steel:
        assert s.moment_ut_m3 == ZERO


def test_changes_are_checked(world):
    with pytest.raises(ValidationError):
        with_value(world, "setup.controller.idle", 2.0)
    with pytest.raises(KeyError):
        with_value(world, "setup.controller.no_such", 2.0)
    with pytest.raises(KeyError):
        with_value(world, "setup.controller.idle.deeper", 2.0)
