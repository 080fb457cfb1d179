"""A recording as what forces the model, tick by tick, and which of its rows tell of what.

Between rows everything goes straight. What a logger did not keep is filled in: no position is at rest
a metre above the pad while it flies, no heading is the yaw rate summed up.
"""

from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline
from scipy.ndimage import gaussian_filter1d, maximum_filter1d

from sim.aircraft.fields import PLACES
from sim.kernel.air import STANDARD_GRAVITY_M_S2
from sim.kernel.clock import TICK_S, ticks
from sim.kernel.forced import FORCED
from sim.reproduce.recording import Recording, Values

SETTLE_S = 2.5  # s; start-up takes 2 s, then filters and pack come to rest
HEIGHT_M = 1.0  # m; design: the hop planned, where no height was kept
CLEAR_M = 0.02  # m; own: with its lowest foot that far above the floor nothing touches
TILT_CLEAR_RAD = 0.06  # rad; recipe: 3.5 degrees, more than legs give
TIPPED_RAD = 1.22  # rad; recipe: 70 degrees; no flight from there on
HIT_G = 3.0  # of gravity; recipe: a crash
BEGIN_AIR, END_AIR = 0.93, 0.80  # of the drives' level in the air; own: lifted, and down again
SMOOTH_S = 0.12  # s; own: position smoothed before its slope is taken, noise of 2 mm
AFTER_CRASH_S = 0.05  # s; own: what led to it ends so long before
CALM_S, NEAR_S = (
    0.04,
    0.1,
)  # s; own: what is slower than 4 Hz is flown; how long what is strong lasts
LEAST_ROWS = 0.7  # rows; own: less smooths nothing
LOUD = 2.0  # 1; own: by chance the power over a few rows is twice the usual
TIPPED_S = 1.5  # s; own: what has turned over so soon after it began to tilt never left its feet
BEYOND_S = 0.3  # s; own: filters over rows look a tenth of a second ahead

Flags = NDArray[np.bool_]
FORCED_AT = {name: i for i, name in enumerate(FORCED)}
OUTPUTS = tuple(FORCED_AT[f"output_{place}"] for place in range(4))
STICKS = tuple(FORCED_AT[f"stick_{axis}"] for axis in ("roll", "pitch", "throttle", "yaw"))


class Lateness(NamedTuple):
    """How much later than logged commands reach the drives, and sticks the controller, s."""

    drives: float = 0.0
    sticks: float = 0.0


ON_TIME = Lateness()


@dataclass(frozen=True)
class Flight:
    """A recording with what forces the model.

    times_s, step_s : of its rows and between them; forcing : (ticks, FORCED); ends : the tick after
    which each row lies. armed, air : rows before any crash in which motors turn, and in which it
    flies; rest : rows standing still, disarmed, before that. Angles in rad, by row.
    """

    recording: Recording
    times_s: Values
    step_s: float
    forcing: Values
    ends: NDArray[np.int64]
    armed: Flags
    air: Flags
    tip: Flags
    rest: Flags
    angles: Values

    @property
    def aboard(self) -> bool:
        """Whether angles and rates are what the instruments aboard made of them."""
        return self.recording.attitude == "aboard"

    @property
    def told(self) -> NDArray[np.int64]:
        """Return `ends` as far as the rows tell anything; what comes after a crash or a landing does not."""
        last = np.flatnonzero(self.armed | self.rest)
        until = self.times_s[last[-1]] + BEYOND_S if last.size else np.inf
        return self.ends[self.times_s <= until]

    def late(self, by: Lateness) -> "Flight":
        """Return the flight with commands that reach the drives, and sticks the controller, later."""
        forcing = self.forcing.copy()
        for columns, seconds in ((OUTPUTS, by.drives), (STICKS, by.sticks)):
            for i in columns:
                forcing[:, i] = _shifted(self.forcing[:, i], seconds)
        return replace(self, forcing=forcing)

    def turned(self, mounting: Values) -> "Flight":
        """Return the flight of a board that sits turned: what it logged is along its own axes.

        mounting : (3, 3), instrument axes from body axes. Logs of instruments outside stay as they are.
        Headings stay: they are those of the compass, which sits where it is told to.
        """
        if not self.aboard:
            return self
        forcing = self.forcing.copy()
        rates = [FORCED_AT[f"rate_{axis}_rad_s"] for axis in "xyz"]
        forcing[:, rates] = self.forcing[:, rates] @ mounting
        attitude = [FORCED_AT[f"attitude_{part}"] for part in "wxyz"]
        body = _times(self.forcing[:, attitude], _quaternion(mounting)[None, :])
        forcing[:, attitude] = body
        turn = float(np.arctan2(mounting[1, 0], mounting[0, 0]))
        return replace(self, forcing=forcing).headed(turn)

    def headed(self, turn_rad: float) -> "Flight":
        """Return the flight of an aircraft whose heading is so much less than was logged aboard.

        Headings outside stay as they are.
        """
        if not self.aboard:
            return self
        forcing, half = self.forcing.copy(), -0.5 * turn_rad
        back = np.array([[np.cos(half), 0.0, 0.0, np.sin(half)]])
        attitude = [FORCED_AT[f"attitude_{part}"] for part in "wxyz"]
        forcing[:, attitude] = _times(back, self.forcing[:, attitude])
        return replace(self, forcing=forcing)


