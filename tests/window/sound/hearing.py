"""What a sound-level meter and an analyser would say of a sound."""

from dataclasses import replace
from math import pi

import numpy as np
from scipy.signal import periodogram

from sim.window.sound import RATE_HZ, SoundFrame
from sim.window.sound.rotors import REFERENCE

TURN_RAD = 2.0 * pi  # rad in a turn


def level_db(wave_pa) -> float:
    """Sound pressure level, dB re 20 uPa (ISO 1683)."""
    return 20.0 * float(np.log10(np.sqrt(np.mean(np.square(wave_pa, dtype=float))) / 20e-6))


def spectrum(wave):
    """Frequencies and power at each, one second a bin of one hertz, windowed."""
    return periodogram(wave, RATE_HZ, window="hann", scaling="spectrum")


def strongest_hz(wave, low_hz: float = 0.0, high_hz: float = RATE_HZ / 2) -> float:
    f_hz, power = spectrum(wave)
    inside = (f_hz >= low_hz) & (f_hz <= high_hz)
    return float(f_hz[inside][np.argmax(power[inside])])


def band_db(wave_pa, centre_hz: float) -> float:
    """Level in the third of an octave round a frequency, dB."""
    f_hz, power = spectrum(wave_pa)
    inside = (f_hz >= centre_hz * 2 ** (-1 / 6)) & (f_hz < centre_hz * 2 ** (1 / 6))
    return 10.0 * float(np.log10(power[inside].sum() / 1.5 / 20e-6**2))  # 1.5: hann noise width


def steady(turns_per_s: float = 80.0, unlike: float = 0.0, rows: int = 4):
    """Speeds of four rotors, rad/s, a little unlike each other if asked for."""
    each = turns_per_s * (1.0 + unlike * np.array([0.0, 0.31, -0.47, 0.83]))
    return np.tile(each * TURN_RAD, (rows, 1))


def frame(speeds=None, **changed) -> SoundFrame:
    """A frame of sound at full volume, three metres away; nothing turns unless given."""
    still = SoundFrame(
        speeds_rad_s=np.zeros((1, 4)) if speeds is None else speeds,
        rotors=REFERENCE,
        distance_m=3.0,
        props_fitted=True,
        alarm=False,
        shout_m=0.0,
        crash=False,
        volume=1.0,
    )
    return replace(still, **changed)


def heard(mixer, given: SoundFrame, seconds: float, block: int = 735):
    """Samples of a state kept for some time, in blocks as for a picture frame."""
    blocks = round(seconds * RATE_HZ / block)
    return np.concatenate([mixer.block(given, block) for _ in range(blocks)])
