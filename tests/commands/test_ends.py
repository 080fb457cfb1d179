"""Whatever stops a command: one plain line, the right exit code, nothing that was whole is lost."""

import errno
import io
import os
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from sim.commands import ends
from sim.errors import DryhopError, InputError, Refusal
from sim.runs import RUNS
from sim.session import folder as folders
from sim.session.attempt import Note
from sim.session.folder import RunFolder
from sim.session.journal import JOURNAL
from sim.session.scenario import load
from tools.spoil import contents_of, journal_of

QUICK = ["rehearse", "first-evening", "--stand-in", "hasty", "--json"]


def program(*words, **more):
    """Run the program in a process of its own."""
    env = {**os.environ, **more.pop("env", {})}
    return subprocess.run(
        [sys.executable, "-m", "sim", *map(str, words)], env=env, timeout=120, **more
    )


@pytest.mark.parametrize(
    ("error", "code", "words"),
    [
        (InputError(()), 2, ""),
        (Refusal("No.", "no_display"), 1, "No."),
        (DryhopError("differs"), 1, "differs"),
        (PermissionError(errno.EACCES, "Permission denied", "/a/b"), 2, "/a/b: Permission denied"),
        (OSError(errno.ENOSPC, "No space left on device"), 2, "files: No space left on device"),
        (OSError(errno.EXDEV, "Cross", "a", None, "b"), 2, "a and b: Cross"),
        (KeyboardInterrupt(), 130, "Stopped."),
        (BrokenPipeError(), 141, "Stopped: nobody reads the output any more."),
        (RecursionError(), 2, "The input is too large or nested too deeply."),
    ],
)
def test_each_end_has_its_code_and_its_line(capsys, error, code, words):
    def stops():
        raise error

    assert ends.ended(stops) == code
    said = capsys.readouterr()
    assert (said.out, said.err.strip()) == ("", words)


def test_a_mistake_of_ours_is_not_hidden():
    def wrong():
        return [][0]

    with pytest.raises(IndexError):
        ends.ended(wrong)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["rehearse", "first-evening", "--seed", "x"], "--seed"),
        (["rehearse"], "scenario"),
        (["rehears"], "rehearse"),
        (["demo", "--sed", "1"], "--seed"),
        (["rehearse", "first-evening", "--seed", str(2**63)], "2^63"),
        (["practise", "--seed", "-1"], "at least 0"),
        (["practise", "--trainee", "a\x1b[31mb"], "plain text"),
        (["practise", "--trainee", "x" * 61], "60"),
    ],
)
def test_a_wrong_command_line_is_one_line_and_exit_two(dryhop, words, says):
    said = dryhop(*words)
    assert (said.code, said.out, said.err.count("\n")) == (2, "", 1)
    assert says in said.err
    assert "\x1b" not in said.err


def test_paths_are_printed_as_they_are(dryhop, tmp_path):
    path = tmp_path / ("[bold]" + "long name " * 20) / "[red]drill.yaml"
    path.parent.mkdir()
    said = dryhop("validate", path)
    assert said.err == f"{path}: no such file\n"
    path.write_text("title: '[bold]T[/bold]'\npurpose: '[link]'\norigin: invented\n")
    assert dryhop("validate", path).out == f"{path}: good\n"
    said = dryhop("demo", path, "--no-window", "--out", path.parent / "run")
    assert f"Run folder: {path.parent / 'run'}\n" in said.out
    assert "[bold]T[/bold]" in said.out
    assert "[red]drill" in said.out


def test_an_unwritable_folder_is_one_line(dryhop, monkeypatch, tmp_path):
    mkdir = Path.mkdir

    def denied(self, *how, **more):
        if self.is_relative_to(tmp_path):
            raise PermissionError(errno.EACCES, "Permission denied", str(self))
        mkdir(self, *how, **more)

    monkeypatch.setattr(Path, "mkdir", denied)
    said = dryhop(*QUICK, "--out", tmp_path / "run")
    assert said.code == 2
    assert said.err == f"{tmp_path / 'run'}: Permission denied\n"


