"""A real window on a virtual display, driven by real key events."""

import json
import os
import shutil
import subprocess
import sys
import time
from pathlib import Path

import pytest

from sim.scoring.scorecard import CLEARED

ROOT = Path(__file__).parents[2]
PATIENCE_S = 240.0  # s; own: the drill takes well under a minute on a quiet machine


def missing():
    lacking = [tool for tool in ("Xvfb", "xdotool") if shutil.which(tool) is None]
    return f"not installed: {', '.join(lacking)}" if lacking else ""


@pytest.fixture(scope="module")
def display():
    read, write = os.pipe()
    server = subprocess.Popen(
        ["Xvfb", "-displayfd", str(write), "-screen", "0", "1920x1080x24", "-nolisten", "tcp"],
        pass_fds=(write,),
        stderr=subprocess.DEVNULL,
    )
    os.close(write)
    with os.fdopen(read) as numbers:
        number = numbers.readline().strip()
    yield f":{number}"
    server.terminate()
    server.wait(timeout=10)


def environment(display):
    return {
        **os.environ,
        "DISPLAY": display,
        "SDL_VIDEODRIVER": "x11",
        "SDL_AUDIODRIVER": "dummy",
        "PYTHONPATH": str(ROOT),
    }


@pytest.mark.skipif(bool(missing()), reason=missing())
def test_reversed_pitch_from_start_to_cleared_with_real_keys(display, tmp_path):
    done = subprocess.run(
        [sys.executable, "-m", "tests.window.real_keys", str(tmp_path), "first-evening", "7"],
        cwd=tmp_path,
        env=environment(display),
        capture_output=True,
        text=True,
        timeout=PATIENCE_S,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout.splitlines()[-1])
    assert told["driver"] == "x11"
    assert told["screen"] == "Debrief"
    assert told["verdict"] == CLEARED
    assert (tmp_path / "debrief.png").stat().st_size > 0


@pytest.mark.skipif(bool(missing()), reason=missing())
def test_the_command_opens_a_window_and_the_keys_close_it(display, tmp_path):
    env = environment(display) | {"XDG_CONFIG_HOME": str(tmp_path)}
    window = subprocess.Popen([sys.executable, "-m", "sim.cli"], cwd=tmp_path, env=env)
    try:
        found = subprocess.run(
            ["xdotool", "search", "--sync", "--onlyvisible", "."],  # the only window there
            env=env,
            capture_output=True,
            text=True,
            timeout=60,
            check=True,
        ).stdout.split()
        subprocess.run(["xdotool", "windowfocus", "--sync", found[0]], env=env, check=True)
        time.sleep(1.0)
        subprocess.run(["xdotool", "key", "Escape"], env=env, check=True)  # out of the walk round
        time.sleep(1.0)
        subprocess.run(["xdotool", "key", "ctrl+q"], env=env, check=True)
        assert window.wait(timeout=30) == 0
    finally:
        window.kill()
        window.wait(timeout=10)
