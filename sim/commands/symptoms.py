"""The study of symptoms: hops with every fault, and the table of what they show."""

from pathlib import Path
from time import perf_counter
from typing import Any

from rich.console import Console

from sim.aircraft import library
from sim.commands.study import chosen
from sim.commands.working import Work, require_place
from sim.diagnosis import symptomstudy
from sim.origin import digest
from sim.reproduce.words import table
from sim.reproduce.words.observed import SYMPTOMS


def symptoms_study(
    err: Console,
    work: Work,
    airframe: str,
    builds: int,
    folder: Path | None,
    only: list[str],
) -> dict[str, Any]:
    """Fly every fault that shows in a hop and write the table; return what was done.

    only : faults to fly; the other lines of the table are kept. Empty: all, and sound aircraft.
    """
    started, path = perf_counter(), table.file_of(folder)
    known = symptomstudy.faults()
    names = chosen("--only", only, known, "not a fault that shows in a hop")
    faults = tuple(fault for fault in known if fault in names) or known
    require_place(path)
    kept = table.read(path) if names else ()
    jobs = symptomstudy.planned(airframe, builds, faults, sound=not names)
    asked = {
        "study": "symptoms",
        "airframe": Path(airframe).stem,
        "builds": builds,
        "faults": list(faults),
        "sound": not names,
        "inputs": digest(library.airframe(airframe).model_dump_json()),
    }
    with work.begun(err, asked) as (spread, begins, done):
        rows = symptomstudy.renewed(kept, symptomstudy.measured(spread, jobs, begins, done))
        table.save(rows, path)
    quiet = {row.fault for row in rows} - {row.fault for row in rows if row.symptoms}
    return {
        "file": str(path),
        "airframe": airframe,
        "faults": len(faults),
        "hops": len(jobs),
        "symptoms": len(SYMPTOMS),
        "lines": len(rows),
        "never_shown": sorted(set(SYMPTOMS) - {word for row in rows for word in row.shown}),
        "quiet": sorted(quiet),
        "seconds": round(perf_counter() - started, 1),
    }


def print_symptoms_study(console: Console, document: dict[str, Any]) -> None:
    """Print what the study of symptoms came to."""
    console.print(
        f"{document['faults']} faults in {document['hops']} hops, each steered and let go, in "
        f"{document['seconds']:.0f} s: {document['file']}",
        markup=False,
        soft_wrap=True,
    )
    for key, words in (("never_shown", "shown by no fault"), ("quiet", "shows nothing in a hop")):
        for name in document[key]:
            console.print(f"{name}: {words}", markup=False)
