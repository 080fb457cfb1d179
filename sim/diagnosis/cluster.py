"""A cluster's scheduler as the one who hands out the work."""

import logging
from collections.abc import Callable, Iterator
from concurrent.futures import CancelledError
from contextlib import contextmanager
from typing import Any

from sim.diagnosis.pool import Elsewhere, Pending, Workers
from sim.errors import DryhopError
from sim.origin import origin

ANSWER_S = 10.0  # s; own: a scheduler that is there answers much sooner


def same_origin(work: Callable[[Any], Any], wanted: dict[str, str], item: Any) -> Any:
    """Do a piece of work; DryhopError where it would not give the same bits."""
    mine = origin()
    for key, value in wanted.items():
        if mine[key] != value:
            raise DryhopError(
                f"A worker of the cluster has another {key}: {mine[key]}, here {value}."
            )
    return work(item)


def _silence() -> None:
    """Let the package log nothing: what it can't do comes as an exception, which is told once."""
    for name in [n for n in logging.root.manager.loggerDict if n.split(".")[0] == "distributed"]:
        logging.getLogger(name).setLevel(logging.CRITICAL + 1)


@contextmanager
def on_cluster(address: str) -> Iterator[Workers]:
    """Give the workers of a cluster by its scheduler's address; DryhopError if it can't.

    Pieces of a worker that is lost are done anew by others.
    """
    try:
        import distributed
    except ImportError:
        raise DryhopError(
            "--cluster needs the package 'distributed': install dryhop with its extra, dryhop[cluster]."
        ) from None
    _silence()
    try:
        client = distributed.Client(address, timeout=ANSWER_S, set_as_default=False)
    except (OSError, ValueError) as error:
        raise DryhopError(f"No cluster answers at {address}: {error}") from None

    def threads() -> int:
        return sum(client.nthreads().values())

    def begin(work: Callable[[Any], Any], item: Any) -> Pending:
        pending: Pending = client.submit(same_origin, work, origin(), item, pure=False)
        return pending

    def look_for_workers() -> None:
        if not threads():
            raise DryhopError(f"The cluster at {address} has no workers.")

    try:
        yield Elsewhere(begin, max(1, threads()), look_for_workers)
    except CancelledError:
        raise DryhopError(f"The cluster at {address} does not answer any more.") from None
    except distributed.KilledWorker as error:
        raise DryhopError(f"Workers of the cluster at {address} are lost: {error}") from None
    finally:
        client.close()
