"""A recording as somebody there would have told it: the symptoms that show in it, the plainest first.

The detectors are those of reports; what no column tells is taken to be as on a sound aircraft.
"""

from math import pi

import numpy as np

from sim.aircraft.airframe import Airframe
from sim.aircraft.fields import PLACES
from sim.bench.rig import COLUMN, History
from sim.kernel.history import HISTORY
from sim.reproduce.answer.symptoms import plainest_first
from sim.reproduce.recorded.flight import Flags
from sim.reproduce.recorded.flight import Flight as Forced
from sim.reproduce.recording import Recording, Values
from sim.reproduce.words.flight import ROW_S, Flight, Known
from sim.reproduce.words.observed import Observed, observed

ROOM_K = 293.15  # K; ISO 3741 reference temperature of air in a room
FULL_RAD_S = 1000.0  # rad/s; own: any, as motors whose speeds nobody logged count as doing as told
NEVER_LOW_V = 99.0  # V; own: above any pack, where no volts were logged
LIFTED_M = 1.0  # m; design: the hop, where no height was logged
LANDING_S = 4.0  # s; own: at the end of what was in the air, for coming down
LIGHT = 0.5  # of the hover throttle; own: from there on it is being made light


def symptoms_of(forced: Forced, airframe: Airframe) -> tuple[str, ...]:
    """Return what a recording shows, the plainest first."""
    return plainest_first(seen(forced, airframe).symptoms)


def seen(forced: Forced, airframe: Airframe) -> Observed:
    """Return what a recording shows. forced : the recording as what forces the model."""
    recording = forced.recording
    t = np.arange(0.0, float(forced.times_s[-1] - forced.times_s[0]) + 0.5 * ROW_S, ROW_S)
    on = np.flatnonzero(recording["armed"] > 0.5)
    cut_s = float(forced.times_s[on[-1]]) + ROW_S if on.size else 0.0
    track = History(_rows(t, forced))
    sheet = airframe.sheet
    known = Known(
        sheet.setup.tilt_limit_deg * pi / 180.0,
        sheet.setup.yaw_rate_limit_deg_s * pi / 180.0,
        sheet.hover_throttle,
        0.0,
        ROOM_K,
    )
    up = np.flatnonzero(track["stick_throttle"] > LIGHT * sheet.hover_throttle)
    light_s = float(t[up[0]]) if up.size else cut_s
    flew = np.flatnonzero(forced.air)
    land_s = float(forced.times_s[flew[-1]]) - LANDING_S if flew.size else None
    warm = (ROOM_K,) * len(PLACES)
    return observed(Flight(track, known, "steered", light_s, None, land_s, cut_s, warm, False))


def _rows(t: Values, forced: Forced) -> Values:
    """Return the rows of a flight's trace, made of what was logged."""
    recording, at = forced.recording, forced.times_s - forced.times_s[0]
    rows = np.zeros((len(t), len(HISTORY)))
    rows[:, COLUMN["time_s"]] = t

    def put(name: str, values: Values) -> None:
        rows[:, COLUMN[name]] = np.interp(t, at, values)

    air = _held(t, at, forced.air)
    for name in recording.there:
        if name in COLUMN and name not in ("time_s", "heading_rad"):
            put(name, _whole(recording[name], at))
    for i, name in enumerate(("roll_rad", "pitch_rad", "heading_rad")):
        put(name, forced.angles[:, i])
    if not _there(recording, "height_m"):
        rows[:, COLUMN["height_m"]] = LIFTED_M
    for place in PLACES:
        if not _there(recording, f"speed_{place}_rad_s"):
            drive = rows[:, COLUMN[f"drive_{place}"]]
            rows[:, COLUMN[f"speed_{place}_rad_s"]] = FULL_RAD_S * drive
    rows[:, COLUMN["shown_pack_v"]] = NEVER_LOW_V
    rows[:, COLUMN["load_n"]] = 1.0 - air
    return rows


def _there(recording: Recording, name: str) -> bool:
    return bool(np.isfinite(recording[name]).any())


def _whole(values: Values, at: Values) -> Values:
    """Return a column with its gaps laid straight."""
    there = np.isfinite(values)
    return np.interp(at, at[there], values[there])


def _held(t: Values, at: Values, flags: Flags) -> Values:
    """Return a flag at other times, as it was at the last row."""
    last = np.clip(np.searchsorted(at, t, side="right") - 1, 0, len(at) - 1)
    return np.asarray(flags[last].astype(float))
