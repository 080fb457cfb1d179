"""Trees of named tuples as flat structured arrays, and back.

One row holds one vehicle, every number eight bytes, in the order of the tree; a field is named by
its path, `body__position_m__x`. How compiled code reads and writes a row is in `trees`.
"""

import struct
import typing
from functools import cache

import numpy as np

SEPARATOR = "__"
_SCALARS: dict[typing.Any, typing.Any] = {float: np.float64, int: np.int64, np.uint64: np.uint64}
_CODES = {np.float64: "d", np.int64: "q", np.uint64: "Q"}  # the same for `struct`

Parts = tuple[tuple[str, typing.Any], ...]


@cache
def parts(kind: typing.Any) -> Parts | None:
    """Return (name, type) of the parts of a named tuple or tuple type, None for a scalar."""
    if kind in _SCALARS:
        return None
    if typing.get_origin(kind) is tuple:
        return tuple((str(i), part) for i, part in enumerate(typing.get_args(kind)))
    return tuple(typing.get_type_hints(kind).items())


@cache
def fields(kind: typing.Any, prefix: str = "") -> Parts:
    """Return (path, numpy type) of every scalar in a named tuple type, in order."""
    inner = parts(kind)
    if inner is None:
        return ((prefix, _SCALARS[kind]),)
    joined = prefix + SEPARATOR if prefix else ""
    return tuple(leaf for name, part in inner for leaf in fields(part, joined + name))


@cache
def dtype_of(kind: typing.Any) -> np.dtype:
    """Return the structured dtype of a named tuple type."""
    return np.dtype(list(fields(kind)))


@cache
def _packer(kind: typing.Any) -> struct.Struct:
    return struct.Struct("=" + "".join(_CODES[number] for _, number in fields(kind)))


def flatten(value: typing.Any) -> list[typing.Any]:
    """Return all scalars of a tree of tuples, in order: one row of the structured array."""
    numbers: list[typing.Any] = []
    _fill(numbers, value)
    return numbers


def _fill(numbers: list[typing.Any], value: typing.Any) -> None:
    if not isinstance(value, tuple):
        numbers.append(value)
        return
    for part in value:
        if isinstance(part, tuple):
            _fill(numbers, part)
        else:
            numbers.append(part)


def to_row(kind: typing.Any, value: typing.Any) -> np.ndarray:
    """Return a structured array of one row holding `value`."""
    return np.frombuffer(_packer(kind).pack(*flatten(value)), dtype=dtype_of(kind)).copy()
