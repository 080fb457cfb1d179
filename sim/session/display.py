"""What the set-up connection shows now: numbers sent at the link's own rate, so always a little old.

The controller sends a set of numbers each period; a set is on its way for a while before it is shown.
Nothing is sent without the pack: the cable feeds the board alone, not its instruments' rail.
"""

from collections import deque
from dataclasses import dataclass
from math import ceil, sqrt
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sim.aircraft.fields import CHANNELS, PLACES
from sim.bench.connection import Board, By
from sim.bench.interlocks import reasons_not_to_arm
from sim.bench.rig import COLUMN, History, Rig, degrees
from sim.kernel import estimator, radio
from sim.kernel.clock import TICK_S
from sim.kernel.frames import Vec3, apply
from sim.kernel.radio import Sticks
from sim.session.connecting import carrier
from sim.units import RAD_PER_DEG


class Feed(NamedTuple):
    """How often a connection brings a set of numbers, and how long each is on its way."""

    period_s: float
    lag_s: float


FEEDS: dict[By, Feed] = {
    "cable": Feed(
        0.04, 0.02
    ),  # s; own: 120 bytes at 115200 Bd take 0.01 s, asked 25 times a second
    "telemetry": Feed(0.25, 0.20),  # s; trade experience: a slow channel shared with much else
}
KEPT_S = 2.0  # s; own: longer than any lag and the time over which loss is counted
LOSS_S = 1.0  # s; own: over which lost frames are counted
MOST_MESSAGES = 4  # own: what a small display holds

TESTED = "The motor test drives an output."

Row = NDArray[np.float64]
PULSES = [COLUMN[f"pulse_{name}_us"] for name in CHANNELS]
DRIVES = [COLUMN[f"drive_{place}"] for place in PLACES]
GYRO = [COLUMN[f"gyro_{axis}_rad_s"] for axis in "xyz"]
FIELD = [COLUMN[f"field_{axis}_ut"] for axis in "xyz"]
AGE, TIME, ARMED = COLUMN["frame_age_s"], COLUMN["time_s"], COLUMN["armed"]
ANGLES = [COLUMN[f"shown_{axis}_rad"] for axis in ("roll", "pitch", "heading")]
VOLTS, AMPS = COLUMN["shown_pack_v"], COLUMN["shown_pack_a"]


@dataclass(frozen=True)
class Display:
    """One set of numbers as shown, rounded to the display's last digit.

    by : what carries them; age_s : how old they are; pulses of the channel each function listens to
    (us) and what the controller makes of them (%, throttle 0..100); angles, field and rates after the
    calibrations the controller holds; commands to the outputs (%), none while disarmed; cell_v : the
    pack shared out over the cells the controller is told of; lost_pct : frames lost in the last second.
    """

    by: By
    age_s: float
    roll_us: float
    pitch_us: float
    throttle_us: float
    yaw_us: float
    roll_pct: float
    pitch_pct: float
    throttle_pct: float
    yaw_pct: float
    roll_deg: float
    pitch_deg: float
    heading_deg: float
    field_ut: float
    roll_rate_deg_s: float
    pitch_rate_deg_s: float
    yaw_rate_deg_s: float
    front_left_pct: float
    front_right_pct: float
    rear_right_pct: float
    rear_left_pct: float
    pack_v: float
    cell_v: float
    pack_a: float
    lost_pct: float
    messages: tuple[str, ...]


class Part(NamedTuple):
    """A stretch of the history, with the times of its first and last row."""

    since_s: float
    until_s: float
    rows: Row


