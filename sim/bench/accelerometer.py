"""Six-position accelerometer calibration by least squares (ST AN4508: X = (W'W)^-1 W'Y)."""

import numpy as np
from numpy.typing import NDArray

Reals = NDArray[np.float64]


def solve_six_positions(readings_m_s2: Reals, expected_m_s2: Reals) -> tuple[Reals, Reals]:
    """Return (offset[3], matrix[3, 3]) with expected = matrix (reading - offset).

    readings_m_s2, expected_m_s2 : float64[n, 3], one row a face. Raises ValueError if the faces do
    not fix the twelve unknowns (at least four that do not lie in one plane).
    """
    design = np.column_stack([readings_m_s2, np.ones(len(readings_m_s2))])
    if np.linalg.matrix_rank(design) < 4:
        raise ValueError("the faces do not fix twelve unknowns; use all six")
    solution = np.asarray(np.linalg.lstsq(design, expected_m_s2, rcond=None)[0], np.float64)
    matrix = solution[:3].T
    offset: Reals = -np.linalg.solve(matrix, solution[3])
    return offset, matrix
