"""Faults put into the model in its own way, by the names of the catalogue.

Each takes the aircraft, how bad it is (0..1) and chance; it changes the aircraft and returns the place,
or "" where there is none. Sizes run from what one would just call a fault to the worst one meets.
"""

from collections.abc import Callable

import numpy as np

from tests.reproduce.twin.craft import PLACES, Craft
from tests.reproduce.twin.physics import G

Way = Callable[[Craft, float, np.random.Generator], str]
BACKWARDS = 0.42  # of thrust that a propeller gives run backwards: the wrong edge leads
UPSIDE_DOWN = 0.62  # of thrust: the same way, the wrong side of the blade up
CHANNELS = {"roll": 0, "pitch": 1, "yaw": 2}


def between(low: float, high: float, severity: float) -> float:
    return low + (high - low) * severity


def anywhere(rng: np.random.Generator) -> int:
    return int(rng.integers(4))


def about(rng: np.random.Generator) -> np.ndarray:
    angle = rng.uniform(0.0, 2.0 * np.pi)
    return np.array([np.cos(angle), np.sin(angle)])


def reversed_channel(axis: str) -> Way:
    def put(craft: Craft, severity: float, rng: np.random.Generator) -> str:
        craft.radio.sense[CHANNELS[axis]] = -1
        return ""

    return put


def mixed_channels(craft: Craft, severity: float, rng: np.random.Generator) -> str:
    craft.radio.order = [2, 1, 0, 3]
    return ""


def short_sticks(craft: Craft, severity: float, rng: np.random.Generator) -> str:
    craft.radio.share[:3] = [between(0.75, 0.4, severity)] * 3
    return ""


def stick_off(craft: Craft, severity: float, rng: np.random.Generator) -> str:
    axis = int(rng.integers(2))
    craft.radio.offset[axis] = between(0.06, 0.2, severity) * rng.choice((-1, 1))
    return ""


def swapped_leads(craft: Craft, severity: float, rng: np.random.Generator) -> str:
    a, b = rng.choice(4, 2, replace=False)
    lead = craft.motors.lead
    lead[a], lead[b] = lead[b], lead[a]
    return f"{PLACES[a]} {PLACES[b]}"


def reversed_motor(craft: Craft, severity: float, rng: np.random.Generator) -> str:
    i, m = anywhere(rng), craft.motors
    m.spin[i] = -m.spin[i]
    m.thrust[i] *= -BACKWARDS
    return PLACES[i]


def wrong_hand(craft: Craft, severity: float, rng: np.random.Generator) -> str:
    i = anywhere(rng)
    craft.motors.thrust[i] *= -BACKWARDS
    return PLACES[i]


def upside_down(craft: Craft, severity: float, rng: np.random.Generator) -> str:
    i = anywhere(rng)
    craft.motors.thrust[i] *= UPSIDE_DOWN
    craft.motors.torque[i] *= 1.05
    return PLACES[i]


def weak_motor(craft: Craft, severity: float, rng: np.random.Generator) -> str:
    i, m = anywhere(rng), craft.motors
    m.ohm[i] *= between(1.3, 2.2, severity)
    m.no_load_a[i] *= between(1.5, 3.0, severity)
    m.kv_rad_s_v[i] *= between(0.97, 0.85, severity)
    return PLACES[i]


def other_size(craft: Craft, severity: float, rng: np.random.Generator) -> str:
    i, ratio = anywhere(rng), between(0.97, 0.88, severity)
    craft.motors.thrust[i] *= ratio**4
    craft.motors.torque[i] *= ratio**5
    return PLACES[i]


def nick(craft: Craft, severity: float, rng: np.random.Generator) -> str:
    i = anywhere(rng)
    craft.motors.unbalance_kg_m[i] += between(2.0e-6, 8.0e-6, severity)
    craft.motors.thrust[i] *= between(1.0, 0.98, severity)
    return PLACES[i]


def rough_bearing(craft: Craft, severity: float, rng: np.random.Generator) -> str:
    i = anywhere(rng)
    craft.motors.no_load_a[i] += between(0.5, 2.0, severity)
    return PLACES[i]


def leaning_motor(craft: Craft, severity: float, rng: np.random.Generator) -> str:
    i = anywhere(rng)
    x, y = craft.body.rotors_m[i]
    lean = np.radians(between(2.0, 8.0, severity)) * rng.choice((-1, 1)) / np.hypot(x, y)
    craft.motors.lean[i] = (-y * lean, x * lean)  # round the middle, so that it turns the frame
    return PLACES[i]


def ends_apart(craft: Craft, severity: float, rng: np.random.Generator) -> str:
    i = anywhere(rng)
    low, span = craft.motors.ends[i]
    craft.motors.ends[i] = (
        low - between(0.01, 0.05, severity),
        span * between(0.95, 0.85, severity),
    )
    return PLACES[i]


def heavy_side(craft: Craft, severity: float, rng: np.random.Generator) -> str:
    off = between(0.006, 0.025, severity) * about(rng)
    craft.body.cg_m = (craft.body.cg_m[0] + off[0], craft.body.cg_m[1] + off[1])
    return ""


def over_mass(craft: Craft, severity: float, rng: np.random.Generator) -> str:
    more = between(1.25, 1.6, severity)
    craft.body.mass_kg = 1.5 * more
    x, y, z = craft.body.inertia_kg_m2
    wider = 0.5 + 0.5 * more
    craft.body.inertia_kg_m2 = (wider * x, wider * y, wider * z)
    return ""


