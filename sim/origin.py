"""What a result depends on to the last bit, beside what was asked for."""

import hashlib
import platform
from functools import cache
from importlib.metadata import version
from pathlib import Path

import numpy as np

from sim import __version__
from sim.paths import assets_dir

DIGITS = 16  # hexadecimal; own: no two states of the program agree in as many


def digest(*parts: object) -> str:
    """Return a short hash of what is given, by its exact representation."""
    return hashlib.sha256(repr(parts).encode()).hexdigest()[:DIGITS]


def versions() -> dict[str, str]:
    """Return what a bit-exact replay depends on."""
    return {
        "python": platform.python_version(),
        "numpy": np.__version__,
        "numba": version("numba"),
        "machine": platform.machine(),
    }


@cache
def sources() -> str:
    """Return a hash of the program and of the shipped data it flies, without measured tables."""
    found = hashlib.sha256()
    for folder, pattern in ((Path(__file__).parent, "*.py"), (assets_dir(), "*.yaml")):
        for path in sorted(folder.rglob(pattern)):
            found.update(path.relative_to(folder).as_posix().encode())
            found.update(path.read_bytes())
    return found.hexdigest()[:DIGITS]


def origin() -> dict[str, str]:
    """Return versions and sources: two computers that agree in them give the same bits."""
    return {"dryhop": __version__, "sources": sources(), **versions()}
