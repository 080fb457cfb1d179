"""What one aircraft of the model is: numbers of the sheet, each off by what real ones are off by."""

from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np
import yaml

ASSETS = Path(__file__).parents[3] / "assets"
PLACES = ("front_left", "front_right", "rear_right", "rear_left")
MOST_OFF = 0.15  # share; design: mass and inertia are off by up to this


def four(value: float) -> list[float]:
    return [value] * 4


@dataclass
class Motors:
    """Four rotors by place. `ends`: (command at which a drive gives nothing, all)."""

    kv_rad_s_v: list[float]
    ohm: list[float]
    no_load_a: list[float]
    lag_s: list[float]
    thrust: list[float]  # of what the propeller's table gives
    torque: list[float]
    spin: list[int]  # +1 clockwise from above
    unbalance_kg_m: list[float]
    ends: list[tuple[float, float]]
    turning_kg_m2: float
    lead: list[int] = field(default_factory=lambda: [0, 1, 2, 3])  # output that drives each place
    lean: list[tuple[float, float]] = field(default_factory=lambda: [(0.0, 0.0)] * 4)


@dataclass
class Body:
    mass_kg: float
    inertia_kg_m2: tuple[float, float, float]
    cg_m: tuple[float, float]  # forward, right of the middle of the rotors
    rotors_m: list[tuple[float, float]]
    rotor_up_m: float
    feet_m: tuple[float, float, float]  # forward, right, down
    lateral: float  # N per (rad/s m/s)
    frame_drag: float
    diameter_m: float


@dataclass
class Pack:
    cells: int
    capacity_as: float
    ohm: float
    charge: float
    electronics_a: float


@dataclass
class Sensors:
    gyro_noise: float
    accel_noise: float
    mag_noise: float
    gyro_bias: np.ndarray  # rad/s; after the start-up has taken its zero
    accel_bias: np.ndarray
    iron_ut: np.ndarray
    per_amp_ut: np.ndarray
    compass_turn_rad: float = 0.0
    board_turn_rad: float = 0.0
    shake: float = 1.0


@dataclass
class Settings:
    """The controller's: gains (p, i, d) by axis, filters, limits. `sense`: which way a loop pushes."""

    gains: list[tuple[float, float, float]]
    attitude_per_s: float
    gyro_hz: float
    slope_hz: float
    delay: int  # periods of 2.5 ms
    tilt_rad: float
    yaw_rate_rad_s: float
    idle: float
    sense: list[int] = field(default_factory=lambda: [1, 1, 1])
    layout_turn_rad: float = 0.0
    trim_rad: tuple[float, float] = (0.0, 0.0)
    throttle: float = 1.0


@dataclass
class Radio:
    """From stick to what the controller gets: order, direction, share and offset of each."""

    order: list[int] = field(default_factory=lambda: [0, 1, 2, 3])
    sense: list[int] = field(default_factory=lambda: [1, 1, 1, 1])
    share: list[float] = field(default_factory=lambda: [1.0] * 4)
    offset: list[float] = field(default_factory=lambda: [0.0] * 4)


@dataclass
class Craft:
    body: Body
    motors: Motors
    pack: Pack
    sensors: Sensors
    settings: Settings
    radio: Radio
    earth_ut: np.ndarray  # north, east, down


def sheet(name: str) -> dict[str, Any]:
    return yaml.safe_load((ASSETS / "airframes" / f"{name}.yaml").read_text())


