"""The loudspeaker: what the mixer computes, pushed to the sound card once a picture frame.

Pushing needs no second thread, so heavy frames don't tear the sound. It goes through the very
library pygame has loaded; where that can't be found pygame's own channel is fed instead, later to
the ear. Without any sound card the speaker is silent and says why.
"""

import sys
import time
from collections.abc import Iterator
from ctypes import (
    CDLL,
    POINTER,
    Structure,
    byref,
    c_char_p,
    c_int,
    c_uint8,
    c_uint16,
    c_uint32,
    c_void_p,
)
from dataclasses import replace
from pathlib import Path
from typing import Protocol

import numpy as np
import pygame
from numpy.typing import NDArray

from sim.window.sound import RATE_HZ, Mixer, SoundFrame

TARGET_MS = 45.0  # ms; measured: the queue never fell below 22 ms with 13 ms of work a frame
MORE_MS = 15.0  # ms; own: added to the target after a gap, for slow computers
MOST_MS = 105.0  # ms; own: later than that sound and picture part
CHUNK = 512  # samples, 12 ms; own: what the card takes at a time
CHANNEL_CHUNK = 1024  # samples, 23 ms; pygame: a channel holds two of them
FADE_MS = 60.0  # ms; own: the mixer's volume ramp and a little silence
PAUSE_S = 0.005  # s; own: between two looks while fading out
AUDIO = 0x10  # SDL 2: SDL_INIT_AUDIO
SIGNED_16 = 0x8010 if sys.byteorder == "little" else 0x9010  # SDL 2: AUDIO_S16SYS
SAMPLE_BYTES = 2  # bytes; signed 16 bit, mono


class _Spec(Structure):
    _fields_ = (
        ("freq", c_int),
        ("format", c_uint16),
        ("channels", c_uint8),
        ("silence", c_uint8),
        ("samples", c_uint16),
        ("padding", c_uint16),
        ("size", c_uint32),
        ("callback", c_void_p),
        ("userdata", c_void_p),
    )


class NoSound(Exception):
    """Why nothing can be heard."""


class Output(Protocol):
    """A way to the sound card."""

    def level(self) -> int:
        """Return how many samples still wait to be played."""

    def wanted(self, target: int) -> int:
        """Return how many samples to push now, for so many to wait."""

    def push(self, samples: NDArray[np.int16]) -> None:
        """Append samples to what waits."""

    def close(self) -> None:
        """Let go of the sound card."""


def loaded_libraries() -> Iterator[Path]:
    """Yield where the media library that pygame has loaded may lie, surest first."""
    maps = Path("/proc/self/maps")
    if maps.exists():
        files = {line.split(maxsplit=5)[-1] for line in maps.read_text().splitlines()}
        yield from (Path(f) for f in sorted(files) if Path(f).name.startswith("libSDL2-2"))
    home = Path(pygame.__file__).parent
    for pattern in ("SDL2.dll", ".dylibs/libSDL2-2*.dylib", "../pygame_ce.libs/libSDL2-2*"):
        yield from home.glob(pattern)


def _library() -> CDLL:
    found = next(loaded_libraries(), None)
    if found is None:
        raise NoSound("the media library was not found")
    lib = CDLL(str(found))
    lib.SDL_GetError.restype = c_char_p
    lib.SDL_InitSubSystem.argtypes = lib.SDL_QuitSubSystem.argtypes = (c_uint32,)
    lib.SDL_QuitSubSystem.restype = None
    lib.SDL_OpenAudioDevice.argtypes = (c_char_p, c_int, POINTER(_Spec), POINTER(_Spec), c_int)
    lib.SDL_OpenAudioDevice.restype = c_uint32
    lib.SDL_PauseAudioDevice.argtypes = (c_uint32, c_int)
    lib.SDL_PauseAudioDevice.restype = None
    lib.SDL_QueueAudio.argtypes = (c_uint32, c_void_p, c_uint32)
    lib.SDL_GetQueuedAudioSize.argtypes = (c_uint32,)
    lib.SDL_GetQueuedAudioSize.restype = c_uint32
    lib.SDL_CloseAudioDevice.argtypes = (c_uint32,)
    lib.SDL_CloseAudioDevice.restype = None
    return lib


