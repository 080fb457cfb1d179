"""The sound of four rotors, computed from their speeds: propellers, or bare motors on the bench.

Two parts for each propeller. Tones at the harmonics of blade passing come from the blades' loading,
a dipole source: sound power as the sixth power of the tip speed. Hiss comes from the trailing edges:
as the fifth, in a band that goes with tip speed over chord. Both go with the area of the blades, so
propellers of one shape sound alike at one tip speed: a small one higher, and fainter as its diameter. A loop that rings swings the speeds, and with them pitch and loudness; the roughness
one hears is nothing added, it is only the speeds followed closely.
"""

from functools import lru_cache
from math import pi

import numpy as np
from numpy.typing import NDArray

from sim.window.sound.frame import RATE_HZ, Rotors, Samples
from sim.window.sound.waves import Loop, Ramp, Table, hiss, pressure_pa

BLADES = 2  # 1; every propeller table is of two blades (assets/tables)
REFERENCE_M = 0.254  # m; propeller that POWER_LEVEL_DB is taken for
REFERENCE_RAD_S = 514.0  # rad/s; own: hover of 1.5 kg on four of them
POWER_LEVEL_DB = 86.0  # dB re 1 pW; Acoustics 4 (2022) 297: small multirotor, dB(A) taken as it is
FLOOR_DB = 8.0  # dB; 10 lg(2 pi): from sound power to pressure at 1 m over a hard floor
TONE_DB = -1.0  # dB re all; own: four fifths of the power is in the tones
HISS_DB = -7.0  # dB re all; own: the other fifth
HARMONIC_STEP_DB = -4.0  # dB a harmonic; own: falls slower than steady loading gives, as heard
HARMONICS = 8  # 1; own: enough for the timbre
UNLIKE_DB = -22.0  # dB re first harmonic; own: two blades are never quite alike
HISS_LOW_HZ, HISS_HIGH_HZ = 700.0, 5000.0  # Hz; own: the broad hump of small propellers
HISS_SHIFT = (0.5, 3.0)  # 1; own: the band is moved no further, so that it stays within hearing
HISS_SWING = 0.35  # 1; own: hiss swells at blade passing
HISS_SAMPLES = 2**18  # samples, 6 s; own: too long to be heard coming back
SEED = 20  # own: any

WHINE_PER_TURN = 14  # 1/turn; own: magnet poles of the usual outrunner
WHINE_POWER = 2.0  # 1; own: pressure as the area of the motors, which goes with the propellers
WHINE_DB = 58.0  # dB at 1 m, four together at the reference speed; own: an ordinary bare motor
WHINE_PARTS = {1: 1.0, 2: 0.3, 3: 0.5}  # 1; own: third part is the drive's six steps

HEARD_HZ = RATE_HZ / 2.0  # Hz; sampling theorem: what is higher would come back as a lower tone
SPARE = 1.1  # 1; own: whatever crashes do, no rotor is followed past this times its top speed
REST_RAD_S = 5.0  # rad/s; own: below this a rotor is 100 dB down
FADE_PER_S = 25.0  # 1/s; own: 40 ms for coming and going
START_TURNS = (
    0.0,
    0.65,
    0.69,
    0.77,
)  # turns; own: at like speeds every harmonic adds as unlike phases do

PROPELLERS_DB = POWER_LEVEL_DB - FLOOR_DB  # dB at 1 m, four together, at the reference speed
ONE_OF_FOUR = 0.5  # 1; four of unlike phase add up in power


def _table(parts: dict[int, float], top_rad_s: float) -> Table:
    """Return one turn of a sound, without what the top speed would take past hearing."""
    turns_per_s = SPARE * top_rad_s / (2.0 * pi)
    kept = {order: part for order, part in parts.items() if order * turns_per_s < HEARD_HZ}
    return Table(kept or {min(parts): 1.0})


def _blade_parts() -> dict[int, float]:
    """Return the orders of a propeller's turn: blade-passing harmonics, and how unlike the blades are."""
    ratio = 10.0 ** (HARMONIC_STEP_DB / 20.0)
    parts = {BLADES * (k + 1): ratio**k for k in range(HARMONICS)}
    return parts | {order: 10.0 ** (UNLIKE_DB / 20.0) for order in (1, BLADES + 1)}


@lru_cache(maxsize=8)
def _hiss(shift: float) -> Samples:
    """Return the hiss in a band `shift` times as high."""
    return hiss(HISS_SAMPLES, shift * HISS_LOW_HZ, shift * HISS_HIGH_HZ, SEED)


