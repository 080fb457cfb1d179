"""Entries and run folders made for tests: invented people, invented marks."""

import json
from datetime import UTC, datetime, timedelta
from pathlib import Path

from sim.logbook.entries import Card, Entry
from sim.scoring.scorecard import CLEARED
from sim.session import scenario
from sim.session.attempt import ATTEMPT, SCORECARD, Note
from sim.session.envelope import SCENARIO
from sim.session.journal import JOURNAL

BEGAN = datetime(2026, 1, 5, 20, 0, tzinfo=UTC)


def fault(name: str, family: str, proved: bool, present_at_start: bool = True) -> dict:
    return {
        "id": name,
        "family": family,
        "present_at_start": present_at_start,
        "noticed": proved,
        "named": float(proved),
        "cleared": proved,
        "proved": proved,
    }


def card(*faults: dict, cleared: bool = True, grave: tuple[str, ...] = (), wrong: int = 0) -> dict:
    return {
        "verdict": CLEARED if cleared else "stay on the bench",
        "points": 90.0 if cleared else 30.0,
        "minutes": 71.5,
        "faults": faults,
        "false_squawks": [{"fault": "over-mass"}] * wrong,
        "hazards": [{"id": name, "minutes": 12.0, "critical": True} for name in grave],
        "versions": {"dryhop": "0.1.0"},
    }


def entry(
    trainee: str, drill: str, seed: int, day: float, marks: dict, folder: Path = Path("/nowhere")
) -> Entry:
    return Entry(
        note=Note(trainee=trainee, by="person", scenario=drill, seed=seed),
        drill=scenario.load(drill),
        card=Card.model_validate(marks),
        folder=folder,
        ended=BEGAN + timedelta(days=day),
        digest=f"{trainee} {drill} {seed} {day}",
        files={JOURNAL: "00"},
    )


def finished(below: Path, name: str, trainee: str, drill: str, marks: dict, seed: int = 1) -> Path:
    """Write a run folder as a finished attempt leaves it; nothing was done in it."""
    folder = below / name
    folder.mkdir(parents=True)
    note = Note(trainee=trainee, by="person", scenario=drill, seed=seed)
    (folder / ATTEMPT).write_text(note.text())
    (folder / SCENARIO).write_text(scenario.find(drill).read_text())
    (folder / JOURNAL).write_text(f'{{"seed":{seed},"who":"{name}"}}\n{{"end":true}}\n')
    (folder / SCORECARD).write_text(json.dumps(marks))
    return folder
