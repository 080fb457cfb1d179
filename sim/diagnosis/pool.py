"""Many independent pieces of work at once: on the cores here, or on a cluster."""

import multiprocessing
import os
import signal
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from contextlib import contextmanager
from threading import current_thread, main_thread
from typing import Any, Protocol, TypeVar

from sim.errors import DryhopError

T = TypeVar("T")
R = TypeVar("R")


class Mapper(Protocol):
    """Does a piece of work on each item and calls `done` after each; results in item order."""

    def __call__(
        self, work: Callable[[T], R], items: Sequence[T], done: Callable[[], None]
    ) -> list[R]:
        """Do the work."""
        ...


def here(work: Callable[[T], R], items: Sequence[T], done: Callable[[], None]) -> list[R]:
    """Do the work in this process, one item after the other."""
    results = []
    for item in items:
        results.append(work(item))
        done()
    return results


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


@contextmanager
def on_cores(workers: int, prepare: Callable[[], None]) -> Iterator[Mapper]:
    """Give a mapper that uses this many processes, each started once and made ready by `prepare`."""
    if workers == 1:
        yield here
        return
    context = multiprocessing.get_context("spawn")
    pool = ProcessPoolExecutor(workers, mp_context=context, initializer=prepare)

    def spread(
        work: Callable[[Any], Any], items: Sequence[Any], done: Callable[[], None]
    ) -> list[Any]:
        with _unheard():  # all processes start with the first piece of work
            futures = [pool.submit(work, item) for item in items]
        for future in as_completed(futures):
            future.result()
            done()
        return [future.result() for future in futures]

    try:
        yield spread
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


@contextmanager
def on_cluster(address: str) -> Iterator[Mapper]:
    """Give a mapper that uses a cluster's scheduler at an address; DryhopError if it can't."""
    try:
        import distributed
    except ImportError:
        raise DryhopError(
            "--cluster needs the package 'distributed': install dryhop with its extra, dryhop[cluster]."
        ) from None
    try:
        client = distributed.Client(address, timeout="10s")
    except (OSError, ValueError) as error:
        raise DryhopError(f"No cluster answers at {address}: {error}") from None

    def spread(
        work: Callable[[Any], Any], items: Sequence[Any], done: Callable[[], None]
    ) -> list[Any]:
        futures = client.map(work, list(items), pure=False)
        for _ in distributed.as_completed(futures):
            done()
        results: list[Any] = client.gather(futures)
        return results

    try:
        yield spread
    finally:
        client.close()
