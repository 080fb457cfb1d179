"""Sounds that are not the rotors': the low-voltage alarm, a switch, a crash."""

from math import pi

import numpy as np

from sim.window.sound.frame import RATE_HZ, Samples
from sim.window.sound.waves import Loop, Ramp, hiss, pressure_pa, unit_rms

# The alarm: three like pulses, then a pause. From memory of the medical alarm standard
# (IEC 60601-1-8, medium priority): three pulses of 0.125-0.25 s, 150-1000 Hz with four harmonics.
ALARM_HZ = 740.0  # Hz; own, within that range
ALARM_PARTS = (1.0, 0.8, 0.7, 0.6, 0.4)  # 1; own: harmonics, so that no room mode swallows it
ALARM_DB = 85.0  # dB at 1 m, while it sounds; own: a loud small sounder on the aircraft
PULSES = 3  # 1; as above
PULSE_S = 0.2  # s; own, within that range
PULSE_EVERY_S = 0.4  # s; own
PULSE_EDGE_S = 0.02  # s; own: soft enough not to startle
BURST_EVERY_S = 2.5  # s; own
ALARM_FADE_PER_S = 50.0  # 1/s; own: 20 ms

THUD_HZ = 85.0  # Hz; own: a light frame on a concrete floor
THUD_PA = 1.5  # Pa at 1 m, about the peak; own
THUD_DECAY_S = 0.07  # s; own
THUD_S = 0.5  # s; own: by then it is 60 dB down
CRUNCH_DECAY_S = 0.03  # s; own: propellers on the floor
CRUNCH_LOW_HZ, CRUNCH_HIGH_HZ = 200.0, 2500.0  # Hz; own
CRUNCH_SHARE = 0.35  # 1; own: of the thud's pressure
THUD_SEED = 21  # own: any

SHOUT_DB = 88.0  # dB at 1 m; own: 10 dB over very loud speech, 78 dB(A) in ISO 9921 (from memory)
SHOUT_S = 0.32  # s; own: one short word
SHOUT_HZ = 240.0  # Hz; own: a raised voice
SHOUT_FALL = 0.25  # 1; own: the pitch falls by so much
SHOUT_TOP_HZ = 4000.0  # Hz; own: above it a voice has little
STOP_S = 0.03  # s; own: the puff of a hard consonant
FORMANTS = ((700.0, 110.0, 1.0), (1220.0, 130.0, 0.6), (2600.0, 180.0, 0.25), (3500.0, 250.0, 0.12))
# Hz, Hz, 1: middle, width, strength; from memory: the open vowel of "cut" (Peterson and Barney 1952)
SHOUT_AGAIN_S = 1.1  # s; own: called again as long as it is needed

CLICK_HZ = 2300.0  # Hz; own: a small lever of metal
CLICK_PA = 0.06  # Pa at the ear; own: a switch in the hand
CLICK_DECAY_S = 0.003  # s; own
CLICK_S = 0.03  # s; own
EDGE_S = 0.001  # s; own: first and last of a short sound rise and fall this long


def edged(wave: Samples, edge_s: float) -> Samples:
    """Return a wave that rises from nothing and falls to nothing."""
    edge = round(edge_s * RATE_HZ)
    ends = np.minimum(np.arange(len(wave)), np.arange(len(wave))[::-1]) / edge
    rise: Samples = np.sin(0.5 * pi * np.minimum(ends, 1.0)) ** 2
    return wave * rise


def seconds(duration_s: float) -> Samples:
    """Return the time of each sample of a stretch, s."""
    return np.arange(round(duration_s * RATE_HZ)) / RATE_HZ


def thud() -> Samples:
    """Return the sound of the aircraft coming down hard, Pa at 1 m."""
    t = seconds(THUD_S)
    crunch = hiss(len(t), CRUNCH_LOW_HZ, CRUNCH_HIGH_HZ, THUD_SEED) * np.exp(-t / CRUNCH_DECAY_S)
    body = np.sin(2.0 * pi * THUD_HZ * t) * np.exp(-t / THUD_DECAY_S)
    return edged(THUD_PA * (body + CRUNCH_SHARE * crunch), EDGE_S)


