"""A real window on a virtual display, driven by real key events."""

import json
import os
import shutil
import subprocess
import sys
import time
from pathlib import Path

import pytest

from sim.aircraft.airframe import Airframe
from sim.aircraft.textfile import load_model
from sim.bench.checklist import CHECKS
from sim.scoring.scorecard import CLEARED
from sim.session.scenario import load
from sim.trainees.byhand import ROUTINES

ROOT = Path(__file__).parents[2]
PATIENCE_S = 240.0  # s; own: the drill takes well under a minute on a quiet machine
BY_HAND_S = 1200.0  # s; own: a minute and a half of one core, up to eight minutes on a busy machine
CORE = {
    "pitch-channel-reversed": "first-evening",
    "mag-hard-iron-offset": "club-loaner",
    "rate-gain-high": "second-hand",
    "pack-high-resistance": "spare-from-the-shelf",
}  # the four core faults, each alone in a drill


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


def gone_through(env, program, folder, *words, timeout_s=BY_HAND_S):
    """Run a program of `tests.window` that works a real window; return what it told last."""
    done = subprocess.run(
        [sys.executable, "-m", f"tests.window.{program}", str(folder), *words],
        cwd=folder,
        env=env,
        capture_output=True,
        text=True,
        timeout=timeout_s,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout.splitlines()[-1])
    assert told["driver"] == "x11"
    return told


def whole_drill(display, folder, drill, kind):
    """Do a whole drill in a real window; return what it came to."""
    patience_s = PATIENCE_S if kind == "shown" else BY_HAND_S
    told = gone_through(
        environment(display), "real_keys", folder, drill, "7", kind, timeout_s=patience_s
    )
    assert told["screen"] == "Debrief"
    assert told["words"] == ["read twice", "spotter first"]
    assert told["verdict"] == CLEARED, told
    assert (folder / "debrief.png").stat().st_size > 0
    return told


@pytest.mark.skipif(bool(missing()), reason=missing())
def test_reversed_pitch_from_start_to_cleared_with_real_keys(display, tmp_path):
    whole_drill(display, tmp_path, "first-evening", "shown")


@pytest.mark.slow
@pytest.mark.skipif(bool(missing()), reason=missing())
@pytest.mark.parametrize("kind", ["keys", "pad"])
@pytest.mark.parametrize("drill", ["fresh-board", *CORE.values()])
def test_a_drill_is_done_by_hand_from_start_to_cleared(display, tmp_path, drill, kind):
    told = whole_drill(display, tmp_path, drill, kind)
    assert set(told["begun"]) >= set(ROUTINES)
    assert not [check for check in told["read"] if CHECKS[check].by_hand is not None]
    assert (told["presses"] > 0) == (kind == "pad")


def test_each_core_fault_has_its_drill():
    for fault, drill in CORE.items():
        assert fault in [one.id for one in load(drill).faults]


@pytest.mark.slow
@pytest.mark.skipif(bool(missing()), reason=missing())
def test_an_aircraft_is_described_with_real_keys_and_its_file_is_good(display, tmp_path):
    env = environment(display) | {"XDG_DATA_HOME": str(tmp_path / "data")}
    told = gone_through(env, "real_form", tmp_path)
    assert told["said"] == [
        "Still open: Weight ready to fly, pack in, g. Please answer with a number, without a unit.",
        "Still open: Cells of the pack in series, 1 to 6. That can't be: it must be at most 6.",
    ]
    path = Path(told["file"])
    assert path == tmp_path / "data" / "dryhop" / "airframes" / "my-own.yaml"
    airframe = load_model(path, Airframe)
    assert (airframe.mass_kg, airframe.cells, airframe.origin) == (0.62, 3, "described")
    assert set(airframe.clockwise) == {"front_left", "rear_right"}
    judged = subprocess.run(
        [sys.executable, "-m", "sim.cli", "validate", str(path)],
        env=env,
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    assert judged.returncode == 0, judged.stderr


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


@pytest.mark.slow
@pytest.mark.skipif(bool(missing()), reason=missing())
def test_what_follows_a_run_by_real_keys(display, tmp_path):
    told = gone_through(environment(display), "real_after", tmp_path)
    screens = [told[name] for name in ("debrief", "watch", "back", "class", "left")]
    assert screens == ["Debrief", "Watch", "Debrief", "Classroom", "Debrief"]
    before, after = told["acts"]
    assert after == before + 2
    assert told["hands"][:3] == [12, 3, 0]
    assert told["hands"][-1] == 1


@pytest.mark.slow
@pytest.mark.skipif(bool(missing()), reason=missing())
def test_a_recording_leads_by_real_keys_to_its_answer_and_a_drill_of_it(display, tmp_path):
    told = gone_through(
        environment(display) | {"XDG_DATA_HOME": str(tmp_path / "data")}, "real_reported", tmp_path
    )
    empty, letter, short = (words.rpartition("flights/")[2] for words in told["bad"])
    assert empty == "empty.csv: the file is empty"
    assert letter.startswith("letter.csv: no rows of numbers")
    assert short.startswith("short.csv: too short: 2 rows")
    assert told["asked"] >= 4  # the signs of the four sticks are never guessed
    assert told["kept"] == "They are right"
    assert told["seen"] == [
        "BroughtSheet",
        "ColumnsSheet",
        "ColumnsSheet",
        "Working",
        "ColumnsSheet",
        "AnswerSheet",
        "AnswerSheet",
        "Working",
        "Desk",
    ]
    assert told["curves"] > 0
    assert told["marked"] == told["faults"] == ["pitch-channel-reversed"]
    (kept,) = (tmp_path / "data" / "dryhop" / "drills").glob("reported-*.yaml")
    assert [fault.id for fault in load(str(kept)).faults] == ["pitch-channel-reversed"]
