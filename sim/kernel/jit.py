"""How functions of the flight model are compiled: parts, and the few entries that call them.

Compiled code calls a part as compiled code; Python calls the plain function it is written as, so
nothing has to be compiled or loaded from disk to work out one number. An `entry` is what Python
enters compiled code by: a loop, kept on disk, that lets go of Python's lock. The compiler itself is
loaded when the first entry is called.

This module and `trees` lean on what numba does not promise to keep: how an object says what it is
compiled as here, types of an own kind there (named together in `compiler`). `tests/kernel/test_plain.py` holds compiled
flights against plain Python, and `pyproject.toml` keeps to versions that pass.
"""

from collections.abc import Callable
from functools import cached_property, update_wrapper
from typing import Any

import numpy as np

from sim.kernel import cache

# Nothing in a tick owns memory, so parts count no references; a division by zero gives inf or nan,
# for there is nobody inside a tick to catch an exception.
_PART: dict[str, Any] = {
    "nogil": True,
    "no_cpython_wrapper": True,
    "no_cfunc_wrapper": True,
    "_nrt": False,
    "error_model": "numpy",
}


class Part:
    """A function that compiled code calls compiled and Python calls as it is written."""

    def __init__(self, function: Callable[..., Any], **options: Any) -> None:
        update_wrapper(self, function)
        self.py_func = function
        self.targetoptions = _PART | options  # by this name the compiler sees what is to be merged

    def __call__(self, *args: Any) -> Any:
        """Run the plain function."""
        return self.py_func(*args)

    @cached_property
    def _compiled(self) -> Any:
        from sim.kernel.compiler import numba

        return numba.njit(**self.targetoptions)(self.py_func)

    @property
    def _numba_type_(self) -> Any:
        """What this is to the compiler, which asks for it by this name."""
        from sim.kernel.compiler import types

        return types.Dispatcher(self._compiled)


class WrappingPart(Part):
    """The same for one whose whole numbers wrap round on purpose: numpy would warn of that."""

    def __call__(self, *args: Any) -> Any:
        """Run the plain function."""
        with np.errstate(over="ignore"):
            return self.py_func(*args)


class Entry:
    """A function that Python calls compiled."""

    def __init__(self, function: Callable[..., Any]) -> None:
        update_wrapper(self, function)
        self.py_func = function

    def __call__(self, *args: Any) -> Any:
        """Run the compiled function; what is compiled for it now is sealed with the rest."""
        known = len(self._compiled.overloads)
        result = self._compiled(*args)
        if len(self._compiled.overloads) != known and self._compiled.stats.cache_misses:
            cache.seal()
        return result

    @cached_property
    def _compiled(self) -> Any:
        from sim.kernel.compiler import numba

        numba.config.CACHE_DIR = str(cache.cache_dir())  # type: ignore[attr-defined]
        return numba.njit(cache=True, nogil=True, error_model="numpy")(self.py_func)


def compiled(function: Callable[..., Any]) -> Part:
    """Make a part of a function of small values."""
    return Part(function)


def wrapping(function: Callable[..., Any]) -> WrappingPart:
    """Make a part of a function whose whole numbers wrap round on purpose."""
    return WrappingPart(function)


def inner(function: Callable[..., Any]) -> Part:
    """Make a part of a function that takes or returns the state or much of it by value.

    It ends up inside its caller's machine code: passing so many numbers costs more than the work.
    """
    return Part(function, forceinline=True)


def merged(function: Callable[..., Any]) -> Part:
    """Make a part that is put into its caller's text: for the one tick, called once in a loop.

    It would else be optimised twice, for itself and within its caller. Nowhere else: a text put in
    at each call is analysed anew with each caller.
    """
    return Part(function, inline="always")


def entry(function: Callable[..., Any]) -> Entry:
    """Make an entry of a function."""
    return Entry(function)