def _quaternion(turn: Values) -> Values:
    """Return the unit quaternion (scalar first) of a rotation matrix: body axes into instrument axes."""
    from scipy.spatial.transform import Rotation

    x, y, z, w = Rotation.from_matrix(turn).as_quat()
    return np.array([w, x, y, z])


def _times(p: Values, q: Values) -> Values:
    """Return the products of quaternions (n, 4) or (1, 4), scalar first."""
    w, x, y, z = p.T
    a, b, c, d = q.T
    return np.column_stack(
        [
            w * a - x * b - y * c - z * d,
            w * b + x * a + y * d - z * c,
            w * c - x * d + y * a + z * b,
            w * d + x * c - y * b + z * a,
        ]
    )


def _shifted(x: Values, seconds: float) -> Values:
    at = np.arange(len(x), dtype=np.float64)
    return np.interp(at - seconds / TICK_S, at, x)


def _filled(x: Values) -> Values:
    """Return a column with what is missing laid straight between its neighbours; 0 if all is."""
    there = np.isfinite(x)
    if not there.any():
        return np.zeros(len(x))
    at = np.arange(len(x))
    return np.interp(at, at[there], x[there])


def _columns(recording: Recording, kind: str, names: tuple[str, ...]) -> Values:
    """Return columns of one kind, (rows, names), what is missing laid straight."""
    return np.column_stack([_filled(recording[f"{kind}_{name}"]) for name in names])


def _angles(recording: Recording) -> Values:
    """Return roll, pitch and heading of each row, rad, the heading unwrapped."""
    t = recording["time_s"]
    heading = recording["heading_rad"]
    if np.isfinite(heading).any():
        heading = np.unwrap(_filled(heading))
    else:
        rate = _filled(recording["yaw_rate_rad_s"])
        steps = np.diff(t, prepend=t[0])
        heading = np.cumsum(rate * steps)
    return np.column_stack(
        [_filled(recording["roll_rad"]), _filled(recording["pitch_rad"]), heading]
    )


def _attitude(angles: Values) -> Values:
    """Return unit quaternions, scalar first, of roll, pitch and heading."""
    (cr, cp, cy), (sr, sp, sy) = np.cos(0.5 * angles.T), np.sin(0.5 * angles.T)
    return np.column_stack(
        [
            cr * cp * cy + sr * sp * sy,
            sr * cp * cy - cr * sp * sy,
            cr * sp * cy + sr * cp * sy,
            cr * cp * sy - sr * sp * cy,
        ]
    )


def until_crash(recording: Recording, angles: Values) -> Flags:
    """Return the rows before it tips over or hits something."""
    tilt = np.arccos(np.clip(np.cos(angles[:, 0]) * np.cos(angles[:, 1]), -1.0, 1.0))
    accel = np.column_stack([_filled(recording[f"accel_{axis}_m_s2"]) for axis in "xyz"])
    hit = np.linalg.norm(accel, axis=1) > HIT_G * STANDARD_GRAVITY_M_S2
    over = np.flatnonzero((tilt > TIPPED_RAD) | hit)
    t = recording["time_s"]
    return t < t[over[0]] - AFTER_CRASH_S if over.size else np.ones(len(t), dtype=bool)


