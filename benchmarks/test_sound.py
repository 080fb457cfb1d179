"""What the sound costs, and that it never runs dry. Run with `--benchmark-enable`."""

import os
import time

import numpy as np
import pytest

os.environ.setdefault("SDL_AUDIODRIVER", "dummy")
os.environ.setdefault("PYGAME_HIDE_SUPPORT_PROMPT", "1")

from sim.window.pixels.speaker import Speaker
from sim.window.sound import RATE_HZ, Mixer, SoundFrame
from sim.window.sound.rotors import REFERENCE

pytestmark = pytest.mark.bench

FRAME_S = 1.0 / 60.0
ROWS = 17  # speeds a frame; a thousand a second
WORK_S = 0.013  # s; the rest of a heavy frame, done in Python
CORE_SHARE = 0.05  # of one core; design: the most the sound may take


def ringing(frame: int) -> SoundFrame:
    """Return a hover that rings at 16 Hz, alarm on: all the sound there can be."""
    t = (frame + np.arange(1, ROWS + 1) / ROWS) * FRAME_S
    swing = 514.0 * (1.0 + 0.05 * np.sin(2.0 * np.pi * 16.0 * t))
    speeds = swing[:, None] * np.array([1.0, 1.01, 0.99, 1.005])
    return SoundFrame(speeds, REFERENCE, 3.0, True, True, 4.0, False, 0.8)


def test_share_of_a_core(benchmark):
    mixer, frames, samples = Mixer(), iter(range(10**9)), round(FRAME_S * RATE_HZ)
    benchmark.pedantic(
        lambda: mixer.block(ringing(next(frames)), samples), rounds=600, warmup_rounds=20
    )
    if benchmark.stats is not None:
        share = benchmark.stats["median"] / FRAME_S
        benchmark.extra_info["core_share"] = share
        assert share <= CORE_SHARE


@pytest.mark.parametrize("seconds", [15.0, pytest.param(120.0, marks=pytest.mark.slow)])
def test_two_minutes_without_a_gap(benchmark, seconds):
    speaker = Speaker(Mixer())
    assert speaker.why_silent is None
    levels_ms, spent_s, at_s = [], [], []

    def busy(until_s: float) -> None:
        while time.perf_counter() < until_s:
            sum(range(100))

    def fly() -> None:
        start = next_s = time.perf_counter()
        frame = 0
        while next_s < start + seconds:
            next_s += FRAME_S
            time.sleep(max(0.0, next_s - time.perf_counter()))
            now_s, cpu_s = time.perf_counter(), time.thread_time()
            at_s.append(now_s)
            levels_ms.append(speaker.level_ms)
            speaker.top_up(ringing(frame))
            spent_s.append(time.thread_time() - cpu_s)
            frame += 1
            busy(now_s + WORK_S)

    benchmark.pedantic(fly, rounds=1)
    speaker.close()
    share = sum(spent_s) / seconds
    benchmark.extra_info.update(
        under_runs=speaker.under_runs,
        lowest_ms=min(levels_ms[1:]),
        core_share=share,
        longest_frame_ms=1e3 * max(np.diff(at_s)),  # over 45 ms: the machine had no time for us
        late_frames=int(np.sum(np.diff(at_s) > 0.025)),
    )
    assert speaker.under_runs == 0
    assert share <= CORE_SHARE