def test_a_full_disk_is_one_line_and_what_is_there_is_unfinished(dryhop, monkeypatch, tmp_path):
    append = folders.JournalFile._append

    def full(self, data):
        if len(self.lines) > 5:
            append(self, data[:7])
            raise OSError(errno.ENOSPC, "No space left on device")
        append(self, data)

    with monkeypatch.context() as patched:
        patched.setattr(folders.JournalFile, "_append", full)
        said = dryhop(*QUICK, "--out", tmp_path / "run")
    assert (said.code, said.out) == (2, "")
    assert said.err == f"{tmp_path / 'run' / JOURNAL}: No space left on device\n"
    assert not (tmp_path / "run" / "scorecard.json").exists()
    said = dryhop(*QUICK, "--out", tmp_path / "run")  # there is room again
    assert said.err == f"Taking up the attempt left unfinished in {tmp_path / 'run'}\n"
    assert dryhop("replay", tmp_path / "run").code == 0


def test_a_second_run_into_a_folder_is_refused_and_changes_nothing(dryhop, tmp_path):
    assert dryhop(*QUICK, "--out", tmp_path / "run").code == 1
    before = {path.name: path.read_bytes() for path in (tmp_path / "run").iterdir()}
    for words in (QUICK, [*QUICK, "--seed", "8"], ["demo", "--no-window"]):
        said = dryhop(*words, "--out", tmp_path / "run")
        assert (said.code, said.out, said.err.count("\n")) == (2, "", 1)
        assert "name another folder" in said.err
    assert {path.name: path.read_bytes() for path in (tmp_path / "run").iterdir()} == before


def test_practise_without_a_display_leaves_things_alone(dryhop, monkeypatch, tmp_path):
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("DISPLAY", raising=False)
    monkeypatch.delenv("WAYLAND_DISPLAY", raising=False)
    said = dryhop("practise")
    assert (said.code, said.err) == (1, "No display here: a drill is practised in a window.\n")
    assert dryhop("practise", tmp_path).code == 2  # a folder, but no run
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("encoding", ["ascii", "cp1252", "latin-1"])
@pytest.mark.parametrize("words", [["checks"], ["faults"], ["scenarios"], ["--help"]])
def test_any_terminal_can_show_it(dryhop, monkeypatch, encoding, words):
    streams = {name: io.TextIOWrapper(io.BytesIO(), encoding=encoding) for name in ("out", "err")}
    monkeypatch.setattr("sys.stdout", streams["out"])
    monkeypatch.setattr("sys.stderr", streams["err"])
    monkeypatch.setattr("sys.argv", ["dryhop", *words])
    from sim.cli import main

    with pytest.raises(SystemExit) as ended:
        main()
    assert not ended.value.code
    shown = streams["out"].buffer.getvalue()
    assert len(shown) > 500
    assert shown.decode(encoding)


def test_a_closed_pipe_is_one_line_and_141():
    reads, writes = os.pipe()
    os.close(reads)
    ended = program("checks", "--json", stdout=writes, stderr=subprocess.PIPE, text=True)
    os.close(writes)
    assert ended.returncode == 141
    assert ended.stderr == "Stopped: nobody reads the output any more.\n"


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="no device that is always full")
def test_an_output_that_takes_no_more_is_one_line():
    with open("/dev/full", "w") as full:
        ended = program("checks", stdout=full, stderr=subprocess.PIPE, text=True)
    assert ended.returncode == 2
    assert ended.stderr == "files: No space left on device\n"


def test_no_output_at_all_is_no_trouble():
    ended = subprocess.run(
        ["sh", "-c", f'"{sys.executable}" -m sim checks >&- 2>&-'], timeout=60, check=False
    )
    assert ended.returncode == 0


