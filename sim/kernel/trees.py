"""Trees of named tuples as compiled code sees them: by pointer into their row.

A row (`records`) holds the numbers of a tree one after the other, eight bytes each. A `Tree` is the
address of one, and looks to the functions of the flight model like the named tuple it stands for:
`craft.body.mass_kg` and `craft.rotors[i].hub_m` read the same. A part of at most four numbers is
loaded when it is read; a larger one is again a tree at its place within the row. So hundreds of
numbers are never taken apart and put together to call a function.

The state is read by pointer only at its root: its parts come out as named tuples, since functions
pass them on and return them. A tick returns a whole new state by value before anything is stored.
"""

import operator
import typing
from functools import cache

from llvmlite import ir

from sim.kernel import records
from sim.kernel.compiler import (
    AttributeTemplate,
    TypingError,
    infer_getattr,
    intrinsic,
    lower_builtin,
    lower_getattr_generic,
    models,
    register_model,
    type_callable,
    types,
)

LARGEST_VALUE = 4  # numbers; own: a quaternion, measured: up to 13 by value was no quicker
NUMBER_BYTES = 8  # bytes; float64, int64 and uint64, all that `records` knows
_SCALARS = {float: types.float64, int: types.int64}


class Tree(types.Type):
    """The address of a tree of one kind; `whole`: its parts come out as named tuples."""

    def __init__(self, kind: typing.Any, whole: bool = False) -> None:
        self.kind = kind
        self.whole = whole
        super().__init__(f"{'Whole' if whole else 'Tree'}({_name(kind)})")

    @property
    def key(self) -> typing.Any:
        """What tells two of them apart."""
        return self.kind, self.whole


register_model(Tree)(models.OpaqueModel)


def _name(kind: typing.Any) -> str:
    """Return a short name: those of types become names of symbols."""
    if typing.get_origin(kind) is tuple:
        return "-".join(_name(part) for part in typing.get_args(kind))
    return str(kind.__name__)


@cache
def value_type(kind: typing.Any) -> typing.Any:
    """Return the numba type of a tree passed by value."""
    parts = records.parts(kind)
    if parts is None:
        return _SCALARS.get(kind, types.uint64)
    inner = tuple(value_type(part) for _, part in parts)
    return types.BaseTuple.from_types(inner, tuple if typing.get_origin(kind) is tuple else kind)


@cache
def size(kind: typing.Any) -> int:
    """Return how many numbers a tree holds."""
    return len(records.fields(kind))


def _type_of_part(kind: typing.Any, whole: bool) -> typing.Any:
    return value_type(kind) if whole or size(kind) <= LARGEST_VALUE else Tree(kind)


@cache
def _places(kind: typing.Any) -> dict[str, tuple[int, typing.Any]]:
    """Return (numbers before it, kind) of each part of a tree by its name."""
    places, before = {}, 0
    for name, part in records.parts(kind) or ():
        places[name] = before, part
        before += size(part)
    return places


@infer_getattr
class _Parts(AttributeTemplate):
    key = Tree

    def generic_resolve(self, tree, name):  # type: ignore[override]
        place = _places(tree.kind).get(name)
        return None if place is None else _type_of_part(place[1], tree.whole)


@lower_getattr_generic(Tree)
def _read_part(context, builder, tree, address, name):
    before, part = _places(tree.kind)[name]
    return _read(context, builder, part, tree.whole, _moved(builder, address, before))


@type_callable(operator.getitem)
def _type_of_item(_context):
    def typer(tree, index):
        if not (isinstance(tree, Tree) and isinstance(index, types.Integer)):
            return None
        kinds = set(typing.get_args(tree.kind))
        return _type_of_part(kinds.pop(), tree.whole) if len(kinds) == 1 else None

    return typer


@lower_builtin(operator.getitem, Tree, types.Integer)
def _read_item(context, builder, signature, args):
    tree, part = signature.args[0], typing.get_args(signature.args[0].kind)[0]
    address, index = args
    step = ir.Constant(ir.IntType(64), size(part))
    before = builder.mul(builder.sext(index, ir.IntType(64)), step)
    return _read(context, builder, part, tree.whole, _moved(builder, address, before))


def _moved(builder, address, numbers):
    """Return the address so many numbers on."""
    if isinstance(numbers, int):
        numbers = ir.Constant(ir.IntType(64), numbers)
    steps = builder.mul(numbers, ir.Constant(ir.IntType(64), NUMBER_BYTES))
    return builder.gep(address, [steps], inbounds=True)


def _read(context, builder, kind, whole, address):
    """Return what stands at an address: a tree, or the value itself."""
    if isinstance(_type_of_part(kind, whole), Tree):
        return address
    return _load(context, builder, kind, address)


def _number_at(context, builder, kind, address):
    number = context.get_value_type(value_type(kind))
    return builder.bitcast(address, number.as_pointer())


def _load(context, builder, kind, address):
    """Return the value at an address."""
    if records.parts(kind) is None:
        return builder.load(_number_at(context, builder, kind, address), align=NUMBER_BYTES)
    values = [
        _load(context, builder, part, _moved(builder, address, before))
        for before, part in _places(kind).values()
    ]
    return context.make_tuple(builder, value_type(kind), values)


def _store(context, builder, kind, value, address):
    """Store a value at an address."""
    if records.parts(kind) is None:
        builder.store(value, _number_at(context, builder, kind, address), align=NUMBER_BYTES)
        return
    for i, (before, part) in enumerate(_places(kind).values()):
        piece = builder.extract_value(value, i)
        _store(context, builder, part, piece, _moved(builder, address, before))


def _check_row(row: typing.Any, kind: typing.Any) -> None:
    if not isinstance(row, types.Record) or row.dtype != records.dtype_of(kind):
        raise TypingError(f"{row} is no row of {kind}")


def reader(kind: typing.Any, whole: bool = False) -> typing.Any:
    """Return what turns a row into the tree of this kind, in compiled code."""

    @intrinsic
    def read(_context, row):
        _check_row(row, kind)

        def make(context, builder, _signature, args):
            return builder.bitcast(args[0], context.get_value_type(Tree(kind, whole)))

        return Tree(kind, whole)(row), make

    return read


def writer(kind: typing.Any) -> typing.Any:
    """Return what stores a tree given by value into a row: (row, value), in compiled code."""

    @intrinsic
    def write(_context, row, value):
        _check_row(row, kind)
        if value != value_type(kind):
            raise TypingError(f"{value} is no {kind} by value")

        def store(context, builder, _signature, args):
            address = builder.bitcast(args[0], ir.IntType(8).as_pointer())
            _store(context, builder, kind, args[1], address)
            return context.get_dummy_value()

        return types.none(row, value), store

    return write
