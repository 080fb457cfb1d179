"""Input files: YAML read with care, checked against models, every complaint with its line.

Plain words mean what YAML 1.2 says: `true` and `false` are the only truth values, `on`, `yes` and
`12:30` are text, `1e3` is a number. Anchors, tags and several documents in a file are refused.
"""

import math
import os
import re
import secrets
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from difflib import get_close_matches
from enum import Enum
from pathlib import Path
from stat import S_ISREG
from types import UnionType
from typing import Annotated, Any, Literal, NoReturn, TypeVar, Union, get_args, get_origin

import yaml
from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails, to_jsonable_python

from sim.errors import InputError, Problem, shown

MAX_BYTES = 1 << 20
MAX_DEPTH = 32  # mappings and lists inside one another
MAX_NODES = 20_000  # keys, values, mappings and lists

KeyPath = tuple[str | int, ...]
M = TypeVar("M", bound=BaseModel)


@dataclass(frozen=True)
class Document:
    """The plain data of one file and the line of every key path in it."""

    path: Path
    data: dict[str, object]
    lines: Mapping[KeyPath, int]

    def line_of(self, key: KeyPath) -> int | None:
        """Return the line of a key path, or of its nearest parent in the file."""
        while key and key not in self.lines:
            key = key[:-1]
        return self.lines.get(key)

    def problem(
        self, key: KeyPath, value: object, rule: str, nearest: str | None = None
    ) -> Problem:
        """Return a problem at a key path; `...` as the value leaves it out."""
        return _problem(self.path, self.line_of(key), rule, key, value, nearest)


def load_yaml(path: Path) -> Document:
    """Read one YAML file.

    Parameters
    ----------
    path : Path
        A regular file of UTF-8 text, at most `MAX_BYTES` long.

    Returns
    -------
    Document
        The data with the line of every key.

    Raises
    ------
    InputError
        With one problem: the first one met.
    """
    return _Reader(path, _read_text(path)).document()


def load_model(path: Path, model: type[M]) -> M:
    """Read one YAML file into a model.

    Parameters
    ----------
    path : Path
        The file.
    model : type[BaseModel]
        What its top level must look like.

    Returns
    -------
    BaseModel
        An instance of `model`.

    Raises
    ------
    InputError
        With every problem the model finds, in the order of their lines.
    """
    document = load_yaml(path)
    try:
        return model.model_validate(document.data)
    except ValidationError as error:
        problems = _explained(document, model, error)
    raise InputError(problems)


def json_schema(model: type[BaseModel]) -> dict[str, Any]:
    """Return the JSON schema of the files that `model` reads."""
    dialect = "https://json-schema.org/draft/2020-12/schema"
    return {"$schema": dialect, "title": model.__name__, **model.model_json_schema()}


def dump_yaml(value: BaseModel | Mapping[str, object]) -> str:
    """Return YAML text that `load_yaml` reads back exactly.

    Parameters
    ----------
    value : BaseModel or mapping
        Written in its own order, in block style, floats by their shortest exact form.

    Returns
    -------
    str
        The text, ending with a newline.

    Raises
    ------
    ValueError
        For numbers that no file may hold: not finite, or whole and beyond 64 bits.
    """
    plain = to_jsonable_python(value, by_alias=True)
    return str(yaml.dump(plain, Dumper=_Dumper, sort_keys=False, allow_unicode=True, width=100))


