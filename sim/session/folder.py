"""The run folder of one attempt, written so that a crash spares it and it can be taken up again.

The note of who tries and the scenario, sealed, are there before the journal's first line. The journal's
lines are handed to the system one by one as they happen: a program that is killed loses none. They
are forced to the disk at the beginning, at the end and by `sync` (a person's attempt: after each
act), so a power cut costs at most what came after that. The trace is written before the journal's
last line, which vouches for it; a journal without that line is an attempt left in the middle.
"""

import os
from pathlib import Path
from typing import Any

from sim.aircraft.fields import plain
from sim.aircraft.textfile import dump_yaml, write_text_atomic
from sim.errors import InputError, Problem, Refusal
from sim.session.attempt import ATTEMPT, NAME_LENGTH, SCORECARD, Note, noted
from sim.session.envelope import SCENARIO, seal, unseal
from sim.session.journal import (
    JOURNAL,
    TRACE,
    Differs,
    Drives,
    Recorder,
    apply,
    drill_of,
    drill_text,
    entries,
    header_of,
    step_of,
    text_of,
)
from sim.session.lock import hold
from sim.session.record import Record
from sim.session.scenario import Scenario
from sim.session.session import Session
from sim.session.trace import trace_text

SOMEBODY = "somebody"
LAST_BYTES = 1000  # bytes; own: some times the line that ends a journal


def refuse_folder(folder: Path, rule: str) -> InputError:
    """Return the error that says why a folder can't be filled."""
    return InputError((Problem(str(folder), None, "", "", f"{rule}; name another folder"),))


def is_finished(folder: Path) -> bool:
    """Tell whether the attempt in a folder was brought to its end and scored."""
    try:
        with (folder / JOURNAL).open("rb") as file:
            file.seek(max(0, file.seek(0, os.SEEK_END) - LAST_BYTES))
            last = file.read().rpartition(b"\n")[0].rpartition(b"\n")[2]
    except FileNotFoundError:
        return False
    return b'"end":true' in last and (folder / SCORECARD).exists()


def holds_run(folder: Path) -> bool:
    """Tell whether somebody's attempt lies in a folder, finished or not."""
    journal = folder / JOURNAL
    try:
        return (folder / ATTEMPT).exists() or journal.stat().st_size > 0
    except (FileNotFoundError, NotADirectoryError):
        return False


def under_way(folder: Path) -> bool:
    """Tell whether a window or a command is at the attempt in a folder right now."""
    with (folder / JOURNAL).open("rb") as file:
        return not hold(file.fileno())


def lies_unfinished(folder: Path, scenario: Scenario, note: Note) -> bool:
    """Tell whether this very attempt lies unfinished in a folder; False if the folder is free.

    Raises InputError if the folder holds any other run, or a scenario of somebody's own.
    """
    if not holds_run(folder):
        if (folder / SCENARIO).exists() and not (folder / JOURNAL).exists():
            raise refuse_folder(folder, f"holds a {SCENARIO} that a run would replace")
        return False
    same = noted(folder) == note and drill_text(folder) == dump_yaml(scenario)
    if not same or is_finished(folder):
        raise refuse_folder(folder, "holds a finished run" if same else "holds another run")
    return True


