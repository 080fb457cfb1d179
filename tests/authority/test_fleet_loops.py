"""Gains of every shipped airframe: margins of our loop analysis against python-control's.

Filters, delays and margins are the library's; of ours are the plant's gain, lag and damping.
"""

from functools import reduce
from math import exp, log10, pi

import numpy as np
import pytest

from sim.aircraft import library
from sim.aircraft.design import flying
from sim.aircraft.estimates import gains
from sim.kernel import linear

control = pytest.importorskip("control")

GYRO_S, PERIOD_S, TICK_S = 0.001, 0.002, 0.001  # s; design: 1 kHz, 500 Hz, 1 kHz
GRID = np.geomspace(2.0, 1000.0, 3000)  # rad/s; margins between its points by the library


def smoother(cutoff_hz: float, step_s: float):
    """y[k] = y[k-1] + a (x[k] - y[k-1])."""
    a = 1.0 - exp(-2.0 * pi * cutoff_hz * step_s)
    return control.tf([a, 0.0], [1.0, a - 1.0], step_s)


def response(airframe, axis: str, gain_n_m: float, lag_s: float, damping: float) -> np.ndarray:
    """Return the open loop over GRID, made of the library's transfer functions."""
    c = airframe.sheet.setup
    g = getattr(c, axis)
    s = control.tf("s")
    moment = getattr(airframe, f"{axis}_inertia_kg_m2")
    gyro = smoother(c.gyro_cutoff_hz, GYRO_S)
    slope = smoother(c.damping_cutoff_hz, PERIOD_S) * control.tf(
        [1.0, -1.0], [PERIOD_S, 0.0], PERIOD_S
    )
    rate = g.p + g.i / s
    attitude = rate * c.attitude_gain_per_s / s
    body = gain_n_m / ((1.0 + lag_s * s) * (moment * s + damping))
    late = c.output_delay_ms * 0.001 + 0.5 * PERIOD_S - 0.5 * TICK_S

    def at(system) -> np.ndarray:
        z = np.exp(1j * GRID * system.dt) if system.dt else 1j * GRID
        return np.asarray(system(z))

    inner = at(gyro) ** 2 * (at(rate) + g.d * at(slope)) + at(attitude)
    return reduce(np.multiply, (inner, at(body), np.exp(-1j * GRID * late)))


@pytest.mark.parametrize("name", library.names("airframes"))
def test_margins_of_the_sheet_s_gains(name):
    airframe = library.airframe(name)
    craft, tables = flying(airframe), library.tables(airframe.propeller.table)
    trim = linear.hover_trim(craft, tables, gains.FULL)
    ours = linear.craft_margins(craft, tables, gains.FULL)
    points = np.array(airframe.frame.rotors_m.points)
    turning = linear.turn_damping(craft, tables, trim)
    # roll is shared alike among the four, so its lever is the mean arm; so is pitch
    levers = np.abs(points[:, 1]).mean(), np.abs(points[:, 0]).mean()
    for axis, lever, damping, our in zip(
        ("roll", "pitch"), levers, (turning.x, turning.y), ours, strict=True
    ):
        plant = linear.axis_plant(craft, tables, trim, 1.0)
        open_loop = response(airframe, axis, lever * plant.gain_n_m, plant.lag_s, damping)
        degrees = np.degrees(np.unwrap(np.angle(open_loop)))
        gain, phase, _, crossing = control.margin(np.abs(open_loop), degrees, GRID)
        assert our.gain_db == pytest.approx(20.0 * log10(gain), abs=0.01)
        assert our.phase_deg == pytest.approx(phase, abs=0.05)
        assert our.phase_at_rad_s == pytest.approx(crossing, rel=1e-3)
        assert 20.0 * log10(gain) >= gains.LEAST_DB
        assert phase >= gains.LEAST_DEG
