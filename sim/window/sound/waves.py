"""Building stones of sound: levels, tables of one period, seeded noise, steady ramps."""

from collections.abc import Mapping
from math import pi

import numpy as np

from sim.window.sound.frame import RATE_HZ, Samples

REFERENCE_PA = 20e-6  # Pa; ISO 1683: 0 dB of sound pressure in air
TABLE_SIZE = 4096  # entries of one period; own: the 16th harmonic still has 256


def pressure_pa(level_db: float) -> float:
    """Return the root-mean-square pressure of a sound pressure level, Pa."""
    return float(REFERENCE_PA * 10.0 ** (level_db / 20.0))


def unit_rms(wave: Samples) -> Samples:
    """Return a wave scaled to a root mean square of 1."""
    return wave / float(np.sqrt(np.mean(wave * wave)))


class Table:
    """One period of a sum of harmonics, root mean square 1, read with linear interpolation.

    Parameters
    ----------
    amplitudes : mapping
        Amplitude of each harmonic by its order. Phases are spread (by Schroeder's rule for a low
        crest factor), so that the wave has no spike.
    """

    def __init__(self, amplitudes: Mapping[int, float]) -> None:
        turns = np.arange(TABLE_SIZE) / TABLE_SIZE
        wave = np.zeros(TABLE_SIZE)
        for place, (order, amplitude) in enumerate(amplitudes.items()):
            spread = pi * place * (place + 1) / len(amplitudes)
            wave += amplitude * np.sin(2.0 * pi * order * turns + spread)
        self._wave = unit_rms(wave)
        self._rise = np.roll(self._wave, -1) - self._wave

    def read(self, turns: Samples) -> Samples:
        """Return the wave at phases in turns, 0 or more."""
        place = turns * TABLE_SIZE
        whole = place.astype(np.int64)
        part = place - whole
        whole &= TABLE_SIZE - 1
        part *= self._rise[whole]
        part += self._wave[whole]
        return part


class Ramp:
    """A value that goes to its target at a steady rate, so that no gain ever jumps."""

    def __init__(self, per_s: float, value: float = 0.0) -> None:
        self._step = per_s / RATE_HZ
        self.value = value

    def block(self, target: float, samples: int) -> Samples:
        """Return the next values on the way to the target."""
        if self.value == target:
            return np.full(samples, target)
        reach = self._step * np.arange(1, samples + 1)
        values: Samples = np.clip(target, self.value - reach, self.value + reach)
        self.value = float(values[-1])
        return values


def hiss(samples: int, low_hz: float, high_hz: float, seed: int) -> Samples:
    """Return seeded noise, a broad hump between two corners, that joins up end to start."""
    white = np.random.default_rng(seed).standard_normal(samples)
    f_hz = np.fft.rfftfreq(samples, 1.0 / RATE_HZ)
    low, high = (f_hz / low_hz) ** 2, (f_hz / high_hz) ** 2
    shape = low / (1.0 + low) / (1.0 + high)  # 12 dB an octave off both sides
    return unit_rms(np.fft.irfft(np.fft.rfft(white) * shape, samples))


class Loop:
    """A wave read round and round."""

    def __init__(self, wave: Samples) -> None:
        self._wave = wave
        self._next = 0

    def block(self, samples: int) -> Samples:
        """Return the next samples."""
        places = np.arange(self._next, self._next + samples) % len(self._wave)
        self._next = (self._next + samples) % len(self._wave)
        return self._wave[places]

    def rewind(self) -> None:
        """Begin again with the first sample."""
        self._next = 0
