"""Measure what recordings of sound aircraft give each fault by chance, and write it into the table.

    python -m tests.reproduce.limits --number 40 --workers 2 --out FILE    (goes on where it was)
    python -m tests.reproduce.limits --out FILE --write

Three sets: ours, ours as somebody else built and tuned them, and those of the independent model. Their
numbers are neither those that the answerer is tuned on nor those it is scored on.
"""

import argparse
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np

from sim import __version__
from sim.aircraft import library
from sim.bench.measured import save_rows
from sim.diagnosis.recordings import drawn, made
from sim.paths import assets_dir
from sim.reproduce.recorded.finding import weighed
from sim.reproduce.recorded.judging import FILE, Row, log_of
from sim.reproduce.recorded.summing import nats_of
from sim.reproduce.recording import Recording
from tests.reproduce.scores import Line, gather, read
from tests.reproduce.twin import recordings as twin

FIRST = 50_000  # own: from here on numbers are for calibrating
SHRINK = 6.0  # recordings; own: for so many counts what all faults have in common
LEAST_NATS = 1.0  # nats; own: evidence of a model that is quite right has a tail as long as this
MOST_COMMON = 10.0  # nats; own: a fault that stands out says nothing of the others
SETS: dict[str, Callable[[int], Recording]] = {
    "simulated": lambda number: made(drawn(number, 0)).recording,
    "strange": lambda number: made(replace(drawn(number, 0), strange=True)).recording,
    "twin": lambda number: twin.fly(twin.drawn(number, "")).recording,
}


def measured(kind: str, number: int) -> Line:
    """Return what one sound recording gives each fault, as plain data."""
    recording = SETS[kind](number)
    found = weighed(recording, library.airframe(recording.airframe))
    nats = {fault: round(float(n), 2) for fault, n in nats_of(found).items()}
    return {"set": kind, "number": number, "step_s": found.flight.step_s, "nats": nats}


def rows(lines: Sequence[Line]) -> list[Row]:
    """Return the table of some recordings: for each fault and kind of log the mean, drawn to all's."""
    found = []
    for kind in ("quick", "slow"):
        some = [line["nats"] for line in lines if log_of(line["step_s"]) == kind]
        faults = sorted({fault for nats in some for fault in nats})
        given = {f: np.array([max(0.0, nats[f]) for nats in some if f in nats]) for f in faults}
        if not given:
            continue
        common = float(np.mean([np.minimum(x, MOST_COMMON).mean() for x in given.values()]))
        for fault, x in given.items():
            mean = (float(x.sum()) + SHRINK * common) / (len(x) + SHRINK)
            found.append(Row(fault, kind, len(x), round(max(mean, LEAST_NATS), 2), __version__))
    return found


def main() -> None:
    """Do what the command line asks for."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--number", type=int, default=0)
    parser.add_argument("--first", type=int, default=FIRST)
    parser.add_argument("--workers", type=int, default=1)
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--write", action="store_true", help=f"write assets/{FILE}")
    asked = parser.parse_args()
    numbers = range(asked.first, asked.first + asked.number)
    gather(measured, SETS, numbers, asked.out, asked.workers)
    if asked.write:
        save_rows(rows(read(asked.out)), assets_dir() / FILE, Row)


if __name__ == "__main__":
    main()
