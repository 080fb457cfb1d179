"""Input files: YAML read with care, checked against models, every complaint with its line.

Plain words mean what YAML 1.2 says: `true` and `false` are the only truth values, `on`, `yes` and
`12:30` are text, `1e3` is a number. Anchors, tags and several documents in a file are refused.
"""

import json
import math
import os
import re
import secrets
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import count
from pathlib import Path
from stat import S_ISREG
from typing import Any, NoReturn, TypeVar

import yaml
from pydantic import BaseModel, ValidationError
from pydantic_core import to_json, to_jsonable_python

from sim.aircraft.explain import KeyPath, explained
from sim.aircraft.fields import Strict
from sim.errors import InputError, Problem, shown

MAX_BYTES = 1 << 20  # bytes; own: a hundred times the largest drill
MAX_DEPTH = 32  # mappings and lists inside one another
MAX_NODES = 20_000  # keys, values, mappings and lists

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


def load_yaml(path: Path, text: str | None = None) -> Document:
    """Read one YAML file: a regular file of UTF-8 text, at most `MAX_BYTES` long.

    `text`: what the file says, if it has been read already. Raises InputError with one problem: the
    first one met.
    """
    return _Reader(path, _read_text(path) if text is None else text).document()


def load_model(path: Path, model: type[M], text: str | None = None) -> M:
    """Read one YAML file into a model; `text`: what the file says, if it has been read already.

    A number of a `Strict` model takes neither text nor `true` or `false`. Raises InputError with
    every problem the model finds, in the order of their lines.
    """
    document = load_yaml(path, text)
    # as JSON, since strict models of Python data refuse lists for tuples and words for enums
    strict = issubclass(model, Strict) or None
    try:
        return model.model_validate_json(to_json(document.data), strict=strict)
    except ValidationError as error:
        problems = [
            document.problem(*finding) for finding in explained(document.data, model, error)
        ]
    raise InputError(sorted(problems, key=lambda problem: problem.line or 0))


def load_json(path: Path) -> object:
    """Read one JSON file, as bounded as a YAML file; raises InputError with one problem."""
    text = _read_text(path)
    try:
        return json.loads(text)
    except ValueError as error:
        _refuse(path, getattr(error, "lineno", None), f"not readable as JSON: {error}")
    except RecursionError:
        _refuse(path, None, "nested too deeply")


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


def numbered(folder: Path, stem: str, suffix: str) -> Iterator[Path]:
    """Yield places in a folder: the stem with 1 behind it, with 2, and so on; it does not end."""
    for number in count(1):
        yield folder / f"{stem}-{number}{suffix}"


def write_numbered(folder: Path, stem: str, text: str) -> Path:
    """Write a YAML file into a folder, made if need be, under the first number that is free; return it.

    Raises OSError if the disk does not take it.
    """
    folder.mkdir(parents=True, exist_ok=True)
    path = next(path for path in numbered(folder, stem, ".yaml") if not path.exists())
    write_text_atomic(path, text)
    return path


def require_nothing_there(path: Path, replace: bool) -> None:
    """Raise InputError if something lies where a command is to write; replace : it may be written over."""
    if path.exists() and not replace:
        _refuse(path, None, "lies there already; --replace writes over it")


def write_text_atomic(path: Path, text: str) -> None:
    """Write a UTF-8 text file whole or not at all, its line ends as they are; see `write_atomic`."""
    write_atomic(path, text.encode())


def write_atomic(path: Path, content: bytes) -> None:
    """Write a file whole or not at all.

    Parameters
    ----------
    path : Path
        Replaced if it exists; its folder must exist.
    content : bytes
        All that is in it.

    Raises
    ------
    OSError
        With the name of the file, if the disk does not take it; then nothing has changed.
    """
    part = path.with_name(f".{secrets.token_hex(8)}.part")
    try:
        with part.open("xb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        os.replace(part, path)
    except OSError as error:
        raise type(error)(error.errno, error.strerror, str(path)) from None
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


def contents_of(path: Path, most: int = MAX_BYTES) -> bytes:
    """Return a file from the disk; InputError if it can't be read or is longer than so many bytes."""
    content = b""
    try:
        status = path.stat()
        if not S_ISREG(status.st_mode):
            _refuse(path, None, "a folder, not a file" if path.is_dir() else "not a regular file")
        size = status.st_size
        if size <= most:
            with path.open("rb") as file:
                content = file.read(most + 1)  # one more: it may have grown since
    except FileNotFoundError:
        _refuse(path, None, "no such file")
    except (OSError, ValueError) as error:
        _refuse(path, None, f"cannot be read: {getattr(error, 'strerror', None) or error}")
    if max(size, len(content)) > most:
        _refuse(path, None, f"too large: more than {most} bytes")
    return content


def _read_text(path: Path) -> str:
    content = contents_of(path)
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
            return self._parser.get_event()
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
            return str(super().resolve(kind, value, implicit))
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
