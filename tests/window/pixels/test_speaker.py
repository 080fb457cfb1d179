"""The loudspeaker through the real media library: its dummy card, its disk card, and none at all.

The dummy card keeps only roughly to the clock, so counts of blocks are never asserted.
"""

import time
from collections.abc import Iterator
from types import SimpleNamespace

import numpy as np
import pygame
import pytest

from sim.window.pixels import speaker as module
from sim.window.pixels.speaker import MOST_MS, TARGET_MS, ChannelOutput, NoSound, Speaker
from sim.window.sound import RATE_HZ, Mixer
from tests.window.sound.hearing import frame, steady

HOVER = frame(steady(80.0))
CARD_CHUNK = 512  # samples; what the card takes at once


@pytest.fixture(autouse=True)
def _no_card_left_open() -> Iterator[None]:
    yield
    pygame.mixer.quit()


@pytest.fixture
def no_card(monkeypatch) -> None:
    monkeypatch.setenv("SDL_AUDIODRIVER", "no-such-driver")


class Card:
    """A card of ours that plays only when told to."""

    def __init__(self) -> None:
        self.waiting: list[int] = []
        self.broken = self.closed = False

    def level(self) -> int:
        return len(self.waiting)

    def wanted(self, target: int) -> int:
        return max(0, target - len(self.waiting))

    def push(self, samples) -> None:
        if self.broken:
            raise NoSound("the sound card is gone")
        self.waiting.extend(samples.tolist())

    def play(self, seconds: float) -> list[int]:
        count = round(seconds * RATE_HZ)
        played, self.waiting = self.waiting[:count], self.waiting[count:]
        return played

    def close(self) -> None:
        self.closed = True


@pytest.fixture
def card(monkeypatch) -> Card:
    made = Card()
    monkeypatch.setattr(module, "open_output", lambda: made)
    return made


def ms(samples: int) -> float:
    return 1e3 * samples / RATE_HZ


def test_the_library_pygame_has_loaded_is_used():
    output = module.QueueOutput()
    assert output.level() == 0
    output.push(np.zeros(RATE_HZ, dtype=np.int16))
    assert 0 < output.level() <= RATE_HZ
    output.close()


def levels_ms(speaker: Speaker, frames: int) -> list[float]:
    """Levels after filling up; a busy machine may let some of it be played before they are read."""
    read = []
    for _ in range(frames):
        speaker.top_up(HOVER)
        read.append(speaker.level_ms)
    return read


def test_a_frame_fills_up_to_the_target():
    speaker = Speaker(Mixer())
    assert speaker.why_silent is None
    filled_ms = max(levels_ms(speaker, 10))
    assert TARGET_MS - ms(CARD_CHUNK) <= filled_ms <= speaker.target_ms + 0.1
    speaker.close()
    assert speaker.level_ms == 0.0


def test_what_is_played_is_what_was_mixed(monkeypatch, tmp_path):
    """The disk card writes what it plays: the file holds the mixer's samples in their order."""
    played = tmp_path / "played.raw"
    monkeypatch.setenv("SDL_AUDIODRIVER", "disk")
    monkeypatch.setenv("SDL_DISKAUDIOFILE", str(played))
    mixer, output = Mixer(), module.QueueOutput()
    mixed = np.concatenate([mixer.block(HOVER, 735) for _ in range(12)])
    output.push(np.concatenate([mixed, np.zeros(8 * CARD_CHUNK, dtype=np.int16)]))
    while output.level() > 0:
        time.sleep(0.01)
    output.close()
    written = np.fromfile(played, dtype=np.int16)
    start = np.flatnonzero(written)[0] - np.flatnonzero(mixed)[0]  # silence before the first
    assert start >= 0
    assert np.array_equal(written[start : start + len(mixed)], mixed)