class Instruments:
    """Keeps what the controller has measured of late, so that the display can show it late."""

    def __init__(self) -> None:
        self._parts: deque[Part] = deque()
        self._tested = False  # whether the motor test ran in the last stretch

    def hear(self, history: History, motor_test: bool) -> None:
        """Take in a stretch of time. motor_test : the radio is not listened to meanwhile."""
        if len(history) == 0:
            return
        rows, self._tested = history.rows, motor_test
        if motor_test:
            rows = rows.copy()
            last = self._parts[-1].rows[-1] if self._parts else None
            rows[:, PULSES] = 0.0 if last is None else last[PULSES]
            rows[:, AGE] = rows[:, TIME] if last is None else last[AGE]
        until_s = float(rows[-1, TIME])
        since_s = until_s - KEPT_S
        first = int(np.searchsorted(rows[:, TIME], since_s))
        rows = rows[first:] if first else rows
        self._parts.append(Part(float(rows[0, TIME]), until_s, rows))
        while self._parts[0].until_s < since_s:
            self._parts.popleft()

    def shown(self, board: Board, rig: Rig, held: Sticks) -> Display | None:
        """Return what an open connection shows; None without pack, software or connection."""
        by = carrier(board, rig.world)
        return None if by is None else self.display(rig, by, held)

    def display(self, rig: Rig, by: By, held: Sticks) -> Display | None:
        """Return the set that is shown now; None before the first one has come."""
        feed = FEEDS[by]
        sets = int((rig.time_s - feed.lag_s) / feed.period_s + 1e-6)  # 1e-6: whole periods stay so
        recent = self._until(sets * feed.period_s + 0.5 * TICK_S)
        if recent is None:
            return None
        row, ages_s = recent
        lost = lost_share(rig, ages_s)
        numbers = channels(rig, row) | attitude(rig, row) | power(rig, row)
        return Display(
            by=by,
            age_s=rig.time_s - float(row[TIME]),
            lost_pct=float(round(100.0 * lost)),
            messages=(TESTED,) if self._tested else messages(rig, held),
            **numbers,
        )

    def _until(self, time_s: float) -> tuple[Row, Row] | None:
        """Return the last row up to a time, and frames' ages in the second before it; None: no row."""
        last: Row | None = None
        since_s, ages = 0.0, list[Row]()
        for part in reversed(self._parts):
            if part.since_s > time_s:
                continue
            rows = part.rows
            if part.until_s > time_s:
                rows = rows[: int(np.searchsorted(rows[:, TIME], time_s, "right"))]
            if last is None:
                last = rows[-1]
                since_s = float(last[TIME]) - LOSS_S
            if part.since_s <= since_s:
                ages.append(rows[int(np.searchsorted(rows[:, TIME], since_s, "right")) :, AGE])
                break
            ages.append(rows[:, AGE])
        return None if last is None else (last, np.concatenate(ages))


def channels(rig: Rig, row: Row) -> dict[str, float]:
    """Return pulse and bar of each function, whatever channel it listens to."""
    pulses = tuple(float(row[i]) for i in PULSES)
    bars = radio.command(pulses, rig.craft.radio)
    told = {}
    for name, channel, bar in zip(CHANNELS, rig.craft.radio.order, bars, strict=True):
        told[f"{name}_us"] = float(round(pulses[int(channel)]))
        told[f"{name}_pct"] = float(round(100.0 * bar))
    return told


def attitude(rig: Rig, row: Row) -> dict[str, float]:
    """Return what the controller believes of attitude, field and rates."""
    held = rig.craft.estimator
    roll, pitch, heading = (degrees(float(row[i])) for i in ANGLES)
    gyro = apply(held.mounting, Vec3(*(float(row[i]) for i in GYRO)))
    raw = apply(held.mag_mounting, Vec3(*(float(row[i]) for i in FIELD)))
    field = estimator.calibrated(raw, held.mag_offset_ut, held.mag_matrix)
    rates = zip(("roll", "pitch", "yaw"), gyro, strict=True)
    return {
        "roll_deg": round(roll, 1),
        "pitch_deg": round(pitch, 1),
        "heading_deg": float(round(heading) % 360),
        "field_ut": round(sqrt(sum(part * part for part in field)), 1),
        **{f"{name}_rate_deg_s": round(rate / RAD_PER_DEG, 1) for name, rate in rates},
    }


def power(rig: Rig, row: Row) -> dict[str, float]:
    """Return the commands to the outputs, and voltage and current of the pack."""
    armed, volts = float(row[ARMED] > 0.0), float(row[VOLTS])
    outputs = zip(PLACES, DRIVES, strict=True)
    return {
        **{f"{place}_pct": float(round(100.0 * armed * row[i])) for place, i in outputs},
        "pack_v": round(volts, 2),
        "cell_v": round(volts / rig.world.setup.controller.alarm_cells, 2),
        "pack_a": round(float(row[AMPS]), 2),
    }


def lost_share(rig: Rig, ages_s: Row) -> float:
    """Return the share of frames that did not come: of the time in which one was overdue.

    ages_s : of the last frame, tick by tick.
    """
    link = rig.craft.radio
    frames = max(1, ceil(link.latency_ticks / link.frame_ticks))
    overdue = ages_s > (frames * link.frame_ticks + 0.5) * TICK_S  # it ages once before it is seen
    return float(overdue.mean())


def messages(rig: Rig, held: Sticks) -> tuple[str, ...]:
    """Return what the controller has to say, the most pressing first. held : the sticks."""
    control = rig.world.setup.controller
    low = rig.shown_pack_v / control.alarm_cells < control.low_cell_alarm_v
    said = ["The pack is low."] if low else []
    if rig.value("armed") > 0.0:
        lost = ["There is no link to the transmitter."] if rig.value("radio.linked") == 0.0 else []
        return ("Armed.", *lost, *said)
    reasons = [objection.words for objection in reasons_not_to_arm(rig, held)]
    return tuple([*said, *reasons][:MOST_MESSAGES]) or ("Ready to arm.",)
