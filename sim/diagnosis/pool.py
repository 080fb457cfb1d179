"""Many independent pieces of work at once: on the cores here, or on a cluster.

Items are taken and results given as they are asked for: so many for each worker are in hand, however
many there are in all.
"""

import multiprocessing
import os
import signal
from abc import ABC, abstractmethod
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import BrokenExecutor, ProcessPoolExecutor
from contextlib import contextmanager
from functools import partial
from multiprocessing.connection import wait
from queue import Empty, SimpleQueue
from threading import Thread, current_thread, main_thread
from typing import Any, Protocol, TypeVar

from sim.errors import DryhopError

T = TypeVar("T")
R = TypeVar("R")

AHEAD = 8  # pieces for each worker; own: a long one at the front holds up nobody for a while
SILENCE_S = 30.0  # s; own: so long without a result, and it is asked whether anybody works


def no_matter() -> None:
    """Do nothing: for whoever need not be told of each result."""


class Mapper(Protocol):
    """Does a piece of work on each item; gives the results in the order of the items."""

    def __call__(
        self, work: Callable[[T], R], items: Iterable[T], done: Callable[[], None] = no_matter
    ) -> Iterator[R]:
        """Give each result as soon as those before it are there; call `done` as each comes in."""
        ...


class Workers(ABC):
    """Who does the work."""

    @abstractmethod
    def as_they_come(self, work: Callable[[T], R], items: Iterable[T]) -> Iterator[tuple[int, R]]:
        """Give (place of the item, result) as they come in, in any order.

        An item is taken only when all that lie more than a fixed number of places before it are done.
        """

    def __call__(
        self, work: Callable[[T], R], items: Iterable[T], done: Callable[[], None] = no_matter
    ) -> Iterator[R]:
        """Give the results in the order of the items."""
        early: dict[int, R] = {}
        wanted = 0
        for place, result in self.as_they_come(work, items):
            done()
            early[place] = result
            while wanted in early:
                yield early.pop(wanted)
                wanted += 1


class Here(Workers):
    """Workers who are none but the process itself: one item after the other."""

    def as_they_come(self, work: Callable[[T], R], items: Iterable[T]) -> Iterator[tuple[int, R]]:
        """Give the results."""
        return ((place, work(item)) for place, item in enumerate(items))


here = Here()


class Pending(Protocol):
    """A result that will be there."""

    def result(self) -> Any:
        """Wait for it; raises what the work raised."""
        ...

    def add_done_callback(self, fn: Callable[[Any], Any], /) -> Any:
        """Have a function called when it is there, in any thread."""
        ...


def _told(ended: "SimpleQueue[int]", place: int, _: object) -> None:
    ended.put(place)


class Elsewhere(Workers):
    """Workers who are handed work without waiting for it.

    begin : hands over (work, item); count : how many there are; looked_for : called when nothing has
    come for long, raises DryhopError if nobody works.
    """

    def __init__(
        self,
        begin: Callable[[Callable[[Any], Any], Any], Pending],
        count: int,
        looked_for: Callable[[], None] = no_matter,
    ) -> None:
        self._begin, self._in_hand, self._looked_for = begin, AHEAD * count, looked_for

    def as_they_come(self, work: Callable[[T], R], items: Iterable[T]) -> Iterator[tuple[int, R]]:
        """Give the results."""
        ended: SimpleQueue[int] = SimpleQueue()
        begun: dict[int, Pending] = {}  # by place, rising
        for place, item in enumerate(items):
            begun[place] = pending = self._begin(work, item)
            pending.add_done_callback(partial(_told, ended, place))
            while place - next(iter(begun), place) >= self._in_hand - 1:
                yield self._next(begun, ended)
        while begun:
            yield self._next(begun, ended)

    def _next(self, begun: dict[int, Pending], ended: "SimpleQueue[int]") -> tuple[int, Any]:
        while True:
            try:
                place = ended.get(timeout=SILENCE_S)
            except Empty:
                self._looked_for()
            else:
                return place, begun.pop(place).result()


def cores() -> int:
    """Return how many cores this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


@contextmanager
def _unheard() -> Iterator[None]:
    """Let processes started meanwhile not hear Ctrl-C: it is for the one that started them."""
    if current_thread() is not main_thread():
        yield
        return
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


def _ready(prepare: Callable[[], None]) -> None:
    """Make a process ready, and let it end with the one that started it, however that ends."""
    parent = multiprocessing.parent_process()
    if parent is not None:

        def follow(sentinel: int) -> None:
            wait([sentinel])
            os._exit(1)

        Thread(target=follow, args=(parent.sentinel,), daemon=True).start()
    prepare()


@contextmanager
def on_cores(workers: int, prepare: Callable[[], None]) -> Iterator[Workers]:
    """Give this many processes, each started once and made ready by `prepare`."""
    if workers == 1:
        yield here
        return
    context = multiprocessing.get_context("spawn")
    pool = ProcessPoolExecutor(workers, mp_context=context, initializer=_ready, initargs=(prepare,))

    def begin(work: Callable[[Any], Any], item: Any) -> Pending:
        with _unheard():  # processes start with the first pieces of work
            return pool.submit(work, item)

    try:
        yield Elsewhere(begin, workers)
    except BrokenExecutor:
        raise DryhopError(
            "A process of the study was ended from outside, perhaps for want of memory."
        ) from None
    finally:
        pool.shutdown(wait=True, cancel_futures=True)
