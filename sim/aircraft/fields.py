"""Building blocks shared by the data models: strict frozen base, vectors, places, channels."""

from typing import Annotated, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field
from pydantic_core import PydanticCustomError


def _no_truth_value(value: object) -> object:
    """Refuse `true` where some numbers may stand; a choice alone takes it for 1."""
    if isinstance(value, bool):
        raise PydanticCustomError("int_type", "must be a whole number")
    return value


NumberOnly = BeforeValidator(_no_truth_value)
"""Goes beside a choice of numbers."""


class Strict(BaseModel):
    """Frozen model that refuses unknown keys and numbers that are not finite."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False)


Place = Literal["front_left", "front_right", "rear_right", "rear_left"]
PLACES: tuple[Place, Place, Place, Place] = ("front_left", "front_right", "rear_right", "rear_left")

ChannelName = Literal["roll", "pitch", "throttle", "yaw"]
CHANNELS: tuple[ChannelName, ChannelName, ChannelName, ChannelName] = (
    "roll",
    "pitch",
    "throttle",
    "yaw",
)

Vector = tuple[float, float, float]
Matrix = tuple[Vector, Vector, Vector]
Direction = Annotated[Literal[1, -1], NumberOnly]
Positive = Annotated[float, Field(gt=0)]
NotNegative = Annotated[float, Field(ge=0)]
Share = Annotated[float, Field(ge=0, le=1)]

NO_OFFSET: Vector = (0.0, 0.0, 0.0)
UNIT: Matrix = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
