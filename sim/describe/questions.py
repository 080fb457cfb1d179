"""The questions asked in the terminal, one for each answer, and how an answer is read."""

from collections.abc import Callable
from typing import Annotated, Any, Literal, NamedTuple, get_args

from pydantic import BaseModel, TypeAdapter, ValidationError

from sim.describe.answers import Answers, Swing

Ask = Callable[[str], str]
Say = Callable[[str], None]
Kind = Literal["number", "whole", "text", "yes", "three"]


class Question(NamedTuple):
    """One question; an empty answer takes `else_`, and None leaves the value to be estimated."""

    key: str
    words: str
    kind: Kind = "number"
    else_: Any = ...

    @property
    def shown(self) -> str:
        """The question with what an empty answer means."""
        if self.else_ is ...:
            return f"{self.words}:"
        empty = {None: "estimated", True: "yes", False: "no"}.get(self.else_, self.else_)
        return f"{self.words} [Enter: {empty}]:"


QUESTIONS = (
    Question("name", "A name for it, in one word", "text"),
    Question("about", "What it is, in one line", "text", "an aircraft of one's own"),
    Question("mass_g", "Weight ready to fly, pack in, g"),
    Question("frame.front_width_mm", "Between the shafts of the two front motors, mm"),
    Question("frame.rear_width_mm", "Between the shafts of the two rear motors, mm"),
    Question("frame.length_mm", "From the front pair back to the rear pair, mm"),
    Question("frame.rotors_above_mm", "Propellers above the balance point, mm (minus: below)"),
    Question("frame.legs_length_mm", "Between front and rear feet, mm"),
    Question("frame.legs_width_mm", "Between left and right feet, mm"),
    Question("frame.legs_height_mm", "Balance point above the floor as it stands, mm"),
    Question("frame.compass_forward_mm", "Compass in front of the balance point, mm (minus: behind)"),
    Question("frame.compass_above_mm", "Compass above the balance point, mm (minus: below)"),
    Question("front_right_clockwise", "Front right propeller turns clockwise seen from above? y/n", "yes"),
    Question("propeller.diameter_in", "Propeller diameter, the first number on it, inches"),
    Question("propeller.pitch_in", "Propeller pitch, the second number, inches"),
    Question("propeller.mass_g", "Weight of one propeller, g", "number", None),
    Question("motor.kv_rpm_v", "Motor constant printed on it, rpm per volt"),
    Question("motor.mass_g", "Weight of one motor, g", "number", None),
    Question("motor.diameter_mm", "Diameter of a motor's bell, mm", "number", None),
    Question("motor.resistance_ohm", "Measured resistance of a motor with its drive, ohm", "number", None),
    Question("motor.no_load_a", "Measured current of one motor without its propeller, A", "number", None),
    Question("pack.cells", "Cells of the pack in series, 1 to 6", "whole"),
    Question("pack.capacity_ah", "Capacity printed on the pack, Ah (2200 mAh is 2.2)"),
    Question("pack.mass_g", "Weight of the pack, g"),
    Question("pack.size_mm", "Size of the pack as it lies: forward, across, up, mm", "three"),
    Question("pack.above_mm", "Middle of the pack above the balance point, mm (minus: below)"),
    Question("pack.cell_ohm", "Measured resistance of one cell, ohm", "number", None),
    Question("board_delay_ms", "Delay from controller to drives, ms: 0, 2 .. 14", "whole", 6),
    Question("link_frame_ms", "The transmitter sends its channels every so many ms: 4 to 40", "whole", 10),
    Question("stop_switch", "A switch of the transmitter stops the motors? y/n", "yes"),
    Question("hover_throttle", "Measured share of throttle in hover, 0 to 1", "number", None),
    Question("hover_current_a", "Measured current in hover, A", "number", None),
)  # fmt: skip
SWUNG = Question("", "Have you timed it swinging on two strings? y/n", "yes", False)
SWINGS = (
    Question("strings_apart_mm", "Strings apart, mm"),
    Question("length_mm", "Length of the strings, mm"),
    Question("roll_s", "One swing with the nose pointing up, s"),
    Question("pitch_s", "One swing with a side pointing up, s"),
    Question("yaw_s", "One swing lying level, s"),
)
WORDS = {"y": True, "yes": True, "n": False, "no": False}


def _read(text: str, kind: Kind) -> Any:
    """Return an answer as a value; ValueError says what is wanted."""
    if kind == "text":
        return text
    if kind == "yes":
        if text.lower() not in WORDS:
            raise ValueError("answer y or n")
        return WORDS[text.lower()]
    numbers = text.replace(",", " ").split() if kind == "three" else [text]
    try:
        found = [int(part) if kind == "whole" else float(part) for part in numbers]
        if len(found) != (3 if kind == "three" else 1):
            raise ValueError
    except ValueError:
        wanted = {"whole": "a whole number", "three": "three numbers"}.get(kind, "a number")
        raise ValueError(f"answer with {wanted}, without a unit") from None
    return tuple(found) if kind == "three" else found[0]


def _adapter(model: type[BaseModel], key: str) -> TypeAdapter[Any]:
    """Return what checks the value at a dotted key of a model."""
    first, _, rest = key.partition(".")
    field = model.model_fields[first]
    if rest:
        [inner] = [
            kind for kind in (field.annotation, *get_args(field.annotation))
            if isinstance(kind, type) and issubclass(kind, BaseModel)
        ]  # fmt: skip
        return _adapter(inner, rest)
    kind: Any = field.annotation
    return TypeAdapter(Annotated[kind, *field.metadata] if field.metadata else kind)


def _one(question: Question, model: type[BaseModel], ask: Ask, say: Say) -> Any:
    """Ask until there is an answer the model takes."""
    while True:
        text = ask(question.shown).strip()
        if not text and question.else_ is not ...:
            return question.else_
        try:
            value = _read(text, question.kind)
            if question.key:
                _adapter(model, question.key).validate_python(value)
            return value
        except ValidationError as error:
            rule = (
                error.errors()[0]["msg"].removeprefix("Input should be ").removeprefix("must be ")
            )
            say(f"That can't be: it must be {rule}.")
        except ValueError as error:
            say(f"Please {error}.")


def _put(data: dict[str, Any], key: str, value: Any) -> None:
    first, _, rest = key.partition(".")
    if rest:
        _put(data.setdefault(first, {}), rest, value)
    else:
        data[first] = value


def asked(ask: Ask, say: Say) -> Answers:
    """Ask everything and return the answers; ValidationError if they don't go together."""
    data: dict[str, Any] = {}
    for question in QUESTIONS:
        _put(data, question.key, _one(question, Answers, ask, say))
    if _one(SWUNG, Answers, ask, say):
        data["swing"] = {q.key: _one(q, Swing, ask, say) for q in SWINGS}
    return Answers.model_validate(data)
