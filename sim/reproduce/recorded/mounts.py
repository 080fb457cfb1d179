"""What a gyro on a loose mount, or on a loose arm, logs of the turning of the body it is fixed to.

A log made aboard has the readings themselves, so the controller is forced by them as they are; what the
model makes of drives is the turning of the body, and comes to the gyro by spring and damper.
"""

import numpy as np
from scipy.signal import cont2discrete, lfilter

from sim.reproduce.recording import Values


def logged_turning(turning: Values, mount: tuple[float, float], step_s: float) -> Values:
    """Return the mean changes of rate of the gyro over rows, (n, 3), of those of the body, rad/s2.

    mount : its natural frequency in rad/s, 0 if it is rigid, and the share of critical damping, as in
    `sim.kernel.sensors.mounted`. The body's are taken as even over each row.
    """
    loose, damping = mount
    if not loose:
        return turning
    drag = 2.0 * damping / loose
    rate = [drag, 1.0], [1.0 / loose**2, drag, 1.0, 0.0]  # of the gyro, by turning of the body
    up, down, _ = cont2discrete(rate, step_s, method="zoh")
    rates = lfilter(np.ravel(up), down, np.vstack([turning, np.zeros((1, 3))]), axis=0)
    return np.asarray(np.diff(rates, axis=0) / step_s)


def transmitted(turn_rad_s: Values, mount: tuple[float, float]) -> Values:
    """Return the share of a shake, so many rad/s quick, that comes through a mount: spring and damper."""
    loose, damping = mount
    if not loose:
        return np.ones_like(turn_rad_s)
    quick, drag = (turn_rad_s / loose) ** 2, (2.0 * damping * turn_rad_s / loose) ** 2
    return np.asarray(np.sqrt((1.0 + drag) / ((1.0 - quick) ** 2 + drag)))
