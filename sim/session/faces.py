"""The six-face calibration of the accelerometer, face by face, as a person does it by hand."""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from sim.aircraft.setup import AccelerometerCalibration
from sim.bench.accelerometer import solve_six_positions
from sim.bench.reading import Reading
from sim.bench.rig import History
from sim.errors import Refusal
from sim.kernel.air import STANDARD_GRAVITY_M_S2
from sim.kernel.frames import Mat3, Vec3, apply

Reals = NDArray[np.float64]

TAKE_S = 2.0  # s; own: long enough to average a hand's tremor
STILL_RAD_S = 0.15  # rad/s; own: mean turn of the window, above any gyro bias of the catalogue
STILL_M_S2 = 0.25  # m/s2; own: change of gravity between the window's halves, 1.5 degrees
GRAVITY_OFF = 0.25  # 1; own: worse than any calibration can be wrong: being shaken, or broken
SQUARE = 0.94  # cosine; own: within 20 degrees of a face
NAMES = {
    (0, -1): "nose down",
    (0, 1): "nose up",
    (1, -1): "right side down",
    (1, 1): "left side down",
    (2, -1): "level",
    (2, 1): "on its back",
}  # by axis and sign of the reading: at rest it points up


@dataclass
class Faces:
    """The faces taken so far: the mean reading of each, told axes, m/s2."""

    taken: dict[tuple[int, int], Reals] = field(default_factory=dict)

    def take(self, window: History, mounting: Mat3) -> str:
        """Take the face the aircraft lies on; raise Refusal if it moves, is askew or repeats."""
        readings = told(window, "accel", "m_s2", mounting)
        mean = readings.mean(axis=0)
        _refuse_moving(readings, told(window, "gyro", "rad_s", mounting))
        size = float(np.linalg.norm(mean))
        if abs(size / STANDARD_GRAVITY_M_S2 - 1.0) > GRAVITY_OFF:
            raise Refusal(f"Not taken: it feels {size:.1f} m/s² where gravity is 9.8.", "no_fit")
        axis = int(np.argmax(np.abs(mean)))
        if abs(mean[axis]) < SQUARE * size:
            raise Refusal("Not taken: it lies between two faces. Hold it square.", "held_square")
        face = (axis, 1 if mean[axis] > 0.0 else -1)
        if face in self.taken:
            raise Refusal(f"Not taken: {NAMES[face]} has been taken already.", "other_face")
        self.taken[face] = mean
        return NAMES[face]

    def names(self) -> tuple[str, ...]:
        """Return the names of the faces taken."""
        return tuple(NAMES[face] for face in self.taken)

    def solved(self) -> tuple[AccelerometerCalibration, float]:
        """Return the calibration and how well it fits, m/s2; raise Refusal if a face is missing."""
        missing = [name for face, name in NAMES.items() if face not in self.taken]
        if missing:
            raise Refusal(
                f"No calibration was stored: still to do: {', '.join(missing)}.", "all_faces"
            )
        readings = np.array(list(self.taken.values()))
        expected = np.array([_gravity_on(face) for face in self.taken])
        offset, matrix = solve_six_positions(readings, expected)
        left = (readings - offset) @ matrix.T - expected
        x, y, z = offset.tolist()
        a, b, c = (tuple(row) for row in matrix.tolist())
        stored = AccelerometerCalibration(offset_m_s2=(x, y, z), matrix=(a, b, c))
        return stored, float(np.sqrt((left**2).mean()))


def _gravity_on(face: tuple[int, int]) -> Reals:
    force = np.zeros(3)
    force[face[0]] = face[1] * STANDARD_GRAVITY_M_S2
    return force


def told(window: History, what: str, unit: str, mounting: Mat3) -> Reals:
    """Return readings in the axes that the controller believes are the aircraft's, one a row."""
    rows = np.column_stack([window[f"{what}_{axis}_{unit}"] for axis in "xyz"])
    return np.array([apply(mounting, Vec3(*row)) for row in rows])


def _refuse_moving(accel: Reals, gyro: Reals) -> None:
    half = len(accel) // 2
    change = float(np.linalg.norm(accel[:half].mean(axis=0) - accel[half:].mean(axis=0)))
    if change > STILL_M_S2 or float(np.linalg.norm(gyro.mean(axis=0))) > STILL_RAD_S:
        raise Refusal("Not taken: it is moving. Hold it still.", "held_still")


def calibration_reading(stored: AccelerometerCalibration, residual_m_s2: float) -> Reading:
    """Return what the controller says of a calibration it has stored."""
    values = {"residual_m_s2": residual_m_s2}
    for i, axis in enumerate("xyz"):
        values[f"offset_{axis}_m_s2"] = stored.offset_m_s2[i]
        values[f"scale_{axis}_share"] = stored.matrix[i][i]
    return Reading("accelerometer-calibration", values)
