"""Estimates against closed forms, published examples, parts the trade knows, and other libraries."""

from math import pi, sqrt

import numpy as np
import pytest

from sim.aircraft import library
from sim.aircraft.design import CHARGED, flying
from sim.aircraft.estimates import flight, gains, inertia, parts
from sim.aircraft.estimates.inertia import Inertia
from sim.kernel import linear, motor, pack, rotor
from tests.worlds import TRAINER


def test_a_box_and_a_rod():
    """A 3 kg box of 0.4 x 0.3 x 0.2 m and a rod of 2 kg and 0.6 m, by hand."""
    found = inertia.of_parts([inertia.box(3.0, (0.0, 0.0, 0.0), (0.4, 0.3, 0.2))])
    assert found == pytest.approx((0.25 * 0.13, 0.25 * 0.20, 0.25 * 0.25))
    # m l^2/3 about its end, across it; nothing along it
    assert inertia.of_parts([inertia.rod(2.0, (0.0, 0.6, 0.0))]) == pytest.approx((0.24, 0.0, 0.24))
    assert inertia.of_parts([inertia.rod(2.0, (0.0, 0.0, 0.6))]) == pytest.approx((0.24, 0.24, 0.0))


def test_parts_off_the_middle_count_by_the_square_of_their_distance():
    found = inertia.of_parts([inertia.Part(2.0, (0.1, -0.2, 0.3), Inertia(0.01, 0.02, 0.03))])
    assert found == pytest.approx((0.01 + 2 * 0.13, 0.02 + 2 * 0.10, 0.03 + 2 * 0.05))


def test_many_points_are_a_box():
    """A slow twin: a box of 20^3 points, which lacks 1/400 of the even one."""
    size = (0.3, 0.2, 0.1)
    middles = [(np.arange(20) + 0.5) / 20 * side - side / 2 for side in size]
    grid = np.stack(np.meshgrid(*middles), axis=-1).reshape(-1, 3)
    points = [inertia.Part(1.0 / len(grid), tuple(p.tolist())) for p in grid]
    even = inertia.of_parts([inertia.box(1.0, (0.0, 0.0, 0.0), size)])
    assert inertia.of_parts(points) == pytest.approx(even, rel=1.01 / 400)


def test_a_swing_of_a_rod():
    """An even rod of 0.2 kg and 0.6 m on strings 0.4 m apart and 1 m long swings in 1.7376 s."""
    assert inertia.of_swing(0.2, 0.4, 1.0, 1.73760) == pytest.approx(0.2 * 0.36 / 12.0, rel=1e-5)


def test_a_swing_of_an_aircraft():
    """0.98 kg on strings 0.35 m apart, 1.55 m long, nine swings in 16.5 s: 0.0161 kg m2.

    The page cited in tests/authority/bifilar.source.toml, read second-hand, to three figures.
    """
    found = inertia.of_swing(0.980, 0.35, 1.55, 16.5 / 9.0)
    assert found == pytest.approx(0.0161, abs=0.0001)


# Motors as sellers print them, from memory: mass g, rpm/V, ohm with drive; sizes 2 to 150 g.
MOTORS = [(36.0, 1750.0, 0.055), (145.0, 400.0, 0.11), (55.0, 920.0, 0.115), (12.0, 2800.0, 0.15)]


@pytest.mark.parametrize(("grams", "kv", "ohm"), MOTORS)
def test_motor_resistance_within_the_band_it_states(grams, kv, ohm):
    assert 1 / 1.5 < parts.motor_resistance_ohm(kv, grams / 1000.0) / ohm < 1.5


def test_a_motor_wound_for_twice_the_speed_has_a_quarter_of_the_resistance():
    once, twice = (parts.motor_resistance_ohm(kv, 0.05) for kv in (500.0, 1000.0))
    assert twice == pytest.approx(once / 4.0)
    assert parts.no_load_current_a(1000.0, 0.05) == pytest.approx(
        2.0 * parts.no_load_current_a(500.0, 0.05)
    )


def test_a_motor_twice_as_large_each_way():
    """Eight times the mass: twice the diameter, 2^5 times the moment, a 32nd of the resistance."""
    assert parts.bell_diameter_m(0.08) == pytest.approx(2.0 * parts.bell_diameter_m(0.01))
    moments = [parts.bell_inertia_kg_m2(m, parts.bell_diameter_m(m)) for m in (0.01, 0.08)]
    assert moments[1] == pytest.approx(32.0 * moments[0])
    ohms = [parts.motor_resistance_ohm(1000.0, m) for m in (0.01, 0.08)]
    assert ohms[0] == pytest.approx(32.0 * ohms[1])