def spread(start: NDArray[np.float64], speeds: NDArray[np.float64], samples: int) -> Samples:
    """Return speeds given at equal steps as speeds at every sample, rotor by rotor."""
    knots = np.linspace(0.0, samples, len(speeds) + 1)
    at = np.arange(1.0, samples + 1.0)
    rows = np.vstack((start, speeds))
    columns = [np.interp(at, knots, rows[:, rotor]) for rotor in range(rows.shape[1])]
    return np.array(columns)


def any_turns(speeds_rad_s: NDArray[np.float64]) -> bool:
    """Tell whether any rotor turns at any time of a frame."""
    return bool(np.max(np.abs(speeds_rad_s), initial=0.0) > REST_RAD_S)


REFERENCE = Rotors(REFERENCE_M, 2.5 * REFERENCE_RAD_S)


class RotorVoice:
    """Four rotors as heard at one metre.

    Parameters
    ----------
    rotors : Rotors
        What turns.
    hissing : bool
        Whether the broadband part is heard too.
    """

    def __init__(self, rotors: Rotors = REFERENCE, hissing: bool = True) -> None:
        self.rotors = rotors
        size = rotors.diameter_m / REFERENCE_M
        self._ratio = size / REFERENCE_RAD_S  # tip speeds: w D over those of the reference
        self._top_rad_s = SPARE * rotors.top_rad_s
        self._blades = _table(_blade_parts(), rotors.top_rad_s)
        self._swell = Table({BLADES: 1.0})
        whine = {WHINE_PER_TURN * part: share for part, share in WHINE_PARTS.items()}
        self._whine = _table(whine, rotors.top_rad_s)
        self._hiss = Loop(_hiss(min(max(1.0 / size, HISS_SHIFT[0]), HISS_SHIFT[1])))
        one_pa = ONE_OF_FOUR * pressure_pa(PROPELLERS_DB) * size
        self._tone_pa = one_pa * 10.0 ** (TONE_DB / 20.0)
        self._hiss_pa = one_pa * 10.0 ** (HISS_DB / 20.0) if hissing else 0.0
        self._whine_pa = ONE_OF_FOUR * pressure_pa(WHINE_DB) * size**WHINE_POWER
        self._turns = np.array(START_TURNS)
        self._last = np.zeros(len(START_TURNS))
        self._gate = Ramp(FADE_PER_S)
        self._fitted = Ramp(FADE_PER_S)

    def block(self, speeds_rad_s: NDArray[np.float64], fitted: bool, samples: int) -> Samples:
        """Return the next samples, Pa at 1 m.

        Speeds are at equal steps over the block, the last at its end. When all of them are at
        rest, what turned before fades where it was, and what turns next begins where it is.
        """
        speeds = np.clip(np.nan_to_num(np.abs(speeds_rad_s)), 0.0, self._top_rad_s)
        turning = any_turns(speeds)
        if self._gate.value == 0.0:
            if not turning:
                return np.zeros(samples)
            self._last = speeds[0]
            self._fitted.value = float(fitted)
        gain = self._gate.block(float(turning), samples)
        at_samples = spread(self._last, speeds if turning else self._last[None, :], samples)
        self._last = at_samples[:, -1].copy()
        sound = self._sound(at_samples, self._fitted.block(float(fitted), samples))
        sound *= gain
        return sound

    def _sound(self, speeds: Samples, fitted: Samples) -> Samples:
        steps = speeds / (2.0 * pi * RATE_HZ)
        turns = self._turns[:, None] + np.cumsum(steps, axis=1)
        self._turns = turns[:, -1] % 1.0
        ratio = speeds * self._ratio
        sound = np.zeros(speeds.shape[1])
        if fitted.any():
            sound += fitted * self._propellers(turns, ratio)
        if not fitted.all():
            whine = self._whine_pa * ratio * self._whine.read(turns)
            sound += (1.0 - fitted) * whine.sum(axis=0)
        return sound

    def _propellers(self, turns: Samples, ratio: Samples) -> Samples:
        square = ratio * ratio
        tones: Samples = (square * ratio * self._blades.read(turns)).sum(axis=0)
        swell = 1.0 + HISS_SWING * self._swell.read(turns)
        edges = np.sqrt((square * square * ratio * swell * swell).sum(axis=0))
        tones *= self._tone_pa
        tones += self._hiss_pa * edges * self._hiss.block(turns.shape[1])
        return tones
