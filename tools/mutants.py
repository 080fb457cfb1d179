"""Mutants: single changes of the source that a test ought to notice.

A mutant is made from the syntax tree: in one function, or one constant of a module, one expression
becomes another. It is known by where it stands and by both texts, never by a line, so it keeps its
name while code moves about it, and no longer applies once its own expression has changed.
"""

import ast
import copy
import hashlib
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

Site = tuple[str, str, ast.expr]  # kind of change, scope, expression

OPPOSITE: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.GtE,
    ast.LtE: ast.Gt,
    ast.Gt: ast.LtE,
    ast.GtE: ast.Lt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
}
AT_THE_EDGE: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.LtE,
    ast.LtE: ast.Lt,
    ast.Gt: ast.GtE,
    ast.GtE: ast.Gt,
}
OTHER_SIGN: dict[type[ast.operator], type[ast.operator]] = {ast.Add: ast.Sub, ast.Sub: ast.Add}
OTHER_POWER: dict[type[ast.operator], type[ast.operator]] = {ast.Mult: ast.Div, ast.Div: ast.Mult}
OTHER_CALL = {
    "min": "max",
    "max": "min",
    "sin": "cos",
    "cos": "sin",
    "any": "all",
    "all": "any",
    "minimum": "maximum",
    "maximum": "minimum",
}
ORDERED = {"cross", "atan2", "arctan2"}  # calls whose first two arguments are easily changed over
NUDGE = 1.05  # 1; own: a limit tested from both sides a hundredth off is missed by far
ABOUT_TEXT = (ast.JoinedStr, ast.Raise, ast.Assert)


@dataclass(frozen=True)
class Mutant:
    """One change: in `scope` of `file`, the `nth` expression that reads `old` becomes `new`."""

    file: str
    scope: str
    kind: str
    old: str
    new: str
    nth: int

    @property
    def name(self) -> str:
        """A name that depends on nothing but what is changed."""
        told = f"{self.old}\0{self.new}\0{self.nth}"
        mark = hashlib.sha256(told.encode()).hexdigest()[:6]
        module = self.file.removeprefix("sim/").removesuffix(".py").replace("/", ".")
        return f"{module}.{self.scope}:{self.kind}-{mark}"

    @property
    def package(self) -> str:
        """The package below `sim` it belongs to."""
        return self.file.split("/")[1]


def _is_number(node: ast.expr) -> bool:
    return isinstance(node, ast.Constant) and type(node.value) in (int, float)


def _is_text(node: ast.expr) -> bool:
    """Tell whether adding to this joins sequences, where another sign only breaks the program."""
    sequences = (ast.Tuple, ast.List, ast.JoinedStr)
    return isinstance(node, sequences) or (
        isinstance(node, ast.Constant) and isinstance(node.value, str)
    )


def _nudged(value: float) -> float:
    if value == 0:
        return type(value)(1)
    return value + 1 if isinstance(value, int) else value * NUDGE


def _named(func: ast.expr) -> str:
    return func.id if isinstance(func, ast.Name) else getattr(func, "attr", "")


def _changed_call(node: ast.Call) -> Iterator[tuple[str, ast.expr]]:
    called = _named(node.func)
    if called in OTHER_CALL:
        other = copy.deepcopy(node)
        if isinstance(other.func, ast.Name):
            other.func.id = OTHER_CALL[called]
        elif isinstance(other.func, ast.Attribute):
            other.func.attr = OTHER_CALL[called]
        yield "call", other
    if called in ORDERED and len(node.args) >= 2:
        swapped = copy.deepcopy(node)
        swapped.args[:2] = swapped.args[1], swapped.args[0]
        yield "order", swapped


def _changed_pair(node: ast.BinOp) -> Iterator[tuple[str, ast.expr]]:
    if _is_text(node.left) or _is_text(node.right):
        return
    for kind, table in (("sign", OTHER_SIGN), ("factor", OTHER_POWER)):
        if type(node.op) in table:
            other = copy.deepcopy(node)
            other.op = table[type(node.op)]()
            yield kind, other
            yield "lost", copy.deepcopy(node.left)


def changes(node: ast.expr) -> Iterator[tuple[str, ast.expr]]:
    """Yield (kind, expression) for each single change of an expression, its parts left alone."""
    other: ast.expr
    match node:
        case ast.BinOp():
            yield from _changed_pair(node)
        case ast.Call():
            yield from _changed_call(node)
        case ast.Compare(ops=ops):
            for kind, table in (("compare", OPPOSITE), ("edge", AT_THE_EDGE)):
                for i, op in enumerate(ops):
                    if type(op) in table:
                        turned = copy.deepcopy(node)
                        turned.ops[i] = table[type(op)]()
                        yield kind, turned
        case ast.BoolOp(op=op):
            joined = copy.deepcopy(node)
            joined.op = ast.Or() if isinstance(op, ast.And) else ast.And()
            yield "logic", joined
        case ast.UnaryOp(op=ast.USub() | ast.Not(), operand=operand):
            kind = "logic" if isinstance(node.op, ast.Not) else "sign"
            yield kind, copy.deepcopy(operand)
        case ast.IfExp(test=test, body=body, orelse=orelse):
            other = ast.IfExp(test=test, body=orelse, orelse=body)
            yield "branch", copy.deepcopy(other)
        case ast.Constant(value=bool() as value):
            yield "logic", ast.Constant(value=not value)
        case ast.Constant(value=int() | float() as number):
            yield "number", ast.Constant(value=_nudged(number))


