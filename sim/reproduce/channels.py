"""What a recording may hold: our own columns, what each is, and which can't be done without.

Signs and frames are those of `DEVELOPERS.md`: angles and rates roll right, nose up, heading
clockwise; body axes forward, right, down; the accelerometer reads specific force; sticks -1..1, the
throttle 0..1.
"""

from typing import Literal, NamedTuple

from sim.aircraft.fields import PLACES

Kind = Literal[
    "time",
    "stick",
    "throttle",
    "angle",
    "position",
    "rate",
    "drive",
    "speed",
    "volt",
    "amp",
    "accel",
    "field",
    "armed",
]

ONE_WAY: tuple[Kind, ...] = ("time", "drive", "volt", "speed")
"""Kinds whose numbers can count one way only."""

AXES = ("roll", "pitch", "yaw")
BODY = ("x", "y", "z")


class Channel(NamedTuple):
    """One of our columns: its kind, which of its kind it is, and in words what it holds."""

    name: str
    kind: Kind
    which: str
    words: str
    needed: bool


def _channels() -> list[Channel]:
    ways = {"roll": "right", "pitch": "nose up", "yaw": "right"}
    rows: list[tuple[str, Kind, str, str, bool]] = [
        ("time_s", "time", "", "time of each row", True),
        *((f"stick_{a}", "stick", a, f"{a} stick, {ways[a]} positive", True) for a in ("roll", "pitch")),
        ("stick_throttle", "throttle", "throttle", "throttle stick, 0 to 1", True),
        ("stick_yaw", "stick", "yaw", "yaw stick, right positive", True),
        ("roll_rad", "angle", "roll", "roll angle, right side down positive", True),
        ("pitch_rad", "angle", "pitch", "pitch angle, nose up positive", True),
        ("heading_rad", "angle", "yaw", "heading, clockwise from above positive", False),
        ("roll_rate_rad_s", "rate", "roll", "roll rate (gyro about the forward axis)", True),
        ("pitch_rate_rad_s", "rate", "pitch", "pitch rate (gyro about the right axis)", True),
        ("yaw_rate_rad_s", "rate", "yaw", "yaw rate (gyro about the down axis)", True),
        ("north_m", "position", "north", "way north", False),
        ("east_m", "position", "east", "way east", False),
        ("height_m", "position", "height", "height, up positive", False),
        *((f"drive_{p}", "drive", p, f"command of the {p.replace('_', ' ')} motor, 0 to 1", True) for p in PLACES),
        ("pack_v", "volt", "", "pack voltage", False),
        ("pack_a", "amp", "", "pack current", False),
        ("accel_x_m_s2", "accel", "x", "specific force forward", False),
        ("accel_y_m_s2", "accel", "y", "specific force to the right", False),
        ("accel_z_m_s2", "accel", "z", "specific force down (-9.8 at rest)", False),
        ("field_x_ut", "field", "x", "magnetic field forward", False),
        ("field_y_ut", "field", "y", "magnetic field to the right", False),
        ("field_z_ut", "field", "z", "magnetic field down", False),
        ("armed", "armed", "", "1 while armed, else 0", True),
        *((f"speed_{p}_rad_s", "speed", p, f"speed of the {p.replace('_', ' ')} motor", False) for p in PLACES),
    ]  # fmt: skip
    return [Channel(*row) for row in rows]


CHANNELS = {channel.name: channel for channel in _channels()}
COLUMNS = tuple(CHANNELS)
INDEX = {name: i for i, name in enumerate(COLUMNS)}


def of_kind(*kinds: Kind) -> tuple[Channel, ...]:
    """Return the channels of some kinds, in their order."""
    return tuple(channel for channel in CHANNELS.values() if channel.kind in kinds)


def named(kind: Kind, which: str) -> str:
    """Return the name of a channel."""
    return next(c.name for c in CHANNELS.values() if c.kind == kind and c.which == which)
