"""What a command loads before it answers: the compiler only where something flies."""

import subprocess
import sys

import pytest

ASKED = """
import sys
sys.argv = ["dryhop", *{arguments!r}]
from sim.cli import main
try:
    main()
except SystemExit as end:
    assert end.code == 0, end.code
print(*sorted(set({modules!r}) & set(sys.modules)))
"""
HEAVY = ("llvmlite", "numba", "scipy", "pygame", "matplotlib")
MODELS = ("numpy", "pydantic", "yaml")


def loaded(*arguments: str) -> list[str]:
    program = ASKED.format(arguments=arguments, modules=HEAVY + MODELS)
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    return done.stdout.splitlines()[-1].split()


@pytest.mark.parametrize("arguments", [("version",), ("--help",)])
def test_no_models_for_a_word_about_ourselves(arguments):
    assert loaded(*arguments) == []


@pytest.mark.parametrize(
    "arguments", [("scenarios",), ("validate", "--schema"), ("rehearse", "--help")]
)
def test_no_compiler_where_nothing_flies(arguments):
    assert not set(loaded(*arguments)) & set(HEAVY)
