"""How functions of the flight model are compiled: parts, and the few entries that call them.

Compiled code calls a part as compiled code; Python calls the plain function it is written as, so
nothing has to be compiled or loaded from disk to work out one number. An `entry` is what Python
enters compiled code by: a loop, kept on disk, that lets go of Python's lock.

This module and `trees` are all that lean on what numba does not promise to keep: dispatchers of an
own class here, types of an own kind there. `tests/kernel/test_plain.py` holds compiled flights
against plain Python, and `pyproject.toml` keeps to versions that pass.
"""

from collections.abc import Callable
from typing import Any

import numba
import numpy as np
from numba.core.registry import CPUDispatcher

from sim.kernel import cache

numba.config.CACHE_DIR = str(cache.cache_dir())  # type: ignore[attr-defined]  # before any entry


class Part(CPUDispatcher):
    """A function that compiled code calls compiled and Python calls as it is written."""

    def __call__(self, *args: Any) -> Any:
        """Run the plain function."""
        return self.py_func(*args)


class WrappingPart(Part):
    """The same for one whose whole numbers wrap round on purpose: numpy would warn of that."""

    def __call__(self, *args: Any) -> Any:
        """Run the plain function."""
        with np.errstate(over="ignore"):
            return self.py_func(*args)


# Nothing in a tick owns memory, so parts count no references; a division by zero gives inf or nan,
# for there is nobody inside a tick to catch an exception.
_PART = {
    "nopython": True,
    "nogil": True,
    "no_cpython_wrapper": True,
    "no_cfunc_wrapper": True,
    "_nrt": False,
    "error_model": "numpy",
    "boundscheck": None,
}


def compiled(function: Callable[..., Any]) -> Part:
    """Make a part of a function of small values."""
    return Part(py_func=function, targetoptions=dict(_PART))


def wrapping(function: Callable[..., Any]) -> WrappingPart:
    """Make a part of a function whose whole numbers wrap round on purpose."""
    return WrappingPart(py_func=function, targetoptions=dict(_PART))


def inner(function: Callable[..., Any]) -> Part:
    """Make a part of a function that takes or returns the state or much of it by value.

    It ends up inside its caller's machine code: passing so many numbers costs more than the work.
    """
    return Part(py_func=function, targetoptions=_PART | {"forceinline": True})


def merged(function: Callable[..., Any]) -> Part:
    """Make a part that is put into its caller's text: for the one tick, called once in a loop.

    It would else be optimised twice, for itself and within its caller. Nowhere else: a text put in
    at each call is analysed anew with each caller.
    """
    return Part(py_func=function, targetoptions=_PART | {"inline": "always"})


entry = numba.njit(cache=True, nogil=True, error_model="numpy")
