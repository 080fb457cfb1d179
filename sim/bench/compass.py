"""Compass calibration: an ellipsoid fitted to readings taken while the aircraft is turned.

The reading of a distorted but steady field lies on an ellipsoid about the hard-iron offset. The
nine-parameter algebraic fit is followed by the map that makes it a sphere of the site's field
strength (theory: Merayo et al., Meas. Sci. Technol. 11 (2000) 120).
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Reals = NDArray[np.float64]

DIRECTIONS = 48  # own: points of the coverage sphere, about 29 degrees apart
NEAR_RAD = 0.5236  # rad; own: 30 degrees, a reading covers the directions within it
LOOSE = 0.03  # 1; own: two turns about two axes leave 0.01, a level turn besides makes it 0.09
LEAST_READINGS = 20  # own: twice the nine unknowns and some


class FitError(ValueError):
    """The readings do not fix an ellipsoid; the message says why."""


@dataclass(frozen=True)
class CompassFit:
    """Offset (uT), matrix of the correction matrix (raw - offset), strength and quality.

    residual_share: spread of the corrected field's size over its mean; coverage: share of all
    directions that some reading came near; loosest: how firmly the readings fix soft iron.
    """

    offset_ut: Reals
    matrix: Reals
    fitted_ut: float
    residual_share: float
    coverage: float
    loosest: float


def _scaled(readings_ut: Reals) -> tuple[Reals, Reals, float]:
    """Return (design of the nine unknowns, middle, size) of the readings brought to size one."""
    middle = readings_ut.mean(axis=0)
    size = float(np.sqrt(((readings_ut - middle) ** 2).sum(axis=1).mean())) or 1.0
    x, y, z = ((readings_ut - middle) / size).T
    design = np.column_stack(
        [x * x, y * y, z * z, 2 * x * y, 2 * x * z, 2 * y * z, 2 * x, 2 * y, 2 * z]
    )
    return design, middle, size


def _nearest_sphere(design: Reals) -> Reals:
    """Return the nine numbers that fit best and, where the readings leave them open, a sphere's.

    Two turns about two axes lie on a pair of planes, which is a quadric too, so one direction of
    the nine is fixed by tremor alone; there the sphere that fits best is kept.
    """
    ones = np.ones(len(design))
    ball = np.column_stack([design[:, :3].sum(axis=1), design[:, 6:]])
    k, *linear = np.linalg.lstsq(ball, ones, rcond=None)[0]
    sphere = np.array([k, k, k, 0.0, 0.0, 0.0, *linear])
    left, sizes, right = np.linalg.svd(design, full_matrices=False)
    firm = sizes > LOOSE * np.sqrt(len(design))
    steps = left.T[firm] @ (ones - design @ sphere) / sizes[firm]
    found: Reals = sphere + right[firm].T @ steps
    return found


def loosest(readings_ut: Reals) -> float:
    """Return how firmly the readings fix the loosest of the nine numbers, per reading."""
    design, _, _ = _scaled(readings_ut)
    return float(np.linalg.svd(design, compute_uv=False)[-1] / np.sqrt(len(design)))


def fit_ellipsoid(readings_ut: Reals) -> tuple[Reals, Reals]:
    """Return (centre[3] in uT, shape[3, 3] in 1/uT2) with (m - c)' S (m - c) = 1 on the ellipsoid.

    Raises FitError if the readings do not lie on one.
    """
    if len(readings_ut) < LEAST_READINGS:
        raise FitError(f"only {len(readings_ut)} readings; at least {LEAST_READINGS} are needed")
    design, middle, size = _scaled(readings_ut)
    if np.linalg.matrix_rank(design, tol=1e-6 * np.linalg.norm(design)) < 9:
        raise FitError("the turns leave the ellipsoid open; turn about more than one axis")
    a, b, c, d, e, f, g, h, i = _nearest_sphere(design)
    shape = np.array([[a, d, e], [d, b, f], [e, f, c]])
    linear = np.array([g, h, i])
    centre = -np.linalg.solve(shape, linear)
    scale = 1.0 + centre @ shape @ centre
    shape = shape / scale
    if np.linalg.eigvalsh(shape).min() <= 0.0:
        raise FitError("the readings do not close to an ellipsoid; turn further round")
    return middle + size * centre, shape / size**2


def covered(readings_ut: Reals, centre_ut: Reals) -> float:
    """Return the share of all directions, seen from the centre, that a reading came near."""
    k = np.arange(DIRECTIONS) + 0.5
    height = 1.0 - 2.0 * k / DIRECTIONS
    turn = np.pi * (1.0 + 5.0**0.5) * k  # golden spiral
    ring = np.sqrt(1.0 - height**2)
    sphere = np.column_stack([ring * np.cos(turn), ring * np.sin(turn), height])
    away = readings_ut - centre_ut
    away = away / np.linalg.norm(away, axis=1, keepdims=True)
    nearest = (sphere @ away.T).max(axis=1)
    return float((nearest > np.cos(NEAR_RAD)).mean())


def fit_compass(readings_ut: Reals, expected_ut: float) -> CompassFit:
    """Return the calibration that turns the readings into a sphere of the site's field strength.

    readings_ut : float64[n, 3], uT, body axes; expected_ut : field strength at the site, uT.
    Raises FitError.
    """
    centre, shape = fit_ellipsoid(readings_ut)
    values, axes = np.linalg.eigh(shape)
    round_off = axes @ np.diag(np.sqrt(values)) @ axes.T
    fitted = float(np.linalg.det(shape) ** (-1.0 / 6.0))
    sizes = np.linalg.norm((readings_ut - centre) @ round_off.T, axis=1)
    return CompassFit(
        offset_ut=centre,
        matrix=round_off * expected_ut,
        fitted_ut=fitted,
        residual_share=float(sizes.std() / sizes.mean()),
        coverage=covered(readings_ut, centre),
        loosest=loosest(readings_ut),
    )