def test_parts_of_the_trainer_lie_near_its_file():
    """The trainer's numbers were chosen apart from these rules; the bands are those they state."""
    a = library.airframe(TRAINER)
    spec = library.pack(a.pack)
    mass = parts.propeller_mass_kg(a.propeller.diameter_m)
    assert parts.propeller_inertia_kg_m2(mass, a.propeller.diameter_m) == pytest.approx(
        a.propeller.inertia_kg_m2, rel=0.5
    )
    assert parts.propeller_unbalance_g_mm(mass, a.propeller.diameter_m) == pytest.approx(
        a.propeller.unbalance_g_mm, rel=0.1
    )
    bell = parts.bell_inertia_kg_m2(0.055, parts.bell_diameter_m(0.055))
    assert bell == pytest.approx(a.motor.bell_inertia_kg_m2, rel=0.4)
    assert parts.no_load_current_a(920.0, 0.055) == pytest.approx(a.motor.no_load_a, rel=0.1)
    assert parts.lateral_drag_n_s2_m(0.254) == pytest.approx(a.frame.lateral_drag_n_s2_m, rel=0.01)
    assert parts.cell_resistance_ohm(2.2) == pytest.approx(spec.r0_ohm, rel=0.01)
    assert parts.lead_resistance_ohm(2.2) == pytest.approx(spec.lead_ohm, rel=0.01)
    # N/m; the trainer's legs are of hard plastic and give 5 mm, soft feet of its height would 12
    stiff = parts.leg_stiffness_n_m(a.mass_kg * 9.80665, a.frame.foot_down_m)
    assert stiff == pytest.approx(1.5 * 9.80665 / (4.0 * 0.012))
    assert parts.leg_damping_n_s_m(700.0, 1.5) == pytest.approx(5.0, rel=0.01)


@pytest.fixture(scope="module")
def trainer():
    airframe = library.airframe(TRAINER)
    return flying(airframe), library.tables(airframe.propeller.table)


def test_full_throttle_is_where_motor_pack_and_propeller_agree(trainer):
    """A slow twin: the motors run up step by step in the flight model's own equations."""
    craft, tables = trainer
    full = flight.full_throttle(craft, tables, CHARGED)
    volts, ohm = pack.sources(CHARGED, tables, craft.pack)
    params = craft.rotors[0].motor
    state, supply = motor.MotorState(300.0, 0.0, 0.0, 293.0), 11.0
    for _ in range(3000):
        _, torque = rotor.thrust_and_torque(
            tables, state.speed_rad_s, 0.0, craft.air.density_kg_m3, craft.diameter_m
        )
        drag = torque / state.speed_rad_s**2
        state = motor.turned(state, 1.0, supply, drag, params, 293.0, 1e-3)
        supply = volts - ohm * (4.0 * state.current_a + craft.pack.avionics_a)
    assert full.speed_rad_s == pytest.approx(state.speed_rad_s, rel=1e-6)
    assert full.supply_v == pytest.approx(supply, rel=1e-6)
    assert full.pack_a == pytest.approx(4.0 * state.current_a + craft.pack.avionics_a, rel=1e-6)


def test_unbalance_is_mass_times_how_far_it_lies_off():
    # 10 g, a ten-thousandth of 250 mm off
    assert parts.propeller_unbalance_g_mm(0.010, 0.25) == pytest.approx(10.0 * 0.025)


def test_flight_time_tip_speed_and_reach():
    assert flight.flight_time_s(2.2, 12.0) == pytest.approx(0.8 * 2.2 / 12.0 * 3600.0)
    assert flight.tip_speed_m_s(0.254, 4511 * pi / 30.0) == pytest.approx(60.0, rel=1e-3)
    seen = flight.Reach(100.0, 500.0, 300.0, 600.0)
    assert (seen.hover_measured, seen.full_measured) == (True, False)
    assert not flight.Reach(100.0, 500.0, 90.0, 400.0).hover_measured
    assert not flight.Reach(100.0, 500.0, 510.0, 400.0).hover_measured


