"""All sounds together at the pilot's ear, as the sound card takes them."""

import numpy as np
from numpy.typing import NDArray

from sim.window.sound.frame import Samples, SoundFrame
from sim.window.sound.rotors import RotorVoice, any_turns
from sim.window.sound.signals import Alarm, Calls, Shots, click, thud
from sim.window.sound.waves import Ramp

FULL_SCALE_PA = 0.63  # Pa; own: peaks of 90 dB, full throttle at 3 m, reach the loudest sample
KNEE = 0.6  # 1 of full scale; own: below it nothing is changed
NEAREST_M = 0.5  # m; own: nobody's ear is nearer
NEAR_PER_S = 40.0  # 1/m/s; own: from far to nearest in 50 ms
VOLUME_PER_S = 20.0  # 1/s; own: from silent to full in 50 ms
HIGHEST_SAMPLE = 32_767  # signed 16 bit


def softened(wave: Samples) -> Samples:
    """Return a wave held within -1 to 1, unchanged below the knee and bent smoothly above it."""
    size = np.abs(wave)
    if size.max(initial=0.0) <= KNEE:
        return wave
    room = 1.0 - KNEE
    bent = KNEE + room * np.tanh((size - KNEE) / room)
    return np.where(size > KNEE, np.copysign(bent, wave), wave)


class Mixer:
    """Everything that is heard, block after block without a seam.

    Gains move by ramps, noise is seeded: the same frames give the same samples, however they are
    cut into blocks.
    """

    def __init__(self) -> None:
        self._rotors = RotorVoice()
        self._alarm, self._calls = Alarm(), Calls()
        self._caller_m = 1.0
        self._far, self._hand = Shots(), Shots()
        self._thud, self._click = thud(), click()
        self._near = Ramp(NEAR_PER_S)
        self._volume = Ramp(VOLUME_PER_S)
        self._crashed = False

    def click(self) -> None:
        """Let a switch be heard with the next block."""
        self._hand.start(self._click)

    def fade_in(self) -> None:
        """Begin anew from silence: the sound has broken off, by no doing of ours."""
        self._volume.value = 0.0

    def block(self, frame: SoundFrame, samples: int) -> NDArray[np.int16]:
        """Return the next samples."""
        if samples < 1:
            return np.zeros(0, dtype=np.int16)
        if frame.crash and not self._crashed:
            self._far.start(self._thud)
        # a pause shows no crash and nothing that turns: the same crash is not heard again after it
        self._crashed = frame.crash or (self._crashed and not any_turns(frame.speeds_rad_s))
        self._caller_m = max(frame.shout_m, NEAREST_M) if frame.shout_m > 0.0 else self._caller_m
        if frame.rotors != self._rotors.rotors:
            self._rotors = RotorVoice(frame.rotors)
        aircraft = self._rotors.block(frame.speeds_rad_s, frame.props_fitted, samples)
        aircraft += self._alarm.block(frame.alarm, samples) + self._far.block(samples)
        near_per_m = self._near.block(1.0 / max(frame.distance_m, NEAREST_M), samples)
        ear_pa = near_per_m * aircraft + self._hand.block(samples)
        ear_pa += self._calls.block(frame.shout_m > 0.0, samples) / self._caller_m
        volume = min(max(frame.volume, 0.0), 1.0)
        gain = self._volume.block(volume * volume, samples)  # squared: even steps to the ear
        loud = HIGHEST_SAMPLE * gain * softened(ear_pa / FULL_SCALE_PA)
        return np.rint(loud).astype(np.int16)