def click() -> Samples:
    """Return the sound of a switch in the hand, Pa at the ear."""
    t = seconds(CLICK_S)
    return edged(CLICK_PA * np.sin(2.0 * pi * CLICK_HZ * t) * np.exp(-t / CLICK_DECAY_S), EDGE_S)


def shout() -> Samples:
    """Return a short call of a voice, Pa at 1 m: a buzz of the throat through four resonances."""
    t = seconds(SHOUT_S)
    pitch_hz = SHOUT_HZ * (1.0 + SHOUT_FALL * (0.5 - t / SHOUT_S))
    turns = np.cumsum(pitch_hz) / RATE_HZ
    wave = np.zeros(len(t))
    for k in range(1, int(SHOUT_TOP_HZ / SHOUT_HZ)):
        f_hz = k * SHOUT_HZ
        loud = sum(
            a / (1.0 + ((f_hz - mid) / (0.5 * wide)) ** 2) ** 0.5 for mid, wide, a in FORMANTS
        )
        wave += loud / k**0.5 * np.sin(2.0 * pi * k * turns + 1.7 * k * k)
    stop = round(STOP_S * RATE_HZ)
    wave = pressure_pa(SHOUT_DB) * unit_rms(wave) * np.minimum(1.0, 3.0 * (1.0 - t / SHOUT_S))
    puff = hiss(stop, 1500.0, 5000.0, THUD_SEED + 1) * np.exp(-np.arange(stop) / (0.3 * stop))
    wave[:stop] += 0.5 * pressure_pa(SHOUT_DB) * puff
    return edged(wave, EDGE_S)


def burst() -> Samples:
    """Return one round of the alarm, pulses and pause, Pa at 1 m."""
    t = seconds(PULSE_S)
    tone = sum(
        (a * np.sin(2.0 * pi * ALARM_HZ * (k + 1) * t) for k, a in enumerate(ALARM_PARTS)),
        np.zeros(len(t)),
    )
    pulse = edged(pressure_pa(ALARM_DB) * unit_rms(tone), PULSE_EDGE_S)
    whole = np.zeros(round(BURST_EVERY_S * RATE_HZ))
    for i in range(PULSES):
        begin = round(i * PULSE_EVERY_S * RATE_HZ)
        whole[begin : begin + len(pulse)] = pulse
    return whole


class Repeated:
    """A sound again and again, from its beginning each time it comes on."""

    def __init__(self, wave: Samples) -> None:
        self._loop = Loop(wave)
        self._gate = Ramp(ALARM_FADE_PER_S)

    def block(self, on: bool, samples: int) -> Samples:
        """Return the next samples, Pa at 1 m."""
        if self._gate.value == 0.0:
            if not on:
                return np.zeros(samples)
            self._loop.rewind()
        return self._gate.block(float(on), samples) * self._loop.block(samples)


class Alarm(Repeated):
    """The low-voltage alarm."""

    def __init__(self) -> None:
        super().__init__(burst())


class Calls(Repeated):
    """The spotter's calls."""

    def __init__(self) -> None:
        rest = np.zeros(round((SHOUT_AGAIN_S - SHOUT_S) * RATE_HZ))
        super().__init__(np.concatenate([shout(), rest]))


class Shots:
    """Short sounds set off at a moment, played to their end, over one another."""

    def __init__(self) -> None:
        self._playing: list[Samples] = []

    def start(self, wave: Samples) -> None:
        """Set one off at the next sample."""
        self._playing.append(wave)

    def block(self, samples: int) -> Samples:
        """Return the next samples of all that still play."""
        out = np.zeros(samples)
        for wave in self._playing:
            out[: len(wave)] += wave[:samples]
        self._playing = [wave[samples:] for wave in self._playing if len(wave) > samples]
        return out
