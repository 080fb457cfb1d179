"""Symptom detectors: what somebody there would have seen the aircraft do. Pure.

Each takes a flight and tells whether the symptom shows; each limit is what a person tells from a
few steps away, and lies outside what sound aircraft do (`tests/reproduce/words/test_detectors.py`).
Directions are the aircraft's own: its right, its nose; north of the pad is forward, as it takes off
with its tail to the pilot.
"""

from collections.abc import Callable
from math import pi

import numpy as np

from sim.reproduce.words.flight import ROW_S, Flight, Mask, Phase, Values
from sim.trainees.hop import NUDGE_M
from sim.units import RAD_PER_DEG

LEAN_RAD = 8.0 * RAD_PER_DEG  # rad; own: an eye tells such a lean from one that was asked for
LEGS_LEAN_RAD = 2.0 * RAD_PER_DEG  # rad; own: against the floor less is seen: a foot off it
FALLING_RAD = 20.0 * RAD_PER_DEG  # rad; own: from here on all eyes see is that it goes over
FLIPPED_RAD = 70.0 * RAD_PER_DEG  # rad; design: as far as a tip-over in the flight model
TURN_RAD, LEGS_TURN_RAD = 20.0 * RAD_PER_DEG, 5.0 * RAD_PER_DEG  # rad; own: a nose seen to swing
TURN_WITHIN_S = 1.0  # s; own: slower than that the hand corrects it before anybody says so
ANSWER_S = 0.25  # s; measured: from stick to lean or turn on sound aircraft of this size
CLIMB_M_S = 1.1  # m/s; own: three times what is asked for; looks like a leap
HIGH_M = 1.6  # m; own: half as much again as the hop
SINK_M_S = 0.8  # m/s; own: twice what is asked for; a drop, not a sinking
LOW_M = 0.4  # m; own: so much lower than it was, in the middle of the hop
AWAY_M = 0.5  # m; own: half a step further than it was sent
CIRCLE_TURNS = 1.2  # turns without a stop; own: once round and on is a circle to anybody
CIRCLE_M_S = 0.15  # m/s; own: slower than that a path has no direction to the eye
WOBBLE_RAD = 0.55 * RAD_PER_DEG  # rad, rms; measured: sound ones swing 0.45 at most in a hover
ROUGH_AIR_RAD = 1.0 * RAD_PER_DEG  # rad, rms; measured: near the floor sound ones swing up to 0.7
SHAKE_RAD_S = 0.10  # rad/s, rms; measured: a loop that rings, in the air and light on the legs
SWING_HZ, SHAKE_HZ = (1.0, 6.0), (8.0, 45.0)  # Hz; own: what an eye follows, and what it can't
SHORTEST_S = 0.6  # s; own: of a shorter stretch nobody tells a swing from a push
PULL_THROTTLE = 1.25  # of the sheet's hover; own: half as much lift again, and still on the floor

Shows = Callable[[Flight, Phase], bool]


def tilt_rad(flight: Flight) -> Values:
    """Return how far it leans from upright, rad, row by row."""
    up = np.cos(flight.track["roll_rad"]) * np.cos(flight.track["pitch_rad"])
    tilt: Values = np.arccos(np.clip(up, -1.0, 1.0))
    return tilt


def asked(flight: Flight, stick: str, full: float) -> Values:
    """Return what a stick asked for, as long ago as an answer takes."""
    back = round(ANSWER_S / ROW_S)
    values = flight.track[stick] * full
    return np.concatenate((np.full(min(back, len(values)), values[0]), values[:-back]))


def unasked_lean(flight: Flight, axis: str) -> Values:
    """Return the lean nobody asked for, rad: right or nose up positive; from how it stood at first."""
    lean = flight.track[f"{axis}_rad"]
    unasked: Values = lean - lean[0] - asked(flight, f"stick_{axis}", flight.known.tilt_limit_rad)
    return unasked


def first_past(values: Values, limit: float) -> float:
    """Return the first value further from zero than a limit; 0 if there is none."""
    past = np.flatnonzero(np.abs(values) > limit)
    return float(values[past[0]]) if past.size else 0.0


def _leaned(axis: str, sign: float) -> Shows:
    def shows(flight: Flight, phase: Phase) -> bool:
        limit = LEGS_LEAN_RAD if phase == "on-legs" else LEAN_RAD
        rows = flight.rows(phase) & flight.armed
        return sign * first_past(unasked_lean(flight, axis)[rows], limit) > 0.0

    return shows


def _upright(flight: Flight, phase: Phase) -> Mask:
    """Return the rows of a phase before it fell over: what comes then, nobody tells but the fall."""
    rows = flight.rows(phase) & flight.armed
    fallen = np.flatnonzero(tilt_rad(flight) > FALLING_RAD)
    if fallen.size:
        rows = rows & (np.arange(len(rows)) < fallen[0])
    mask: Mask = rows
    return mask


def unasked_turn(flight: Flight) -> Values:
    """Return by how much the nose turned unasked within the last second, rad: right positive."""
    heading = np.unwrap(flight.track["heading_rad"])
    wanted = np.cumsum(asked(flight, "stick_yaw", flight.known.yaw_limit_rad_s)) * ROW_S
    off, back = heading - wanted, round(TURN_WITHIN_S / ROW_S)
    before = np.concatenate((np.full(min(back, len(off)), off[0]), off[:-back]))
    turned: Values = off - before
    return turned


def _turned(sign: float) -> Shows:
    def shows(flight: Flight, phase: Phase) -> bool:
        limit = LEGS_TURN_RAD if phase == "on-legs" else TURN_RAD
        rows = _upright(flight, phase)
        return sign * first_past(unasked_turn(flight)[rows], limit) > 0.0

    return shows