class JournalFile:
    """A journal on disk, held by one program at a time.

    `kept`: lines from before, which must come again as they are. `lines`: all that has been
    written by now. What the disk does not take stays in `lines`, and `trouble` says why.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        self.lines: list[str] = []
        self.trouble: OSError | None = None
        self._file = path.open("a+b", buffering=0)
        try:
            if not hold(self._file.fileno()):
                raise Refusal(
                    f"{path.parent}: this attempt is under way in another window.", "in_use"
                )
            text = text_of(path, torn=True)
            self._file.truncate(len(text.encode()))  # cut off a torn last line
        except BaseException:
            self._file.close()
            raise
        self.kept = text.splitlines(keepends=True)

    def write(self, line: str) -> None:
        """Append a line, or compare it with the one kept in its place; Differs if it is another."""
        at = len(self.lines)
        if at < len(self.kept) and line != self.kept[at]:
            why = "it was begun with another version or elsewhere, and can only be scored"
            raise Differs(0, f"journal line {at + 1} does not come again: {why}")
        self.lines.append(line)
        if at >= len(self.kept) and self.trouble is None:
            try:
                self._append(line.encode())
            except OSError as error:
                self._give_up(error)

    def _give_up(self, error: OSError) -> None:
        self.trouble = type(error)(error.errno, error.strerror, str(self.path))

    def _append(self, data: bytes) -> None:
        while data:
            data = data[self._file.write(data) :]

    def sync(self) -> None:
        """Force what is written to the disk; a journal that has been deleted is `trouble`."""
        if self.trouble is not None or self._file.closed:
            return
        try:
            os.fsync(self._file.fileno())
            self.path.stat()
        except OSError as error:
            self._give_up(error)

    def close(self) -> None:
        """Let go of the file."""
        self._file.close()


def _new_journal(folder: Path, scenario: Scenario, note: Note) -> JournalFile:
    """Return the empty journal of a new attempt, note and scenario beside it."""
    if lies_unfinished(folder, scenario, note):
        raise refuse_folder(folder, "holds this attempt, unfinished")
    folder.mkdir(parents=True, exist_ok=True)
    journal = JournalFile(folder / JOURNAL)
    try:
        if journal.kept:
            raise refuse_folder(folder, "holds another run")
        seal(folder, dump_yaml(scenario))
        write_text_atomic(folder / ATTEMPT, note.text())
    except BaseException:
        journal.close()
        raise
    return journal


def _guessed(folder: Path, journal: JournalFile) -> Note:
    """Return a note in place of one that is gone."""
    seed, _ = header_of(next(entries("".join(journal.kept)), None))
    name = plain(folder.resolve().name, NAME_LENGTH)
    return Note(trainee=SOMEBODY, by="person", scenario=name, seed=seed)


class RunFolder:
    """A folder being filled by one attempt. Use as a context; `recorder` drives the session.

    Made by `begin`, `reopen` or `begin_or_reopen`.
    """

    def __init__(self, folder: Path, scenario: Scenario, note: Note, journal: JournalFile) -> None:
        self.folder, self.note = folder, note
        self.scenario = scenario
        self._journal = journal
        self._text = dump_yaml(scenario)
        self.session = Session(scenario, note.seed)
        self.recorder = Recorder(self.session, self._write, self._text)
        journal.sync()

    @classmethod
    def begin(cls, folder: Path, scenario: Scenario, note: Note) -> "RunFolder":
        """Begin an attempt in a folder that holds none.

        Raises InputError if the folder holds a run or another scenario, OSError if it can't be
        written.
        """
        journal = _new_journal(folder, scenario, note)
        return cls(folder, scenario, note, journal)

    @classmethod
    def reopen(cls, folder: Path) -> "RunFolder":
        """Open an attempt left in the middle, at its beginning: every line kept must come again.

        A stand-in simply does its drill anew; a person's acts come from `redo`. Raises Differs if
        scenario or journal are not as they were written, Refusal if it is under way elsewhere.
        """
        journal = JournalFile(folder / JOURNAL)
        try:
            scenario = drill_of(folder)
            return cls(folder, scenario, noted(folder) or _guessed(folder, journal), journal)
        except BaseException:
            journal.close()
            raise

    @classmethod
    def begin_or_reopen(cls, folder: Path, scenario: Scenario, note: Note) -> "RunFolder":
        """Begin an attempt, or open the same one if it lies there unfinished.

        Raises InputError if the folder holds any other run.
        """
        if lies_unfinished(folder, scenario, note):
            return cls.reopen(folder)
        return cls.begin(folder, scenario, note)

    def __enter__(self) -> "RunFolder":
        return self

    def __exit__(self, *_: Any) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the folder; what has been journalled stays."""
        self._journal.close()

    @property
    def trouble(self) -> OSError | None:
        """Why the disk takes no more of the journal; the attempt goes on in memory."""
        return self._journal.trouble

    def sync(self) -> None:
        """Force the journal to the disk; look at `trouble` afterwards."""
        self._journal.sync()

    def redo(self, by: Drives | None = None) -> None:
        """Do again what the journal keeps of an attempt left in the middle, with the recorder or `by`.

        Raises Differs if the journal is not as it was written, or does not come again.
        """
        kept = self._journal.kept
        read = list(entries("".join(kept))) if kept else []
        for step in [step_of(entry) for entry in read[1:]]:
            if step.trace is None:
                apply(by or self.recorder, step)

    def move(self, folder: Path) -> None:
        """Go on in another folder, one that holds no run, with everything there was so far.

        What lies in the folder so far stays there as it is. Raises OSError or InputError if the
        other can't be filled; then nothing has changed.
        """
        journal = _new_journal(folder, self.scenario, self.note)
        for line in self._journal.lines:
            journal.write(line)
        journal.sync()
        if journal.trouble is not None:
            journal.close()
            raise journal.trouble
        self._journal.close()
        self.folder, self._journal = folder, journal

    def _write(self, line: str) -> None:
        self._journal.write(line)

    def finish(self) -> Record:
        """Write trace and last journal line, lay the drill open; return the record.

        Raises OSError if the disk does not take it: `move` elsewhere and finish again.
        """
        record = self.session.record()
        text = trace_text(record)
        if self.trouble is None:
            write_text_atomic(self.folder / TRACE, text)
            unseal(self.folder, self._text)
            self.recorder.close(text)
            self.sync()
        if self.trouble is not None:
            raise self.trouble
        if len(self._journal.kept) > len(self._journal.lines):
            raise Differs(self.session.rig.tick, "the journal goes on after its end")
        self._journal.close()
        return record
