"""Input files: what is refused, with which words, and what survives a round trip."""

import json
import os
import pickle
import time
from enum import Enum
from pathlib import Path
from typing import Annotated, Any, Literal

import pytest
import yaml
from hypothesis import example, given, settings
from hypothesis import strategies as st
from pydantic import BaseModel, ConfigDict, Field, field_validator, model_validator
from pydantic_core import PydanticCustomError

from sim.aircraft import textfile
from sim.aircraft.textfile import dump_yaml, json_schema, load_model, load_yaml, write_text_atomic
from sim.errors import DryhopError, InputError, Problem


class _Model(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False)


class Place(Enum):
    FRONT_LEFT = "front_left"
    REAR_RIGHT = "rear_right"


class Rotor(_Model):
    diameter_m: float = Field(gt=0, le=1)
    turn: Literal["clockwise", "counterclockwise"] = "clockwise"
    place: Place = Place.FRONT_LEFT


class Offset(_Model):
    kind: Literal["mag-hard-iron-offset"]
    offset_ut: tuple[float, float, float]


class Reversed(_Model):
    kind: Literal["pitch-channel-reversed"]
    severity: float = Field(default=1.0, ge=0, le=1)


Letter = Literal["alpha", "bravo", "charlie", "delta", "echo", "foxtrot", "golf", "hotel", "india"]


class Plain(_Model):
    width_m: float = 0.1


class Craft(_Model):
    title: str = Field(default="untitled", min_length=2, max_length=20, pattern="^[a-z ]+$")
    mass_kg: float = Field(default=1.2, gt=0)
    pack_v: float = 14.8
    yaw_rate_rad_s: float = 1.0
    cells: int = Field(default=4, ge=1, lt=9)
    fitted: bool = False
    letter: Letter = "alpha"
    heading_rad: float | Literal["north"] = 0.0
    spare: Rotor | None = None
    rotors: list[Rotor] = Field(default=[], max_length=4)
    packs: dict[str, Rotor] = {}
    by_rpm: dict[int, float] = {}
    faults: list[Annotated[Offset | Reversed, Field(discriminator="kind")]] = []
    part: Rotor | Plain | None = None
    code: str = "ok"

    @field_validator("code")
    @classmethod
    def _known_code(cls, code: str) -> str:
        if code == "hint":
            raise PydanticCustomError("missing_code", "not a known code", {"nearest": "ok"})
        if code != "ok":
            raise ValueError("code must be {ok}")
        return code

    @model_validator(mode="after")
    def _rotors_need_cells(self) -> "Craft":
        if self.rotors and self.cells < 2:
            raise ValueError("rotors need two cells")
        return self


def _write(folder: Path, content: str | bytes) -> Path:
    path = folder / "drill.yaml"
    path.write_bytes(content.encode() if isinstance(content, str) else content)
    return path


def _refusal(path: Path) -> Problem:
    with pytest.raises(InputError) as caught:
        load_yaml(path)
    (problem,) = caught.value.problems
    assert problem.file == str(path)
    assert "\n" not in str(caught.value)
    return problem


def _problems(folder: Path, content: str) -> list[Problem]:
    path = _write(folder, content)
    with pytest.raises(InputError) as caught:
        load_model(path, Craft)
    text = str(caught.value)
    for jargon in ("pydantic", "http", "Input should", "Literal", "dictionary", "float", "Extra"):
        assert jargon not in text
    assert len(text.splitlines()) == len(caught.value.problems)
    return list(caught.value.problems)


def _facts(problem: Problem) -> tuple[Any, ...]:
    return problem.line, problem.key, problem.value, problem.rule, problem.nearest


# --- the message ---------------------------------------------------------------------------------


def test_problem_reads_as_one_line() -> None:
    problem = Problem(
        "scenarios/x.yaml",
        12,
        "faults.0.id",
        '"pitch-chanel-reversed"',
        "not a known fault",
        "pitch-channel-reversed",
    )
    assert str(problem) == (
        'scenarios/x.yaml:12: faults.0.id = "pitch-chanel-reversed": not a known fault; '
        "nearest: pitch-channel-reversed"
    )
    assert str(Problem("x.yaml", None, "", "", "no such file")) == "x.yaml: no such file"
    assert str(Problem("x.yaml", 3, "mass_kg", "", "missing")) == "x.yaml:3: mass_kg: missing"
    assert str(Problem("a\nb", 1, "k\x1b", "\ud800", "Ω")) == "a\\nb:1: k\\x1b = \\ud800: Ω"


