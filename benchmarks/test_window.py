"""Pace of the window: frames, sticks to picture, the first frame. Run with `--benchmark-enable`.

Times are wall times of this process on one core, the audio and video drivers those without devices;
targets are the design's. On a machine with other work they measure that work too.
"""

import gc
import itertools
import json
import os
import random
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
import pygame
import pytest

from sim.bench.inputs import Turning
from sim.session import actions as act
from sim.session.scenario import load
from sim.window.app import App
from sim.window.pixels.loop import Window
from sim.window.practice import Practice
from sim.window.screens.desk import Desk
from sim.window.screens.flight import Flight
from sim.window.screens.waiting import CALM_S
from sim.window.sticks.positions import Positions
from tests.window.test_gamepad import READY

pytestmark = pytest.mark.bench
FRAME_S = 1.0 / 60.0  # s; design
FRAMES = 600  # own: ten seconds
FRAME_MS = 16.7  # ms; design, p99
STICK_MS = 33.0  # ms; design; Part 60 asks 100 ms
FIRST_S = 2.0  # s; design
HOVER = Positions(0.02, -0.02, 0.465, 0.0)
ROOT = Path(__file__).parents[1]


@pytest.fixture
def window(tmp_path):
    """Return a window at the desk of a drill, on one core."""
    cores = os.sched_getaffinity(0)
    os.sched_setaffinity(0, {max(cores)})
    app = App(tmp_path / "window.json")
    window = Window(app)
    practice = Practice(load("quiet-morning"), "quiet-morning", 3, "a test", tmp_path / "run")
    app.take(practice)
    app.go(Desk(app, practice, lambda *_: None, lambda *_: None))
    waited(window)
    window.settle()  # as between all frames of a window that runs
    yield window
    window.close()
    gc.unfreeze()
    os.sched_setaffinity(0, cores)


def waited(window):
    """Draw until the drill is idle."""
    while window.app.drill.busy or not window.app.drill.ready:
        window.frame(0.0)
        time.sleep(0.002)


def done(window, *actions):
    """Do things, one after another."""
    for action in actions:
        assert window.app.drill.ask(action)
        waited(window)


@pytest.fixture
def flying(window, monkeypatch):
    """Return a window in the hop, throttle near hover, telemetry's slip in the picture."""
    done(window, *READY, act.Arm())
    monkeypatch.setattr(window.app.controls, "step", lambda *_: HOVER)
    for _ in range(30):
        window.frame(FRAME_S)
    assert isinstance(window.app.screen, Flight)
    assert window.app.drill.view.display is not None
    return window


@pytest.fixture
def at_the_display(window, monkeypatch):
    """Return a window at the bench: sticks and hands move, the display is live with three traces."""
    power = (act.SwitchTransmitter(on=True), act.PlugPack(), act.Carry(to="bench", hold="hands"))
    done(window, *power, act.Begin(check="stick-display"))
    desk = window.app.screen
    desk.in_front, desk.instruments.traced = "display", ["roll_pct", "roll_deg", "heading_deg"]
    chance = random.Random(1)
    turns = itertools.cycle(
        [Turning(roll=0.5, pitch=-0.3)] * 60 + [Turning(roll=-0.5, pitch=0.3)] * 60
    )
    monkeypatch.setattr(
        window.app.controls, "step", lambda *_: Positions(chance.uniform(-1, 1), 0.5, 0.2, 0.0)
    )
    monkeypatch.setattr(window.app.pull, "turning", lambda *_: next(turns))
    for _ in range(30):
        window.frame(FRAME_S)
    return window


def spread(times_s):
    """Return median, 99th percentile and largest, ms."""
    ms = 1000.0 * np.array(times_s)
    return {"median": np.median(ms), "p99": np.percentile(ms, 99), "most": ms.max()}


def paced(frame, benchmark, **more):
    """Draw frames; tell their pace, as a share of what a frame has too, and refuse a slow hundredth."""
    walls, busy = [], []
    for _ in range(FRAMES):
        wall, cpu = time.perf_counter(), time.process_time()
        frame()
        walls.append(time.perf_counter() - wall)
        busy.append(time.process_time() - cpu)
    told, cpu = spread(walls), spread(busy)
    shares = {f"{name}_of_frame": told[name] / FRAME_MS for name in ("median", "p99")}
    benchmark.extra_info.update(told, **shares, cpu_p99=cpu["p99"], **more)
    benchmark.pedantic(frame, rounds=60)
    assert told["p99"] <= FRAME_MS, told


def test_frames_with_the_physics_running(flying, benchmark):
    paced(lambda: flying.frame(FRAME_S), benchmark, under_runs=flying.speaker.under_runs)
    assert flying.app.drill.view.armed


def test_frames_with_the_display_live(at_the_display, benchmark):
    before = at_the_display.app.drill.view.time_s
    paced(lambda: at_the_display.frame(FRAME_S), benchmark)
    view = at_the_display.app.drill.view
    assert view.time_s - before > 0.9 * FRAMES * FRAME_S  # the clock ran all the while
    assert view.display is not None
    assert abs(view.display.roll_deg) > 1.0


def test_stick_to_picture(flying, benchmark):
    """A stick moved at any moment between two frames, until the frame that shows it is out."""
    chance, times = random.Random(1), []
    for _ in range(200):
        begin = time.perf_counter()
        time.sleep(chance.uniform(0.0, FRAME_S))
        moved = time.perf_counter()
        time.sleep(max(0.0, begin + FRAME_S - moved))
        flying.frame(FRAME_S)
        times.append(time.perf_counter() - moved)
    told = spread(times)
    benchmark.extra_info.update(told)
    benchmark.pedantic(flying.frame, args=(FRAME_S,), rounds=10)
    assert told["p99"] <= STICK_MS, told


FIRST_FRAME = """
import json, sys, time
start = float(sys.argv[1])
from sim.commands.window import open_window
from sim.window.start import first_screen
import sim.window.pixels.loop as loop
times = []
take = loop.Window.frame
def frame(self, dt_s):
    take(self, dt_s)
    times.append(time.time() - start)
    self.app.quits = len(times) >= int(sys.argv[2])
loop.Window.frame = frame
open_window(first_screen)
print(json.dumps(times))
"""


def first_frames(tmp_path, frames, **more):
    env = {**os.environ, "XDG_CONFIG_HOME": str(tmp_path), "PYTHONPATH": str(ROOT), **more}
    done = subprocess.run(
        [sys.executable, "-c", FIRST_FRAME, str(time.time()), str(frames)],
        env=env,
        capture_output=True,
        text=True,
        check=True,
        timeout=120,
    )
    return json.loads(done.stdout.splitlines()[-1])


def test_first_frame_when_warm(tmp_path, benchmark):
    first_frames(tmp_path, 1)
    first_s = min(first_frames(tmp_path, 1)[0] for _ in range(3))
    benchmark.extra_info["first_s"] = first_s
    benchmark.pedantic(lambda: None)
    assert first_s <= FIRST_S


def test_the_window_answers_while_the_model_is_compiled(tmp_path, benchmark):
    times = first_frames(tmp_path, 300, DRYHOP_CACHE_DIR=str(tmp_path / "cold"))
    gaps = spread(np.diff(times))
    benchmark.extra_info.update(gaps)
    benchmark.pedantic(lambda: None)
    assert gaps["most"] <= 2.0 * 1000.0 * CALM_S, gaps  # at its calm pace: at most one missed


assert pygame.get_sdl_version()[0] == 2  # what the figures were measured with
