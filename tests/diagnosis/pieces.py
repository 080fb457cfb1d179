"""Small pieces of work for other processes, which have to find them by their module's name."""

import os
import signal
import time
from dataclasses import dataclass, field
from pathlib import Path

PATIENCE_S = 60.0  # s; a process may take long to start on a busy machine


@dataclass(frozen=True)
class Piece:
    """A number to be squared; each time that is done is a line of a log, if there is one."""

    n: int
    log: str = ""
    seconds: float = 0.0


@dataclass(frozen=True)
class Squared:
    """What came of it, by which process."""

    n: int
    square: float
    process: int = field(compare=False)


def squared(piece: Piece) -> Squared:
    """Square a number in its own time."""
    time.sleep(piece.seconds)
    if piece.log:
        with Path(piece.log).open("a") as log:
            log.write(f"{piece.n}\n")
    return Squared(piece.n, piece.n**2 / 7.0, os.getpid())


@dataclass(frozen=True)
class Meeting:
    """A piece that waits until so many of its kind are under way."""

    n: int
    folder: str
    others: int


def met(piece: Meeting) -> tuple[int, int]:
    """Return the number, and by which process it was done."""
    (Path(piece.folder) / str(piece.n)).touch()
    until = time.monotonic() + PATIENCE_S
    while len(list(Path(piece.folder).iterdir())) < piece.others:
        if time.monotonic() > until:
            raise TimeoutError("the others do not come")
        time.sleep(0.005)
    return piece.n, os.getpid()


def fails(n: int) -> int:
    """Raise ZeroDivisionError for 3."""
    return n // (n - 3)


def ends(n: int) -> int:
    """End the process."""
    os.kill(os.getpid(), signal.SIGKILL)
    return n


def nothing() -> None:
    """Do nothing: it is what a process is made ready by."""