def test_input_error_survives_another_process() -> None:
    error = InputError([Problem("x", 1, "a", "1", "no"), Problem("x", 2, "b", "2", "no")])
    again = pickle.loads(pickle.dumps(error))
    assert again.problems == error.problems
    assert str(again) == "x:1: a = 1: no\nx:2: b = 2: no"
    assert isinstance(error, DryhopError)


# --- plain words ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("on", "on"),
        ("yes", "yes"),
        ("No", "No"),
        ("y", "y"),
        ("true", True),
        ("False", False),
        ("12:30", "12:30"),
        ("1e3", 1000.0),
        ("1.5E-3", 0.0015),
        ("-.5", -0.5),
        ("1.", 1.0),
        ("012", 12),
        ("0o17", 15),
        ("0x1F", 31),
        ("0b11", "0b11"),
        ("1_000", "1_000"),
        ("-7", -7),
        ("18446744073709551615", 2**64 - 1),
        ("2024-05-01", "2024-05-01"),
        ("null", None),
        ("~", None),
        ("", None),
        ("=", "="),
        ("'1'", "1"),
        ('"true"', "true"),
        ("٣", "٣"),
        ("nan", "nan"),
        ("5 kg", "5 kg"),
    ],
)
def test_plain_words_mean_what_yaml_1_2_says(tmp_path: Path, text: str, value: object) -> None:
    read = load_yaml(_write(tmp_path, f"key: {text}\n")).data["key"]
    assert read == value
    assert type(read) is type(value)


def test_words_of_older_yaml_are_plain_keys(tmp_path: Path) -> None:
    assert load_yaml(_write(tmp_path, "on: 1\n<<: {y: 2}\n")).data == {"on": 1, "<<": {"y": 2}}


def test_byte_order_mark_and_windows_line_ends_are_accepted(tmp_path: Path) -> None:
    document = load_yaml(_write(tmp_path, b"\xef\xbb\xbfa: 1\r\nb: 2\r\n"))
    assert document.data == {"a": 1, "b": 2}
    assert document.lines[("b",)] == 2


def test_every_key_path_has_its_line(tmp_path: Path) -> None:
    text = "# head\ntitle: x\nfaults:\n  - id: a\n    at: {x: 1,\n      y: 2}\n  -\n    id: b\n"
    document = load_yaml(_write(tmp_path, text))
    assert document.path == tmp_path / "drill.yaml"
    assert document.lines == {
        (): 2,
        ("title",): 2,
        ("faults",): 3,
        ("faults", 0): 4,
        ("faults", 0, "id"): 4,
        ("faults", 0, "at"): 5,
        ("faults", 0, "at", "x"): 5,
        ("faults", 0, "at", "y"): 6,
        ("faults", 1): 8,
        ("faults", 1, "id"): 8,
    }
    assert document.line_of(("faults", 0, "at", "z", 3)) == 5
    assert str(document.problem(("faults", 1, "id"), "b", "not a known fault", "a")) == (
        f'{document.path}:8: faults.1.id = "b": not a known fault; nearest: a'
    )


# --- files that cannot be read -------------------------------------------------------------------


def test_missing_file(tmp_path: Path) -> None:
    assert _facts(_refusal(tmp_path / "none.yaml")) == (None, "", "", "no such file", None)


def test_folder(tmp_path: Path) -> None:
    assert _refusal(tmp_path).rule == "a folder, not a file"


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="needs named pipes")
def test_pipe_does_not_block(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    assert _refusal(tmp_path / "pipe").rule == "not a regular file"


def test_unreadable_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object) -> None:
        raise PermissionError(13, "Permission denied")

    path = _write(tmp_path, "a: 1\n")
    monkeypatch.setattr(Path, "open", refuse)
    assert _refusal(path).rule == "cannot be read: Permission denied"


