"""The list of mutants holds together: each still applies, and has tests to answer to."""

import ast

import pytest

from tools.mutant_runs import ROOT
from tools.mutants import Mutant, applied, mutants_of, read_source
from tools.mutate import answering, plan, read_list, sampled, stale

ENTRIES = read_list()
SOURCE = '''
"""Text - nothing."""
LIMIT = 2.0  # m - no code
ROW = (1, -3.0)


@compiled(cache=1.0)
def gap(a: float, b: float = 0.5) -> float:
    """Return 1.0 - 2."""
    if not a > b and max(a, b) < LIMIT:
        raise ValueError(f"{a - b} of {3.0}")
    b = 1 if a else 2
    return a - b if a else a - b


FAULTS = (Fault(hazard=3, present=lambda t: t < 4.0),)
'''


def found():
    return [(m.scope, m.kind, m.old, m.new, m.nth) for m in mutants_of("sim/x/y.py", SOURCE)]


def test_every_change_of_what_is_computed_is_found_and_no_other():
    test = "not a > b and max(a, b) < LIMIT"
    assert found() == [
        ("LIMIT", "number", "2.0", "2.1", 0),
        ("ROW", "number", "1", "2", 0),
        ("ROW", "sign", "-3.0", "3.0", 0),
        ("ROW", "number", "3.0", repr(3.0 * 1.05), 0),
        ("gap", "number", "0.5", "0.525", 0),
        ("gap", "logic", test, "not a > b or max(a, b) < LIMIT", 0),
        ("gap", "logic", "not a > b", "a > b", 0),
        ("gap", "compare", "a > b", "a <= b", 0),
        ("gap", "edge", "a > b", "a >= b", 0),
        ("gap", "compare", "max(a, b) < LIMIT", "max(a, b) >= LIMIT", 0),
        ("gap", "edge", "max(a, b) < LIMIT", "max(a, b) <= LIMIT", 0),
        ("gap", "call", "max(a, b)", "min(a, b)", 0),
        ("gap", "branch", "1 if a else 2", "2 if a else 1", 0),
        ("gap", "number", "1", "2", 0),
        ("gap", "number", "2", "3", 0),
        ("gap", "sign", "a - b", "a + b", 0),
        ("gap", "lost", "a - b", "a", 0),
        ("gap", "sign", "a - b", "a + b", 1),
        ("gap", "lost", "a - b", "a", 1),
        ("lambda", "compare", "t < 4.0", "t >= 4.0", 0),
        ("lambda", "edge", "t < 4.0", "t <= 4.0", 0),
        ("lambda", "number", "4.0", "4.2", 0),
    ]


def test_a_change_is_made_in_its_own_place_alone():
    second = Mutant("sim/x/y.py", "gap", "sign", "a - b", "a + b", 1)
    changed = applied(second, SOURCE)
    assert "a - b if a else (a + b)" in changed
    assert changed.replace("(a + b)", "a - b") == SOURCE


def test_a_mutant_keeps_its_name_while_code_moves_and_is_missed_when_its_own_changes():
    mutant = Mutant("sim/x/y.py", "gap", "sign", "a - b", "a + b", 0)
    moved = SOURCE.replace("LIMIT = 2.0", "OTHER = 5.0\n\n\nLIMIT = 2.5")
    assert "(a + b) if a else a - b" in applied(mutant, moved)
    with pytest.raises(LookupError, match="no longer applies"):
        applied(mutant, SOURCE.replace("a - b", "b - a"))


def test_there_are_three_hundred_mutants_each_once():
    names = [entry.mutant.name for entry in ENTRIES]
    assert len(names) >= 300  # own: the size that was asked of the list
    assert len(set(names)) == len(names)
    assert {e.mutant.package for e in ENTRIES} == set(plan()["packages"])


def test_every_mutant_still_applies():
    assert not stale(ENTRIES), "run: python tools/mutate.py --renew"


def test_changes_make_programs():
    for entry in ENTRIES[::10]:
        source = (ROOT / entry.mutant.file).read_text(encoding="utf-8")
        assert ast.dump(ast.parse(applied(entry.mutant, source))) != ast.dump(ast.parse(source))


def test_every_mutant_answers_to_tests_that_are_there():
    tests = plan()["tests"]
    for entry in ENTRIES:
        assert answering(entry.mutant.file, tests)
    for path, named in tests.items():
        assert (ROOT / path).exists(), path
        for test in named:
            assert (ROOT / test).exists(), test


def test_what_is_always_on_the_list_is_there():
    for file, lines in plan()["always"].items():
        for line in lines:
            scope, *kinds = line.split()
            there = mutants_of(file, read_source(ROOT, file))
            asked = {m for m in there if scope in (m.scope, "*") and m.kind in kinds}
            assert asked, f"{file}: {line}"
            assert asked <= {entry.mutant for entry in ENTRIES}, f"{file}: {line}"


def test_at_most_one_in_twenty_survives():
    assert sum(bool(entry.reason) for entry in ENTRIES) <= 0.05 * len(ENTRIES)


def test_a_sample_is_the_same_for_a_seed_and_takes_from_every_package():
    first, again, other = (sampled(ENTRIES, 12, seed) for seed in ("a", "a", "b"))
    assert first == again != other
    assert len(first) == len({e.mutant.name for e in first}) == 12
    assert {e.mutant.package for e in first} == set(plan()["packages"])
