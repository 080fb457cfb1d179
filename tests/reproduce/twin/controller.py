"""Another controller than ours: quaternion error to rates, PI on the rate error, D on the rate alone.

It runs at 400 Hz behind second-order filters, limits by shifting all four outputs, and works out its
own attitude by turning with the gyro and leaning slowly towards gravity and the compass.
"""

import numpy as np

from tests.reproduce.twin.craft import Settings
from tests.reproduce.twin.physics import G, turning_matrix

PERIOD_S = 0.0025
MOST_RATE = 3.4  # rad/s
WIND_UP = 0.22  # share of command
ASKED_HZ = 18.0  # Hz; what is asked for is smoothed
FROM_THROTTLE = 0.15
SURE_G = 2.0  # m/s2; a force further from gravity than that says nothing of level
LEVEL_PER_S, NORTH_PER_S = 0.35, 0.3


class LowPass:
    """Two poles, as Butterworth has them, by the bilinear transform."""

    def __init__(self, hz: float, size: int = 3) -> None:
        w = np.tan(np.pi * min(hz, 0.45 / PERIOD_S) * PERIOD_S)
        a = 1.0 + np.sqrt(2.0) * w + w * w
        self.b, self.a1, self.a2 = w * w / a, 2.0 * (w * w - 1.0) / a, (1.0 - np.sqrt(2.0) * w + w * w) / a  # fmt: skip
        self.s1, self.s2 = np.zeros(size), np.zeros(size)

    def __call__(self, x: np.ndarray) -> np.ndarray:
        y = self.b * x + self.s1
        self.s1 = 2.0 * self.b * x - self.a1 * y + self.s2
        self.s2 = self.b * x - self.a2 * y
        return y


def crossed(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    (x, y, z), (u, v, w) = a, b
    return np.array([y * w - z * v, z * u - x * w, x * v - y * u])


def product(p: np.ndarray, q: np.ndarray) -> np.ndarray:
    (a, b, c, d), (e, f, g, h) = p, q
    return np.array([
        a * e - b * f - c * g - d * h,
        a * f + b * e + c * h - d * g,
        a * g - b * h + c * e + d * f,
        a * h + b * g - c * f + d * e,
    ])  # fmt: skip


def from_angles(roll: float, pitch: float, heading: float) -> np.ndarray:
    x, y, z = 0.5 * roll, 0.5 * pitch, 0.5 * heading
    about = ((np.cos(a), np.sin(a)) for a in (x, y, z))
    (cx, sx), (cy, sy), (cz, sz) = about
    return product(product(np.array([cz, 0, 0, sz]), np.array([cy, 0, sy, 0])), np.array([cx, sx, 0, 0]))  # fmt: skip


def angles(q: np.ndarray) -> tuple[float, float, float]:
    w, x, y, z = q
    roll = np.arctan2(2 * (w * x + y * z), 1 - 2 * (x * x + y * y))
    pitch = np.arcsin(np.clip(2 * (w * y - z * x), -1.0, 1.0))
    return roll, pitch, np.arctan2(2 * (w * z + x * y), 1 - 2 * (y * y + z * z))


class Attitude:
    """What the controller takes its attitude for."""

    def __init__(self) -> None:
        self.q = np.array([1.0, 0.0, 0.0, 0.0])

    def update(self, rates: np.ndarray, force: np.ndarray, field_ut: np.ndarray) -> None:
        m = turning_matrix(self.q)
        lean = np.zeros(3)
        if abs(np.linalg.norm(force) - G) < SURE_G:
            up = -force / np.linalg.norm(force)  # where down is, as the force tells
            lean = LEVEL_PER_S * crossed(up, m[2])
        level = m @ field_ut
        north = NORTH_PER_S * np.arctan2(-level[1], level[0]) * m[2]
        turn = 0.5 * PERIOD_S * (rates + lean + north)
        self.q = product(self.q, np.array([1.0, *turn]))
        self.q /= np.linalg.norm(self.q)


class Controller:
    def __init__(self, settings: Settings, rotors_m: list[tuple[float, float]], spin: list[int]) -> None:  # fmt: skip
        s = self.settings = settings
        self.gains = np.array(s.gains)
        self.rate_filter, self.slope_filter = LowPass(s.gyro_hz), LowPass(s.slope_hz)
        self.asked_filter = LowPass(ASKED_HZ)
        self.sum, self.before = np.zeros(3), np.zeros(3)
        self.heading = 0.0
        self.mix = mixing(rotors_m, spin)
        self.line = [np.zeros(4)] * (s.delay + 1)

    def outputs(self, sticks: np.ndarray, q: np.ndarray, gyro: np.ndarray, armed: bool) -> tuple[np.ndarray, np.ndarray]:  # fmt: skip
        """Return what it puts out now and what reaches the drives, which is older.

        sticks : roll, pitch (nose up), yaw, throttle.
        """
        s = self.settings
        rates = self.rate_filter(gyro)
        slope = self.slope_filter((rates - self.before) / PERIOD_S)
        self.before = rates
        asked = self.asked_filter(self._asked(sticks, q))
        error = asked - rates
        running = armed and sticks[3] > FROM_THROTTLE
        self.sum = np.clip(self.sum + self.gains[:, 1] * error * PERIOD_S, -WIND_UP, WIND_UP) * running  # fmt: skip
        push = np.array(s.sense) * (self.gains[:, 0] * error + self.sum - self.gains[:, 2] * slope)
        if not running:
            self.heading = angles(q)[2]
        now = self._mixed(s.throttle * sticks[3], push) if armed else np.zeros(4)
        self.line = [now, *self.line[:-1]]
        return now, self.line[-1]

    def _asked(self, sticks: np.ndarray, q: np.ndarray) -> np.ndarray:
        s = self.settings
        turn = s.yaw_rate_rad_s * sticks[2] if abs(sticks[2]) > 0.04 else 0.0
        seen = angles(q)[2]
        lead = self.heading + turn * PERIOD_S - seen
        lead = np.clip(np.arctan2(np.sin(lead), np.cos(lead)), -0.35, 0.35)
        self.heading = seen + lead
        roll, pitch = s.tilt_rad * sticks[0] + s.trim_rad[0], s.tilt_rad * sticks[1] + s.trim_rad[1]
        goal = from_angles(roll, pitch, self.heading)
        e = product(q * np.array([1.0, -1.0, -1.0, -1.0]), goal)
        asked = 2.0 * s.attitude_per_s * np.sign(e[0] or 1.0) * e[1:] * (1.0, 1.0, 0.5)
        asked[2] += turn
        return np.clip(asked, -MOST_RATE, MOST_RATE)

    def _mixed(self, throttle: float, push: np.ndarray) -> np.ndarray:
        c, s = np.cos(self.settings.layout_turn_rad), np.sin(self.settings.layout_turn_rad)
        push = np.array([c * push[0] - s * push[1], s * push[0] + c * push[1], push[2]])
        push[2] = np.clip(push[2], -0.3, 0.3)
        out = throttle + self.mix @ push
        out += min(0.0, 1.0 - out.max())
        out += max(0.0, self.settings.idle - out.min())
        return np.clip(out, self.settings.idle, 1.0)


def mixing(rotors_m: list[tuple[float, float]], spin: list[int]) -> np.ndarray:
    """Return shares of roll right, nose up and yaw right: left ones up, front ones up, backward spins up."""
    return np.array([(-np.sign(y), np.sign(x), -k) for (x, y), k in zip(rotors_m, spin, strict=True)])  # fmt: skip