def test_impossible_name() -> None:
    problem = _refusal(Path("a\0b"))
    assert problem.rule.startswith(("cannot be read: ", "no such file"))
    assert "\0" not in str(problem)


@pytest.mark.parametrize("content", ["", "\n\n", "# only a comment\n", "---\n", "null\n"])
def test_empty_file(tmp_path: Path, content: str) -> None:
    assert _refusal(_write(tmp_path, content)).rule == "the file is empty"


def test_large_file_is_refused_unread(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def unexpected(*_: object) -> None:
        raise AssertionError("the file was opened")

    path = _write(tmp_path, "")
    os.truncate(path, 100_000_000)
    monkeypatch.setattr(Path, "open", unexpected)
    assert _refusal(path).rule == "too large: more than 1048576 bytes"


def test_size_limit_is_exact(tmp_path: Path) -> None:
    fill = "#" * (textfile.MAX_BYTES - 5)
    assert load_yaml(_write(tmp_path, f"a: 1\n{fill}")).data == {"a": 1}
    assert "too large" in _refusal(_write(tmp_path, f"a: 1\n{fill}#")).rule


@pytest.mark.parametrize(
    ("content", "line"), [(b"a: 1\nb: \xe9\n", 2), ("a: 1\n".encode("utf-16"), 1)]
)
def test_other_encodings(tmp_path: Path, content: bytes, line: int) -> None:
    problem = _refusal(_write(tmp_path, content))
    assert (problem.line, problem.rule) == (line, "not UTF-8 text; save the file as UTF-8")


# --- malformed text ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("content", "line", "key", "value", "rule"),
    [
        ("- 1\n- 2\n", 1, "", "", "the top level must be `key: value` lines"),
        ("\njust words\n", 2, "", "", "the top level must be `key: value` lines"),
        ("a: 1\nb: 2\na: 3\n", 3, "a", "", "key given twice, first on line 1"),
        ("m:\n  - x: 1\n    'x': 2\n", 3, "m.0.x", "", "key given twice, first on line 2"),
        ("a: &x 1\n", 1, "a", "", "anchors and aliases are not allowed (&x); repeat the text"),
        ("a: 1\nb: *x\n", 2, "b", "", "anchors and aliases are not allowed (*x); repeat the text"),
        ("*x : 1\n", 1, "", "", "anchors and aliases are not allowed (*x); repeat the text"),
        (
            "a:\n  b: !!python/object:os.system x\n",
            2,
            "a.b",
            "",
            "tags are not allowed (tag:yaml.org,2002:python/object:os.system); quotes make text",
        ),
        ("a: !mine {x: 1}\n", 1, "a", "", "tags are not allowed (!mine); quotes make text"),
        ("a: 1\n---\nb: 2\n", 2, "", "", "a second document starts here; a file holds only one"),
        ("a: 1\nb: [1, .nan]\n", 2, "b.1", '".nan"', "not a finite number, or too large"),
        ("a: -.INF\n", 1, "a", '"-.INF"', "not a finite number, or too large"),
        ("a: 1e999\n", 1, "a", '"1e999"', "not a finite number, or too large"),
        (
            "a: 18446744073709551616\n",
            1,
            "a",
            '"18446744073709551616"',
            "not a finite number, or too large",
        ),
        ("a: 1\n2: 3\n", 2, "", "2", "a key must be text; put it in quotes"),
        ("true: 3\n", 1, "", "true", "a key must be text; put it in quotes"),
        ("a:\n  ~: 3\n", 2, "a", "null", "a key must be text; put it in quotes"),
        ("? [1, 2]\n: 3\n", 1, "", "", "a key must be text; put it in quotes"),
        ("a: 1\nb: 2: 3\n", 2, "", "", "not readable as YAML: mapping values are not allowed here"),
        ("a:\n\tb: 1\n", 2, "", "", None),
        ("a: [1, 2\n", 2, "", "", None),
        ('a: "no end\n', 2, "", "", None),
        ("%YAML 2.0\n---\na: 1\n", 1, "", "", None),
        ('a: 1\nb: "\\UFFFFFFFF"\n', 2, "", "", "not readable as YAML: no such character"),
        ('a: "\\ud800"\n', 1, "a", "", "half a character: an escape \\ud800 to \\udfff"),
        ("a: 1\nb: x\0y\n", 2, "", "", "a character that text may not hold: U+0000"),
    ],
)
def test_malformed(
    tmp_path: Path, content: str, line: int, key: str, value: str, rule: str | None
) -> None:
    problem = _refusal(_write(tmp_path, content))
    assert (problem.line, problem.key, problem.value, problem.nearest) == (line, key, value, None)
    if rule is None:
        assert problem.rule.startswith("not readable as YAML: ")
    else:
        assert problem.rule == rule


