"""Calibrations done by the person: from what was collected to what the controller stores."""

import numpy as np
from numpy.typing import NDArray

from sim.aircraft.changes import with_value
from sim.aircraft.setup import CompassCalibration
from sim.aircraft.world import World
from sim.bench.compass import FitError, fit_compass
from sim.bench.interlocks import field_strength_ut
from sim.bench.reading import Reading
from sim.bench.rig import HANDS_OFF, Rig
from sim.errors import Refusal
from sim.kernel.frames import Vec3, apply

SETTLE_S = 6.0  # s; own: the attitude settles on the plate
LOOK_S = 2.0  # s; own: long enough to average the noise away


def compass_from(rig: Rig, rows_ut: NDArray[np.float64]) -> tuple[CompassCalibration, Reading]:
    """Return the compass calibration fitted to raw readings, and its numbers to read off.

    rows_ut : float64[n, 3], uT, instrument axes. Raises Refusal if they fix no ellipsoid.
    """
    mounting = rig.craft.estimator.mounting
    turned = np.array([tuple(apply(mounting, Vec3(*row))) for row in rows_ut]).reshape(-1, 3)
    expected = field_strength_ut(rig)
    try:
        fit = fit_compass(turned, expected)
    except FitError as error:
        raise Refusal(f"No calibration was stored: {error}.") from None
    x, y, z = fit.offset_ut.tolist()
    a, b, c = (tuple(row) for row in fit.matrix.tolist())
    stored = CompassCalibration(
        offset_ut=(x, y, z),
        matrix=(a, b, c),
        residual_share=fit.residual_share,
        coverage=fit.coverage,
        place=rig.world.conduct.place,
    )
    values = {
        "fitted_field_ut": fit.fitted_ut,
        "site_field_ut": expected,
        "residual_share": fit.residual_share,
        "coverage_share": fit.coverage,
        "offset_x_ut": x,
        "offset_y_ut": y,
        "offset_z_ut": z,
        "readings": float(len(rows_ut)),
    }
    return stored, Reading("compass-calibration", values)


def levelled(rig: Rig) -> World:
    """Return the world with the attitude the aircraft stands in taken as level."""
    rig.run(HANDS_OFF, SETTLE_S)
    seen = rig.run(HANDS_OFF, LOOK_S)
    setup = rig.world.setup
    roll = setup.level_trim_roll_deg + float(np.degrees(seen["shown_roll_rad"].mean()))
    pitch = setup.level_trim_pitch_deg + float(np.degrees(seen["shown_pitch_rad"].mean()))
    world = with_value(rig.world, "setup.level_trim_roll_deg", roll)
    return with_value(world, "setup.level_trim_pitch_deg", pitch)