def hard_iron(craft: Craft, severity: float, rng: np.random.Generator) -> str:
    craft.sensors.iron_ut[:2] += between(3.0, 18.0, severity) * about(rng)
    return ""


def compass_turned(craft: Craft, severity: float, rng: np.random.Generator) -> str:
    craft.sensors.compass_turn_rad = float(rng.choice((0.5, -0.5, 1.0))) * np.pi
    return ""


def current_field(craft: Craft, severity: float, rng: np.random.Generator) -> str:
    craft.sensors.per_amp_ut[:2] += between(0.2, 0.9, severity) * about(rng)
    return ""


def board_turned(craft: Craft, severity: float, rng: np.random.Generator) -> str:
    craft.sensors.board_turn_rad = float(rng.choice((0.5, -0.5, 1.0))) * np.pi
    return ""


def gyro_moved(craft: Craft, severity: float, rng: np.random.Generator) -> str:
    off = between(0.8, 3.0, severity)
    craft.sensors.gyro_bias[:2] += np.radians(off) * about(rng)
    return ""


def force_off(craft: Craft, severity: float, rng: np.random.Generator) -> str:
    craft.sensors.accel_bias[:2] += G * np.radians(between(1.2, 4.0, severity)) * about(rng)
    return ""


def scaled_gains(kind: int, low: float, high: float, axes: tuple[int, ...] = (0, 1)) -> Way:
    """Gains of some axes times between `low` and `high`: kind 0 is P and D together, 2 is D alone."""

    def put(craft: Craft, severity: float, rng: np.random.Generator) -> str:
        k = between(low, high, severity)
        for axis in axes:
            p, i, d = craft.settings.gains[axis]
            craft.settings.gains[axis] = (p, i, k * d) if kind == 2 else (k * p, i, k * d)
        return ""

    return put


def one_axis(craft: Craft, severity: float, rng: np.random.Generator) -> str:
    axis = int(rng.integers(2))
    return scaled_gains(0, 0.55, 0.25, (axis,))(craft, severity, rng)


def slow_filter(craft: Craft, severity: float, rng: np.random.Generator) -> str:
    craft.settings.gyro_hz = between(28.0, 12.0, severity)
    craft.settings.slope_hz = between(20.0, 10.0, severity)
    return ""


def trim_off(craft: Craft, severity: float, rng: np.random.Generator) -> str:
    off = np.radians(between(1.2, 4.0, severity)) * about(rng)
    craft.settings.trim_rad = (float(off[0]), float(off[1]))
    return ""


def loop_reversed(craft: Craft, severity: float, rng: np.random.Generator) -> str:
    craft.settings.sense[int(rng.integers(2))] = -1
    return ""


def yaw_reversed(craft: Craft, severity: float, rng: np.random.Generator) -> str:
    craft.settings.sense[2] = -1
    return ""


def other_layout(craft: Craft, severity: float, rng: np.random.Generator) -> str:
    craft.settings.layout_turn_rad = np.pi / 4.0
    return ""


def wide_tilt(craft: Craft, severity: float, rng: np.random.Generator) -> str:
    craft.settings.tilt_rad = np.radians(between(40.0, 70.0, severity))
    return ""


def steep_throttle(craft: Craft, severity: float, rng: np.random.Generator) -> str:
    craft.settings.throttle = between(1.4, 2.0, severity)
    return ""


def half_empty(craft: Craft, severity: float, rng: np.random.Generator) -> str:
    craft.pack.charge = between(0.45, 0.12, severity)
    return ""


def worn_pack(craft: Craft, severity: float, rng: np.random.Generator) -> str:
    craft.pack.ohm *= between(1.8, 4.0, severity)
    return ""


FAULTS: dict[str, Way] = {
    "roll-channel-reversed": reversed_channel("roll"),
    "pitch-channel-reversed": reversed_channel("pitch"),
    "yaw-channel-reversed": reversed_channel("yaw"),
    "channel-order-mixed": mixed_channels,
    "stick-ends-short": short_sticks,
    "stick-centre-off": stick_off,
    "motor-order-swapped": swapped_leads,
    "motor-spin-reversed": reversed_motor,
    "prop-wrong-hand": wrong_hand,
    "prop-upside-down": upside_down,
    "motor-weak-or-shorted": weak_motor,
    "prop-size-mismatch": other_size,
    "prop-nick-imbalance": nick,
    "motor-bearing-rough": rough_bearing,
    "motor-mount-tilted": leaning_motor,
    "throttle-ends-unmatched": ends_apart,
    "cg-offset": heavy_side,
    "over-mass": over_mass,
    "mag-hard-iron-offset": hard_iron,
    "mag-mount-rotated": compass_turned,
    "mag-current-coupling": current_field,
    "board-rotation-untold": board_turned,
    "gyro-bias-moved": gyro_moved,
    "accel-cal-bad": force_off,
    "rate-gain-high": scaled_gains(0, 1.9, 3.0),
    "rate-gain-low": scaled_gains(0, 0.5, 0.25),
    "damping-gain-high": scaled_gains(2, 2.2, 4.0),
    "axis-gains-unequal": one_axis,
    "filter-cutoff-wrong": slow_filter,
    "level-trim-off": trim_off,
    "loop-sign-reversed": loop_reversed,
    "yaw-mix-sign-wrong": yaw_reversed,
    "mixer-geometry-wrong": other_layout,
    "tilt-limit-wild": wide_tilt,
    "hover-throttle-mismatch": steep_throttle,
    "pack-undercharged": half_empty,
    "pack-high-resistance": worn_pack,
}
