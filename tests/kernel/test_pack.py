"""The pack by itself, and with four drives on it."""

from math import exp

import numpy as np
import pytest
from numpy.testing import assert_allclose

from sim.kernel import pack
from sim.kernel import tables as lookup
from sim.kernel.pack import PackState
from sim.kernel.radio import Sticks

FULL = PackState(0.9, 0.9, 0.0, 0.0, 0.0)
AMPS = 12.0


@pytest.fixture(scope="module")
def params(craft):
    return craft.pack


def discharged(state, amps, params, seconds, dt_s=0.01):
    states = [state]
    for _ in range(round(seconds / dt_s)):
        states.append(pack.drawn(states[-1], amps, params, dt_s))
    return states


def test_step_sag_is_the_analytic_one(params, tables):
    for t_s, state in zip(
        (0.01, 1.0, 30.0, 60.0),
        (discharged(FULL, AMPS, params, 60.0)[k] for k in (1, 100, 3000, 6000)),
        strict=True,
    ):
        charge = 0.9 - AMPS * t_s / params.capacity_c
        rest = lookup.interpolate(charge, tables.charge, tables.cell_v)
        per_cell = (
            params.r0_ohm
            + params.r1_ohm * (1.0 - exp(-t_s / params.tau1_s))
            + params.r2_ohm * (1.0 - exp(-t_s / params.tau2_s))
        )
        expected = 3.0 * rest - AMPS * (3.0 * per_cell + params.lead_ohm)
        # exact update in 6000 steps of rounding
        assert pack.terminal_v(state, tables, params) == pytest.approx(expected, abs=1e-9)


def test_energy_is_kept_in_the_books(params, tables):
    """What the cells give goes to the terminals, into resistances and onto the RC pairs."""
    dt_s, params = 0.01, params._replace(weak_resistance_ratio=1.0)
    states = discharged(FULL, AMPS, params, 60.0, dt_s)
    rest = np.array([lookup.interpolate(s.charge, tables.charge, tables.cell_v) for s in states])
    out = np.array([pack.terminal_v(s, tables, params) for s in states[1:]])
    v1, v2 = np.array([(s.rc1_v, s.rc2_v) for s in states]).T

    def total(power):
        return float(np.sum(0.5 * (power[1:] + power[:-1])) * dt_s)

    given = total(3.0 * rest * AMPS)
    delivered = float(np.sum(0.5 * (out[1:] + out[:-1])) * dt_s * AMPS) + out[0] * AMPS * dt_s
    series = AMPS**2 * (3.0 * params.r0_ohm + params.lead_ohm) * 60.0
    leaked = 3.0 * total(v1**2 / params.r1_ohm + v2**2 / params.r2_ohm)
    c1, c2 = params.tau1_s / params.r1_ohm, params.tau2_s / params.r2_ohm
    stored = 3.0 * 0.5 * (c1 * v1[-1] ** 2 + c2 * v2[-1] ** 2)
    # trapezoids over 10 ms, and the first one of `out` taken as a rectangle
    assert given == pytest.approx(delivered + series + leaked + stored, rel=1e-6)


def test_charge_is_the_current_summed(params):
    last = discharged(FULL, AMPS, params, 30.0)[-1]
    # 3000 roundings
    assert 0.9 - last.charge == pytest.approx(AMPS * 30.0 / params.capacity_c, rel=1e-11)


def test_charge_stops_at_empty(params):
    last = pack.drawn(FULL, 1e6, params, 100.0)
    assert (last.charge, last.weak_charge) == (0.0, 0.0)


def test_cells_add_up_to_the_terminals(params, tables):
    weak = params._replace(weak_capacity_ratio=0.8, weak_resistance_ratio=1.7)
    last = discharged(FULL, AMPS, weak, 20.0)[-1]
    good_v, weak_v = pack.cell_voltages_v(last, tables, weak)
    assert weak_v < good_v
    assert last.weak_charge < last.charge
    whole = 2.0 * good_v + weak_v - AMPS * weak.lead_ohm
    assert pack.terminal_v(last, tables, weak) == pytest.approx(whole, rel=1e-12)  # same sums


def test_cold_raises_resistance():
    assert pack.temperature_factor(293.15) == 1.0
    factors = [pack.temperature_factor(t) for t in (263.15, 273.15, 293.15, 313.15)]
    assert np.all(np.diff(factors) < 0.0)


def test_power_in_the_drives_is_power_from_the_pack(quiet, hovering, tables):
    """In hover, pack current is electronics plus each duty times its motor's current."""
    flight, sticks = hovering(quiet)
    flight.run(3.0, sticks)
    drawn = sum(
        flight.value(f"rotors.{i}.drive.duty") * flight.value(f"rotors.{i}.motor.current_a")
        for i in range(4)
    )
    amps = flight.value("pack.current_a")
    # the supply is solved with the speeds before the tick, motor currents with those after it
    assert drawn + quiet.pack.avionics_a == pytest.approx(amps, rel=1e-3)
    cells = PackState(*(flight.value(f"pack.{name}") for name in PackState._fields))
    seen = pack.terminal_v(cells, tables, quiet.pack)
    # RC pairs move by a tick's worth of charge afterwards
    assert flight.value("supply_v") == pytest.approx(seen, rel=1e-5)


def test_low_rail_restarts_the_electronics_and_drops_the_motors(quiet, hovering):
    thin = quiet._replace(pack=quiet.pack._replace(lead_ohm=1.0, sag_limit_v=9.0))
    flight, _ = hovering(thin)
    flight.run(0.5, Sticks(0.0, 0.0, 1.0, 0.0, 1.0, 1.0, 0.0))
    assert flight.value("armed") == 0.0
    assert flight.value("reset_ticks") > 0.0
    flight.run(0.2)
    assert flight.value("powered_ticks") == 0.0
    flight.run(3.0)
    assert flight.value("powered_ticks") > 0.0  # ticks; back after reset_s
    assert flight.value("armed") == 0.0


def test_unplugged_means_dead(quiet, flight):
    cold = flight(quiet._replace(plugged=0.0))
    history = cold.run(0.5)
    assert_allclose(history["pack_v"], 0.0)
    assert_allclose(history["pack_a"], 0.0)
    assert cold.value("powered_ticks") == 0.0
