"""The whole vehicle as data: every parameter (`Craft`) and everything that changes (`State`)."""

from typing import NamedTuple

import numpy as np

from sim.kernel.body import BodyParams, BodyState
from sim.kernel.controller import ControllerParams, ControllerState, Delay, RateFilter
from sim.kernel.estimator import EstimatorParams, EstimatorState
from sim.kernel.frames import Vec3
from sim.kernel.ground import Anchor, ContactParams, Room
from sim.kernel.hands import HoldParams, HoldState
from sim.kernel.motor import DriveState, MotorParams, MotorState
from sim.kernel.pack import PackParams, PackState
from sim.kernel.radio import RadioParams, RadioState
from sim.kernel.sensors import FieldParams, SensorParams, SensorState
from sim.kernel.wash import Wash


class RotorParams(NamedTuple):
    """One place on the frame: geometry, what is fitted there, and its motor."""

    hub_m: Vec3  # body axes from the CG
    spin: float  # +1 clockwise seen from above, -1 counter-clockwise
    output: float  # which controller output drives it, 0..3
    fitted: float  # 1: a propeller is on
    thrust_scale: float
    torque_scale: float
    axis: Vec3  # unit vector of the thrust, body axes
    unbalance_kg_m: float
    slip_n_m: float  # shaft torque at which the hub slips
    motor: MotorParams


class RotorState(NamedTuple):
    """Drive, motor, what the propeller gives now, and its damage."""

    drive: DriveState
    motor: MotorState
    thrust_n: float
    drag_n_m: float  # N m; torque of the air on the propeller
    slip_s: float  # s; left to slip
    broken: float


class AirParams(NamedTuple):
    """Air of the site: SI; gusts are an Ornstein-Uhlenbeck process about the mean wind."""

    density_kg_m3: float
    temperature_k: float
    wind_m_s: Vec3
    gust_m_s: float
    gust_s: float
    wash: float  # 1: the aircraft's own wash comes back as in a room; 0: never


class Craft(NamedTuple):
    """Every parameter of one vehicle in one place."""

    body: BodyParams
    rotors: tuple[RotorParams, RotorParams, RotorParams, RotorParams]
    diameter_m: float
    spacing_m: float
    lateral_drag_n_s2_m: float  # N per (m/s) per (rad/s), each rotor
    frame_drag_n_s2_m2: float  # N per (m/s)^2
    strap_shift_m: Vec3  # m; how far the CG moves when a loose pack slips
    feet_m: tuple[Vec3, Vec3, Vec3, Vec3]
    contact: ContactParams
    room: Room
    air: AirParams
    pack: PackParams
    plugged: float
    radio: RadioParams
    sensors: SensorParams
    mag_place_m: Vec3
    field: FieldParams
    estimator: EstimatorParams
    controller: ControllerParams
    hold: HoldParams


class State(NamedTuple):
    """Everything that changes."""

    tick: int
    random: np.uint64
    armed: float
    powered_ticks: float  # since the controller started
    rail_low_ticks: float
    reset_ticks: float  # left until the controller starts again
    clear_ticks: float  # all feet clear of the floor
    crash: float  # bits
    shifted: float  # 1: a loose pack has slipped
    touchdown_m_s: float  # largest sink at a touchdown since takeoff
    body: BodyState
    specific_force_m_s2: Vec3
    rotors: tuple[RotorState, RotorState, RotorState, RotorState]
    pack: PackState
    supply_v: float
    feet: tuple[Anchor, Anchor, Anchor, Anchor]
    gust_m_s: Vec3
    wash: Wash
    hold: HoldState
    radio: RadioState
    sensors: SensorState
    estimator: EstimatorState
    rates: RateFilter
    controller: ControllerState
    line: Delay
