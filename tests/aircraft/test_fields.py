"""Text of files is text: what is not seen but does something is refused, wherever it stands."""

from typing import get_args

import pytest
from pydantic import BaseModel, TypeAdapter, ValidationError

from sim.aircraft.airframe import Airframe
from sim.aircraft.build import Build, PackSpec
from sim.aircraft.conduct import Conduct
from sim.aircraft.fields import Line, Text, plain
from sim.aircraft.library import CellTable, PropellerTable
from sim.aircraft.setup import Setup
from sim.aircraft.site import Site
from sim.procedure.rubric import Rubric
from sim.session.actions import Action
from sim.session.attempt import Note
from sim.session.scenario import Scenario
from sim.window.settings import Settings

UNSEEN = {
    "escape": "\x1b[31mred",
    "bell": "a\x07",
    "backspace": "a\b",
    "carriage return": "a\rb",
    "tab": "a\tb",
    "delete": "a\x7f",
    "C1 control": "a\x9b31m",
    "right to left": "a\u202eb",
    "isolate": "a\u2066b",
    "zero width": "a\u200bb",
    "byte order": "\ufeffa",
    "line separator": "a\u2028b",
    "private use": "a\ue000",
}
MODELS = (
    Airframe, Build, PackSpec, Conduct, PropellerTable, CellTable, Setup, Site, Rubric, Note,
    Scenario, Settings, *get_args(get_args(Action)[0]),
)  # fmt: skip


@pytest.mark.parametrize("text", UNSEEN.values(), ids=UNSEEN)
@pytest.mark.parametrize("kind", [Line, Text])
def test_what_steers_a_terminal_is_refused_by_its_number(kind, text):
    with pytest.raises(ValidationError, match=r"without the character U\+[0-9A-F]{4}"):
        TypeAdapter(kind).validate_python(text)


@pytest.mark.parametrize(
    "text", ["Käfer, 10 m²", "λ — “so”", "日本語", "\U0001f600", "a\u00a0b", "[b]"]
)
def test_what_is_seen_is_taken(text):
    assert TypeAdapter(Line).validate_python(text) == text == plain(text)


def test_only_text_has_more_than_one_line():
    assert TypeAdapter(Text).validate_python("a\nb\n") == "a\nb\n"
    with pytest.raises(ValidationError, match=r"U\+000A"):
        TypeAdapter(Line).validate_python("a\nb")


@pytest.mark.parametrize(("kind", "longest"), [(Line, 200), (Text, 2000)])
def test_text_has_an_end(kind, longest):
    assert TypeAdapter(kind).validate_python("x" * longest)
    with pytest.raises(ValidationError, match="at most"):
        TypeAdapter(kind).validate_python("x" * (longest + 1))


def test_plain_text_fits_a_line():
    assert plain("a\x1bb\u202ec" + "x" * 300) == "a?b?c" + "x" * 195
    assert plain("Anna", 3) == "Ann"


def free_text(schema, path=()):
    """Yield the paths of every text of a core schema that no check of ours stands behind."""
    if isinstance(schema, dict):
        if schema.get("type") == "str" and "pattern" not in schema:
            yield path
        if schema.get("type") == "function-after" and schema["schema"].get("type") == "str":
            return
        for key, inner in schema.items():
            yield from free_text(inner, (*path, key))
    elif isinstance(schema, list | tuple):
        for i, inner in enumerate(schema):
            yield from free_text(inner, (*path, i))


@pytest.mark.parametrize("model", MODELS, ids=lambda model: model.__name__)
def test_no_model_of_a_file_takes_any_text_there_is(model: type[BaseModel]):
    assert list(free_text(model.__pydantic_core_schema__)) == []


def test_a_model_with_plain_str_would_be_found():
    class Loose(BaseModel):
        names: dict[str, tuple[str | int, ...]] = {}

    assert len(list(free_text(Loose.__pydantic_core_schema__))) == 2
