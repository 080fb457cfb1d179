"""How functions of the flight model are compiled: parts, and the loops that call them.

A part (`compiled`) is a function of small values or of trees. Compiled code calls it as compiled
code; Python calls the plain function, so nothing has to be compiled, or loaded from disk, to look at
one number. A loop (`looped`) is what Python enters compiled code by: few, kept on disk, and it lets
go of Python's lock.

This module and `trees` are all that lean on what numba does not promise to keep: dispatchers of an
own class here, types of an own kind there. `tests/kernel/test_plain.py` compares both with Python.
"""

from collections.abc import Callable
from typing import Any

from numba import njit
from numba.core.registry import CPUDispatcher


class Part(CPUDispatcher):
    """A function that compiled code calls compiled and Python calls as it is written."""

    def __call__(self, *args: Any) -> Any:
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
    """Make a part of a function."""
    return Part(py_func=function, targetoptions=dict(_PART))


def merged(function: Callable[..., Any]) -> Part:
    """Make a part that becomes part of its caller's text: for the one tick, called once a loop.

    It would else be optimised twice, for itself and within its caller. Nowhere else: each such call
    is analysed anew with its caller.
    """
    return Part(py_func=function, targetoptions=_PART | {"inline": "always"})


looped = njit(cache=True, nogil=True, error_model="numpy")