class QueueOutput:
    """The library's own queue: any number of samples at a time."""

    def __init__(self) -> None:
        try:
            self._lib = _library()
        except (OSError, AttributeError) as fault:
            raise NoSound(f"the media library can't be used ({fault})") from None
        if self._lib.SDL_InitSubSystem(AUDIO) != 0:
            raise NoSound(f"there is no sound here ({self._error()})")
        wish = _Spec(freq=RATE_HZ, format=SIGNED_16, channels=1, samples=CHUNK)
        self._device = self._lib.SDL_OpenAudioDevice(None, 0, byref(wish), byref(_Spec()), 0)
        if self._device == 0:
            problem = self._error()
            self._lib.SDL_QuitSubSystem(AUDIO)
            raise NoSound(f"no sound card could be opened ({problem})")
        self._lib.SDL_PauseAudioDevice(self._device, 0)

    def _error(self) -> str:
        return bytes(self._lib.SDL_GetError() or b"").decode(errors="replace")

    def level(self) -> int:
        """Return how many samples still wait to be played."""
        return int(self._lib.SDL_GetQueuedAudioSize(self._device)) // SAMPLE_BYTES

    def wanted(self, target: int) -> int:
        """Return exactly what is missing."""
        return max(0, target - self.level())

    def push(self, samples: NDArray[np.int16]) -> None:
        """Append samples to the queue, which copies them."""
        if self._lib.SDL_QueueAudio(self._device, samples.ctypes.data, samples.nbytes) != 0:
            raise NoSound(f"the sound card is gone ({self._error()})")

    def close(self) -> None:
        """Let go of the sound card."""
        self._lib.SDL_CloseAudioDevice(self._device)
        self._lib.SDL_QuitSubSystem(AUDIO)


class ChannelOutput:
    """A channel of pygame: one chunk plays, one waits; what is left of them isn't known exactly."""

    def __init__(self) -> None:
        try:
            pygame.mixer.init(RATE_HZ, -16, 1, CHUNK, allowedchanges=0)
            self._channel = pygame.mixer.Channel(0)
        except (pygame.error, NotImplementedError) as problem:
            raise NoSound(f"no sound card could be opened ({problem})") from None

    def level(self) -> int:
        """Return how many samples are in the chunks not yet played out."""
        held = self._channel.get_busy() + (self._channel.get_queue() is not None)
        return CHANNEL_CHUNK * held

    def wanted(self, target: int) -> int:
        """Return what free chunks take."""
        return max(0, min(2 * CHANNEL_CHUNK, target) - self.level()) and CHANNEL_CHUNK

    def push(self, samples: NDArray[np.int16]) -> None:
        """Append a chunk."""
        self._channel.queue(pygame.mixer.Sound(buffer=samples.tobytes()))

    def close(self) -> None:
        """Let go of the sound card."""
        pygame.mixer.quit()


def open_output() -> Output:
    """Return the best way to the sound card; raise `NoSound` if there is none."""
    try:
        return QueueOutput()
    except NoSound as first:
        try:
            return ChannelOutput()
        except NoSound:
            raise first from None


class Speaker:
    """Keeps a little sound waiting in front of the card, synthesised frame by frame.

    Attributes
    ----------
    under_runs : int
        How often everything had been played out before more came.
    why_silent : str or None
        Why nothing can be heard; None while it can.
    """

    def __init__(self, mixer: Mixer) -> None:
        self.mixer = mixer
        self.under_runs = 0
        self.why_silent: str | None = None
        self._output: Output | None = None
        self._last: SoundFrame | None = None
        self._target_ms = TARGET_MS
        try:
            self._output = open_output()
        except NoSound as problem:
            self.why_silent = f"No sound: {problem}."

    @property
    def level_ms(self) -> float:
        """How much sound waits to be played, ms."""
        return 0.0 if self._output is None else 1e3 * self._output.level() / RATE_HZ

    @property
    def target_ms(self) -> float:
        """How much sound is kept waiting, ms; grows after gaps."""
        return self._target_ms

    def top_up(self, frame: SoundFrame) -> None:
        """Synthesise and push what is missing; call it once a picture frame."""
        if self._output is None:
            return
        if self._last is not None and self._output.level() == 0:
            self.under_runs += 1
            self._target_ms = min(self._target_ms + MORE_MS, MOST_MS)
            self.mixer.fade_in()
        self._last = frame
        self._fill(frame)

    def _fill(self, frame: SoundFrame) -> None:
        if self._output is None:
            return
        samples = self._output.wanted(round(self._target_ms * RATE_HZ / 1e3))
        try:
            if samples > 0:
                self._output.push(self.mixer.block(frame, samples))
        except NoSound as problem:
            self._output.close()
            self._output, self.why_silent = None, f"No sound: {problem}."

    def close(self) -> None:
        """Fade out, let the fade be heard, and let go of the sound card."""
        if self._output is None:
            return
        end_s = time.perf_counter() + (self._target_ms + FADE_MS) / 1e3
        while self._last is not None and time.perf_counter() < end_s:
            self._fill(replace(self._last, volume=0.0))
            time.sleep(PAUSE_S)
        if self._output is not None:
            self._output.close()
        self._output, self.why_silent = None, "No sound: it was closed."
