"""Margins on paper against the flown loop."""

import numpy as np
import pytest

from sim.kernel import linear
from sim.kernel.controller import AxisGains
from sim.kernel.frames import Vec3
from sim.kernel.pack import PackState

RESTED = PackState(0.9, 0.9, 0.0, 0.0, 0.0)
KICK_RAD_S = 0.01  # rad/s; so small that commands stay far from their ends


@pytest.fixture(scope="module")
def plain(quiet):
    """Leave out what the analysis leaves out: drag, sag, and the slow corrections of attitude."""
    return quiet._replace(
        lateral_drag_n_s2_m=0.0,
        frame_drag_n_s2_m2=0.0,
        pack=quiet.pack._replace(capacity_c=1e9, r1_ohm=0.0, r2_ohm=0.0),
        estimator=quiet.estimator._replace(
            level_gain_per_s=1e-9, heading_gain_per_s=0.0, bias_gain_per_s2=0.0
        ),
        controller=quiet.controller._replace(heading_hold=0.0),
    )


def louder(craft, factor):
    roll, pitch = (
        AxisGains(factor * g.p, factor * g.i, factor * g.d)
        for g in (craft.controller.roll, craft.controller.pitch)
    )
    return craft._replace(controller=craft.controller._replace(roll=roll, pitch=pitch))


def kicked(hovering, craft, axis):
    """Return the rate each tick after a kick about roll (0) or pitch (1)."""
    flight, sticks = hovering(craft)
    flight.put(f"body.rate_rad_s.{'xy'[axis]}", KICK_RAD_S)
    return flight.run(2.0, sticks)[("roll_rate_rad_s", "pitch_rate_rad_s")[axis]]


def frequency_rad_s(rate):
    turns = np.flatnonzero(rate[:-1] * rate[1:] < 0.0)
    return np.pi / (0.001 * np.diff(turns).mean())


@pytest.mark.parametrize("axis", [0, 1])
def test_the_flown_loop_rings_when_the_margins_say_so(plain, tables, hovering, axis):
    margin = linear.craft_margins(plain, tables, RESTED)[axis]
    for decibels in (-1.0, 1.0):
        factor = margin.gain * 10.0 ** (-decibels / 20.0)
        left = linear.craft_margins(louder(plain, factor), tables, RESTED)[axis]
        assert left.gain_db == pytest.approx(decibels, abs=1e-6)
        rate = kicked(hovering, louder(plain, factor), axis)
        # before the commands reach their ends, which a growing oscillation does within a second
        early, late = np.abs(rate[200:400]).max(), np.abs(rate[600:800]).max()
        assert late > 2.0 * early if decibels < 0.0 else late < 0.5 * early
        # 1 dB from the margin the mode lies beside the crossover: its damping and the slope of the
        # loop's phase move it by up to 5 %, turns counted in whole ticks by 1 %
        assert frequency_rad_s(rate[200:900]) == pytest.approx(left.gain_at_rad_s, rel=0.08)


def test_gain_margin_is_the_factor_it_bears(plain, tables):
    once = linear.craft_margins(plain, tables, RESTED)
    twice = linear.craft_margins(louder(plain, 2.0), tables, RESTED)
    for a, b in zip(once, twice, strict=True):
        assert b.gain == pytest.approx(0.5 * a.gain, rel=1e-9)  # the same crossing, found again
        assert b.gain_at_rad_s == pytest.approx(a.gain_at_rad_s, rel=1e-9)
        assert b.phase_rad < a.phase_rad


def test_shipped_gains_have_margin_in_hand(craft, tables):
    for margin in linear.craft_margins(craft, tables, RESTED):
        assert margin.gain_db > 6.0  # dB, deg; the limits faults are judged by
        assert margin.phase_deg > 45.0


def test_delay_costs_phase(craft, tables):
    late = craft._replace(controller=craft.controller._replace(delay_periods=5.0))
    for a, b in zip(
        linear.craft_margins(craft, tables, RESTED),
        linear.craft_margins(late, tables, RESTED),
        strict=True,
    ):
        assert b.gain < a.gain
        lost = a.phase_rad - b.phase_rad
        # 4 ms more at the crossing, which the delay itself hardly moves: |L| does not change
        assert lost == pytest.approx(0.004 * a.phase_at_rad_s, rel=1e-6)


def test_trim_lifts_the_weight_and_balances_the_pack(craft, tables):
    trim = linear.hover_trim(craft, tables, RESTED)
    assert 4.0 * trim.thrust_n == pytest.approx(1.5 * 9.80665, rel=1e-9)  # to the root finder
    volts = 3.0 * np.interp(0.9, tables.charge, tables.cell_v)
    ohm = 3.0 * craft.pack.r0_ohm + craft.pack.lead_ohm
    assert trim.supply_v == pytest.approx(volts - ohm * trim.pack_a, rel=1e-9)
    assert 0.3 < trim.command < 0.6


def test_trim_of_a_pack_too_weak_stays_finite(craft, tables):
    """At half its source voltage a pack gives the most power; beyond that there is no hover."""
    weak = craft._replace(pack=craft.pack._replace(r0_ohm=0.2))
    trim = linear.hover_trim(weak, tables, RESTED)
    assert np.isfinite(trim).all()
    volts = 3.0 * np.interp(0.9, tables.charge, tables.cell_v)
    assert trim.supply_v == pytest.approx(0.5 * volts)


def test_known_loop():
    """10/(s (s + 1) (0.1 s + 1)): gain margin 1.1 at sqrt(10) rad/s, by hand."""
    found = linear.margins(
        lambda w: 10.0 / (1j * w * (1j * w + 1.0) * (0.1j * w + 1.0)), 0.1, 100.0
    )
    assert found.gain == pytest.approx(1.1, rel=1e-9)
    assert found.gain_at_rad_s == pytest.approx(np.sqrt(10.0), rel=1e-9)
    w = found.phase_at_rad_s
    by_hand = np.pi / 2.0 - np.arctan(w) - np.arctan(0.1 * w)
    assert found.phase_rad == pytest.approx(by_hand, rel=1e-9)


def test_a_loop_that_never_crosses_has_all_the_margin():
    found = linear.margins(lambda w: 0.5 / (1j * w + 1.0), 0.1, 100.0)
    assert found.gain == np.inf
    assert found.phase_rad == np.inf
    assert np.isnan(found.gain_at_rad_s)


def test_position_of_the_kick_does_not_matter(plain, hovering):
    """A kick about roll leaves pitch alone: the two axes are separate near level."""
    flight, sticks = hovering(plain)
    flight.put("body.rate_rad_s.x", KICK_RAD_S)
    seen = flight.run(0.5, sticks)
    # rad/s; rotors' own momentum cancels by pairs, what is left is of second order
    assert np.abs(seen["pitch_rate_rad_s"]).max() < 1e-2 * KICK_RAD_S
    assert Vec3(*flight.vector("body.position_m")).z == pytest.approx(-100.0, abs=0.05)
