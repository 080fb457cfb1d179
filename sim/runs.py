"""Attempts as folders: run a stand-in, score, replay. What the commands do, without the printing."""

import json
import platform
from datetime import datetime
from pathlib import Path
from typing import Any

import numba
import numpy as np

from sim.aircraft.textfile import write_text_atomic
from sim.errors import InputError, Problem
from sim.procedure.rubric import shipped
from sim.scoring.scorecard import scorecard
from sim.session.journal import JOURNAL, SCENARIO, replayed
from sim.session.record import Record
from sim.trainees.standins import Attempt, rehearsed, rehearsed_into

SCORECARD = "scorecard.json"
ATTEMPT = "attempt.json"


def versions() -> dict[str, str]:
    """Return what a bit-exact replay depends on."""
    return {
        "python": platform.python_version(),
        "numpy": np.__version__,
        "numba": numba.__version__,
        "machine": platform.machine(),
    }


def card_of(record: Record, trainee: str, scenario: str) -> dict[str, Any]:
    """Return the scorecard of a record, with the versions that made it."""
    card = scorecard(record, trainee, scenario, shipped())
    card["versions"] |= versions()
    return card


def rehearse(attempt: Attempt, scenario: str, folder: Path | None) -> dict[str, Any]:
    """Return the scorecard of a stand-in's attempt; with a folder, keep everything in it."""
    if folder is None:
        return card_of(rehearsed(attempt), attempt.stand_in, scenario)
    return kept_card(rehearsed_into(attempt, folder), attempt.stand_in, scenario, folder)


def kept_card(record: Record, trainee: str, scenario: str, folder: Path) -> dict[str, Any]:
    """Return the scorecard of a finished run, kept in its folder with the note of who tried."""
    card = card_of(record, trainee, scenario)
    about = {"trainee": trainee, "scenario": scenario}
    write_text_atomic(folder / ATTEMPT, json.dumps(about, indent=2) + "\n")
    write_text_atomic(folder / SCORECARD, json.dumps(card, indent=2) + "\n")
    return card


def new_folder(scenario: str) -> Path:
    """Return a folder not there yet below `runs`, named by drill and time."""
    stamp = datetime.now().astimezone().strftime("%Y%m%d-%H%M%S")
    base = Path("runs") / f"{Path(scenario).stem}-{stamp}"
    folder, n = base, 1
    while folder.exists():
        n += 1
        folder = base.with_name(f"{base.name}-{n}")
    return folder


def require_run_folder(folder: Path) -> None:
    """Raise InputError unless a folder holds a run."""
    for name in (SCENARIO, JOURNAL):
        if not (folder / name).is_file():
            raise InputError(
                (Problem(str(folder), None, "", "", f"not a run folder: {name} is missing", None),)
            )


def who_tried(folder: Path) -> tuple[str, str]:
    """Return (trainee, drill) as noted in a run folder; marks do not rest on this note."""
    try:
        about = json.loads((folder / ATTEMPT).read_text(encoding="utf-8"))
        return str(about["trainee"]), str(about["scenario"])
    except (OSError, ValueError, KeyError, TypeError):
        return "unknown", folder.name


def score(folder: Path) -> dict[str, Any]:
    """Return the scorecard worked out anew from scenario and journal alone."""
    require_run_folder(folder)
    trainee, scenario = who_tried(folder)
    return card_of(replayed(folder, verify=False).record(), trainee, scenario)


def replay(folder: Path) -> int:
    """Return the last tick of a run that replays bit for bit; raises Differs if it does not."""
    require_run_folder(folder)
    return replayed(folder).rig.tick
