"""By hand: the range walk: thirty paces off, the sticks moved, the model turned to four headings."""

from dataclasses import replace

import numpy as np

from sim.aircraft.world import World
from sim.bench.byhand.spans import nose_near
from sim.bench.checks.link import transmitter_meter
from sim.bench.checks.range_walk import (
    LISTEN_S,
    PACES,
    SHADOW,
    echo,
    far_away,
    heading_told,
)
from sim.bench.person import Subject, senses
from sim.bench.reading import Reading, not_read
from sim.bench.recorded import Form, Recorded, Scene
from sim.bench.rig import History, Rig
from sim.errors import Refusal
from sim.kernel.clock import TICK_S
from sim.kernel.frames import Quat, to_angles
from sim.keys import CheckKey
from sim.units import RAD_PER_DEG, S_PER_MS

HEADINGS_DEG = {"ahead": 0.0, "right": 90.0, "behind": 180.0, "left": -90.0}  # deg; as called out
CALLED_DEG = 30.0  # deg; own: a helper turns it to a call
PACES_MIN = 90.0  # paces a minute; own: a stroll with an eye on the transmitter
LEAST_S = LISTEN_S - 0.1  # s; own: a count of three is that good
STIRRED = 0.3  # of stick; own: bars that are to follow have to be moved


class Walk:
    """Thirty paces between transmitter and model: what the link loses on the way, by heading."""

    def __init__(self, rig: Rig) -> None:
        rng = senses(rig, Subject.WALK)
        self._echoes = {heading: echo(rng) for heading in SHADOW}

    def __call__(self, rig: Rig) -> World:
        """Return the world as the link feels it now."""
        now = to_angles(Quat(*(rig.value(f"body.attitude.{axis}") for axis in "wxyz")))
        nose = now.z / RAD_PER_DEG
        heading = min(HEADINGS_DEG, key=lambda name: _off(nose, HEADINGS_DEG[name]))
        return far_away(rig.world, heading, self._echoes[heading])


def _off(a_deg: float, b_deg: float) -> float:
    return abs((a_deg - b_deg + 180.0) % 360.0 - 180.0)


def frames(seen: History, frame_s: float) -> tuple[float, float]:
    """Return (share of frames lost, longest time without one in s) of a recording."""
    came = np.unique(np.round(seen["time_s"] - seen["frame_age_s"], 3))
    begin_s, end_s = float(seen["time_s"][0]), float(seen["time_s"][-1])
    heard = came[came >= begin_s - 0.5 * TICK_S]
    lost = 1.0 - len(heard) / max(1.0, round((end_s - begin_s) / frame_s))
    gaps = np.diff(np.unique([*came, end_s]))
    return max(0.0, lost), float(gaps.max(initial=0.0))


def watched(history: History) -> History | None:
    """Return the time in which a stick was moved to and fro, its bar watched; None if none was."""
    away = np.max([np.abs(history[f"stick_{name}"]) for name in ("roll", "pitch", "yaw")], axis=0)
    moving = np.flatnonzero(away >= 0.5 * STIRRED)
    if moving.size == 0:
        return None
    seen = History(history.rows[moving[0] : moving[-1] + 1])
    moved = [np.ptp(seen[f"stick_{name}"]) for name in ("roll", "pitch", "yaw")]
    return seen if max(moved) >= STIRRED else None


def _heading(recorded: Recorded, nose_deg: float) -> History | None:
    """Return the last time at a heading in which the bars were watched for long enough."""
    sent = recorded.each(lambda s: s.transmitting) > 0.0
    spans = recorded.where(sent & nose_near(recorded.whole, nose_deg, CALLED_DEG), LEAST_S)
    seen = [watched(span.history) for span in spans]
    long = [part for part in seen if part is not None and np.ptp(part["time_s"]) >= LEAST_S]
    return long[-1].last(LISTEN_S) if long else None


def range_walk(rig: Rig, recorded: Recorded) -> Reading:
    """Read what was lost at each heading the model was turned to while the sticks were moved."""
    frame_s = rig.world.airframe.link.frame_ms * S_PER_MS
    values: dict[str, float] = {"paces": PACES}
    notes = []
    for heading, nose in HEADINGS_DEG.items():
        seen = _heading(recorded, nose)
        if seen is not None:
            told, words = heading_told(heading, *frames(seen, frame_s))
            values |= told
            notes.append(words)
    if not notes:
        raise Refusal(
            "Nothing has been watched yet: move a stick to and fro for three seconds and watch its "
            "bar; then have the model turned a quarter round, and again.",
            "moved",
        )
    lines = [f"{heading}_{what}" for heading in SHADOW for what in ("lost_share", "longest_gap_s")]
    reading = Reading("range-walk", values | transmitter_meter(rig), notes=tuple(notes))
    return replace(reading, missing=not_read(lines, values))


FORMS: dict[CheckKey, Form] = {"range-walk": range_walk}
SCENES: dict[CheckKey, Scene] = {"range-walk": Scene(Walk, 2.0 * PACES / PACES_MIN)}
