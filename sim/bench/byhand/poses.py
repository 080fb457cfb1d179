"""By hand: where the aircraft was held still, and how it stood there."""

import itertools
from dataclasses import dataclass

import numpy as np

from sim.bench.recorded import Mask, Recorded, Span
from sim.bench.rig import History

STILL_RAD_S = 0.2  # rad/s; own: slower than any turn on purpose, above what is left of a tremor
HELD_S = 0.5  # s; own: held shorter, nobody reads anything
POSE_S = 0.5  # s; own: the pose is that of the last half second
LEVEL_DEG = 3.0  # deg; own: by eye, against the edge of the bench
EYE_DEG = 0.2  # deg; own: how well one knows what one holds, by that edge or a wedge


@dataclass(frozen=True)
class Pose:
    """A time the aircraft was held still, and how it truly stood, deg.

    heading_deg : goes on past 180 as it is turned.
    """

    span: Span
    roll_deg: float
    pitch_deg: float
    heading_deg: float

    @property
    def level(self) -> bool:
        """Whether it was held level."""
        return max(abs(self.roll_deg), abs(self.pitch_deg)) <= LEVEL_DEG

    @property
    def nose_down_deg(self) -> float:
        """How far it was held nose down and not on a side; 0 if it was not."""
        return self._tilt(-self.pitch_deg, self.roll_deg)

    @property
    def right_down_deg(self) -> float:
        """How far it was held right side down and not nose or tail down; 0 if it was not."""
        return self._tilt(self.roll_deg, self.pitch_deg)

    @staticmethod
    def _tilt(tilt: float, across: float) -> float:
        return tilt if tilt > LEVEL_DEG and abs(across) <= 0.5 * tilt else 0.0  # own: half


def poses(recorded: Recorded, within: Mask | None = None) -> list[Pose]:
    """Return how it was held still, in order; within : in these rows only."""
    whole = recorded.whole
    if len(whole) == 0:
        return []
    heading = np.degrees(np.unwrap(whole["heading_rad"]))
    spans = recorded.still(STILL_RAD_S, HELD_S, within)
    return [_pose(span, heading) for span in spans]


def _pose(span: Span, heading: np.ndarray) -> Pose:
    late = span.history.last(POSE_S)
    turned = heading[span.rows][-len(late) :]
    roll, pitch = (
        float(np.degrees(np.unwrap(late[f"{name}_rad"]).mean())) for name in ("roll", "pitch")
    )
    return Pose(span, roll, pitch, float(turned.mean()))


def by_eye_deg(rng: np.random.Generator, true_deg: float) -> float:
    """Return an angle as the person who holds it knows it, deg."""
    return true_deg + EYE_DEG * float(rng.standard_normal())


def twists(held: list[Pose]) -> list[tuple[Pose, Pose, float]]:
    """Return (before, after, deg to the right) of each turn from one level hold to the next."""
    level = [pose for pose in held if pose.level]
    return [(a, b, b.heading_deg - a.heading_deg) for a, b in itertools.pairwise(level)]


def settled(pose: Pose, skip_s: float, seconds: float) -> History:
    """Return some seconds of a hold, from `skip_s` after its beginning, or what there is of them."""
    return pose.span.first(skip_s + seconds).last(seconds)
