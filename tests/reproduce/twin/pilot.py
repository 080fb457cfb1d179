"""Another pilot than ours: looks thirty times a second, a fifth of a second late, with a tremble."""

from collections import deque

import numpy as np

from tests.reproduce.twin.physics import G

LOOK_S = 1.0 / 30.0
LATE = 6  # looks
TREMBLE = 0.012  # of stick
HIGH_M = 0.9


class Pilot:
    """Sticks roll, pitch, yaw, throttle, as moved: what the radio makes of them is not seen here."""

    def __init__(self, tilt_rad: float, yaw_rate: float, hover: float, rng: np.random.Generator) -> None:  # fmt: skip
        self.tilt, self.yaw_rate, self.hover, self.rng = tilt_rad, yaw_rate, hover, rng
        self.seen: deque = deque(maxlen=LATE + 1)
        self.base = 0.55 * hover
        self.up = False

    def sticks(self, position: np.ndarray, velocity: np.ndarray, heading: float, high: float) -> np.ndarray:  # fmt: skip
        """position, velocity : north, east, down; high : metres above where it stood."""
        self.seen.append((position.copy(), velocity.copy(), heading))
        position, velocity, heading = self.seen[0]
        push = np.clip(0.9 * -position[:2] - 1.5 * velocity[:2], -1.4, 1.4) / G
        c, s = np.cos(heading), np.sin(heading)
        forward, right = c * push[0] + s * push[1], c * push[1] - s * push[0]
        height = -position[2]
        if not self.up:  # slowly more until it leaves the floor
            self.base += 0.25 * self.hover * LOOK_S
            self.up = height > high * 0.15 + 0.12 or self.base > 1.25 * self.hover
            forward = right = 0.0
            throttle = self.base
        else:
            wrong = np.clip(0.7 * (high - height), -0.3, 0.3) + velocity[2]
            self.base = np.clip(self.base + 0.06 * wrong * LOOK_S, 0.5 * self.hover, 0.95)
            throttle = self.base + 0.11 * wrong
        yaw = np.clip(-heading / self.yaw_rate, -0.4, 0.4) if abs(heading) > 0.07 else 0.0
        moved = np.array([right / self.tilt, -forward / self.tilt, yaw, throttle])
        moved[:2] += TREMBLE * self.rng.normal(size=2)
        return np.clip(moved, (-1.0, -1.0, -1.0, 0.0), 1.0)
