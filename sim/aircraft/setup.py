"""Everything a person can configure: transmitter, controller, calibrations."""

from typing import Annotated, Literal

from pydantic import Field, field_validator, model_validator

from sim.aircraft.fields import (
    CHANNELS,
    NO_OFFSET,
    UNIT,
    ChannelName,
    Direction,
    Line,
    Matrix,
    NotNegative,
    NumberOnly,
    Positive,
    Share,
    Strict,
    Vector,
)

Pulse = Annotated[float, Field(ge=700, le=2300)]
OWN_MEMORY = "this aircraft"
Unset = Literal["layout", "mode-switch", "sticks", "drives", "accelerometer", "compass"]
"""What a controller may still have to be told or taught; without it, it does not arm."""


class Channel(Strict):
    """A transmitter channel: direction, end points, centre and trim."""

    direction: Direction = 1
    low_us: Pulse = 1000.0
    centre_us: Pulse = 1500.0
    high_us: Pulse = 2000.0
    trim_us: Annotated[float, Field(ge=-200, le=200)] = 0.0

    @model_validator(mode="after")
    def _in_order(self) -> "Channel":
        if not self.low_us < self.centre_us < self.high_us:
            raise ValueError("low_us, centre_us and high_us must rise in this order")
        return self


class Transmitter(Strict):
    """The four stick channels, the model memory chosen, and the mode switch."""

    memory: Line = OWN_MEMORY
    order: tuple[ChannelName, ChannelName, ChannelName, ChannelName] = CHANNELS
    mode_switch_right: bool = True  # forward is self-level

    roll: Channel = Channel()
    pitch: Channel = Channel()
    throttle: Channel = Channel()
    yaw: Channel = Channel()

    @field_validator("order", mode="before")
    @classmethod
    def _spoken(cls, value: object) -> object:
        """Take the order also as words in a row, as a person would choose it."""
        return tuple(value.split()) if isinstance(value, str) else value

    def in_use(self) -> "Transmitter":
        """Return the channel map the transmitter sends by: that of the model memory chosen."""
        return self if self.memory == OWN_MEMORY else OTHER_MODEL


OTHER_MODEL = Transmitter(  # invented: a glider's map, nothing of it fits a rotor aircraft
    memory="glider",
    order=("yaw", "pitch", "throttle", "roll"),
    pitch=Channel(direction=-1, low_us=1100.0, high_us=1900.0),
    roll=Channel(low_us=1100.0, high_us=1900.0, trim_us=30.0),
)


class Inputs(Strict):
    """Direction in which the controller reads each channel."""

    roll: Direction = 1
    pitch: Direction = 1
    throttle: Direction = 1
    yaw: Direction = 1


class AxisGains(Strict):
    """Rate-loop gains: share of motor command per rad/s, per rad and per rad/s2."""

    p: Annotated[float, Field(ge=0, le=10)]
    i: Annotated[float, Field(ge=0, le=10)]
    d: Annotated[float, Field(ge=0, le=1)]


class ControllerSetup(Strict):
    """Values on the controller's setup sheet."""

    roll: AxisGains
    pitch: AxisGains
    yaw: AxisGains
    attitude_gain_per_s: Annotated[float, Field(gt=0, le=50)]
    heading_gain_per_s: Annotated[float, Field(gt=0, le=20)]
    heading_hold: bool
    tilt_limit_deg: Annotated[float, Field(gt=0, le=80)]
    rate_limit_deg_s: Annotated[float, Field(gt=0, le=2000)]
    yaw_rate_limit_deg_s: Annotated[float, Field(gt=0, le=2000)]
    dead_band: Share
    gyro_cutoff_hz: Annotated[float, Field(gt=0, le=500)]
    damping_cutoff_hz: Annotated[float, Field(gt=0, le=250)]
    integral_limit: Share
    integral_from_throttle: Share
    idle: Share
    layout: Literal["cross", "plus"] = "cross"
    roll_sense: Direction = 1
    pitch_sense: Direction = 1
    yaw_sense: Direction = 1
    throttle_gain: Positive = 1.0
    board_turn_deg: Annotated[float, Field(ge=-180, le=180)] = 0.0
    board_upside_down: bool = False
    compass_turn_deg: Annotated[float, Field(ge=-180, le=180)] = 0.0
    arming_rules: bool = True
    position_hold: bool = False
    alarm_cells: Annotated[int, Field(ge=1, le=6)]
    volt_scale: Positive = 1.0  # multiplies the monitor's reading
    output_delay_ms: Annotated[Literal[0, 2, 4, 6, 8, 10, 12, 14], NumberOnly]
    failsafe: Literal["stop", "hold"]
    stop_switch: bool
    level_gain_per_s: Annotated[float, Field(ge=0.01, le=50)]
    compass_gain_per_s: Annotated[float, Field(ge=0, le=20)]
    bias_gain_per_s2: Annotated[float, Field(ge=0, le=5)]
    low_cell_alarm_v: Annotated[float, Field(ge=0, le=4)]


class AccelerometerCalibration(Strict):
    """Reading corrected as matrix (raw - offset)."""

    offset_m_s2: Vector = NO_OFFSET
    matrix: Matrix = UNIT


class CompassCalibration(Strict):
    """Reading corrected as matrix (raw - offset), and how good the fit was."""

    offset_ut: Vector = NO_OFFSET
    matrix: Matrix = UNIT
    residual_share: NotNegative = 0.0
    coverage: Share = 1.0
    place: Line = "workshop"


class Setup(Strict):
    """Transmitter, controller and calibrations together.

    unset : what was never told or taught, or was begun and not finished; whatever is kept of it
    beside is not relied on.
    """

    transmitter: Transmitter = Transmitter()
    inputs: Inputs = Inputs()
    controller: ControllerSetup
    accelerometer: AccelerometerCalibration = AccelerometerCalibration()
    compass: CompassCalibration = CompassCalibration()
    level_trim_roll_deg: float = 0.0
    level_trim_pitch_deg: float = 0.0
    unset: tuple[Unset, ...] = ()
