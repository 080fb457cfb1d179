"""House rules for the source, and that every shipped file loads.

A module has a docstring and stays under 400 lines; a function stays under 60, docstring included;
a module-level number carries a comment on its line with unit and source.
"""

import ast
import io
import re
import sys
import tokenize
import tomllib
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import yaml
from pydantic import BaseModel

from sim.aircraft import library
from sim.aircraft.textfile import load_model
from sim.faults.catalogue import present_faults
from sim.procedure.rubric import Rubric
from sim.session.scenario import load, names
from sim.session.session import Session

ROOT = Path(__file__).resolve().parent.parent
MODULES = sorted((ROOT / "sim").rglob("*.py"))
ASSETS = sorted((ROOT / "assets").rglob("*.yaml"))
SCENARIOS = sorted((ROOT / "scenarios").rglob("*"))

MODULE_LINES = 400  # lines; the median of code people call clear is 80 to 250
FUNCTION_LINES = 60  # lines; longer ones hide a second thing they do
NUMBER_MAKERS = {"uint64", "float64", "int64", "radians", "sqrt"}  # calls that still are a number

TABLES: dict[str, type[BaseModel]] = {
    "propeller": library.PropellerTable,
    "cell": library.CellTable,
}
LOADERS: dict[str, Callable[[Path], Any]] = {
    "airframes": lambda path: library.airframe(path.stem),
    "packs": lambda path: library.pack(path.stem),
    "sites": lambda path: library.site(path.stem),
    "tables": lambda path: load_model(path, TABLES[path.stem.split("-")[0]]),
    "assets": lambda path: load_model(path, {"rubric": Rubric}[path.stem]),
}


