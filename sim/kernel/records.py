"""Trees of named tuples as flat structured arrays, and back.

One row holds one vehicle; a field is named by its path, `body__position_m__x`. The packing and
unpacking functions are written out from the types, so the compiled code copies field by field.
"""

import typing
from functools import cache

import numpy as np
from numba import njit

SEPARATOR = "__"
_SCALARS: dict[typing.Any, typing.Any] = {float: np.float64, int: np.int64, np.uint64: np.uint64}


def _parts(kind: typing.Any) -> list[tuple[str, typing.Any]] | None:
    """Return (name, type) of the parts of a named tuple or tuple type, None for a scalar."""
    if kind in _SCALARS:
        return None
    if typing.get_origin(kind) is tuple:
        return [(str(i), part) for i, part in enumerate(typing.get_args(kind))]
    return list(typing.get_type_hints(kind).items())


def fields(kind: typing.Any, prefix: str = "") -> list[tuple[str, typing.Any]]:
    """Return (path, numpy type) of every scalar in a named tuple type, in order."""
    parts = _parts(kind)
    if parts is None:
        return [(prefix, _SCALARS[kind])]
    joined = prefix + SEPARATOR if prefix else ""
    return [leaf for name, part in parts for leaf in fields(part, joined + name)]


@cache
def dtype_of(kind: typing.Any) -> np.dtype:
    """Return the structured dtype of a named tuple type."""
    return np.dtype(fields(kind))


def flatten(value: typing.Any) -> tuple[typing.Any, ...]:
    """Return all scalars of a tree of tuples, in order: one row of the structured array."""
    if isinstance(value, tuple):
        return tuple(leaf for part in value for leaf in flatten(part))
    return (value,)


def to_row(kind: typing.Any, value: typing.Any) -> np.ndarray:
    """Return a structured array of one row holding `value`."""
    return np.array([flatten(value)], dtype=dtype_of(kind))


def _expression(kind: typing.Any, prefix: str, names: dict[str, typing.Any]) -> str:
    parts = _parts(kind)
    if parts is None:
        return f"row.{prefix}"
    joined = prefix + SEPARATOR if prefix else ""
    inner = ", ".join(_expression(part, joined + name, names) for name, part in parts)
    if typing.get_origin(kind) is tuple:
        return f"({inner},)"
    names[kind.__name__] = kind
    return f"{kind.__name__}({inner})"


def _compiled(source: str, name: str, names: dict[str, typing.Any]) -> typing.Any:
    exec(compile(source, __file__, "exec"), names)
    return njit(names[name])


def reader(kind: typing.Any) -> typing.Any:
    """Return a compiled function row -> named tuple."""
    names: dict[str, typing.Any] = {}
    body = _expression(kind, "", names)
    return _compiled(f"def read(row):\n    return {body}\n", "read", names)


def _assignments(kind: typing.Any, path: str, prefix: str) -> list[str]:
    parts = _parts(kind)
    if parts is None:
        return [f"    row.{prefix} = {path}"]
    joined = prefix + SEPARATOR if prefix else ""
    plain = typing.get_origin(kind) is tuple
    return [
        line
        for name, part in parts
        for line in _assignments(
            part, f"{path}[{name}]" if plain else f"{path}.{name}", joined + name
        )
    ]


def writer(kind: typing.Any) -> typing.Any:
    """Return a compiled function (row, named tuple) that writes every field."""
    lines = _assignments(kind, "value", "")
    return _compiled("def write(row, value):\n" + "\n".join(lines) + "\n", "write", {})
