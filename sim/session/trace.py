"""The trace of an attempt: what the aircraft did, a hundred lines a second, as CSV."""

from sim.bench.rig import COLUMN
from sim.session.record import Record

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
