"""Building blocks shared by the data models: strict frozen base, vectors, places, channels."""

from typing import Annotated, Literal
from unicodedata import category

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field
from pydantic_core import PydanticCustomError


def _no_truth_value(value: object) -> object:
    """Refuse `true` where some numbers may stand; a choice alone takes it for 1."""
    if isinstance(value, bool):
        raise PydanticCustomError("int_type", "must be a whole number")
    return value


NumberOnly = BeforeValidator(_no_truth_value)
"""Goes beside a choice of numbers."""


LINE_LENGTH = 200  # letters; own: twice the longest line of any file shipped
TEXT_LENGTH = 2000  # letters; own: some times the longest text shipped

# control, format (text direction among it), lone surrogate, private use, line and paragraph ends
_UNSEEN = frozenset({"Cc", "Cf", "Cs", "Co", "Zl", "Zp"})


def _first_unseen(text: str) -> str | None:
    return next((letter for letter in text if category(letter) in _UNSEEN), None)


def _line(text: str) -> str:
    unseen = _first_unseen(text)
    if unseen is not None:
        rule = "must be plain text on one line, without the character {code}"
        raise PydanticCustomError("unseen_character", rule, {"code": f"U+{ord(unseen):04X}"})
    return text


def _lines(text: str) -> str:
    for line in text.split("\n"):
        _line(line)
    return text


def plain(text: str, longest: int = LINE_LENGTH) -> str:
    """Return text as a `Line` may hold it: what is not seen replaced by `?`, cut to a length."""
    return "".join("?" if category(letter) in _UNSEEN else letter for letter in text[:longest])


STEM_LENGTH = 60  # letters; own: with an ending and a number still short on every system
FILE_NAME = rf"^[a-z0-9][a-z0-9-]{{0,{STEM_LENGTH - 1}}}$"  # a name that is one on every system


def slug(text: str, nothing: str = "shared") -> str:
    """Return text as a file may be called: what fits of it in small letters, digits and dashes."""
    plain = "".join(c if c.isascii() and c.isalnum() else "-" for c in text.lower())
    words = [word for word in plain.split("-") if word]
    return "-".join(words)[:STEM_LENGTH].strip("-") or nothing


Line = Annotated[str, Field(max_length=LINE_LENGTH), AfterValidator(_line)]
"""Text on one line, without characters that steer a terminal or turn the way of reading."""

Text = Annotated[str, Field(max_length=TEXT_LENGTH), AfterValidator(_lines)]
"""Text like `Line`, on any number of lines."""


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
Seed = Annotated[int, Field(ge=0, lt=2**63)]

NO_OFFSET: Vector = (0.0, 0.0, 0.0)
UNIT: Matrix = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