def _children(node: ast.AST) -> Iterator[ast.AST]:
    """Yield the parts of a node that compute something: no annotations, decorators, messages."""
    skipped: set[int] = set()
    match node:
        case ast.FunctionDef() | ast.AsyncFunctionDef():
            skipped = {id(node.returns), *map(id, node.decorator_list)}
        case ast.arg():
            skipped = {id(node.annotation)}
        case ast.AnnAssign():
            skipped = {id(node.annotation)}
        case ast.Call():  # that lengths agree is asked for in case they ever do not
            skipped = {id(word) for word in node.keywords if word.arg == "strict"}
    for child in ast.iter_child_nodes(node):
        if id(child) not in skipped and not isinstance(child, ABOUT_TEXT):
            yield child


def _within(node: ast.AST, scope: str) -> Iterator[tuple[str, ast.expr]]:
    """Yield (scope, expression) for all that is computed in a node."""
    if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef):
        scope = f"{scope}.{node.name}" if scope else node.name
        if isinstance(node, ast.ClassDef):
            for part in node.body:
                if isinstance(part, ast.FunctionDef | ast.AsyncFunctionDef):
                    yield from _within(part, scope)
            return
    elif isinstance(node, ast.expr):
        yield scope, node
    for child in _children(node):
        yield from _within(child, scope)


def _constant(statement: ast.stmt) -> tuple[str, ast.expr] | None:
    """Return (name, value) of a module's constant that is a number or a row of numbers."""
    match statement:
        case ast.Assign(targets=[ast.Name(id=name)], value=value):
            pass
        case ast.AnnAssign(target=ast.Name(id=name), value=ast.expr() as value):
            pass
        case _:
            return None
    known = (ast.Constant, ast.Tuple, ast.UnaryOp, ast.BinOp, ast.Name, ast.Attribute)
    parts = [part for part in ast.walk(value) if isinstance(part, ast.expr)]
    plain = all(isinstance(part, known) for part in parts)
    return (name, value) if plain and any(_is_number(part) for part in parts) else None


def _scopes(tree: ast.Module) -> Iterator[tuple[str, ast.expr]]:
    for statement in tree.body:
        if isinstance(statement, ast.FunctionDef | ast.ClassDef):
            yield from _within(statement, "")
        elif (constant := _constant(statement)) is not None:
            yield from _within(constant[1], constant[0])
        else:
            for part in ast.walk(statement):
                if isinstance(part, ast.Lambda):
                    yield from _within(part.body, "lambda")


def _located(file: str, source: str) -> Iterator[tuple[Mutant, ast.expr]]:
    seen: Counter[tuple[str, str, str]] = Counter()
    for scope, node in _scopes(ast.parse(source)):
        for kind, other in changes(node):
            key = (scope, ast.unparse(node), ast.unparse(other))
            if key[1] == key[2]:
                continue
            yield Mutant(file, scope, kind, key[1], key[2], seen[key]), node
            seen[key] += 1


def mutants_of(file: str, source: str) -> list[Mutant]:
    """Return every mutant of a source text, in the order of the text."""
    return [mutant for mutant, _ in _located(file, source)]


def applied(mutant: Mutant, source: str) -> str:
    """Return the source text with the change made.

    Raises
    ------
    LookupError
        If nothing in the text reads as the mutant says.
    """
    for found, node in _located(mutant.file, source):
        if found == mutant:
            return _spliced(source, node, mutant.new)
    raise LookupError(f"{mutant.name} no longer applies: {mutant.old!r} in {mutant.scope}")


def _spliced(source: str, node: ast.expr, text: str) -> str:
    """Return the source with one expression replaced; columns are counted in bytes."""
    lines = [line.encode() for line in source.splitlines(keepends=True)]
    if node.end_lineno is None or node.end_col_offset is None:
        raise ValueError("an expression read from a text knows where it ends")
    first, last = node.lineno - 1, node.end_lineno - 1
    head = b"".join([*lines[:first], lines[first][: node.col_offset]])
    tail = b"".join([lines[last][node.end_col_offset :], *lines[last + 1 :]])
    return (head + f"({text})".encode() + tail).decode()


def chosen(mutants: list[Mutant], count: int) -> list[Mutant]:
    """Return `count` of the mutants, as far as there are so many, always the same ones.

    They are taken in the order of a hash of their names, so that a change elsewhere moves few.
    """
    ranked = sorted(mutants, key=lambda m: hashlib.sha256(m.name.encode()).hexdigest())
    return ranked[:count]


def read_source(root: Path, file: str) -> str:
    """Return the text of a source file; a missing one is empty, so its mutants do not apply."""
    path = root / file
    return path.read_text(encoding="utf-8") if path.is_file() else ""