def test_long_integer_is_refused_not_converted(tmp_path: Path) -> None:
    problem = _refusal(_write(tmp_path, f"a: {'9' * 500_000}\n"))
    assert problem.rule == "not a finite number, or too large"
    assert len(problem.value) < 70


def test_depth_limit_is_exact(tmp_path: Path) -> None:
    inner = textfile.MAX_DEPTH - 1
    load_yaml(_write(tmp_path, f"a: {'[' * inner}{']' * inner}\n"))
    problem = _refusal(_write(tmp_path, f"a:\n {'[' * (inner + 1)}{']' * (inner + 1)}\n"))
    assert (problem.line, problem.rule) == (2, "nested deeper than 32 levels")


def test_node_limit_is_exact(tmp_path: Path) -> None:
    fits = "a:\n" + "- 1\n" * (textfile.MAX_NODES - 3)
    items = load_yaml(_write(tmp_path, fits)).data["a"]
    assert isinstance(items, list)
    problem = _refusal(_write(tmp_path, f"{fits}- 1\n"))
    assert problem.line == textfile.MAX_NODES - 1
    assert problem.rule == "too much in one file: more than 20000 keys and values"


BOMBS = {
    "aliases": "a0: &a0 [x]\n"
    + "".join(f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 9)}]\n" for n in range(1, 40)),
    "merges": "b: &b {x: 1}\n" + "".join(f"c{n}: {{<<: *b}}\n" for n in range(10_000)),
    "self": "a: &a [*a]\n",
    "flow": "a: " + "[" * 1_000_000,
    "braces": "{" * 1_000_000,
    "dashes": "- " * 500_000,
    "indents": "".join(" " * n + "a:\n" for n in range(1_000)),
    "questions": "? " * 500_000,
}


@pytest.mark.parametrize("name", BOMBS)
def test_bomb_is_refused_at_once(tmp_path: Path, name: str) -> None:
    path = _write(tmp_path, BOMBS[name])
    start = time.process_time()
    problem = _refusal(path)
    assert time.process_time() - start < 0.5
    assert problem.line is not None


@settings(deadline=None)
@given(st.binary(max_size=200) | st.text("&*!|>%@`{}[],:-?#'\"\\ \n\tau0.x<=~", max_size=60))
@example(b"\xff")
@example("a: !<")
@example('"\\xZZ": 1')
def test_any_bytes_give_data_or_an_input_error(
    tmp_path_factory: pytest.TempPathFactory, content: str | bytes
) -> None:
    path = _write(tmp_path_factory.getbasetemp(), content)
    try:
        data = load_yaml(path).data
    except InputError as error:
        lines = str(error).splitlines()
    else:
        lines = [json.dumps(data, allow_nan=False, ensure_ascii=False)]
    assert len(lines) == 1


# --- models --------------------------------------------------------------------------------------


def test_valid_file(tmp_path: Path) -> None:
    text = """
mass_kg: 1.1
heading_rad: north
spare: {diameter_m: 25.4e-2, place: rear_right}
by_rpm: {"3000": 0.1}
faults:
  - {kind: pitch-channel-reversed, severity: 0.5}
  - {kind: mag-hard-iron-offset, offset_ut: [1, 2, 3]}
"""
    craft = load_model(_write(tmp_path, text), Craft)
    assert craft.spare == Rotor(diameter_m=0.254, place=Place.REAR_RIGHT)
    assert craft.by_rpm == {3000: 0.1}
    assert craft.faults[1] == Offset(kind="mag-hard-iron-offset", offset_ut=(1, 2, 3))


