"""What the pilot hears, computed from what the aircraft does; numbers only, no sound card."""

from sim.window.sound.frame import RATE_HZ, Rotors, SoundFrame
from sim.window.sound.mixer import Mixer

__all__ = ["RATE_HZ", "Mixer", "Rotors", "SoundFrame"]