def write_text_atomic(path: Path, text: str) -> None:
    """Write a UTF-8 text file whole or not at all.

    Parameters
    ----------
    path : Path
        Replaced if it exists; its folder must exist.
    text : str
        Written with its line ends as they are.
    """
    content = text.encode()
    part = path.with_name(f".{secrets.token_hex(8)}.part")
    try:
        with part.open("xb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        os.replace(part, path)
    finally:
        part.unlink(missing_ok=True)


# --- from bytes to plain data --------------------------------------------------------------------


def _problem(
    path: Path,
    line: int | None,
    rule: str,
    key: KeyPath = (),
    value: object = ...,
    nearest: str | None = None,
) -> Problem:
    text = "" if value is ... else shown(value)
    return Problem(str(path), line, ".".join(map(str, key)), text, rule, nearest)


def _refuse(
    path: Path, line: int | None, rule: str, key: KeyPath = (), value: object = ...
) -> NoReturn:
    raise InputError([_problem(path, line, rule, key, value)])


def _read_text(path: Path) -> str:
    content = b""
    try:
        status = path.stat()
        if not S_ISREG(status.st_mode):
            _refuse(path, None, "a folder, not a file" if path.is_dir() else "not a regular file")
        size = status.st_size
        if size <= MAX_BYTES:
            with path.open("rb") as file:
                content = file.read(MAX_BYTES + 1)  # one more: it may have grown since
    except FileNotFoundError:
        _refuse(path, None, "no such file")
    except (OSError, ValueError) as error:
        _refuse(path, None, f"cannot be read: {getattr(error, 'strerror', None) or error}")
    if max(size, len(content)) > MAX_BYTES:
        _refuse(path, None, f"too large: more than {MAX_BYTES} bytes")
    try:
        return content.decode()
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        _refuse(path, line, "not UTF-8 text; save the file as UTF-8")


_WORDS: dict[str, bool | float | None] = {
    **dict.fromkeys(("", "~", "null", "Null", "NULL")),
    **dict.fromkeys(("true", "True", "TRUE"), True),
    **dict.fromkeys(("false", "False", "FALSE"), False),
    **dict.fromkeys((".nan", ".NaN", ".NAN"), math.nan),
    **dict.fromkeys((".inf", ".Inf", ".INF", "+.inf", "+.Inf", "+.INF"), math.inf),
    **dict.fromkeys(("-.inf", "-.Inf", "-.INF"), -math.inf),
}
_INTEGER = re.compile(r"[-+]?[0-9]+|0o[0-7]+|0x[0-9a-fA-F]+")
_FLOAT = re.compile(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?")
_RARE_BREAK = re.compile("[\r\x85\u2028\u2029]")
_SURROGATE = re.compile("[\ud800-\udfff]")


def _fits_64_bits(number: int) -> bool:
    return -(2**63) <= number < 2**64


def _meaning(text: str) -> bool | int | float | str | None:
    """Return what a plain word means (YAML 1.2 core schema); a number too large is infinite."""
    if text in _WORDS:
        return _WORDS[text]
    if _INTEGER.fullmatch(text):
        number = 2**64 if len(text) > 80 else int(text, 0 if text[1:2] in ("o", "x") else 10)
        return number if _fits_64_bits(number) else math.inf
    return float(text) if _FLOAT.fullmatch(text) else text


class _Reader:
    """Builds plain data straight from parser events: nothing is built before it is checked."""

    def __init__(self, path: Path, text: str) -> None:
        self._path = path
        self._nodes = 0
        self._lines: dict[KeyPath, int] = {}
        try:
            self._parser = yaml.SafeLoader(text)
        except yaml.reader.ReaderError as error:
            line = text.count("\n", 0, error.position) + 1
            _refuse(path, line, f"a character that text may not hold: U+{error.character:04X}")

    def document(self) -> Document:
        self._next()  # start of the stream
        if isinstance(self._next(), yaml.StreamEndEvent):
            _refuse(self._path, None, "the file is empty")
        top = self._next()
        data = self._node((), top)
        if not isinstance(data, dict):
            rule = "the top level must be `key: value` lines"
            self._refuse(top, (), "the file is empty" if data is None else rule)
        self._next()  # end of the document
        after = self._next()
        if not isinstance(after, yaml.StreamEndEvent):
            self._refuse(after, (), "a second document starts here; a file holds only one")
        return Document(self._path, data, self._lines)

    def _next(self) -> Any:
        try:
            return self._parser.get_event()  # type: ignore[no-untyped-call]
        except yaml.MarkedYAMLError as error:
            rule = ", ".join(text for text in (error.problem, error.context) if text)
            line = error.problem_mark.line if error.problem_mark else self._parser.line
        except (ValueError, OverflowError):
            rule, line = "no such character", self._parser.line
        _refuse(self._path, line + 1, f"not readable as YAML: {rule}")

    def _refuse(self, event: Any, key: KeyPath, rule: str, value: object = ...) -> NoReturn:
        _refuse(self._path, event.start_mark.line + 1, rule, key, value)

    def _node(self, key: KeyPath, event: Any) -> object:
        self._admit(key, event)
        self._lines.setdefault(key, event.start_mark.line + 1)
        if isinstance(event, yaml.ScalarEvent):
            return self._scalar(key, event)
        if len(key) >= MAX_DEPTH:
            self._refuse(event, key, f"nested deeper than {MAX_DEPTH} levels")
        return self._list(key) if isinstance(event, yaml.SequenceStartEvent) else self._mapping(key)

    def _admit(self, key: KeyPath, event: Any) -> None:
        self._nodes += 1
        if self._nodes > MAX_NODES:
            self._refuse(event, key, f"too much in one file: more than {MAX_NODES} keys and values")
        if event.anchor is not None:
            mark = "*" if isinstance(event, yaml.AliasEvent) else "&"
            word = f"{mark}{event.anchor}"
            self._refuse(
                event, key, f"anchors and aliases are not allowed ({word}); repeat the text"
            )
        if event.tag is not None:
            self._refuse(event, key, f"tags are not allowed ({event.tag}); quotes make text")

    def _scalar(self, key: KeyPath, event: Any) -> object:
        if _SURROGATE.search(event.value):
            self._refuse(event, key, "half a character: an escape \\ud800 to \\udfff")
        value = _meaning(event.value) if event.implicit[0] else event.value
        if isinstance(value, float) and not math.isfinite(value):
            self._refuse(event, key, "not a finite number, or too large", event.value)
        return value

    def _list(self, key: KeyPath) -> list[object]:
        items: list[object] = []
        while not isinstance(event := self._next(), yaml.SequenceEndEvent):
            items.append(self._node((*key, len(items)), event))
        return items

    def _mapping(self, key: KeyPath) -> dict[str, object]:
        pairs: dict[str, object] = {}
        while not isinstance(event := self._next(), yaml.MappingEndEvent):
            self._admit(key, event)
            name = self._scalar(key, event) if isinstance(event, yaml.ScalarEvent) else ...
            if not isinstance(name, str):
                self._refuse(event, key, "a key must be text; put it in quotes", name)
            entry = (*key, name)
            if name in pairs:
                rule = f"key given twice, first on line {self._lines[entry]}"
                self._refuse(event, entry, rule)
            self._lines[entry] = event.start_mark.line + 1
            pairs[name] = self._node(entry, self._next())
        return pairs


# --- from plain data to text ---------------------------------------------------------------------


class _Dumper(yaml.SafeDumper):
    """Quotes every text that this module, or an older YAML reader, would take for another thing."""

    def ignore_aliases(self, data: object) -> bool:
        return True

    def resolve(self, kind: Any, value: Any, implicit: Any) -> str:
        meaning = _meaning(value) if kind is yaml.ScalarNode and implicit[0] else ""
        if isinstance(meaning, str):
            return str(super().resolve(kind, value, implicit))  # type: ignore[no-untyped-call]
        return _TAGS[type(meaning)]

    def represent_number(self, data: float) -> yaml.Node:
        if not (_fits_64_bits(data) if isinstance(data, int) else math.isfinite(data)):
            raise ValueError(f"cannot be written to a file: {data!r}")
        return self.represent_scalar(_TAGS[type(data)], repr(data))

    def represent_text(self, data: str) -> yaml.Node:
        style = '"' if _RARE_BREAK.search(data) else "|" if "\n" in data else None
        return self.represent_scalar(_TAGS[str], data, style=style)


_TAGS: dict[type, str] = {
    type(None): "tag:yaml.org,2002:null",
    bool: "tag:yaml.org,2002:bool",
    int: "tag:yaml.org,2002:int",
    float: "tag:yaml.org,2002:float",
    str: "tag:yaml.org,2002:str",
}
_Dumper.add_representer(int, _Dumper.represent_number)
_Dumper.add_representer(float, _Dumper.represent_number)
_Dumper.add_representer(str, _Dumper.represent_text)


# --- from model errors to plain words ------------------------------------------------------------


_RULES = {
    "missing": "missing",
    "union_tag_not_found": "missing",
    "greater_than": "must be greater than {gt}",
    "greater_than_equal": "must be at least {ge}",
    "less_than": "must be less than {lt}",
    "less_than_equal": "must be at most {le}",
    "multiple_of": "must be a multiple of {multiple_of}",
    "finite_number": "must be a finite number",
    **dict.fromkeys(("float_type", "float_parsing"), "must be a number"),
    **dict.fromkeys(("int_type", "int_parsing", "int_from_float"), "must be a whole number"),
    **dict.fromkeys(("bool_type", "bool_parsing"), "must be true or false"),
    "string_type": "must be text",
    "string_too_short": "must have at least {min_length} characters",
    "string_too_long": "must have at most {max_length} characters",
    "string_pattern_mismatch": "must match the pattern {pattern}",
    **dict.fromkeys(("list_type", "tuple_type", "set_type", "frozen_set_type"), "must be a list"),
    "too_short": "must have at least {min_length} items, has {actual_length}",
    "too_long": "must have at most {max_length} items, has {actual_length}",
    **dict.fromkeys(("dict_type", "mapping_type", "model_type"), "must be `key: value` lines"),
    "none_required": "must be empty",
    "value_error": "{error}",
    "assertion_error": "{error}",
}
_NUMERIC = re.compile("greater|less|multiple|finite|float_|int_")

# One quantity a line; a suffix that is shown in another form has it after a colon.
_UNITS = """
    kg g mg lb oz
    m mm cm km in ft
    s ms us:µs min h
    rad deg:°
    v:V mv:mV
    a:A ma:mA
    ohm:Ω mohm:mΩ
    c:C ah:Ah mah:mAh
    w:W mw:mW kw:kW
    j:J kj:kJ wh:Wh
    k:K degc:°C deg_c:°C
    n:N mn:mN kgf gf
    n_m:N·m mn_m:mN·m n_cm:N·cm
    kg_m2:kg·m² g_m2:g·m² g_cm2:g·cm² kg_mm2:kg·mm²
    hz:Hz khz:kHz rpm rad_s:rad/s deg_s:°/s
    m_s:m/s cm_s:cm/s km_h:km/h mph kt
    m_s2:m/s² cm_s2:cm/s²
    rad_s2:rad/s² deg_s2:°/s²
    pa:Pa hpa:hPa kpa:kPa
    ut:µT nt:nT mt:mT
    kg_m3:kg/m³ g_m3:g/m³
    rad_s_v:rad/(s·V) rpm_v:rpm/V
    ratio percent:%
"""
_UNIT = {
    unit.partition(":")[0]: (quantity, unit.partition(":")[2] or unit)
    for quantity, row in enumerate(_UNITS.strip().splitlines())
    for unit in row.split()
}


def _stem_and_unit(name: str) -> tuple[str, str | None]:
    """Split `yaw_rate_rad_s` into `yaw_rate` and its longest known suffix `rad_s`."""
    words = name.split("_")
    for cut in range(max(1, len(words) - 4), len(words)):
        if (suffix := "_".join(words[cut:])) in _UNIT:
            return "_".join(words[:cut]), suffix
    return name, None


def _explained(document: Document, model: type[BaseModel], error: ValidationError) -> list[Problem]:
    """Return the problems in file order; alternatives refused at one place become one problem."""
    found: dict[tuple[str, str], Problem] = {}
    for detail in error.errors(include_url=False):
        new = _explain(document, model, detail)
        old = found.setdefault((new.key, new.value), new)
        if new.rule not in old.rule:
            rule, nearest = f"{old.rule}, or {new.rule}", old.nearest or new.nearest
            found[new.key, new.value] = replace(old, rule=rule, nearest=nearest)
    return sorted(found.values(), key=lambda problem: problem.line or 0)


def _explain(document: Document, model: type[BaseModel], detail: ErrorDetails) -> Problem:
    kind, value, context = detail["type"], detail["input"], detail.get("ctx", {})
    key, nearest = _key_path(document.data, detail), context.get("nearest")
    limits = {name: str(limit).removesuffix(".0") for name, limit in context.items()}
    rule = _RULES.get(kind, "").format(**limits)
    rule = rule or detail["msg"].replace("Input should be", "must be")
    if kind in ("missing", "union_tag_not_found") or not key:
        value = ...
    elif kind == "extra_forbidden":
        rule, nearest = _unknown_key(str(key[-1]), _fields_at(model, document.data, key[:-1]))
    elif kind in ("literal_error", "enum", "union_tag_invalid"):
        value = context.get("tag", value)
        rule, nearest = _unknown_choice(str(value), _choices_at(model, document.data, key))
    elif _NUMERIC.match(kind):
        name = next((step for step in reversed(key) if isinstance(step, str)), "")
        unit = _stem_and_unit(name)[1]
        rule += f" ({_UNIT[unit][1]})" if unit else ""
    return document.problem(key, value, rule, nearest)


def _key_path(data: object, detail: ErrorDetails) -> KeyPath:
    """Return where in the file an error is; steps that only name an alternative are dropped."""
    key: list[str | int] = []
    for step in detail["loc"]:
        if _holds(data, step):
            key.append(step)
            data = _child(data, step)
    if detail["type"] == "missing":
        key.append(detail["loc"][-1])
    if "discriminator" in detail.get("ctx", {}):
        key.append(detail["ctx"]["discriminator"].strip("'"))
    return tuple(key)


def _holds(data: object, step: str | int) -> bool:
    if isinstance(data, dict):
        return step in data
    return isinstance(data, list) and isinstance(step, int) and step < len(data)


def _child(data: Any, step: str | int) -> object:
    return data[step] if _holds(data, step) else None


def _unknown_key(name: str, fields: Sequence[str]) -> tuple[str, str | None]:
    """Return (rule, nearest field); the same quantity in another unit goes before likeness."""
    stem, unit = _stem_and_unit(name)
    for field in fields:
        field_stem, wanted = _stem_and_unit(field)
        if stem == field_stem and wanted and (not unit or _UNIT[unit][0] == _UNIT[wanted][0]):
            return f"unknown key; this file uses {_UNIT[wanted][1]} here", field
    return "unknown key", next(iter(get_close_matches(name, fields, 1)), None)


def _unknown_choice(value: str, choices: Sequence[str]) -> tuple[str, str | None]:
    """Return (rule, nearest choice); a long list of choices is not spelled out."""
    rule = f"must be one of: {', '.join(choices)}"
    if len(choices) <= 1:
        rule = f"must be {choices[0]}" if choices else "not a known choice"
    elif len(choices) > 8:
        rule = f"not one of the {len(choices)} known choices"
    return rule, next(iter(get_close_matches(value, choices, 1)), None)


def _fields_at(model: type[BaseModel], data: object, key: KeyPath) -> list[str]:
    return [name for kind in _expected_at(model, data, key) for name in _fields(kind)]


def _choices_at(model: type[BaseModel], data: object, key: KeyPath) -> list[str]:
    choices: list[object] = []
    for kind in _expected_at(model, data, key):
        if get_origin(kind) is Literal:
            choices += get_args(kind)
        elif isinstance(kind, type) and issubclass(kind, Enum):
            choices += [choice.value for choice in kind]
    return list(dict.fromkeys(map(str, choices)))


def _expected_at(model: type[BaseModel], data: object, key: KeyPath) -> list[object]:
    """Return the types that may stand at a key path, given the data around it."""
    expected: list[object] = [model]
    for step in key:
        data = _child(data, step)
        inner = [part for outer in expected for part in _parts(outer, step)]
        expected = [kind for part in inner for kind in _alternatives(part, data)]
    return expected


def _fields(kind: object) -> dict[str, object]:
    if not (isinstance(kind, type) and issubclass(kind, BaseModel)):
        return {}
    return {field.alias or name: field.annotation for name, field in kind.model_fields.items()}


def _parts(kind: object, step: str | int) -> Sequence[object]:
    """Return the type of part `step` of a model, mapping, list or tuple, if it has one."""
    fields, args = _fields(kind), get_args(kind)
    if isinstance(step, str):
        return [fields[step]] if step in fields else args[1:]
    fixed = get_origin(kind) is tuple and Ellipsis not in args
    return args[step : step + 1] if fixed else args[:1]


def _alternatives(kind: object, data: object) -> list[object]:
    """Return the members of a union, those whose fixed words agree with the data if any do."""
    if get_origin(kind) is Annotated:
        return _alternatives(get_args(kind)[0], data)
    if get_origin(kind) not in (Union, UnionType):
        return [kind]
    members = [member for part in get_args(kind) for member in _alternatives(part, data)]
    return [member for member in members if _agrees(member, data)] or members


def _agrees(kind: object, data: object) -> bool:
    fields = _fields(kind)
    if not fields or not isinstance(data, dict):
        return False
    words = {name: get_args(at) for name, at in fields.items() if get_origin(at) is Literal}
    return all(data.get(name, fixed[0]) in fixed for name, fixed in words.items())
