"""Symptom detectors: what somebody there would have heard, and felt with a finger afterwards. Pure."""

from collections.abc import Callable

import numpy as np

from sim.reproduce.words.detectors import SHAKE_HZ, banded, tilt_rad
from sim.reproduce.words.flight import ROW_S, Flight, Mask, Values
from sim.session.perceived import SEEN_TURNING_RAD_S
from sim.units import RAD_PER_DEG

THROWN_RAD = 32.0 * RAD_PER_DEG  # rad; own: four times a lean that is seen; hands tell no more then
COARSE_HZ = (20.0, 45.0)  # Hz; own: what motors sound coarse by
COARSE_SHARE = 0.004  # of command, rms; measured: half as much again as any sound aircraft
RATTLE_M_S2 = 0.25  # m/s2, rms; measured: more than twice what any sound aircraft shows
LATE_S = 0.4  # s; own: an ear tells one motor starting after the others from so much
FALTER_SHARE = 0.3  # of its siblings' speed; own: five semitones, which nobody overhears
DEAD_SHARE = 0.25  # of the speed before; own: far below what any throttle asks for in the air
THROTTLE_UP = 0.2  # of throttle; own: nobody means the motors to stop above that
ONE_HOT_K, ALL_HOT_K = 3.0, 25.0  # K; own: what a finger tells apart, and "too hot to be right"
ONE_HOT_SHARE = 0.3  # of how warm the others are; own: among hot ones a finger wants more
ALARM_S = 0.5  # s; design: the alarm waits out a short dip

Heard = Callable[[Flight], bool]


def in_the_air(flight: Flight) -> Mask:
    """Return the rows in the air, motors on, before it is thrown over: then motors sound as they like."""
    off = flight.off_s
    flown = np.zeros(len(flight.track), bool) if off is None else flight.track["time_s"] >= off
    over = np.flatnonzero(tilt_rad(flight) > THROWN_RAD)
    if over.size:
        flown = flown & (np.arange(len(flown)) < over[0])
    rows: Mask = flown & flight.armed
    return rows


def _rattle(flight: Flight) -> bool:
    rows = in_the_air(flight)
    shakes = (flight.track[f"accel_{axis}_m_s2"][rows] for axis in "xy")
    return max(banded(shake, SHAKE_HZ) for shake in shakes) > RATTLE_M_S2


def _coarse(flight: Flight) -> bool:
    drives = flight.drives()[in_the_air(flight)]
    return max(banded(drives[:, i], COARSE_HZ) for i in range(4)) > COARSE_SHARE


def started_s(flight: Flight) -> Values:
    """Return when each rotor was first seen to turn, s from the beginning; infinite if it never was."""
    turning = (flight.speeds() > SEEN_TURNING_RAD_S) & flight.armed[:, None]
    first = np.argmax(turning, axis=0) * ROW_S
    return np.where(turning.any(axis=0), first, np.inf)


def _late(flight: Flight) -> bool:
    began = started_s(flight)
    there = began[np.isfinite(began)]
    return there.size > 1 and bool(there.max() - np.median(there) > LATE_S)


def _silent(flight: Flight) -> bool:
    began = started_s(flight)
    return bool(np.isinf(began).any() and np.isfinite(began).any())


def _faltered(flight: Flight) -> bool:
    speeds = flight.speeds()[in_the_air(flight)]
    if not len(speeds):
        return False
    siblings = np.maximum(np.median(speeds, axis=1), SEEN_TURNING_RAD_S)
    slow = speeds.min(axis=1) < (1.0 - FALTER_SHARE) * siblings
    return bool(slow.any())


def _went_dead(flight: Flight) -> bool:
    rows = flight.armed & (flight.track["stick_throttle"] > THROTTLE_UP)
    fastest = flight.speeds().max(axis=1)[rows]
    if not len(fastest):
        return False
    before = np.maximum.accumulate(fastest)
    return bool((fastest < DEAD_SHARE * before).any())


def _one_hot(flight: Flight) -> bool:
    middle = float(np.median(flight.rotors_k))
    warm = middle - flight.known.air_k
    return max(flight.rotors_k) - middle > max(ONE_HOT_K, ONE_HOT_SHARE * warm)


def _all_hot(flight: Flight) -> bool:
    return float(np.median(flight.rotors_k)) - flight.known.air_k > ALL_HOT_K


def _alarm(flight: Flight) -> bool:
    low = (flight.track["shown_pack_v"] < flight.known.alarm_v) & flight.armed
    need = round(ALARM_S / ROW_S)
    return bool(len(low) >= need and np.convolve(low, np.ones(need), "valid").max() >= need - 0.5)


HEARD: dict[str, tuple[str, Heard]] = {
    "rattle": ("a rattle or a buzz through the frame", _rattle),
    "rough": ("rough motors, coarse at a steady stick", _coarse),
    "motor-late": ("one motor started after the others", _late),
    "motor-silent": ("one motor never turned", _silent),
    "motor-faltered": ("one motor faltered or stopped in the air", _faltered),
    "went-dead": ("all motors went down together, uncalled for", _went_dead),
    "one-hot": ("one motor hotter than the others afterwards", _one_hot),
    "all-hot": ("all motors hot afterwards", _all_hot),
    "alarm": ("the low-voltage alarm", _alarm),
}
"""What is heard and felt, by the word of the report: (in a sentence, detector)."""
