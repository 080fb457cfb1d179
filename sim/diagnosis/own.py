"""What sound aircraft of a kind show, measured and kept before the first drill on one.

As a program, `python -m sim.diagnosis.own` reads an airframe file from its input and says how far it
is by lines, so that a window can wait for it.
"""

import signal
import sys
from collections.abc import Callable
from pathlib import Path

from sim.aircraft import library
from sim.aircraft.airframe import Airframe
from sim.aircraft.library import Design
from sim.aircraft.textfile import load_model
from sim.bench import bands as kept_bands
from sim.bench import moves as kept_moves
from sim.diagnosis import bandstudy, readings
from sim.diagnosis.carried import carried
from sim.diagnosis.pool import Mapper, cores, on_cores

FEW_BUILDS, FEW_EVENINGS = 60, 24  # own: five minutes on one core


def measure(
    spread: Mapper,
    airframe: Design,
    builds: int = FEW_BUILDS,
    evenings: int = FEW_EVENINGS,
    folder: Path | None = None,
    begins: Callable[[str, int], None] = lambda name, total: None,
    done: Callable[[], None] = lambda: None,
) -> list[kept_bands.Band]:
    """Measure the bands of sound aircraft and keep them, and moves where they were not measured."""
    rows = bandstudy.bands(spread, airframe, builds, evenings, begins, done)
    kept_bands.save(rows, kept_bands.file_of(airframe, folder))
    carry_moves(airframe, folder)
    return rows


def carry_moves(airframe: Design, folder: Path | None) -> None:
    """Write what faults do to the lines of an airframe where that was not measured: from another's."""
    path = kept_moves.file_of(airframe, folder)
    if path.is_file() and isinstance(airframe, str) and not library.is_file(airframe):
        return
    here = kept_bands.read(kept_bands.file_of(airframe, folder))
    marks = kept_moves.read(kept_moves.file_of(readings.AIRFRAME))
    there = kept_bands.bands(readings.AIRFRAME)
    kept_moves.save(carried(marks, there, here, library.airframe(airframe)), path)


def main() -> None:
    """Measure the airframe on standard input, with a line after each piece: `done of-how-many name`."""
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(1))  # so that the processes started end too
    airframe = load_model(Path("airframe"), Airframe, sys.stdin.read())
    pieces, name = 0, ""

    def begins(what: str, _: int) -> None:
        nonlocal name
        name = what

    def done() -> None:
        nonlocal pieces
        pieces += 1
        sys.stdout.write(f"{pieces} {FEW_BUILDS + FEW_EVENINGS} {name.lower()}\n")
        sys.stdout.flush()

    with on_cores(cores(), readings.load_model) as spread:
        measure(spread, airframe, begins=begins, done=done)


if __name__ == "__main__":
    main()