def aircraft(name: str, rng: np.random.Generator) -> Craft:
    """Return a sound aircraft of a sheet, as somebody else would have built and tuned it."""
    plan = sheet(name)
    pack = yaml.safe_load((ASSETS / "packs" / f"{plan['pack']}.yaml").read_text())
    site = yaml.safe_load((ASSETS / "sites" / "lockup-garage.yaml").read_text())

    def off(most: float, size: int | None = None) -> Any:
        return 1.0 + rng.uniform(-most, most, size)

    frame, motor, prop, tuned = (
        plan["frame"],
        plan["motor"],
        plan["propeller"],
        plan["sheet"]["setup"],
    )
    inertia = [plan[f"{axis}_inertia_kg_m2"] * off(MOST_OFF) for axis in ("roll", "pitch", "yaw")]
    feet = frame["foot_forward_m"], frame["foot_right_m"], frame["foot_down_m"]
    body = Body(
        plan["mass_kg"] * off(MOST_OFF),
        (inertia[0], inertia[1], min(inertia[2], 0.98 * (inertia[0] + inertia[1]))),
        tuple(rng.normal(0.0, 0.0008, 2)),
        [tuple(frame["rotors_m"][place]) for place in PLACES],
        frame["rotor_up_m"],
        feet,
        frame["lateral_drag_n_s2_m"] * off(0.3),
        frame["frame_drag_n_s2_m2"] * off(0.5),
        prop["diameter_m"],
    )
    kv = motor["kv_rpm_v"] * 2.0 * np.pi / 60.0
    motors = Motors(
        list(kv * off(0.015) * off(0.01, 4)),
        list(motor["resistance_ohm"] * off(0.1) * off(0.02, 4)),
        list(motor["no_load_a"] * off(0.1, 4)),
        list(_lag_s(plan) * off(0.15) * off(0.02, 4)),
        list(off(0.03) * off(0.007, 4)),
        list(off(0.03) * off(0.007, 4)),
        [1 if place in plan["clockwise"] else -1 for place in PLACES],
        list(prop["unbalance_g_mm"] * 1e-6 * off(0.3, 4)),
        [(rng.normal(0.0, 0.002), 1.0 + rng.normal(0.0, 0.004)) for _ in PLACES],
        (prop["inertia_kg_m2"] + motor["bell_inertia_kg_m2"]) * off(0.1),
    )
    ohm = pack["cells"] * (pack["r0_ohm"] + 0.5 * pack["r1_ohm"]) * off(0.2) + pack["lead_ohm"]
    power = Pack(pack["cells"], 3600.0 * pack["capacity_ah"] * off(0.03), ohm, rng.uniform(0.8, 1.0), plan["electronics"]["current_a"])  # fmt: skip
    tools = plan["instruments"]
    sensors = Sensors(
        1.2 * tools["gyro_noise_rad_s"],
        1.2 * tools["accel_noise_m_s2"],
        tools["mag_noise_ut"],
        np.radians(rng.normal(0.0, 0.08, 3)),
        rng.normal(0.0, 0.03, 3),
        rng.normal(0.0, 0.4, 3),
        rng.normal(0.0, 0.02, 3),
    )
    gains = [
        tuple(tuned[axis][key] * off(most) for key, most in (("p", 0.12), ("i", 0.3), ("d", 0.15)))
        for axis in ("roll", "pitch", "yaw")
    ]
    settings = Settings(
        gains,
        tuned["attitude_gain_per_s"] * off(0.12),
        1.3 * tuned["gyro_cutoff_hz"] * off(0.1),
        tuned["damping_cutoff_hz"] * off(0.1),
        2,
        np.radians(tuned["tilt_limit_deg"]),
        np.radians(tuned["yaw_rate_limit_deg_s"]),
        tuned["idle"],
    )
    field_ut = site["earth_field"]
    earth = np.array([field_ut["north_ut"], field_ut["east_ut"], field_ut["down_ut"]])
    return Craft(body, motors, power, sensors, settings, Radio(), earth)


def _lag_s(plan: dict[str, Any]) -> float:
    """Return how slowly a rotor follows its command about the hover, s: J over what brakes it."""
    motor, prop = plan["motor"], plan["propeller"]
    turning = prop["inertia_kg_m2"] + motor["bell_inertia_kg_m2"]
    k = 60.0 / (2.0 * np.pi * motor["kv_rpm_v"])  # N m/A
    thrust = plan["mass_kg"] * 9.81 / 4.0
    n = np.sqrt(thrust / (0.12 * 1.22 * prop["diameter_m"] ** 4))
    torque = 0.048 * 1.22 * n**2 * prop["diameter_m"] ** 5 / (2.0 * np.pi)
    return float(turning / (k * k / motor["resistance_ohm"] + 2.0 * torque / (2.0 * np.pi * n)))
