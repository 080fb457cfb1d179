"""What a model says of a file's data, in plain words: each finding with its place and rule."""

import re
from collections.abc import Sequence
from enum import Enum
from types import UnionType
from typing import Annotated, Any, Literal, NamedTuple, Union, get_args, get_origin

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from sim.errors import nearest, shown

KeyPath = tuple[str | int, ...]


class Finding(NamedTuple):
    """One thing wrong at a key path; `...` as the value if there is none to show."""

    key: KeyPath
    value: object
    rule: str
    nearest: str | None


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


_UNIT_WORDS = {word for unit in _UNIT for word in unit.split("_")} | {"per"}


def _stem_and_unit(name: str) -> tuple[str, str | None]:
    """Split `yaw_rate_rad_s` into `yaw_rate` and its longest known suffix `rad_s`.

    No suffix if one more word before it could be part of the unit: the m per N of `wash_m_n`, or
    `n_m`, which ends a torque in N·m and a stiffness in N/m.
    """
    words = name.split("_")
    for cut in range(max(1, len(words) - 4), len(words)):
        if (suffix := "_".join(words[cut:])) in _UNIT:
            whole = words[cut - 1] not in _UNIT_WORDS
            return ("_".join(words[:cut]), suffix) if whole else (name, None)
    return name, None


def explained(data: object, model: type[BaseModel], error: ValidationError) -> list[Finding]:
    """Return what is wrong; alternatives refused at one place become one finding."""
    found: dict[tuple[KeyPath, str], Finding] = {}
    for detail in error.errors(include_url=False):
        new = _explain(data, model, detail)
        place = new.key, shown(new.value)
        old = found.setdefault(place, new)
        if new.rule not in old.rule:
            rule, nearest = f"{old.rule}, or {new.rule}", old.nearest or new.nearest
            found[place] = old._replace(rule=rule, nearest=nearest)
    return list(found.values())


def _explain(data: object, model: type[BaseModel], detail: ErrorDetails) -> Finding:
    kind, value, context = detail["type"], detail["input"], detail.get("ctx", {})
    key, nearest = _key_path(data, detail), context.get("nearest")
    limits = {name: str(limit).removesuffix(".0") for name, limit in context.items()}
    rule = _RULES.get(kind, "").format(**limits)
    rule = rule or detail["msg"].replace("Input should be", "must be")
    if kind in ("missing", "union_tag_not_found") or not key:
        value = ...
    elif kind == "extra_forbidden":
        rule, nearest = _unknown_key(str(key[-1]), _fields_at(model, data, key[:-1]))
    elif kind in ("literal_error", "enum", "union_tag_invalid"):
        value = context.get("tag", value)
        rule, nearest = _unknown_choice(str(value), _choices_at(model, data, key))
    elif _NUMERIC.match(kind):
        name = next((step for step in reversed(key) if isinstance(step, str)), "")
        unit = _stem_and_unit(name)[1]
        rule += f" ({_UNIT[unit][1]})" if unit else ""
        rule += ", in digits only" if kind == "int_type" and isinstance(value, float) else ""
    return Finding(key, value, rule, nearest)


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
    return "unknown key", nearest(name, fields)


def _unknown_choice(value: str, choices: Sequence[str]) -> tuple[str, str | None]:
    """Return (rule, nearest choice); a long list of choices is not spelled out."""
    rule = f"must be one of: {', '.join(choices)}"
    if len(choices) <= 1:
        rule = f"must be {choices[0]}" if choices else "not a known choice"
    elif len(choices) > 8:
        rule = f"not one of the {len(choices)} known choices"
    return rule, nearest(value, choices)


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