def test_gains_leave_the_margins_wanted_and_no_more(trainer):
    craft, tables = trainer
    found = gains.safe_gains(craft, tables)
    for m in (found.roll_margins, found.pitch_margins):
        spare = min(
            m.gain_db - gains.LEAST_DB - gains.RESERVE_DB,
            m.phase_deg - gains.LEAST_DEG - gains.RESERVE_DEG,
        )
        assert spare == pytest.approx(0.0, abs=1e-6)
    # chosen by hand apart from this rule
    sheet = library.airframe(TRAINER).sheet.setup
    assert found.roll.p == pytest.approx(sheet.roll.p, rel=0.15)
    assert found.pitch.p == pytest.approx(sheet.pitch.p, rel=0.15)
    assert found.yaw.p == pytest.approx(sheet.yaw.p, rel=0.15)
    assert found.attitude_per_s == pytest.approx(sheet.attitude_gain_per_s, rel=0.15)


def test_where_phase_is_short_it_limits_the_gains(trainer):
    """Without delay, and with quick filters, gain margin abounds."""
    craft, tables = trainer
    quick = craft._replace(
        controller=craft.controller._replace(
            delay_periods=0.0, gyro_cutoff_hz=400.0, damping_cutoff_hz=250.0
        ),
        rotors=tuple(
            r._replace(motor=r.motor._replace(inertia_kg_m2=0.3 * r.motor.inertia_kg_m2))
            for r in craft.rotors
        ),
    )
    found = gains.safe_gains(quick, tables).roll_margins
    assert found.gain_db > gains.LEAST_DB + gains.RESERVE_DB + 0.2
    assert found.phase_deg == pytest.approx(gains.LEAST_DEG + gains.RESERVE_DEG, abs=1e-6)


def test_gains_follow_inertia_and_delay(trainer):
    craft, tables = trainer
    once = gains.safe_gains(craft, tables)
    heavy = craft.body._replace(
        inertia_kg_m2=craft.body.inertia_kg_m2._replace(x=2.0 * craft.body.inertia_kg_m2.x)
    )
    twice = gains.safe_gains(craft._replace(body=heavy), tables)
    # but for the damping of the air, gain goes with inertia
    assert twice.roll.p / once.roll.p == pytest.approx(2.0, rel=0.05)
    assert twice.pitch.p == pytest.approx(once.pitch.p, rel=0.02)
    late = craft._replace(controller=craft.controller._replace(delay_periods=6.0))
    assert gains.safe_gains(late, tables).roll.p < 0.9 * once.roll.p


def test_yaw_gain_is_the_torque_the_flight_model_gives(trainer):
    """One motor command more on two places, less on the others: their steady torques by hand."""
    craft, tables = trainer
    trim = linear.hover_trim(craft, tables, gains.FULL)
    step, place = 0.01, craft.rotors[0].motor

    def torque(command: float) -> float:
        speed = trim.speed_rad_s
        for _ in range(200):
            _, drag = rotor.thrust_and_torque(
                tables, speed, 0.0, craft.air.density_kg_m3, craft.diameter_m
            )
            needed, _ = motor.operating_point(speed, drag, place)
            speed += 20.0 * (command * trim.supply_v - needed)
        return float(drag)

    change = (torque(trim.command + step) - torque(trim.command - step)) / (2.0 * step)
    found = gains.yaw_gain_n_m(craft, tables, trim)
    assert found == pytest.approx(4.0 * change, rel=0.03)  # torque grows a little unlike thrust


def test_no_gains_for_a_hopeless_delay(trainer):
    craft, tables = trainer
    slow = craft._replace(
        controller=craft.controller._replace(gyro_cutoff_hz=0.3, delay_periods=7.0)
    )
    with pytest.raises(ValueError, match="no gain has the margins"):
        gains.safe_gains(slow, tables)


def test_cutoffs_stay_within_their_limits():
    assert gains.cutoff_hz(0.0344) == pytest.approx(13.0 / (2.0 * pi * 0.0344))
    assert gains.cutoff_hz(1.0) == 40.0
    assert gains.cutoff_hz(0.001) == 120.0


def test_hover_speed_of_a_published_quadrotor():
    """0.5 kg on 8-inch propellers lifts 6.11e-8 N/rpm2 each, so it hovers at 4480 rpm.

    N. Michael, D. Mellinger, Q. Lindsey and V. Kumar, IEEE Robotics and Automation Magazine 17(3), 2010,
    and D. Mellinger's thesis, Pennsylvania 2012: values from memory. The nearest measured
    propeller is another make of that size: thrust at a speed within a tenth.
    """
    published = sqrt(0.5 * 9.81 / 4.0 / 6.11e-8)
    tables = library.tables("8x3.8")
    speed = published * pi / 30.0
    thrust, _ = rotor.thrust_and_torque(tables, speed, 0.0, 1.225, 0.2032)
    assert thrust == pytest.approx(0.5 * 9.81 / 4.0, rel=0.10)
