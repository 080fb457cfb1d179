"""The questions about an aircraft, one for each answer: asked in the terminal and in the window alike."""

from functools import cache
from typing import Annotated, Any, Literal, NamedTuple, get_args

from pydantic import BaseModel, TypeAdapter, ValidationError

from sim.describe.answers import Answers, Swing

Kind = Literal["number", "whole", "text", "yes", "three"]


class Question(NamedTuple):
    """One question; an empty answer takes `else_`, and None leaves the value to be estimated.

    key : of `Answers`, dotted. estimates : key of the estimate that a measurement goes before.
    """

    key: str
    words: str
    kind: Kind = "number"
    else_: Any = ...
    estimates: str = ""

    @property
    def empty(self) -> str:
        """What an empty answer means, in a word; nothing if there has to be one."""
        if self.else_ is ...:
            return ""
        return str({None: "estimated", True: "yes", False: "no"}.get(self.else_, self.else_))

    @property
    def shown(self) -> str:
        """The question with what an empty answer means."""
        return f"{self.words} [Enter: {self.empty}]:" if self.empty else f"{self.words}:"


class Part(NamedTuple):
    """Some questions that are about one thing."""

    title: str
    questions: tuple[Question, ...]


PARTS = (
    Part("The whole", (
        Question("name", "A name for it, in one word", "text"),
        Question("about", "What it is, in one line", "text", "an aircraft of one's own"),
        Question("mass_g", "Weight ready to fly, pack in, g"),
    )),
    Part("Frame and legs", (
        Question("frame.front_width_mm", "Between the shafts of the two front motors, mm"),
        Question("frame.rear_width_mm", "Between the shafts of the two rear motors, mm"),
        Question("frame.length_mm", "From the front pair back to the rear pair, mm"),
        Question("frame.rotors_above_mm", "Propellers above the balance point, mm (minus: below)"),
        Question("frame.legs_length_mm", "Between front and rear feet, mm"),
        Question("frame.legs_width_mm", "Between left and right feet, mm"),
        Question("frame.legs_height_mm", "Balance point above the floor as it stands, mm"),
        Question("frame.compass_forward_mm", "Compass in front of the balance point, mm (minus: behind)"),
        Question("frame.compass_above_mm", "Compass above the balance point, mm (minus: below)"),
    )),
    Part("Propellers and motors", (
        Question("front_right_clockwise", "Front right propeller turns clockwise seen from above? y/n", "yes"),
        Question("propeller.diameter_in", "Propeller diameter, the first number on it, inches"),
        Question("propeller.pitch_in", "Propeller pitch, the second number, inches"),
        Question("propeller.mass_g", "Weight of one propeller, g", "number", None, "propeller_mass_kg"),
        Question("motor.kv_rpm_v", "Motor constant printed on it, rpm per volt"),
        Question("motor.mass_g", "Weight of one motor, g", "number", None, "motor_mass_kg"),
        Question("motor.diameter_mm", "Diameter of a motor's bell, mm", "number", None, "bell_diameter_m"),
        Question("motor.resistance_ohm", "Measured resistance of a motor with its drive, ohm", "number", None,
                 "resistance_ohm"),
        Question("motor.no_load_a", "Measured current of one motor without its propeller, A", "number", None,
                 "no_load_a"),
    )),
    Part("Pack", (
        Question("pack.cells", "Cells of the pack in series, 1 to 6", "whole"),
        Question("pack.capacity_ah", "Capacity printed on the pack, Ah (2200 mAh is 2.2)"),
        Question("pack.mass_g", "Weight of the pack, g"),
        Question("pack.size_mm", "Size of the pack as it lies: forward, across, up, mm", "three"),
        Question("pack.above_mm", "Middle of the pack above the balance point, mm (minus: below)"),
        Question("pack.cell_ohm", "Measured resistance of one cell, ohm (5 milliohm is 0.005)", "number", None,
                 "cell_ohm"),
    )),
    Part("Controller and transmitter", (
        Question("board_delay_ms", "Delay from controller to drives, ms: 0, 2 .. 14", "whole", 6),
        Question("link_frame_ms", "The transmitter sends its channels every so many ms: 4 to 40", "whole", 10),
        Question("stop_switch", "A switch of the transmitter stops the motors? y/n", "yes"),
    )),
    Part("From the log of a hover, if there is one", (
        Question("hover_throttle", "Measured share of throttle in hover, 0 to 1", "number", None, "hover_throttle"),
        Question("hover_current_a", "Measured current in hover, A", "number", None, "hover_current_a"),
    )),
)  # fmt: skip
QUESTIONS = tuple(question for part in PARTS for question in part.questions)
SWUNG = Question("", "Have you timed it swinging on two strings? y/n", "yes", False)
SWINGS = (
    Question("strings_apart_mm", "Strings apart, mm"),
    Question("length_mm", "Length of the strings, mm"),
    Question("roll_s", "One swing with the nose pointing up, s", estimates="roll_inertia_kg_m2"),
    Question("pitch_s", "One swing with a side pointing up, s", estimates="pitch_inertia_kg_m2"),
    Question("yaw_s", "One swing lying level, s", estimates="yaw_inertia_kg_m2"),
)
WORDS = {"y": True, "yes": True, "n": False, "no": False}
PLAIN = (
    ("Input should be ", ""),
    ("must be ", ""),
    ("Value should have ", "of "),
    ("items after validation", "letters"),
    ("greater than or equal to ", "at least "),
    ("less than or equal to ", "at most "),
    ("greater than ", "more than "),
)  # what a rule says, in shorter words


