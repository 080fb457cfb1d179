"""Attempts as folders: run a stand-in, score, replay. What the commands do, without the printing."""

import json
import os
import tempfile
from collections.abc import Callable, Container
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from sim.aircraft.library import Design
from sim.aircraft.textfile import write_text_atomic
from sim.errors import DryhopError, InputError, Problem
from sim.origin import versions
from sim.paths import user_data
from sim.procedure.rubric import shipped
from sim.scoring.scorecard import scorecard
from sim.session.attempt import SCORECARD, Note, noted
from sim.session.envelope import kept_in
from sim.session.folder import RunFolder, holds_run, is_finished, under_way
from sim.session.journal import JOURNAL, Drives, drill_of, replayed
from sim.session.record import Record
from sim.trainees.standins import Attempt, rehearsed, rehearsed_into

RUNS = Path("runs")  # below the folder a command is given in

Finished = Callable[[Record, dict[str, Any], Path], object]
"""What else is to be made of a finished run: (record, scorecard, run folder)."""


def nothing_else(*_: object) -> None:
    """Make nothing else of a finished run."""


def card_of(record: Record, trainee: str, scenario: str) -> dict[str, Any]:
    """Return the scorecard of a record, with the versions that made it."""
    card = scorecard(record, trainee, scenario, shipped(), record.scenario.tables)
    card["versions"] |= versions()
    return card


def rehearse(
    attempt: Attempt, scenario: str, folder: Path | None, also: Finished = nothing_else
) -> dict[str, Any]:
    """Return the scorecard of a stand-in's attempt; with a folder, keep everything in it.

    also : done with what is kept.

    The same attempt left unfinished in that folder is taken up; any other run there is an
    InputError.
    """
    if folder is None:
        return card_of(rehearsed(attempt), attempt.stand_in, scenario)
    note = note_of(attempt, scenario)
    return kept_card(rehearsed_into(attempt, folder, note), note, folder, also)


def note_of(attempt: Attempt, scenario: str) -> Note:
    """Return the note of a stand-in's attempt at a drill of this name."""
    return Note(trainee=attempt.stand_in, by="stand-in", scenario=scenario, seed=attempt.seed)


def kept_card(
    record: Record, note: Note, folder: Path, also: Finished = nothing_else
) -> dict[str, Any]:
    """Return the scorecard of a finished run, kept in its folder; then do what else is to be done."""
    card = card_of(record, note.trainee, note.scenario)
    write_text_atomic(folder / SCORECARD, json.dumps(card, indent=2) + "\n")
    also(record, card, folder)
    return card


def new_folder(scenario: str, below: Path = RUNS) -> Path:
    """Return a folder not there yet, named by drill and time."""
    stamp = datetime.now().astimezone().strftime("%Y%m%d-%H%M%S")
    base = below / f"{Path(scenario).stem}-{stamp}"
    folder, n = base, 1
    while folder.exists():
        n += 1
        folder = base.with_name(f"{base.name}-{n}")
    return folder


def elsewhere() -> tuple[Path, ...]:
    """Return where runs may go when the usual place takes none, best first."""
    return user_data() / "runs", Path(tempfile.gettempdir()) / "dryhop-runs"


@dataclass(frozen=True)
class Left:
    """A person's attempt left in the middle. `last`: when something was done last."""

    folder: Path
    note: Note
    last: datetime


def left_in_the_middle(*places: Path) -> list[Left]:
    """Return the attempts of persons below some folders that can be taken up, the last one first.

    Below `RUNS` if no folder is given. Those under way in another window are not among them; what can't be read is passed over.
    """
    found = []
    for folder in run_folders(*places):
        try:
            note = noted(folder)
            if note is None or note.by != "person" or is_finished(folder) or under_way(folder):
                continue
            last = datetime.fromtimestamp((folder / JOURNAL).stat().st_mtime).astimezone()
        except OSError:
            continue
        found.append(Left(folder, note, last))
    return sorted(found, key=lambda left: left.last, reverse=True)


def run_folders(*places: Path, known: Container[str] = ()) -> list[Path]:
    """Return the run folders right below some folders; below `RUNS` if none is given.

    known : full paths of folders that are left out, and not even looked at.
    """
    return [folder for below in places or (RUNS,) for folder in _folders(below, known)]


def _folders(below: Path, known: Container[str]) -> list[Path]:
    try:
        home = f"{below.resolve()}{os.sep}"
        names = [name for name in os.listdir(below) if home + name not in known]
        return [folder for folder in map(below.joinpath, names) if holds_run(folder)]
    except OSError:
        return []


def require_left(folder: Path) -> Path:
    """Return a folder that holds a person's unfinished attempt; InputError if it does not."""
    require_run_folder(folder)
    note = noted(folder)
    if note is not None and note.by != "person":
        raise _not_so(folder, f"the attempt of the stand-in {note.trainee!r}; only it can go on")
    if is_finished(folder):
        raise _not_so(folder, "a finished run; nothing is left to do")
    return folder


def take_up(folder: Path, by: Callable[[RunFolder], Drives] | None = None) -> RunFolder:
    """Return the run folder of a person's unfinished attempt, brought to where it was left.

    `by`: makes what does it all again, if not the run folder's recorder alone. The caller goes on by
    the `recorder`; if the session is in its debrief already, what is left to
    do is `finish` and `kept_card`. Raises InputError if the folder holds no such attempt, Differs
    if its journal does not come again, Refusal if it is under way elsewhere.
    """
    run = RunFolder.reopen(require_left(folder))
    try:
        run.redo(by(run) if by else None)
    except BaseException:
        run.close()
        raise
    return run


def _not_so(folder: Path, rule: str) -> InputError:
    return InputError((Problem(str(folder), None, "", "", rule),))


def require_run_folder(folder: Path) -> None:
    """Raise InputError unless a folder holds a run."""
    for path in (kept_in(folder), folder / JOURNAL):
        if not path.is_file():
            raise _not_so(folder, f"not a run folder: {path.name} is missing")


def flown(folder: Path) -> tuple[Design, ...]:
    """Return the airframe of a run; nothing if its drill can't be read, which says why when done again.

    Raises InputError unless the folder holds a run.
    """
    require_run_folder(folder)
    try:
        return (drill_of(folder).airframe,)
    except DryhopError:
        return ()


def worked_out(folder: Path) -> tuple[Record, dict[str, Any]]:
    """Return record and scorecard worked out anew from scenario and journal alone.

    An attempt left in the middle is scored as far as it went, and can't be cleared.
    """
    require_run_folder(folder)
    note = noted(folder)
    trainee, scenario = (note.trainee, note.scenario) if note else ("unknown", folder.name)
    record = replayed(folder, verify=False, whole=False).record()
    return record, card_of(record, trainee, scenario)


def score(folder: Path) -> dict[str, Any]:
    """Return the scorecard worked out anew; see `worked_out`."""
    return worked_out(folder)[1]


def replay(folder: Path) -> int:
    """Return the last tick of a run that replays bit for bit; raises Differs if it does not."""
    require_run_folder(folder)
    return replayed(folder).rig.tick
