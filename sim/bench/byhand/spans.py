"""Where in a recording something was done: pure functions from rows to masks and spans of rows."""

import numpy as np

from sim.aircraft.fields import CHANNELS
from sim.bench.recorded import Mask, Reals, turn_rate_rad_s
from sim.bench.rig import History
from sim.units import RAD_PER_DEG

TREMBLE_S = 0.5  # s; own: over that long a hand's tremor comes to next to nothing
STILL_RAD_S = 0.12  # rad/s; own: hands that hold stay below it; seven degrees a second are more
ROW_S = 0.005  # s; own: a span whose last row falls so short is whole
CENTRED = 0.03  # of stick; own: a thumb that is off the stick


def lately(history: History, values: Reals, over_s: float) -> Reals:
    """Return the mean of a column over so long a time up to each row; less at the beginning."""
    summed = np.concatenate(([0.0], np.cumsum(values)))
    first = np.searchsorted(history["time_s"], history["time_s"] - over_s, side="right")
    last = np.arange(1, len(values) + 1)
    mean: Reals = (summed[last] - summed[first]) / (last - first)
    return mean


def calm(history: History) -> Mask:
    """Tell for each row whether the aircraft is held still, tremor apart."""
    still: Mask = turn_rate_rad_s(history, TREMBLE_S) <= STILL_RAD_S
    return still


def wrapped_rad(angles: Reals) -> Reals:
    """Return angles in -pi..pi."""
    around: Reals = (angles + np.pi) % (2.0 * np.pi) - np.pi
    return around


def nose_near(history: History, heading_deg: float, within_deg: float) -> Mask:
    """Tell for each row whether the nose points within so many degrees of a heading."""
    off = wrapped_rad(history["heading_rad"] - heading_deg * RAD_PER_DEG)
    near: Mask = np.abs(off) <= within_deg * RAD_PER_DEG
    return near


def downs(roll_rad: Reals, pitch_rad: Reals) -> Reals:
    """Return where down is in body axes, float64[n, 3]: what a plumb line shows of roll and pitch."""
    return np.column_stack(
        [
            -np.sin(pitch_rad),
            np.cos(pitch_rad) * np.sin(roll_rad),
            np.cos(pitch_rad) * np.cos(roll_rad),
        ]
    )


def tilted_near(history: History, roll_deg: float, pitch_deg: float, within_deg: float) -> Mask:
    """Tell for each row whether it is tilted within so many degrees of a pose, whatever its heading."""
    pose = downs(np.array([roll_deg * RAD_PER_DEG]), np.array([pitch_deg * RAD_PER_DEG]))[0]
    cosines = downs(history["roll_rad"], history["pitch_rad"]) @ pose
    near: Mask = cosines >= np.cos(within_deg * RAD_PER_DEG)
    return near


def near(values: Reals, at: float, within: float) -> Mask:
    """Tell for each row whether a value is as far from `at` as `within`, or nearer."""
    close: Mask = np.abs(values - at) <= within
    return close


def centred(history: History) -> Mask:
    """Tell for each row whether every stick but the throttle is let go."""
    away = [np.abs(history[f"stick_{name}"]) for name in CHANNELS if name != "throttle"]
    free: Mask = np.max(away, axis=0) <= CENTRED
    return free


def between(history: History, begin_s: float, end_s: float) -> History:
    """Return the rows later than one time and no later than another, by the clock, s."""
    time_s = history["time_s"]
    return History(history.rows[(time_s > begin_s) & (time_s <= end_s)])


def rises(values: Reals, low: float, high: float) -> list[tuple[int, int]]:
    """Return (last row low, first row high) of each way from `low` or less to `high` or more."""
    found, down = [], -1
    for i, value in enumerate(values.tolist()):
        if value <= low:
            down = i
        elif value >= high and down >= 0:
            found.append((down, i))
            down = -1
    return found


def falls(values: Reals, high: float, low: float) -> list[tuple[int, int]]:
    """Return (last row high, first row low) of each way from `high` or more to `low` or less."""
    return rises(-values, -high, -low)


def holds_from(history: History, held: Mask, row: int, seconds: float) -> History | None:
    """Return the time from a row on in which a mask holds throughout, or None if it ends sooner."""
    begin_s = float(history["time_s"][row])
    last_s = float(history["time_s"][-1])
    part = (history["time_s"] >= begin_s) & (history["time_s"] <= begin_s + seconds)
    whole = last_s - begin_s >= seconds - ROW_S and bool(held[part].all())
    return History(history.rows[part]) if whole else None
