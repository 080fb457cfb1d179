"""The run folder: scenario, journal and trace of one attempt, written so that a crash spares it."""

from pathlib import Path
from typing import Any

from sim.aircraft.textfile import dump_yaml, write_text_atomic
from sim.bench.rig import COLUMN
from sim.session.journal import JOURNAL, SCENARIO, TRACE, Recorder
from sim.session.record import Record
from sim.session.scenario import Scenario
from sim.session.session import Session

TRACE_COLUMNS = (
    "time_s",
    "stick_roll",
    "stick_pitch",
    "stick_throttle",
    "stick_yaw",
    "roll_rad",
    "pitch_rad",
    "heading_rad",
    "roll_rate_rad_s",
    "pitch_rate_rad_s",
    "yaw_rate_rad_s",
    "north_m",
    "east_m",
    "height_m",
    "drive_front_left",
    "drive_front_right",
    "drive_rear_right",
    "drive_rear_left",
    "pack_v",
    "pack_a",
    "accel_x_m_s2",
    "accel_y_m_s2",
    "accel_z_m_s2",
    "field_x_ut",
    "field_y_ut",
    "field_z_ut",
    "armed",
)


def trace_text(record: Record) -> str:
    """Return the trace as CSV: 100 Hz, SI, units in the header; nine digits a number."""
    rows = record.track.rows[:, [COLUMN[name] for name in TRACE_COLUMNS]]
    line = ",".join(["%.9g"] * len(TRACE_COLUMNS))
    body = "\n".join(line % tuple(row) for row in rows.tolist())
    return ",".join(TRACE_COLUMNS) + "\n" + (body + "\n" if body else "")


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