LETTERS = "not one of the 9 known choices"
TURNS = "must be one of: clockwise, counterclockwise"
ROTOR = "\n- diameter_m: 0.2\n- diameter_m: 0.2\n  "


@pytest.mark.parametrize(
    ("content", "expected"),
    [
        ("mass_kg: 0\n", (1, "mass_kg", "0", "must be greater than 0 (kg)", None)),
        ("mass_kg: 0.5 kg\n", (1, "mass_kg", '"0.5 kg"', "must be a number (kg)", None)),
        ("mass_kg: [1]\n", (1, "mass_kg", "[1]", "must be a number (kg)", None)),
        ('mass_kg: "nan"\n', (1, "mass_kg", '"nan"', "must be a finite number (kg)", None)),
        ("cells: 1.5\n", (1, "cells", "1.5", "must be a whole number", None)),
        ("cells: many\n", (1, "cells", '"many"', "must be a whole number", None)),
        ("cells: 0\n", (1, "cells", "0", "must be at least 1", None)),
        ("cells: 9\n", (1, "cells", "9", "must be less than 9", None)),
        ("fitted: maybe\n", (1, "fitted", '"maybe"', "must be true or false", None)),
        ("fitted:\n", (1, "fitted", "null", "must be true or false", None)),
        ("title: 5\n", (1, "title", "5", "must be text", None)),
        ("title: true\n", (1, "title", "true", "must be text", None)),
        ("title: a\n", (1, "title", '"a"', "must have at least 2 characters", None)),
        (
            f"title: {'a' * 99}\n",
            (1, "title", f'"{"a" * 57}..."', "must have at most 20 characters", None),
        ),
        ("title: A1\n", (1, "title", '"A1"', "must match the pattern ^[a-z ]+$", None)),
        ("rotors: 4\n", (1, "rotors", "4", "must be a list", None)),
        ("packs: [1]\n", (1, "packs", "[1]", "must be `key: value` lines", None)),
        ("packs:\n  one: 4\n", (2, "packs.one", "4", "must be `key: value` lines", None)),
        ("packs:\n  one: {}\n", (2, "packs.one.diameter_m", "", "missing", None)),
        ("by_rpm:\n  a: 1\n", (2, "by_rpm.a", '"a"', "must be a whole number", None)),
        ("letter: brave\n", (1, "letter", '"brave"', LETTERS, "bravo")),
        ("letter: 7\n", (1, "letter", "7", LETTERS, None)),
        (
            "heading_rad: nort\n",
            (1, "heading_rad", '"nort"', "must be a number (rad), or must be north", "north"),
        ),
        (
            "spare:\n  diameter_m: 0.2\n  turn: clokwise\n",
            (3, "spare.turn", '"clokwise"', TURNS, "clockwise"),
        ),
        (
            f"rotors:{ROTOR}place: rear_rihgt\n",
            (
                4,
                "rotors.1.place",
                '"rear_rihgt"',
                "must be one of: front_left, rear_right",
                "rear_right",
            ),
        ),
        (f"rotors:{ROTOR}plaice: x\n", (4, "rotors.1.plaice", '"x"', "unknown key", "place")),
        (
            "packs:\n  one:\n    diameter_m: 2\n",
            (3, "packs.one.diameter_m", "2", "must be at most 1 (m)", None),
        ),
        (
            "rotors: [1, 2, 3, 4, 5]\n",
            (1, "rotors", "[1, 2, 3, 4, 5]", "must have at most 4 items, has 5", None),
        ),
        ("zzz: 1\n", (1, "zzz", "1", "unknown key", None)),
        ("titel: x\n", (1, "titel", '"x"', "unknown key", "title")),
        ("mass_g: 900\n", (1, "mass_g", "900", "unknown key; this file uses kg here", "mass_kg")),
        ("mass: 1\n", (1, "mass", "1", "unknown key; this file uses kg here", "mass_kg")),
        (
            "yaw_rate_deg_s: 9\n",
            (1, "yaw_rate_deg_s", "9", "unknown key; this file uses rad/s here", "yaw_rate_rad_s"),
        ),
        ("pack_a: 5\n", (1, "pack_a", "5", "unknown key", "pack_v")),
        (
            "faults:\n- kind: pitch-channel-reversed\n  severty: 1\n",
            (3, "faults.0.severty", "1", "unknown key", "severity"),
        ),
        (
            "faults:\n- kind: pitch-channel-reversed\n  offset_ut: 1\n",
            (3, "faults.0.offset_ut", "1", "unknown key", None),
        ),
        (
            "faults:\n- severity: 1\n  kind: pitch-chanel-reversed\n",
            (
                3,
                "faults.0.kind",
                '"pitch-chanel-reversed"',
                "must be one of: mag-hard-iron-offset, pitch-channel-reversed",
                "pitch-channel-reversed",
            ),
        ),
        ("faults:\n- severity: 1\n", (2, "faults.0.kind", "", "missing", None)),
        (
            "faults:\n- kind: mag-hard-iron-offset\n  offset_ut: [1, 2, x]\n",
            (3, "faults.0.offset_ut.2", '"x"', "must be a number (µT)", None),
        ),
        (
            "spare:\n  diameter_mm: 200\n  diameter_m: 0.2\n",
            (2, "spare.diameter_mm", "200", "unknown key; this file uses m here", "diameter_m"),
        ),
        ("code: bad\n", (1, "code", '"bad"', "code must be {ok}", None)),
        ("code: hint\n", (1, "code", '"hint"', "not a known code", "ok")),
        (
            "# a\ncells: 1\nrotors: [{diameter_m: 0.2}]\n",
            (2, "", "", "rotors need two cells", None),
        ),
    ],
)
def test_one_problem_in_plain_words(
    tmp_path: Path, content: str, expected: tuple[Any, ...]
) -> None:
    (problem,) = _problems(tmp_path, content)
    assert _facts(problem) == expected


