"""What a person says of their own aircraft: read off it, weighed, and measured with a rule."""

import re
from math import hypot
from typing import Annotated, Literal

from pydantic import AfterValidator, Field, model_validator
from pydantic_core import PydanticCustomError

from sim.aircraft.build import PackSpec
from sim.aircraft.fields import Line, NotNegative, NumberOnly, Positive, Share, Strict, Text
from sim.units import M_PER_IN, M_PER_MM

NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9_.-]*")


def _file_name(name: str) -> str:
    if not NAME.fullmatch(name):
        raise PydanticCustomError("name", "must be letters, digits, dots and hyphens")
    return name


Name = Annotated[Line, Field(max_length=60), AfterValidator(_file_name)]
Millimetres = Annotated[float, Field(gt=0, le=1000)]
Height = Annotated[float, Field(ge=-300, le=300)]
BoxMm = tuple[Millimetres, Millimetres, Millimetres]


class Swing(Strict):
    """A swing on two strings: how they hang, and one to and fro about each axis, s."""

    strings_apart_mm: Millimetres
    length_mm: Annotated[float, Field(gt=0, le=10000)]
    roll_s: Positive
    pitch_s: Positive
    yaw_s: Positive


class PackAnswers(Strict):
    """The pack: what is printed on it, its weight and size, and where it lies."""

    cells: Annotated[int, Field(ge=1, le=6)]
    capacity_ah: Annotated[float, Field(gt=0, le=50)]
    mass_g: Positive
    size_mm: BoxMm  # forward, right, up, as it lies
    above_mm: Height  # its middle above the centre of gravity
    cell_ohm: Positive | None = None  # measured by a charger


class MotorAnswers(Strict):
    """The motor: what is printed on it, and what was measured on it."""

    kv_rpm_v: Annotated[float, Field(ge=50, le=50000)]
    mass_g: Positive | None = None
    diameter_mm: Millimetres | None = None
    resistance_ohm: Positive | None = None
    no_load_a: NotNegative | None = None


class PropellerAnswers(Strict):
    """The propeller, by the two numbers printed on it."""

    diameter_in: Annotated[float, Field(ge=1, le=18)]
    pitch_in: Annotated[float, Field(gt=0, le=15)]
    mass_g: Positive | None = None


class FrameAnswers(Strict):
    """Distances between motor shafts, and heights, with a rule."""

    front_width_mm: Millimetres  # between the two front shafts
    rear_width_mm: Millimetres
    length_mm: Millimetres  # from the front pair to the rear pair
    rotors_above_mm: Height  # of the centre of gravity
    legs_length_mm: Millimetres  # between front and rear feet
    legs_width_mm: Millimetres
    legs_height_mm: Annotated[float, Field(gt=0, le=350)]  # of the centre of gravity, standing
    compass_forward_mm: Height
    compass_above_mm: Height


class Answers(Strict):
    """All that is asked; what may be left empty is estimated."""

    name: Name
    about: Text
    origin: Literal["invented", "described"] = "described"
    mass_g: Annotated[float, Field(ge=20, le=10000)]  # ready to fly, pack in
    frame: FrameAnswers
    front_right_clockwise: bool = True
    propeller: PropellerAnswers
    motor: MotorAnswers
    pack: PackAnswers
    kind_of_pack: PackSpec | Line | None = None  # a shipped kind instead of one made of the answers
    board_delay_ms: Annotated[Literal[0, 2, 4, 6, 8, 10, 12, 14], NumberOnly] = 6
    link_frame_ms: Annotated[int, Field(ge=4, le=40)] = 10
    stop_switch: bool = True
    swing: Swing | None = None
    hover_throttle: Share | None = None
    hover_current_a: Positive | None = None

    @model_validator(mode="after")
    def _adds_up(self) -> "Answers":
        motors = 4.0 * (self.motor.mass_g or 0.0)
        if motors + self.pack.mass_g >= self.mass_g:
            raise ValueError("motors and pack together must weigh less than the whole")
        return self

    @model_validator(mode="after")
    def _with_room(self) -> "Answers":
        f = self.frame
        beside = hypot(f.length_mm, 0.5 * (f.front_width_mm - f.rear_width_mm))
        closest, across = min(f.front_width_mm, f.rear_width_mm, beside), self.propeller.diameter_in
        if closest * M_PER_MM <= across * M_PER_IN:
            raise ValueError(
                f"propellers of {across:g} inches would touch: two shafts are {closest:.0f} mm apart"
            )
        return self