def downwards(angles: Values) -> Values:
    """Return the world's down in body axes, (n, 3), of roll and pitch in rad (n, 2 or more)."""
    roll, pitch = angles[:, 0], angles[:, 1]
    return np.column_stack(
        [-np.sin(pitch), np.sin(roll) * np.cos(pitch), np.cos(roll) * np.cos(pitch)]
    )


def leaning(angles: Values) -> Values:
    """Return how far the aircraft leans in each row, rad."""
    return np.asarray(np.hypot(angles[:, 0], angles[:, 1]))


def above_floor(recording: Recording, angles: Values, armed: Flags, feet: Values) -> Values | None:
    """Return how high the lowest foot is in each row, m; None where no height was kept.

    feet : (4, 3) in body axes, m, from the point whose height was kept.
    """
    height = recording["height_m"]
    if not np.isfinite(height).any():
        return None
    height = _filled(height)
    depth = (downwards(angles) @ feet.T).max(axis=1)
    lowest = height - depth
    floor = np.median(lowest[~armed]) if (~armed).any() else lowest.min()
    return np.asarray(lowest - floor)


def flying(recording: Recording, angles: Values, armed: Flags, feet: Values) -> Flags:
    """Return the rows in which nothing of it touches the floor."""
    t = recording["time_s"]
    above = above_floor(recording, angles, armed, feet)
    if above is not None:
        return np.asarray(armed & (above > CLEAR_M))
    tilted = np.maximum.accumulate(np.where(armed, leaning(angles), 0.0) > TILT_CLEAR_RAD)
    drive = np.mean([_filled(recording[f"drive_{place}"]) for place in PLACES], axis=0)
    if not armed.any():
        return armed
    rows = max(1, round(0.2 / _step(t)))
    smooth = gaussian_filter1d(drive, rows)
    level = float(np.median(smooth[armed & (smooth > 0.7 * smooth[armed].max())]))
    up = np.flatnonzero(armed & ((smooth > BEGIN_AIR * level) | tilted))
    down = np.flatnonzero(armed & (smooth > END_AIR * level))
    if not up.size or not down.size:
        return np.zeros(len(t), dtype=bool)
    first, last = t[up[0]] + (0.0 if tilted[up[0]] else 0.3), t[down[-1]] - 0.3
    return np.asarray(armed & (t >= first) & (t <= last))


def tipping(recording: Recording, angles: Values, on: Flags, whole: Flags, feet: Values) -> Flags:
    """Return the rows in which it tilts on its feet, before it has turned over.

    on : rows in which motors turn; whole : rows before it has turned over or hit something.
    """
    t, armed = recording["time_s"], on & whole
    tilted = armed & (leaning(angles) > TILT_CLEAR_RAD)
    above = above_floor(recording, angles, on, feet)
    if above is not None:
        return np.asarray(tilted & (above <= CLEAR_M))
    first = np.flatnonzero(tilted)
    if whole.all() or not first.size:
        return np.zeros(len(t), dtype=bool)
    end = t[np.flatnonzero(~whole)[0]]
    soon = bool(end - t[first[0]] < TIPPED_S)
    return np.asarray(tilted & soon)


def _step(t: Values) -> float:
    return float(np.median(np.diff(t)))


def _position(
    recording: Recording, air: Flags, tip: Flags, standing_m: float
) -> tuple[Values, Values]:
    """Return position (m) and velocity (m/s) of each row, north, east, down."""
    t = recording["time_s"]
    height = recording["height_m"]
    if np.isfinite(height).any():
        height = _filled(height)
        floor = float(np.median(height[: max(1, round(0.5 / _step(t)))]))
        up = height - floor + standing_m
    else:
        rows = max(1, round(0.3 / _step(t)))
        up = standing_m + (HEIGHT_M - standing_m) * gaussian_filter1d(air.astype(float), rows)
    place = np.column_stack([_filled(recording["north_m"]), _filled(recording["east_m"]), -up])
    place[:, :2] -= place[0, :2]
    smooth = gaussian_filter1d(place, max(0.5, SMOOTH_S / _step(t)), axis=0)
    speed = np.gradient(smooth, t, axis=0)
    if not np.isfinite(recording["height_m"]).any():
        speed[:, 2] = 0.0
    place[tip, 2] = -HEIGHT_M  # clear of the floor: what its feet do is worked out from there
    return place, speed