def test_all_problems_come_in_file_order(tmp_path: Path) -> None:
    problems = _problems(tmp_path, "zzz: 1\nmass_kg: -1\nrotors:\n- {}\n- {turn: up}\ncells: x\n")
    assert [(p.line, p.key) for p in problems] == [
        (1, "zzz"),
        (2, "mass_kg"),
        (4, "rotors.0.diameter_m"),
        (5, "rotors.1.diameter_m"),
        (5, "rotors.1.turn"),
        (6, "cells"),
    ]


def test_union_without_fixed_words_explains_each_member(tmp_path: Path) -> None:
    problems = _problems(tmp_path, "part:\n  diameter_m: 0.2\n  turn: up\n")
    assert [_facts(problem) for problem in problems] == [
        (2, "part.diameter_m", "0.2", "unknown key", None),
        (3, "part.turn", '"up"', "not a known choice, or unknown key", None),
    ]


def test_tuple_of_wrong_length(tmp_path: Path) -> None:
    text = "faults:\n- kind: mag-hard-iron-offset\n  offset_ut: [1]\n"
    assert [_facts(problem) for problem in _problems(tmp_path, text)] == [
        (3, "faults.0.offset_ut.1", "", "missing", None),
        (3, "faults.0.offset_ut.2", "", "missing", None),
    ]


def test_long_values_are_shortened(tmp_path: Path) -> None:
    (problem,) = _problems(tmp_path, f"mass_kg: [{', '.join(['[yes, no, ~, true]'] * 500)}]\n")
    assert len(problem.value) < 300
    assert problem.value.startswith('[["yes", "no", null, true], ')


@pytest.mark.parametrize(
    ("text", "count"),
    [
        ("? " + "a_" * 400_000 + "\n: 1\n", 1),
        ("".join(f"mas{n}_k: 1\n" for n in range(9000)), 9000),
    ],
)
def test_many_or_long_unknown_keys_take_seconds_at_most(
    tmp_path: Path, text: str, count: int
) -> None:
    start = time.process_time()
    assert len(_problems(tmp_path, text)) == count
    assert time.process_time() - start < 5.0


def test_schema_names_its_dialect_and_title() -> None:
    schema = json_schema(Craft)
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert schema["title"] == "Craft"
    assert schema["properties"]["mass_kg"]["exclusiveMinimum"] == 0
    json.dumps(schema)