@pytest.mark.skipif(os.name == "nt", reason="signals are of another kind there")
@pytest.mark.parametrize("after_s", [0.02, 0.15, 0.4, 0.9])
def test_ctrl_c_is_one_line_and_130(tmp_path, after_s):
    before = signal.signal(signal.SIGINT, signal.default_int_handler)  # a job in the background
    started = subprocess.Popen(  # is started deaf, and so would be all that it starts
        [sys.executable, "-m", "sim", "study", "first-evening", "--runs", "500", "--workers", "1",
         "--keep", "kept.jsonl"],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(p for p in sys.path if p)},
    )  # fmt: skip
    signal.signal(signal.SIGINT, before)
    time.sleep(after_s)
    if after_s < 0.1:  # Python itself may not be there yet to hear it
        while not os.path.exists(f"/proc/{started.pid}/maps"):
            time.sleep(0.01)
        time.sleep(0.2)
    started.send_signal(signal.SIGINT)
    try:
        _, said = started.communicate(timeout=60)
    finally:
        started.kill()
    assert started.returncode == 130, said
    assert said.splitlines()[-1].strip() == "Stopped."
    assert "Traceback" not in said


SWALLOWED = """
import os, signal, sys, types
signal.signal(signal.SIGINT, signal.default_int_handler)
def commands():
    try:
        {first}
        while True: pass
    except KeyboardInterrupt:
        raise ValueError("not a schema")
sys.modules["sim.cli"] = types.SimpleNamespace(main=commands)
from sim.__main__ import main
main()
"""


@pytest.mark.parametrize(
    ("first", "code", "last"),
    [
        ("os.kill(os.getpid(), signal.SIGINT)", 130, "Stopped."),
        ("raise KeyboardInterrupt", 1, "ValueError: not a schema"),  # none was sent: a true bug
    ],
)
def test_ctrl_c_that_a_library_turns_into_its_own_error_is_still_a_stop(first, code, last):
    done = subprocess.run(
        [sys.executable, "-c", SWALLOWED.format(first=first)],
        capture_output=True, text=True, timeout=60,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(p for p in sys.path if p)},
    )  # fmt: skip
    assert done.returncode == code, done.stderr
    assert done.stderr.splitlines()[-1].strip() == last


def rechained(folder, change):
    """Rewrite a run's journal with a right chain after changing its lines."""
    lines = contents_of((folder / JOURNAL).read_bytes())
    change(lines)
    (folder / JOURNAL).write_text(journal_of(lines))


WRONG = {
    "seed below none": lambda lines: lines[0].update(seed=-1),
    "seed of text": lambda lines: lines[0].update(seed="x"),
    "no seed": lambda lines: lines[0].pop("seed"),
    "a long time": lambda lines: lines[-3].update(
        sticks=[0, 0, 0, 0, 1, 1, 0], seconds=1e12, act=None
    ),
    "for ever": lambda lines: lines.insert(3, held(lines[3], seconds=1e12)),
    "backwards": lambda lines: lines.insert(3, held(lines[3], seconds=-1.0)),
    "no time": lambda lines: lines.insert(3, held(lines[3], seconds=1e-9)),
    "half a tick": lambda lines: lines.insert(3, held(lines[3], seconds=0.0015)),
    "not a number": lambda lines: lines.insert(3, held(lines[3], seconds=float("nan"))),
    "three sticks": lambda lines: lines.insert(3, held(lines[3], sticks=[0, 0, 0])),
    "sticks beyond": lambda lines: lines.insert(3, held(lines[3], sticks=[9, 0, 0, 0, 1, 1, 0])),
    "half a switch": lambda lines: lines.insert(3, held(lines[3], sticks=[0, 0, 0, 0, 0.5, 1, 0])),
    "a short wait": lambda lines: lines.insert(3, acted(lines[3], do="wait", minutes=1e-9)),
    "a long wait": lambda lines: lines.insert(3, acted(lines[3], do="wait", minutes=1e9)),
    "no such act": lambda lines: lines.insert(3, acted(lines[3], do="fly-away")),
    "an escape": lambda lines: lines.insert(3, acted(lines[3], do="withdraw", item="\x1b[2J")),
    "an end first": lambda lines: lines.insert(3, lines[-1]),
    "an end of text": lambda lines: lines[-1].update(end="yes"),
    "no trace": lambda lines: lines[-1].pop("trace"),
    "tick of text": lambda lines: lines[3].update(tick="x"),
    "endless tick": lambda lines: lines[3].update(tick=1e999),
    "half a tick stated": lambda lines: lines[3].update(tick=0.5),
    "more than there is": lambda lines: lines[3].update(more=1),
}