def _read(text: str, kind: Kind) -> Any:
    """Return an answer as a value; ValueError says what is wanted."""
    if kind == "text":
        return text
    if kind == "yes":
        if text.lower() not in WORDS:
            raise ValueError("Please answer y or n.")
        return WORDS[text.lower()]
    numbers = text.replace(",", " ").split() if kind == "three" else [text]
    try:
        found = [int(part) if kind == "whole" else float(part) for part in numbers]
        if len(found) != (3 if kind == "three" else 1):
            raise ValueError
    except ValueError:
        if "," in text and kind != "three":
            raise ValueError(
                "Please write it without a comma; a point goes before tenths."
            ) from None
        wanted = {"whole": "a whole number", "three": "three numbers"}.get(kind, "a number")
        raise ValueError(f"Please answer with {wanted}, without a unit.") from None
    return tuple(found) if kind == "three" else found[0]


@cache
def field_adapter(model: type[BaseModel], key: str) -> TypeAdapter[Any]:
    """Return what checks the value at a dotted key of a model."""
    first, _, rest = key.partition(".")
    field = model.model_fields[first]
    if rest:
        [inner] = [
            kind for kind in (field.annotation, *get_args(field.annotation))
            if isinstance(kind, type) and issubclass(kind, BaseModel)
        ]  # fmt: skip
        return field_adapter(inner, rest)
    kind: Any = field.annotation
    return TypeAdapter(Annotated[kind, *field.metadata] if field.metadata else kind)


def answer(question: Question, text: str) -> Any:
    """Return what was answered to one question; ValueError says in a sentence why that can't be."""
    text = text.strip()
    if not text and question.else_ is not ...:
        return question.else_
    value = _read(text, question.kind)
    model = Swing if question in SWINGS else Answers
    try:
        return (
            value if not question.key else field_adapter(model, question.key).validate_python(value)
        )
    except ValidationError as error:
        raise ValueError(cannot_be(error)) from None


def cannot_be(error: ValidationError) -> str:
    """Return in a sentence why a value can't be."""
    rule = error.errors()[0]["msg"]
    for words, plain in PLAIN:
        rule = rule.replace(words, plain)
    return f"That can't be: it must be {rule}."


def put(data: dict[str, Any], key: str, value: Any) -> None:
    """Put a value into nested data at a dotted key."""
    first, _, rest = key.partition(".")
    if rest:
        put(data.setdefault(first, {}), rest, value)
    else:
        data[first] = value
