"""The aircraft as designed, and its build sheet: what a correct build reads."""

from typing import Annotated, Literal

from pydantic import Field

from sim.aircraft.fields import Line, NotNegative, Place, Positive, Share, Strict, Text
from sim.aircraft.setup import ControllerSetup


class Motor(Strict):
    """Motor and drive, DC-equivalent constants."""

    kv_rpm_v: Positive
    resistance_ohm: Positive
    no_load_a: NotNegative
    bell_inertia_kg_m2: Positive
    start_command: Share
    drive_heat_resistance_k_w: Positive
    drive_heat_capacity_j_k: Positive
    drive_limit_degc: float


class Propeller(Strict):
    """Propeller: which measured table, its diameter, inertia and the unbalance left in it."""

    table: Line
    diameter_m: Positive
    inertia_kg_m2: Positive
    unbalance_g_mm: NotNegative


class Frame(Strict):
    """Where rotors, feet and compass are, from the centre: forward, right, up, m."""

    rotor_forward_m: Positive
    rotor_right_m: Positive
    rotor_up_m: float
    foot_forward_m: Positive
    foot_right_m: Positive
    foot_down_m: Positive
    compass_forward_m: float
    compass_up_m: float
    lateral_drag_per_s: NotNegative
    frame_drag_n_s2_m2: NotNegative


class Legs(Strict):
    """Compliance and grip of one leg."""

    stiffness_n_m: Positive
    damping_n_s_m: NotNegative
    grip_stiffness_n_m: Positive
    grip_damping_n_s_m: NotNegative
    friction: Positive


class Instruments(Strict):
    """Noise of the instruments, standard deviation per sample."""

    gyro_noise_rad_s: NotNegative
    gyro_walk_rad_s2: NotNegative
    accel_noise_m_s2: NotNegative
    accel_clip_m_s2: Positive
    mag_noise_ut: NotNegative
    baro_noise_m: NotNegative
    baro_wash_m_n: float
    volt_noise_v: NotNegative


class Link(Strict):
    """Radio link timing."""

    frame_ms: Annotated[int, Field(ge=4, le=40)]
    latency_ms: Annotated[int, Field(ge=1, le=40)]
    timeout_ms: Positive
    jitter_us: NotNegative


class BuildSheet(Strict):
    """Readings of a correct build with a charged pack; tolerances are those of the drill's cards."""

    hover_throttle: Share
    hover_current_a: Positive
    roughness_share: Positive
    loaded_drop_v_cell: Positive
    ringing_share: Positive
    setup: ControllerSetup


class Airframe(Strict):
    """A small quadrotor design."""

    name: Line
    about: Text
    mass_kg: Positive
    roll_inertia_kg_m2: Positive
    pitch_inertia_kg_m2: Positive
    yaw_inertia_kg_m2: Positive
    clockwise: tuple[Place, Place]
    cells: Annotated[int, Field(ge=2, le=6)]
    pack: Line
    propeller: Propeller
    motor: Motor
    frame: Frame
    legs: Legs
    instruments: Instruments
    link: Link
    sheet: BuildSheet
    origin: Literal["invented"]