# --- writing -------------------------------------------------------------------------------------

_SCALARS = (
    st.none()
    | st.booleans()
    | st.integers(-(2**63), 2**64 - 1)
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(st.characters(exclude_categories=["Cs"]))
    | st.text("\n \t:#-'\"|>ab\x85\u2028\ufeff", max_size=8)
    | st.sampled_from(["on", "1e3", "12:30", "~", "", "0x1f", ".nan", "=", "<<", "9" * 5000, "no"])
)
_KEYS = st.text(st.characters(exclude_categories=["Cs"]), max_size=12) | st.text(min_size=130)
_TREES = st.recursive(
    _SCALARS,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(_KEYS, inner, max_size=4),
    max_leaves=12,
)


@settings(deadline=None)
@given(st.dictionaries(_KEYS, _TREES, max_size=5))
@example({"a": "x\n", "b": "\nx", "c": "  x\ny", "d": "x \ny", "e": "\n", "f": "x\n\n"})
@example({"a": [[], {}, [[]], [{}]], "b": -0.0, "c": 1e22, "d": 5e-324})
def test_dump_and_load_give_the_same_data(
    tmp_path_factory: pytest.TempPathFactory, data: dict[str, object]
) -> None:
    path = tmp_path_factory.getbasetemp() / "round.yaml"
    text = dump_yaml(data)
    write_text_atomic(path, text)
    again = load_yaml(path).data
    assert repr(again) == repr(data)
    assert dump_yaml(again) == text


def test_models_come_back_equal(tmp_path: Path) -> None:
    craft = Craft(
        spare=Rotor(diameter_m=0.1 + 0.2, place=Place.REAR_RIGHT),
        by_rpm={3000: 1e-9},
        faults=[Offset(kind="mag-hard-iron-offset", offset_ut=(1 / 3, 2.0, -0.0))],
    )
    path = tmp_path / "craft.yaml"
    write_text_atomic(path, dump_yaml(craft))
    assert load_model(path, Craft) == craft


def test_dump_is_block_style_in_its_own_order() -> None:
    shared = [1, 2.5]
    data = {"title": "b: c", "on": "on", "mass_kg": 0.30000000000000004, "z": shared, "a": shared}
    assert dump_yaml(data) == (
        "title: 'b: c'\n'on': 'on'\nmass_kg: 0.30000000000000004\nz:\n- 1\n- 2.5\na:\n- 1\n- 2.5\n"
    )
    assert dump_yaml({"purpose": "One.\nTwo.\n"}) == "purpose: |\n  One.\n  Two.\n"


def test_dump_is_safe_for_older_readers() -> None:
    data = {"a": "on", "b": "12:30", "c": "1_000", "d": "2024-05-01", "e": True, "f": None}
    assert yaml.safe_load(dump_yaml(data)) == data


@pytest.mark.parametrize("value", [float("nan"), float("-inf"), 2**64, -(2**63) - 1])
def test_numbers_no_file_may_hold_are_not_written(value: float) -> None:
    with pytest.raises(ValueError, match="cannot be written to a file"):
        dump_yaml({"a": [value]})


def test_write_replaces_whole_file(tmp_path: Path) -> None:
    path = tmp_path / "note.yaml"
    write_text_atomic(path, "old\n" * 1000)
    write_text_atomic(path, "Ω\n")
    assert path.read_bytes() == "Ω\n".encode()
    assert list(tmp_path.iterdir()) == [path]


@pytest.mark.parametrize("broken", ["fsync", "replace"])
def test_failed_write_leaves_the_old_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, broken: str
) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    path = tmp_path / "note.yaml"
    write_text_atomic(path, "old\n")
    monkeypatch.setattr(os, broken, full)
    with pytest.raises(OSError, match="No space left"):
        write_text_atomic(path, "new\n")
    assert path.read_text() == "old\n"
    assert list(tmp_path.iterdir()) == [path]


def test_text_that_cannot_be_encoded_touches_nothing(tmp_path: Path) -> None:
    with pytest.raises(UnicodeEncodeError):
        write_text_atomic(tmp_path / "note.yaml", "\ud800")
    assert list(tmp_path.iterdir()) == []
