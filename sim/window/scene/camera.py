"""Fixed eyes: where they stand, what falls where in the picture.

Scene axes: north, east, up (m); pictures: x right, y down (px).
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

FULL_PX = (1540, 866)  # px; own: backdrops are baked for a picture of this size


@dataclass(frozen=True)
class Cut:
    """The full picture scaled to cover a size: its size then, and what sticks out left and top."""

    whole_px: tuple[int, int]
    left_px: int
    top_px: int


def covering(size: tuple[int, int], middle: float) -> Cut:
    """Return how the full picture is scaled and cut to a size."""
    scale = max(size[0] / FULL_PX[0], size[1] / FULL_PX[1])
    w, h = max(size[0], round(FULL_PX[0] * scale)), max(size[1], round(FULL_PX[1] * scale))
    top = round(middle * h - size[1] / 2)
    return Cut((w, h), (w - size[0]) // 2, min(max(top, 0), h - size[1]))


@dataclass(frozen=True)
class Camera:
    """An eye that never moves: its place, the point it looks at, its width of view.

    middle : share of the full height that stays in the middle when a wide picture cuts some off.
    """

    eye_m: tuple[float, float, float]
    aim_m: tuple[float, float, float]
    width_rad: float
    middle: float = 0.5

    @cached_property
    def axes(self) -> Array:
        """Rows: right, down, forward in scene axes."""
        forward = np.subtract(self.aim_m, self.eye_m)
        forward = forward / np.linalg.norm(forward)
        right = np.array([-forward[1], forward[0], 0.0])
        right /= np.linalg.norm(right)
        # north, east, up is a left-handed set: down = right x forward has its sign turned
        down = -np.cross(forward, right)
        down = down if down[2] < 0.0 else -down
        return np.array([right, down, forward])

    def lens(self, size: tuple[int, int]) -> "Lens":
        """Return the lens of a picture of this size: the full picture, scaled to cover it."""
        cut = covering(size, self.middle)
        focal = 0.5 * cut.whole_px[0] / np.tan(0.5 * self.width_rad)
        centre = cut.whole_px[0] / 2 - cut.left_px, cut.whole_px[1] / 2 - cut.top_px
        return Lens(np.array(self.eye_m), self.axes, float(focal), centre)


@dataclass(frozen=True)
class Lens:
    """A camera with the size of its picture settled."""

    eye_m: Array
    axes: Array
    focal_px: float
    centre_px: tuple[float, float]

    def project(self, points_m: Array) -> tuple[Array, Array]:
        """Return picture points (..., 2) and forward distances (...) of points (..., 3)."""
        seen = (points_m - self.eye_m) @ self.axes.T
        far = np.maximum(seen[..., 2], 0.05)  # m; own: nothing is drawn nearer
        flat = seen[..., :2] * (self.focal_px / far)[..., None]
        flat += self.centre_px
        return flat, far

    def rays(self, x_px: Array, y_px: Array) -> NDArray[np.float32]:
        """Return directions (3, n), one forward metre long, through points of the picture."""
        a = (x_px - self.centre_px[0]) / self.focal_px
        b = (y_px - self.centre_px[1]) / self.focal_px
        right, down, forward = self.axes
        ways = right[:, None] * a + down[:, None] * b + np.asarray(forward)[:, None]
        return np.asarray(ways, np.float32)
