"""The run folder: scenario, journal and trace of one attempt, written so that a crash spares it."""

from pathlib import Path
from typing import Any

from sim.aircraft.textfile import dump_yaml, write_text_atomic
from sim.session.journal import JOURNAL, SCENARIO, TRACE, Recorder
from sim.session.record import Record
from sim.session.scenario import Scenario
from sim.session.session import Session
from sim.session.trace import trace_text


class RunFolder:
    """A folder being filled by one attempt. Use as a context; `recorder` drives the session."""

    def __init__(self, folder: Path, scenario: Scenario, seed: int) -> None:
        folder.mkdir(parents=True, exist_ok=True)
        self.folder = folder
        text = dump_yaml(scenario)
        write_text_atomic(folder / SCENARIO, text)
        self._stream = (folder / JOURNAL).open("w", buffering=1, encoding="utf-8", newline="\n")
        self.session = Session(scenario, seed)
        self.recorder = Recorder(self.session, self._stream, text)

    def __enter__(self) -> "RunFolder":
        return self

    def __exit__(self, *_: Any) -> None:
        if not self._stream.closed:
            self._stream.close()

    def finish(self) -> Record:
        """Write trace and last journal line; return the record."""
        record = self.session.record()
        text = trace_text(record)
        write_text_atomic(self.folder / TRACE, text)
        self.recorder.close(text)
        self._stream.close()
        return record
