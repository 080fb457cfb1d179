"""The aircraft as put together: what deviates from the design, part by part."""

from typing import Annotated

from pydantic import Field

from sim.aircraft.fields import (
    NO_OFFSET,
    UNIT,
    Line,
    Matrix,
    NotNegative,
    Place,
    Positive,
    Share,
    Strict,
    Text,
    Vector,
)

Turn = Annotated[float, Field(ge=-180, le=180)]


class PackSpec(Strict):
    """A kind of pack, new, at 20 degC; resistances per cell."""

    name: Line
    about: Text
    cells: Annotated[int, Field(ge=1, le=6)]
    capacity_ah: Positive
    r0_ohm: Positive
    r1_ohm: Positive
    tau1_s: Positive
    r2_ohm: Positive
    tau2_s: Positive
    lead_ohm: Positive


class Pack(Strict):
    """One pack in the hand: how charged, how worn, how it looks."""

    charge: Share = 0.97
    cells: Annotated[int, Field(ge=1, le=6)] | None = None  # None: as the pack's kind
    resistance_factor: Positive = 1.0
    capacity_factor: Positive = 1.0
    weak_capacity_ratio: Positive = 1.0
    weak_resistance_ratio: Positive = 1.0
    weak_charge_gap: Share = 0.0
    temperature_degc: float = 20.0
    swollen: bool = False


class Leads(Strict):
    """Wiring of the supply: polarity of the lead, connector, regulator, damage done."""

    polarity_right: bool = True
    connector_ohm: NotNegative = 0.0
    regulator_extra_v: NotNegative = 0.0  # V; more than it should need across itself
    avionics_extra_a: NotNegative = 0.0
    destroyed: bool = False


class Propeller(Strict):
    """The propeller that goes on at one place."""

    right_hand: bool = True
    right_way_up: bool = True
    diameter_ratio: Positive = 1.0
    pitch_ratio: Positive = 1.0
    extra_unbalance_g_mm: NotNegative = 0.0
    nicked: bool = False
    slip_n_m: Positive | None = None  # None: the hub is tight


class MotorBuild(Strict):
    """The motor, its drive and its leads at one place."""

    spin_right: bool = True
    axis_lean_deg: Annotated[float, Field(ge=-10, le=10)] = 0.0
    start_extra: Annotated[float, Field(ge=-0.1, le=0.3)] = 0.0
    gain: Positive = 1.0
    friction_n_m: NotNegative = 0.0
    bell_unbalance_g_mm: NotNegative = 0.0
    strength: Positive = 1.0  # of the magnets: torque per ampere, relative
    resistance_factor: Positive = 1.0  # of the windings
    no_load_factor: Positive = 1.0  # of the current with nothing to drive
    shorted_share: Share = 0.0  # of the turns
    gap_rate_per_s: NotNegative = 0.0
    gap_s: NotNegative = 0.0
    command_noise: NotNegative = 0.0
    desync_chance: Share = 0.0
    cooling_factor: Positive = 1.0  # of heat resistance to the air
    wire_in_disc: bool = False


class RotorPlace(Strict):
    """Everything at one place of the frame, and which controller output drives it."""

    propeller: Propeller = Propeller()
    motor: MotorBuild = MotorBuild()
    output: Place | None = None  # None: its own


class Rotors(Strict):
    """The four places."""

    front_left: RotorPlace = RotorPlace()
    front_right: RotorPlace = RotorPlace()
    rear_right: RotorPlace = RotorPlace()
    rear_left: RotorPlace = RotorPlace()


class FrameBuild(Strict):
    """Frame, legs, straps."""

    mass_factor: Positive = 1.0
    cg_offset_m: Vector = NO_OFFSET
    strap_shift_m: Vector = NO_OFFSET  # how far the pack slips when shoved
    leg_lift_m: tuple[float, float, float, float] = (0.0, 0.0, 0.0, 0.0)  # by place
    loose_arm_hz: NotNegative = 0.0  # 0: tight


class SensorBuild(Strict):
    """Sensor errors as fitted; field distortions in the compass's body axes."""

    board_turn_deg: Turn = 0.0
    board_upside_down: bool = False
    compass_turn_deg: Turn = 0.0
    loose_mount_hz: NotNegative = 0.0  # 0: rigid
    shake_gain: Positive = 1.0
    gyro_bias_deg_s: Vector = NO_OFFSET
    gyro_moved_deg_s: Vector = NO_OFFSET  # left by moving it during start-up
    gyro_warm_deg_s: Vector = NO_OFFSET  # change as it warms up
    accel_bias_m_s2: Vector = NO_OFFSET
    accel_matrix: Matrix = UNIT
    mag_hard_iron_ut: Vector = NO_OFFSET
    mag_soft_iron: Matrix = UNIT
    mag_per_amp_ut_a: Vector = NO_OFFSET
    baro_uncovered: bool = False
    volt_scale: Positive = 1.0
    amp_scale: Positive = 1.0


class RadioBuild(Strict):
    """Receiver aerial and the transmitter's own pack."""

    loss_at_range: Share = 0.0  # share of frames lost on the reduced-power walk
    loss_near: Share = 0.0  # and beside the aircraft
    transmitter_pack_v: Positive = 7.8


class Build(Strict):
    """Deviations of this aircraft from its design."""

    pack: Pack = Pack()
    leads: Leads = Leads()
    rotors: Rotors = Rotors()
    frame: FrameBuild = FrameBuild()
    sensors: SensorBuild = SensorBuild()
    radio: RadioBuild = RadioBuild()
    board_blank: bool = False  # the controller holds no software yet