def test_heavy_uneven_frames_leave_no_gap(card):
    """Twenty seconds by a clock of our own: 60 frames a second, each up to 13 ms late."""
    speaker, late = Speaker(Mixer()), np.random.default_rng(3)
    chunks, lowest_ms = 0, TARGET_MS
    for k in range(1200):
        now_s = k / 60.0 + late.uniform(0.0, 0.013)
        while (chunks + 1) * CARD_CHUNK / RATE_HZ <= now_s:  # the card takes whole chunks
            card.play(CARD_CHUNK / RATE_HZ)
            chunks += 1
        lowest_ms = min(lowest_ms, speaker.level_ms) if k else lowest_ms
        speaker.top_up(HOVER)
    assert speaker.under_runs == 0
    # longest time between frames 29.7 ms; one chunk more may fall into it
    assert lowest_ms >= TARGET_MS - 29.7 - ms(CARD_CHUNK)


def test_only_what_is_missing_is_synthesised(card):
    speaker = Speaker(Mixer())
    speaker.top_up(HOVER)
    card.play(0.0167)
    assert speaker.level_ms == pytest.approx(TARGET_MS - 16.7, abs=0.1)
    speaker.top_up(HOVER)
    assert speaker.level_ms == pytest.approx(TARGET_MS, abs=0.1)
    speaker.top_up(HOVER)
    assert speaker.level_ms == pytest.approx(TARGET_MS, abs=0.1)
    assert speaker.under_runs == 0


def test_an_empty_queue_is_counted_and_more_is_kept_from_then_on(card):
    speaker = Speaker(Mixer())
    speaker.top_up(HOVER)
    for gaps in range(1, 8):
        card.play(0.2)
        speaker.top_up(HOVER)
        assert speaker.under_runs == gaps
        assert (
            abs(card.waiting[0]) <= 10
        )  # of 32767: it fades in again: the break itself is all that is heard
    assert speaker.level_ms == pytest.approx(MOST_MS, abs=0.1)
    assert speaker.target_ms == MOST_MS


def test_closing_fades_out(card, monkeypatch):
    heard = []
    monkeypatch.setattr(
        module,
        "time",
        SimpleNamespace(
            sleep=lambda seconds: heard.extend(card.play(seconds)),
            perf_counter=lambda: ms(len(heard)) / 1e3,
        ),
    )
    speaker = Speaker(Mixer())
    for _ in range(20):
        speaker.top_up(HOVER)
        heard.extend(card.play(0.017))
    loud = max(map(abs, heard))
    speaker.close()
    assert card.closed
    assert max(map(abs, heard[-200:])) < 0.01 * loud
    assert abs(np.diff(heard)).max() < 0.5 * loud
    assert speaker.why_silent is not None
    speaker.close()
    speaker.top_up(HOVER)


def test_a_card_that_vanishes_leaves_a_silent_speaker(card):
    speaker = Speaker(Mixer())
    card.broken = True
    speaker.top_up(HOVER)
    assert speaker.why_silent == "No sound: the sound card is gone."
    assert card.closed
    speaker.top_up(HOVER)
    assert speaker.level_ms == 0.0


@pytest.mark.usefixtures("no_card")
def test_without_a_card_it_is_silent_and_says_why():
    speaker = Speaker(Mixer())
    assert speaker.why_silent is not None
    assert speaker.why_silent.startswith("No sound: ")
    speaker.top_up(HOVER)
    assert (speaker.level_ms, speaker.under_runs) == (0.0, 0)
    speaker.close()


def test_without_the_library_pygames_channel_is_fed(monkeypatch):
    monkeypatch.setattr(module, "loaded_libraries", lambda: iter(()))
    speaker = Speaker(Mixer())
    assert isinstance(speaker._output, ChannelOutput)
    assert ms(1024) <= max(levels_ms(speaker, 10)) <= ms(2048) + 0.1
    speaker.close()
    assert pygame.mixer.get_init() is None


@pytest.mark.usefixtures("no_card")
def test_with_neither_it_says_why(monkeypatch):
    monkeypatch.setattr(module, "loaded_libraries", lambda: iter(()))
    assert Speaker(Mixer()).why_silent == "No sound: the media library was not found."