def held(line, **how):
    return {
        "tick": line["tick"],
        "state": "0",
        "sticks": [0, 0, 0, 0, 1, 1, 0],
        "seconds": 0.05,
    } | how


def acted(line, **what):
    return {"tick": line["tick"], "state": "0", "act": what}


@pytest.fixture(scope="module")
def recorded(tmp_path_factory):
    from sim.runs import rehearse
    from sim.session.scenario import load
    from sim.trainees.standins import Attempt

    folder = tmp_path_factory.mktemp("recorded") / "run"
    rehearse(Attempt(load("first-evening"), "hasty", 7), "first-evening", folder)
    return folder


@pytest.mark.parametrize("change", WRONG.values(), ids=WRONG)
def test_a_journal_with_a_right_chain_and_wrong_contents(dryhop, recorded, tmp_path, change):
    folder = shutil.copytree(recorded, tmp_path / "run")
    rechained(folder, change)
    for command in ("score", "replay"):
        said = dryhop(command, folder)
        assert (said.code, said.out, said.err.count("\n")) == (1, "", 1), said
        assert "differs at tick" in said.err
        assert "\x1b" not in said.err


@pytest.mark.parametrize("name", ["drill.yaml", "run/journal.jsonl", "run/attempt.json"])
@pytest.mark.parametrize("nest", ["[", '{"a":', "- "])
def test_nesting_of_a_hundred_thousand(dryhop, recorded, tmp_path, name, nest):
    shutil.copytree(recorded, tmp_path / "run")
    (tmp_path / name).write_text(nest * 100_000 + "\n")
    said = dryhop(
        *(["validate", tmp_path / name] if "drill" in name else ["score", tmp_path / "run"])
    )
    assert said.code in ((1,) if "run" in name else (2,))
    assert said.err.count("\n") <= 1


@pytest.fixture
def attempts(tmp_path, monkeypatch):
    """Leave three attempts in the middle, the last one of another drill; return their folders."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("sim.runs.elsewhere", lambda: (tmp_path / "elsewhere",))
    found = []
    for n, (name, seed, who, below) in enumerate(
        (("first-evening", 3, "Ada", RUNS), ("first-evening", 4, "Ben", tmp_path / "elsewhere"),
         ("club-loaner", 5, "Ada", RUNS))
    ):  # fmt: skip
        note = Note(trainee=who, by="person", scenario=name, seed=seed)
        with RunFolder.begin(below / f"run-{n}", load(name), note):
            found.append(below / f"run-{n}")
        os.utime(found[-1] / JOURNAL, (n, n))
    return found


@pytest.mark.parametrize(
    ("words", "which"),
    [
        ([], 2),
        (["first-evening"], 1),
        (["first-evening", "--trainee", "Ada"], 0),
        (["--seed", "3"], 0),
        (["runs/run-0"], 0),
        (["--new"], None),
        (["quiet-morning"], None),
        (["club-loaner", "--trainee", "Ben"], None),
    ],
)
def test_practise_takes_up_the_last_that_was_left(dryhop, attempts, monkeypatch, words, which):
    opened = []
    monkeypatch.setattr("sim.commands.window.has_display", lambda: True)
    monkeypatch.setattr("sim.commands.window.on_attempt", lambda folder: opened.append(folder))
    monkeypatch.setattr("sim.commands.window.on_drill", lambda *_: opened.append(None))
    said = dryhop("practise", *words)
    assert said.code == 0
    assert opened == [None if which is None else attempts[which]]
    assert ("--new begins another" in said.err) == (which is not None)


@pytest.mark.parametrize("name", [JOURNAL, "trace.csv", "scenario.yaml", "attempt.json"])
def test_a_file_larger_than_any_recorded_is_not_read(dryhop, recorded, tmp_path, name):
    folder = shutil.copytree(recorded, tmp_path / "run")
    with (folder / name).open("r+b") as file:
        file.truncate(200 << 20)  # sparse: takes no room on the disk
    said = dryhop("replay", folder)
    if name == "attempt.json":  # nothing rests on it
        assert (said.code, dryhop("score", folder, "--json").err) == (0, "")
    else:
        assert (said.code, said.out, said.err.count("\n")) == (1, "", 1)
        assert "larger than any recorded" in said.err