def climb_m_s(flight: Flight) -> Values:
    """Return the climb, m/s, row by row."""
    rate: Values = np.gradient(flight.track["height_m"], ROW_S)
    return rate


def _climbed(flight: Flight, phase: Phase) -> bool:
    rows = _upright(flight, phase)
    fast = climb_m_s(flight)[rows] > CLIMB_M_S
    return bool(fast.any() or (flight.track["height_m"][rows] > HIGH_M).any())


def _sank(flight: Flight, phase: Phase) -> bool:
    rows = _upright(flight, phase)
    high = np.maximum.accumulate(flight.track["height_m"][rows])
    low = phase == "hover" and bool((flight.track["height_m"][rows] < high - LOW_M).any())
    return low or bool((climb_m_s(flight)[rows] < -SINK_M_S).any())


def _stayed_down(flight: Flight, phase: Phase) -> bool:
    if phase != "leaving" or flight.off_s is not None:
        return False
    rows = _upright(flight, phase)
    pulled = flight.track["stick_throttle"][rows] > PULL_THROTTLE * flight.known.hover_throttle
    return bool(pulled.any())


def _drifted(axis: str, sign: float) -> Shows:
    def shows(flight: Flight, phase: Phase) -> bool:
        sent = NUDGE_M if flight.hands == "steered" and phase == "hover" else 0.0
        away = sign * flight.track[axis][flight.rows(phase) & flight.armed]
        return bool((away > AWAY_M + (sent if sign > 0.0 else 0.0)).any())

    return shows


def _circled(flight: Flight, phase: Phase) -> bool:
    rows = flight.rows(phase) & flight.armed
    north = np.gradient(flight.track["north_m"], ROW_S)[rows]
    east = np.gradient(flight.track["east_m"], ROW_S)[rows]
    moving = np.hypot(north, east) > CIRCLE_M_S
    course = np.unwrap(np.arctan2(east, north))
    stops = np.flatnonzero(~moving)
    runs = np.split(course, stops)
    turned = max((float(np.ptp(run[1:])) for run in runs if len(run) > 1), default=0.0)
    return turned > CIRCLE_TURNS * 2.0 * pi


def banded(values: Values, band: tuple[float, float]) -> float:
    """Return the rms of what lies within a band of frequencies, Hz."""
    if len(values) < SHORTEST_S / ROW_S:
        return 0.0
    trend = np.linspace(values[0], values[-1], len(values))
    spectrum = np.fft.rfft((values - trend) * np.hanning(len(values)))
    hz = np.fft.rfftfreq(len(values), ROW_S)
    power = np.abs(spectrum[(hz >= band[0]) & (hz < band[1])]) ** 2
    # a Hann window keeps 3/8 of the power of a random signal
    return float(np.sqrt(2.0 * power.sum() / (len(values) ** 2 * 0.375)))


def _wobbled(flight: Flight, phase: Phase) -> bool:
    rows = _upright(flight, phase)
    leans = (unasked_lean(flight, axis)[rows] for axis in ("roll", "pitch"))
    limit = WOBBLE_RAD if phase == "hover" else ROUGH_AIR_RAD
    return max(banded(lean, SWING_HZ) for lean in leans) > limit


def _rang(flight: Flight, phase: Phase) -> bool:
    rows = _upright(flight, phase)
    rates = (flight.track[f"{axis}_rate_rad_s"][rows] for axis in ("roll", "pitch", "yaw"))
    return max(banded(rate, SHAKE_HZ) for rate in rates) > SHAKE_RAD_S


def _flipped(flight: Flight, phase: Phase) -> bool:
    return bool((tilt_rad(flight)[flight.rows(phase)] > FLIPPED_RAD).any())


MOVED: dict[str, tuple[str, Shows]] = {
    "rolled-right": ("it rolled to the right", _leaned("roll", 1.0)),
    "rolled-left": ("it rolled to the left", _leaned("roll", -1.0)),
    "pitched-up": ("its nose went up", _leaned("pitch", 1.0)),
    "pitched-down": ("its nose went down", _leaned("pitch", -1.0)),
    "yawed-right": ("its nose swung to the right", _turned(1.0)),
    "yawed-left": ("its nose swung to the left", _turned(-1.0)),
    "climbed": ("it shot up", _climbed),
    "sank": ("it sank or dropped", _sank),
    "stayed-down": ("it would not lift", _stayed_down),
    "drifted-forward": ("it slid forward", _drifted("north_m", 1.0)),
    "drifted-back": ("it slid back", _drifted("north_m", -1.0)),
    "drifted-right": ("it slid to the right", _drifted("east_m", 1.0)),
    "drifted-left": ("it slid to the left", _drifted("east_m", -1.0)),
    "circled": ("it went round in circles", _circled),
    "wobbled": ("it wobbled to and fro", _wobbled),
    "ringing": ("it rang: a shake too fast to follow", _rang),
    "flipped": ("it turned over", _flipped),
}
"""What it did, by the word of the report: (in a sentence, detector of a phase)."""

OPPOSITES = (
    ("rolled-right", "rolled-left"),
    ("pitched-up", "pitched-down"),
    ("yawed-right", "yawed-left"),
    ("climbed", "sank"),
    ("drifted-forward", "drifted-back"),
    ("drifted-right", "drifted-left"),
    ("held-right", "held-left"),
    ("held-back", "held-forward"),
    ("held-yaw-right", "held-yaw-left"),
    ("throttle-high", "throttle-low"),
)
"""Pairs of words of which a person may name the wrong one."""