def name_of(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def tree(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


def test_every_module_says_what_it_is():
    assert MODULES
    silent = [name_of(path) for path in MODULES if not ast.get_docstring(tree(path))]
    assert not silent


def test_modules_are_short():
    lengths = {name_of(p): len(p.read_text(encoding="utf-8").splitlines()) for p in MODULES}
    long = {name: lines for name, lines in lengths.items() if lines >= MODULE_LINES}
    assert not long, f"split these: {long}"


def functions(path: Path) -> Iterator[ast.FunctionDef | ast.AsyncFunctionDef]:
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            yield node


def test_functions_are_short():
    long = {
        f"{name_of(path)}:{f.lineno} {f.name}": lines
        for path in MODULES
        for f in functions(path)
        if (lines := (f.end_lineno or f.lineno) - f.lineno + 1) >= FUNCTION_LINES
    }
    assert not long, f"split these: {long}"


def is_number(node: ast.expr) -> bool:
    """Tell whether an expression is a number written out, with arithmetic and known names."""
    match node:
        case ast.Constant(value=value):
            return isinstance(value, int | float) and not isinstance(value, bool)
        case ast.UnaryOp(operand=operand):
            return is_number(operand)
        case ast.BinOp(left=left, right=right):
            sides = (left, right)
            known = all(is_number(s) or isinstance(s, ast.Name | ast.Attribute) for s in sides)
            return known and any(is_number(s) for s in sides)
        case ast.Call(func=ast.Attribute(attr=maker) | ast.Name(id=maker), args=[argument]):
            return maker in NUMBER_MAKERS and is_number(argument)
        case ast.Tuple(elts=parts):
            # zeros are no value of anything, so they need no source
            flat = not any(isinstance(part, ast.Tuple) for part in parts)
            numbers = flat and all(is_number(part) for part in parts)
            return numbers and any(ast.unparse(part) not in ("0", "0.0") for part in parts)
        case _:
            return False


def is_constant(target: ast.expr) -> bool:
    """Tell whether something assigned to is named like a constant, or several such."""
    if isinstance(target, ast.Tuple):
        return all(is_constant(part) for part in target.elts)
    return isinstance(target, ast.Name) and target.id.lstrip("_").isupper()


def constants(source: str) -> Iterator[ast.Assign | ast.AnnAssign]:
    """Yield every assignment of numbers to constants at module level."""
    for node in ast.parse(source).body:
        if isinstance(node, ast.Assign | ast.AnnAssign) and node.value is not None:
            targets = node.targets if isinstance(node, ast.Assign) else [node.target]
            if all(is_constant(target) for target in targets) and is_number(node.value):
                yield node


def without_comment(source: str) -> list[str]:
    """Return the numbers of a module that have no comment on their lines."""
    tokens = tokenize.generate_tokens(io.StringIO(source).readline)
    noted = {t.start[0] for t in tokens if t.type == tokenize.COMMENT and len(t.string) > 3}
    return [
        f"{node.lineno}: {ast.unparse(node)}"
        for node in constants(source)
        if not noted.intersection(range(node.lineno, (node.end_lineno or node.lineno) + 1))
    ]


def test_every_number_has_its_unit_and_source():
    bare = [
        f"{name_of(path)}:{line}"
        for path in MODULES
        for line in without_comment(path.read_text(encoding="utf-8"))
    ]
    assert not bare, "write unit and source behind: " + "; ".join(bare)


@pytest.mark.parametrize(
    ("source", "bare"),
    [
        ("A = 1.0", True),
        ("A = 1.0  # m; own: reason", False),
        ("A = -2 * B", True),
        ("A = B / (2.0 * pi)", True),
        ("A, B = 1, 2", True),
        ("A = np.uint64(3)", True),
        ("A: float = 3", True),
        ("A = (\n    3.0  # m; own\n)", False),
        ("A = (0.0, 0.0)", False),
        ("A = 'text'", False),
        ("A = True", False),
        ("A = B", False),
        ("a = 1.0", False),
    ],
)
def test_the_rule_for_numbers_itself(source, bare):
    assert bool(without_comment(source)) is bare


@pytest.mark.parametrize("path", ASSETS, ids=name_of)
def test_an_asset_loads_with_its_model(path):
    assert LOADERS[path.parent.name](path) is not None


@pytest.mark.parametrize("path", SCENARIOS, ids=name_of)
def test_a_drill_loads_and_starts(path):
    drill = load(str(path))
    assert drill.title
    assert drill.purpose
    session = Session(drill, seed=1)
    hidden = {fault.id for fault in drill.faults}
    assert present_faults(session.truth()) >= hidden


@pytest.mark.parametrize("path", SCENARIOS, ids=name_of)
def test_a_drill_does_not_give_itself_away(path):
    drill = load(str(path))
    told = f"{path.stem} {drill.title} {drill.story} {drill.purpose}".lower()
    assert not [fault.id for fault in drill.faults if fault.id in told]
    assert not [fault.id for fault in drill.faults if fault.id.replace("-", " ") in told]


def test_the_shipped_drills_are_the_files():
    assert names() == [path.stem for path in SCENARIOS]
    assert all(path.suffix == ".yaml" for path in SCENARIOS)


@pytest.mark.parametrize("path", [*ASSETS, *SCENARIOS], ids=name_of)
def test_a_data_file_says_whether_it_is_invented(path):
    text = path.read_text(encoding="utf-8")
    data = yaml.safe_load(text)
    head = text.split("\n", 1)[0]
    assert head.startswith("# "), "the first line says where the file comes from"
    if "origin" in data:
        assert data["origin"] == "invented"
        assert "invented" in head.lower()


def test_severity_changes_a_drill_only_a_little():
    """Two seeds of a drill differ, but have the same faults."""
    drill = load("second-hand")
    gains = [drill.world(np.random.default_rng(seed)).setup.controller.roll.p for seed in (1, 2)]
    assert gains[0] != gains[1]
    assert gains[0] == pytest.approx(gains[1], rel=0.2)


def test_what_is_installed_is_imported():
    """A library that nothing in the package imports is not asked for, and none is left out."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    asked = {re.split(r"[<>=]", need)[0] for need in project["dependencies"]}
    imported = set()
    for path in MODULES:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Import):
                imported |= {name.name.split(".")[0] for name in node.names}
            elif isinstance(node, ast.ImportFrom) and node.module:
                imported.add(node.module.split(".")[0])
    known = {"pyyaml": "yaml", "pygame-ce": "pygame"}
    others = imported - set(sys.stdlib_module_names) - {"sim"}
    brought = {"annotated_types", "pydantic_core", "llvmlite", "markupsafe"}  # with the others
    optional = {"distributed"}  # the extra for clusters
    assert {known.get(name, name) for name in asked} == others - brought - optional
