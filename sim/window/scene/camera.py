"""Fixed eyes: where they stand, what falls where in the picture, what part of it is looked at.

Scene axes: north, east, up (m); pictures: x right, y down (px).
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

FULL_PX = (1540, 866)  # px; own: backdrops are baked for a picture of this size
MARGINS = ((0.20, 0.20), (0.22, 0.06))  # of width: left, right; of height: top, bottom; own: what
# moves nearer to an edge than this is followed


def magnified(size: tuple[int, int]) -> float:
    """Return how many times as large a picture is drawn that covers a size."""
    return max(size[0] / FULL_PX[0], size[1] / FULL_PX[1])


def within(wanted: float, least: float, most: float) -> float:
    """Return the value nearest to one that is wanted within limits."""
    return min(max(wanted, least), most)


@dataclass(frozen=True)
class Camera:
    """An eye that never moves: its place, the point it looks at, its width of view.

    size_px : of the full picture; axis_px : where in it the point looked at is.
    """

    eye_m: tuple[float, float, float]
    aim_m: tuple[float, float, float]
    width_rad: float
    size_px: tuple[int, int] = FULL_PX
    axis_px: tuple[float, float] = (FULL_PX[0] / 2, FULL_PX[1] / 2)

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

    def whole_px(self, factor: float) -> tuple[int, int]:
        """Return the size of the full picture drawn `factor` times as large."""
        return round(self.size_px[0] * factor), round(self.size_px[1] * factor)

    def lens(self, factor: float = 1.0) -> "Lens":
        """Return the lens of the full picture drawn `factor` times as large."""
        focal = factor * 0.5 * self.size_px[0] / np.tan(0.5 * self.width_rad)
        centre = self.axis_px[0] * factor, self.axis_px[1] * factor
        return Lens(np.array(self.eye_m), self.axes, float(focal), centre)

    def corner(
        self, factor: float, size: tuple[int, int], middle_px: Array, craft_m: Array
    ) -> tuple[int, int]:
        """Return the upper left of the part of that size that is looked at, in the full picture.

        `middle_px` (of the full picture as baked) is in its middle, unless the aircraft at `craft_m`
        would leave its inner part: then it is followed, as far as the full picture goes.
        """
        craft, _ = self.lens(factor).project(craft_m)
        whole, out = self.whole_px(factor), []
        for axis, (first, last) in enumerate(MARGINS):
            rest = factor * middle_px[axis] - size[axis] / 2
            least, most = craft[axis] - (1.0 - last) * size[axis], craft[axis] - first * size[axis]
            at = within(within(rest, least, most), 0.0, whole[axis] - size[axis])
            out.append(round(at))
        return out[0], out[1]


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