def _rates(recording: Recording, rest: Flags) -> Values:
    """Return body rates of each row, rad/s; readings aboard less what they show at rest."""
    rates = np.column_stack(
        [_filled(recording[f"{axis}_rate_rad_s"]) for axis in ("roll", "pitch", "yaw")]
    )
    if recording.attitude == "aboard" and rest.any():
        rates = rates - rates[rest].mean(axis=0)
    return rates


def calmed(drives: Values, on: Flags, step_s: float) -> Values:
    """Return commands (rows, 4) less what the noise of a gyro makes of them between rows.

    Rows catch that noise by chance, so it would turn a model that the aircraft itself hardly follows. What is
    quick counts by as much as it is stronger there than it is for most of the time that motors turn.
    """
    if not on.any():
        return drives
    slow = gaussian_filter1d(drives, max(CALM_S / step_s, LEAST_ROWS), axis=0)
    quick = drives - slow
    power = gaussian_filter1d(quick**2, max(NEAR_S / step_s, 2.0 * LEAST_ROWS), axis=0)
    usual = LOUD * np.median(power[on], axis=0)
    share = 1.0 - np.minimum(1.0, usual / np.maximum(power, 1e-12))
    return np.asarray(slow + share * quick)


def _at_rest(recording: Recording, armed: Flags) -> Flags:
    """Return the rows before it is armed for the first time, without the last of them."""
    first = np.flatnonzero(armed)
    rest = np.zeros(len(armed), dtype=bool)
    rest[: max(0, (first[0] if first.size else len(armed)) - 1)] = True
    return rest


def flight_of(
    recording: Recording, standing_m: float, delay_s: float, feet: Values, curved: bool = False
) -> Flight:
    """Return a recording as what forces the model.

    curved : whether angles and rates go from row to row along splines, not straight; standing_m : height of the aircraft's centre where it stands; delay_s : from the controller's
    output to the drives; feet : (4, 3) from its centre, body axes, m.
    """
    t = recording["time_s"]
    angles = _angles(recording)
    on = _filled(recording["armed"]) > 0.5
    whole = until_crash(recording, angles)
    tip = tipping(recording, angles, on, whole, feet)
    air = flying(recording, angles, on & whole, feet) & ~tip
    if tip.any() and not np.isfinite(recording["height_m"]).any():
        air[:] = False  # what its drives do on the way to turning over tells no height
    rest = _at_rest(recording, on)
    place, speed = _position(recording, air, tip, standing_m)
    rates = _rates(recording, rest)
    drives = calmed(_columns(recording, "drive", PLACES), on, _step(t))
    sticks = _columns(recording, "stick", ("roll", "pitch", "throttle", "yaw"))
    settle = ticks(SETTLE_S)
    ends = settle + np.round((t - t[0]) / TICK_S).astype(np.int64) + 1
    at = np.arange(ends[-1]) - settle
    row = (t - t[0]) / TICK_S

    def between(x: Values) -> Values:
        return np.column_stack([np.interp(at, row, column) for column in x.T])

    def along(x: Values) -> Values:
        if not curved:
            return between(x)
        return np.asarray(CubicSpline(row, x)(np.clip(at, row[0], row[-1])))

    def held(flag: Flags) -> Values:
        last = np.clip(np.searchsorted(row, at, side="right") - 1, 0, len(row) - 1)
        return np.asarray(np.where(at < 0, 0.0, flag[last].astype(float)))

    attitude = _attitude(along(angles))
    near = maximum_filter1d((air | tip).astype(float), 3) > 0.0
    forcing = np.column_stack(
        [
            between(place),
            attitude,
            between(np.where(air[:, None], speed, 0.0)),
            along(rates) * (at >= 0)[:, None],
            between(drives) * (at >= 0)[:, None],
            between(sticks),
            held(on),
            1.0 - held(near),
            attitude,
            np.full(len(at), float(recording.attitude == "aboard")),
        ]
    )
    forcing[at < 0, FORCED_AT["stick_throttle"]] = 0.0
    flight = Flight(recording, t, _step(t), forcing, ends, on & whole, air, tip, rest, angles)
    return flight.late(Lateness(drives=delay_s))
